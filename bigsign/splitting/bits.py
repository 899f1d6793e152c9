"""Sets of units as whole numbers, a bit a unit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

__all__ = ["bits_of", "set_of", "subsets_of"]


def bits_of(mask: int) -> list[int]:
    """Return the numbers of the bits set, the lowest first."""
    out = []
    while mask:
        low = mask & -mask
        out.append(low.bit_length() - 1)
        mask ^= low
    return out


def set_of(ranks: Iterable[int]) -> int:
    """Return the set that holds these numbers."""
    out = 0
    for rank in ranks:
        out |= 1 << rank
    return out


def subsets_of(mask: int) -> Iterator[int]:
    """Yield every subset of a set, the empty one and itself among them."""
    part = mask
    while True:
        yield part
        if not part:
            return
        part = (part - 1) & mask
