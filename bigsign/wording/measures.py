"""Saying distances: from an edge, or to which side of a middle line."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bigsign.wording.catalogue import phrase

__all__ = ["panels_said", "place_said", "runs_said"]

RUN = 4  # numbers that follow each other are said as "5 to 8"


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
    """Return "panel 3", "panels 1, 2 and 5", or "panels 1, 3 and 7 to 12"; ``numbers`` in order."""
    if len(numbers) == 1:
        return phrase("panel.one", n=numbers[0])
    runs = runs_said(numbers)
    if len(runs) == 1:
        return phrase("panel.run", run=runs[0])
    return phrase("panel.many", most=", ".join(runs[:-1]), last=runs[-1])


def runs_said(numbers: Sequence[int]) -> list[str]:
    """Return numbers in order as words, four or more that follow each other as "5 to 9"."""
    runs: list[list[int]] = []
    for n in numbers:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    out = []
    for run in runs:
        out += [phrase("run", first=run[0], last=run[-1])] if len(run) >= RUN else [str(n) for n in run]
    return out
