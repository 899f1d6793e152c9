"""Bytes spoilt by chance: flipped, put in, taken out, taken from another file, cut short, repeated."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

__all__ = ["spoilt_bytes", "spoilt_input"]

STRANGE = (
    b"\0", b"\xff", b"\xfe\xff", b"\xef\xbb\xbf", b"\xc3", b"\xe2\x80\xae", b"\xe2\x80\x9c", b"\xc2\xa0", b"\r",
    b"\n", b'"', b"'", b"\\", b"=", b"[", b"]", b"{", b"}", b"#", b",", b".", b"\xf0\x9f\x90\x94",
    b"\xed\xa0\x80", b"\t", b'"""',
)  # fmt: skip


def spoilt_input(
    texts: Sequence[bytes], seed: int, number: int, changed: Callable[[str, random.Random], str]
) -> bytes:
    """Return input ``number`` of a seed: one of ``texts``, changed as a text (three in five) or as bytes."""
    chance = random.Random(f"{seed}-{number}")
    data = chance.choice(texts)
    way = chance.randrange(5)
    if way < 3:
        data = changed(data.decode("utf-8", "replace"), chance).encode("utf-8", "surrogatepass")
    if way >= 3 or chance.random() < 0.1:
        data = spoilt_bytes(data, texts, chance)
    return data


def spoilt_bytes(data: bytes, others: Sequence[bytes], chance: random.Random) -> bytes:
    """Return ``data`` with one to eight changes."""
    out = bytearray(data)
    for _ in range(chance.choice((1, 1, 1, 2, 3, 8))):
        at = chance.randrange(len(out) + 1)
        end = min(len(out), at + chance.choice((1, 2, 5, 20, 200)))
        way = chance.randrange(7)
        if way == 0 and at < len(out):
            out[at] ^= 1 << chance.randrange(8)
        elif way == 1:
            out[at:at] = chance.choice(STRANGE)
        elif way == 2:
            del out[at:end]
        elif way == 3:
            other = chance.choice(others)
            start = chance.randrange(len(other) + 1)
            out[at:end] = other[start : start + chance.choice((1, 10, 100, 1000))]
        elif way == 4 and chance.random() < 0.3:
            del out[at:]
        elif way == 5:
            out[at:at] = bytes(out[at:end]) * chance.choice((1, 2, 30))
        else:
            out[at:end] = chance.randbytes(end - at)
    return bytes(out)
