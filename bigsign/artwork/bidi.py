"""Lines that mix directions: runs of one direction in the order they stand from left to right.

The rules are those of UAX #9 (Unicode Bidirectional Algorithm) for one line without explicit embeddings,
overrides or isolates (:data:`EXPLICIT`), which the setter refuses: P2-P3, W1-W7, N0-N2, I1-I2, L1-L2. Mirrored
brackets (L4) are the shaper's part.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

__all__ = ["EXPLICIT", "Run", "base_level", "bidi_runs", "levels"]

EXPLICIT = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Embeddings, overrides and isolates: nobody sees them on a sign, so a line that has them is refused."""
MOST_OPEN = 63  # brackets open at once, as BD16 has it


@dataclass(frozen=True, slots=True)
class Run:
    """Characters ``start`` up to ``end`` of the line, all of one ``level`` (odd: right to left)."""

    start: int
    end: int
    level: int


def base_level(text: str) -> int:
    """Return the line's own level: 1 if its first strong character runs right to left, else 0 (P2, P3)."""
    for char in text:
        kind = unicodedata.bidirectional(char)
        if kind in ("L", "R", "AL"):
            return int(kind != "L")
    return 0


def bidi_runs(text: str) -> list[Run]:
    """Return the runs of one level in visual order, left to right (L2).

    Examples
    --------
    >>> [(run.start, run.end) for run in bidi_runs("ab \\u05d0\\u05d1 12")]
    [(0, 3), (6, 8), (3, 6)]
    """
    found = levels(text)
    runs: list[Run] = []
    for i, level in enumerate(found):
        if runs and runs[-1].level == level:
            runs[-1] = Run(runs[-1].start, i + 1, level)
        else:
            runs.append(Run(i, i + 1, level))
    for level in range(max(found, default=0), 0, -1):
        at = 0
        while at < len(runs):
            end = at
            while end < len(runs) and runs[end].level >= level:
                end += 1
            runs[at:end] = reversed(runs[at:end])
            at = max(end, at + 1)
    return runs


def levels(text: str) -> list[int]:
    """Return the embedding level of each character."""
    base = base_level(text)
    original = [unicodedata.bidirectional(char) or "L" for char in text]
    # X9: boundary neutrals are as if they were not there; they take their neighbour's level in the end.
    seen = [i for i, kind in enumerate(original) if kind != "BN"]
    kinds = [original[i] for i in seen]
    _weak(kinds, "R" if base else "L")
    _brackets("".join(text[i] for i in seen), kinds, [original[i] for i in seen], base)
    _neutral(kinds, base)
    out = [base] * len(text)
    for i, kind in zip(seen, kinds, strict=True):
        if base:
            out[i] = 1 if kind == "R" else 2
        else:
            out[i] = {"L": 0, "R": 1}.get(kind, 2)
    last = base
    for i, kind in enumerate(original):
        if kind == "BN":
            out[i] = last
        last = out[i]
    _reset_spaces(original, out, base)
    return out


def _weak(kinds: list[str], sor: str) -> None:
    """Resolve marks, numbers and what belongs to numbers (W1 to W7)."""
    before = sor
    for i, kind in enumerate(kinds):  # W1
        if kind == "NSM":
            kinds[i] = before
        before = kinds[i]
    strong = sor
    for i, kind in enumerate(kinds):  # W2
        if kind in ("L", "R", "AL"):
            strong = kind
        elif kind == "EN" and strong == "AL":
            kinds[i] = "AN"
    kinds[:] = ["R" if kind == "AL" else kind for kind in kinds]  # W3
    for i in range(1, len(kinds) - 1):  # W4
        around = kinds[i - 1]
        if around == kinds[i + 1] and (
            (kinds[i] in ("ES", "CS") and around == "EN") or (kinds[i] == "CS" and around == "AN")
        ):
            kinds[i] = around
    i = 0
    while i < len(kinds):  # W5
        end = i
        while end < len(kinds) and kinds[end] == "ET":
            end += 1
        if end > i and ((i and kinds[i - 1] == "EN") or (end < len(kinds) and kinds[end] == "EN")):
            kinds[i:end] = ["EN"] * (end - i)
        i = max(end, i + 1)
    kinds[:] = ["ON" if kind in ("ES", "ET", "CS") else kind for kind in kinds]  # W6
    strong = sor
    for i, kind in enumerate(kinds):  # W7
        if kind in ("L", "R"):
            strong = kind
        elif kind == "EN" and strong == "L":
            kinds[i] = "L"


def _side(kind: str) -> str | None:
    """Return the direction a resolved kind counts as among neutrals, or None for a neutral."""
    return "L" if kind == "L" else "R" if kind in ("R", "EN", "AN") else None


def _brackets(text: str, kinds: list[str], original: list[str], base: int) -> None:
    """Give paired brackets one direction (N0), and the marks on them the same."""
    embedding = "R" if base else "L"
    for first, last in _pairs(text, kinds):
        inside = {side for side in map(_side, kinds[first + 1 : last]) if side}
        if embedding in inside:
            found = embedding
        elif inside:
            before = next((side for side in map(_side, reversed(kinds[:first])) if side), embedding)
            found = before if before != embedding else embedding
        else:
            continue
        for at in (first, last):
            kinds[at] = found
            after = at + 1
            while after < len(kinds) and original[after] == "NSM":
                kinds[after] = found
                after += 1


def _pairs(text: str, kinds: list[str]) -> list[tuple[int, int]]:
    """Return the bracket pairs in order of their opening (BD16)."""
    stack: list[tuple[str, int]] = []
    pairs: list[tuple[int, int]] = []
    for i, char in enumerate(text):
        if kinds[i] != "ON":
            continue
        closing = _closing(char)
        if closing:
            if len(stack) == MOST_OPEN:
                break
            stack.append((closing, i))
        elif unicodedata.category(char) == "Pe":
            plain = unicodedata.normalize("NFC", char)
            for depth in range(len(stack) - 1, -1, -1):
                if stack[depth][0] == plain:
                    pairs.append((stack[depth][1], i))
                    del stack[depth:]
                    break
    return sorted(pairs)


def _closing(char: str) -> str | None:
    """Return the closing partner of an opening bracket, canonical form, or None.

    Pairs of BidiBrackets.txt are mirrored punctuation whose partner stands next to it in the code charts; the
    three exceptions among ASCII stand two apart.
    """
    if unicodedata.category(char) != "Ps" or not unicodedata.mirrored(char):
        return None
    plain = unicodedata.normalize("NFC", char)
    for step in (1, 2):
        partner = chr(ord(plain) + step)
        if unicodedata.category(partner) == "Pe" and unicodedata.mirrored(partner):
            return unicodedata.normalize("NFC", partner)
    return None


def _neutral(kinds: list[str], base: int) -> None:
    """Give neutrals the direction of both their sides, else the line's (N1, N2)."""
    embedding = "R" if base else "L"
    i = 0
    while i < len(kinds):
        end = i
        while end < len(kinds) and _side(kinds[end]) is None:
            end += 1
        if end > i:
            before = (_side(kinds[i - 1]) if i else None) or embedding
            after = (_side(kinds[end]) if end < len(kinds) else None) or embedding
            kinds[i:end] = [before if before == after else embedding] * (end - i)
        i = max(end, i + 1)


def _reset_spaces(original: list[str], out: list[int], base: int) -> None:
    """Put white space at the line's end, and before tabs, at the line's own level (L1)."""
    trailing = True
    for i in range(len(original) - 1, -1, -1):
        if original[i] in ("S", "B"):
            out[i], trailing = base, True
        elif original[i] in ("WS", "BN"):
            if trailing:
                out[i] = base
        else:
            trailing = False
