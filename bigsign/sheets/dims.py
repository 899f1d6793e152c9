"""Running dimensions from a datum at a reference edge: every measure is read from one place, errors don't add up.

After ISO 129-1's running dimensions: a datum symbol, one line, an arrow at each position, the figure at its end.
Labels that would crowd are spread along their row and joined to their place by a leader; none is dropped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bigsign.sheets.items import (
    ACCENT,
    BLACK,
    FINE,
    GREY,
    HAIR,
    MEASURE_CAP,
    SMALL_CAP,
    STEP_CAP,
    Area,
    Item,
    Point,
    Stroke,
    Text,
)
from bigsign.sheets.metrics import text_width
from bigsign.units import TapeLength

__all__ = ["Mark", "exact_note", "overall", "run_across", "run_down", "spread"]


@dataclass(frozen=True, slots=True)
class Mark:
    """A position to dimension: where on the paper, its length, whether it is a level line."""

    at: float
    length: TapeLength
    level: bool = False


def exact_note(length: TapeLength) -> str:
    """Return the exact value for where the tape is off by more than 0.1 mm, else ""."""
    return f"{length.mm:.1f} mm" if abs(length.error_mm) > 0.1 else ""


def spread(places: Sequence[float], pitch: float, low: float, high: float) -> list[float]:
    """Return label places in order, ``pitch`` apart at least, as near to the wanted ones as that allows.

    Clusters of crowded labels are centred on the mean of their places (pool adjacent violators), then kept in
    [low, high] if they fit there.
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    groups: list[tuple[float, int]] = []  # (sum of wanted places of the first label, count)
    for index in order:
        total, count = places[index], 1
        while groups and groups[-1][0] / groups[-1][1] + groups[-1][1] * pitch > total / count:
            before, n = groups.pop()
            total, count = before + total - count * n * pitch, n + count
        groups.append((total, count))
    out = [0.0] * len(places)
    rank = 0
    for total, count in groups:
        for i in range(count):
            out[order[rank]] = total / count + i * pitch
            rank += 1
    if out:
        first, last = out[order[0]], out[order[-1]]
        shift = max(0.0, low - first) if first < low else min(0.0, high - last)
        out = [place + shift for place in out]
    return out


def _unique(marks: Sequence[Mark]) -> list[Mark]:
    seen: dict[tuple[str, int], Mark] = {}
    for mark in marks:
        seen.setdefault((mark.length.shown, round(mark.at * 10)), mark)
    return sorted(seen.values(), key=lambda mark: mark.at)


def _datum(at: Point, across: bool) -> list[Item]:
    """Return the datum symbol: a filled triangle whose base stands on the reference edge."""
    x, y = at
    ring = ((x, y - 1.4), (x, y + 1.4), (x + 2.2, y)) if across else ((x - 1.4, y), (x + 1.4, y), (x, y + 2.2))
    return [Area((ring,), BLACK, None, HAIR)]


def _cap_that_fits(count: int, lead: float, low: float, high: float) -> tuple[float, float]:
    """Return the largest height of figures at which ``count`` labels find room between low and high, and the pitch."""
    for cap in (MEASURE_CAP, STEP_CAP, SMALL_CAP):
        if (count - 1) * cap * lead <= high - low:
            return cap, cap * lead
    return SMALL_CAP, SMALL_CAP * 1.35


def run_across(
    marks: Sequence[Mark],
    datum: float | None,
    y: float,
    foot: float,
    span: tuple[float, float],
    low: float,
    high: float,
) -> list[Item]:
    """Return running dimensions along a level line at ``y``, figures above it turned to read upwards.

    Parameters
    ----------
    datum : the reference edge's place on the paper, None where it is outside the drawing to the left.
    foot : where extension lines end, at the drawing.
    span : the ends of the dimension line.
    low, high : where labels may stand.
    """
    marks = _unique(marks)
    out: list[Item] = [Stroke(((span[0], y), (span[1], y)), FINE)]
    if datum is not None:
        out.extend(_datum((datum, y), across=True))
    cap, pitch = _cap_that_fits(len(marks), 1.55, low, high)
    labels = spread([mark.at for mark in marks], pitch, low, high)
    for mark, place in zip(marks, labels, strict=True):
        colour = ACCENT if mark.level else BLACK
        out.append(Stroke(((mark.at, foot), (mark.at, y - 0.8)), HAIR, colour if mark.level else GREY))
        out.extend(_arrow((mark.at, y), across=True))
        out.append(Stroke(((mark.at, y - 0.8), (place, y - 3.4)), HAIR, GREY))
        x = place + cap / 2
        out.append(Text((x, y - 4.4), mark.length.shown, cap, True, "l", ACCENT if mark.level else BLACK, True))
        note = exact_note(mark.length)
        if note:
            up = y - 4.4 - text_width(mark.length.shown, cap, True) - 1.6
            out.append(Text((place + SMALL_CAP / 2, up), note, SMALL_CAP, False, "l", GREY, True))
    return out


def run_down(
    marks: Sequence[Mark],
    datum: float | None,
    x: float,
    foot: float,
    span: tuple[float, float],
    low: float,
    high: float,
) -> list[Item]:
    """Return running dimensions along a plumb line at ``x``, figures to its left."""
    marks = _unique(marks)
    out: list[Item] = [Stroke(((x, span[0]), (x, span[1])), FINE)]
    if datum is not None:
        out.extend(_datum((x, datum), across=False))
    cap, pitch = _cap_that_fits(len(marks), 1.75, low, high)
    labels = spread([mark.at for mark in marks], pitch, low, high)
    for mark, place in zip(marks, labels, strict=True):
        colour = ACCENT if mark.level else BLACK
        out.append(Stroke(((foot, mark.at), (x - 0.8, mark.at)), HAIR, colour if mark.level else GREY))
        out.extend(_arrow((x, mark.at), across=False))
        out.append(Stroke(((x - 0.8, mark.at), (x - 3.4, place)), HAIR, GREY))
        y = place + cap / 2
        out.append(Text((x - 4.2, y), mark.length.shown, cap, True, "r", colour))
        note = exact_note(mark.length)
        if note:
            left = x - 4.2 - text_width(mark.length.shown, cap, True) - 1.6
            out.append(Text((left, y), note, SMALL_CAP, False, "r", GREY))
    return out


def _arrow(tip: Point, *, across: bool) -> list[Item]:
    x, y = tip
    ring = (
        ((x, y), (x - 2.0, y - 0.5), (x - 2.0, y + 0.5)) if across else ((x, y), (x - 0.5, y - 2.0), (x + 0.5, y - 2.0))
    )
    return [Area((ring,), BLACK, None, HAIR)]


def overall(a: Point, b: Point, text: str, off: float) -> list[Item]:
    """Return an overall dimension between two points on a level or plumb line, ``off`` mm from them.

    Level ones have the figure above the line, plumb ones to its left, reading upwards.
    """
    (x0, y0), (x1, y1) = a, b
    if abs(y0 - y1) < 1e-6:
        y = y0 + off
        return [
            Stroke(((x0, y0 + off * 0.2), (x0, y + 1.2 * (1 if off > 0 else -1))), HAIR, GREY),
            Stroke(((x1, y1 + off * 0.2), (x1, y + 1.2 * (1 if off > 0 else -1))), HAIR, GREY),
            Stroke(((x0, y), (x1, y)), FINE),
            Area((((x0, y), (x0 + 2, y - 0.5), (x0 + 2, y + 0.5)),), BLACK, None),
            Area((((x1, y), (x1 - 2, y - 0.5), (x1 - 2, y + 0.5)),), BLACK, None),
            Text(((x0 + x1) / 2, y - 1.0), text, MEASURE_CAP, True, "c"),
        ]
    x = x0 + off
    return [
        Stroke(((x0 + off * 0.2, y0), (x + 1.2 * (1 if off > 0 else -1), y0)), HAIR, GREY),
        Stroke(((x1 + off * 0.2, y1), (x + 1.2 * (1 if off > 0 else -1), y1)), HAIR, GREY),
        Stroke(((x, y0), (x, y1)), FINE),
        Area((((x, y0), (x - 0.5, y0 + 2), (x + 0.5, y0 + 2)),), BLACK, None),
        Area((((x, y1), (x - 0.5, y1 - 2), (x + 0.5, y1 - 2)),), BLACK, None),
        Text((x - 1.0, (y0 + y1) / 2), text, MEASURE_CAP, True, "c", BLACK, True),
    ]
