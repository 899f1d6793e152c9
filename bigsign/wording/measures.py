"""Saying distances: from an edge, or to which side of a middle line."""

from __future__ import annotations

import re

from bigsign.wording.catalogue import phrase

__all__ = ["panels_said", "place_said"]


def place_said(edge: str, tape: str, axis: str, *, short: bool = False) -> str:
    """Return a distance as words: "3 1/4 in from the left edge", "2 in right of the middle line".

    Parameters
    ----------
    edge : left, right, top, bottom or middle.
    tape : what the tape shows; negative left of a middle line, or above it.
    axis : "x" or "y".
    short : "3 1/4 in from left".
    """
    if edge != "middle":
        return phrase("from.short" if short else "from.long", length=tape, edge=phrase(f"edge.{edge}"))
    plain = re.sub(r"-(?=\d)", "", tape)
    if plain.startswith("0 "):
        return phrase("from.on_middle")
    sides = ("left", "right") if axis == "x" else ("above", "below")
    return phrase(f"from.middle_{sides[not tape.startswith('-')]}", length=plain)


def panels_said(numbers: list[int]) -> str:
    """Return "panel 3", or "panels 1, 2 and 5"."""
    if len(numbers) == 1:
        return phrase("panel.one", n=numbers[0])
    return phrase("panel.many", most=", ".join(str(n) for n in numbers[:-1]), last=numbers[-1])
