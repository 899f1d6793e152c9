"""Hinges: the strip of tape a panel turns on while its backing comes off.

Rule (docs/reasoning.md): *side* for a panel over four times as tall as wide; else *top* up to 12 in tall; else
*centre*, level, or plumb where only that runs clear, through the widest clear gap in the middle half.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon

from bigsign.placing.rulers import Ruler, Rulers
from bigsign.plan_records import Hinge, Point
from bigsign.units import MM_PER_INCH
from bigsign.wording import phrase

__all__ = ["hinge_kind", "panel_hinge"]

TOP_LIMIT = 12 * MM_PER_INCH  # common practice, no source
SLENDER = 4.0  # common practice, no source


def hinge_kind(film: tuple[float, float, float, float], wanted: str) -> tuple[str, str]:
    """Return (kind, why) of a panel's hinge for a film box; ``wanted`` other than "auto" is kept."""
    width, height = film[2] - film[0], film[3] - film[1]
    if wanted != "auto":
        return wanted, phrase("why.set")
    if height > SLENDER * width:
        return "side", phrase("why.tall")
    if height <= TOP_LIMIT + 1e-9:
        return "top", phrase("why.low")
    return "centre", phrase("why.high")


def panel_hinge(
    film: MultiPolygon, trim: Polygon, rulers: Rulers, wanted: str, right_side: bool = False
) -> Hinge | None:
    """Return the hinge of a panel, or None where none is wanted.

    ``right_side``: a side hinge goes to the right edge, because the neighbour there is up first.
    """
    kind, why = hinge_kind(film.bounds, wanted)
    if kind == "none":
        return None
    if kind == "top":
        return _hinge("top", _edge(trim, 1, smallest=True), film, rulers, why)
    if kind == "side":
        return _hinge("side", _edge(trim, 0, smallest=not right_side), film, rulers, why)
    return _hinge("centre", _centre_line(film, trim, rulers), film, rulers, why)


def _hinge(kind: str, line: tuple[Point, Point], film: MultiPolygon, rulers: Rulers, why: str) -> Hinge:
    crossed = LineString(line).intersection(film).length
    (x0, y0), (x1, y1) = line
    box = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    return Hinge(kind, line, float(crossed), rulers.box(box), why)


def _edge(trim: Polygon, axis: int, *, smallest: bool) -> tuple[Point, Point]:
    """Return the trim's edge at its smallest (or largest) x or y; its box's edge where a slanted cut leaves a point."""
    x0, y0, x1, y1 = trim.bounds
    at = (x0, y0, x1, y1)[axis if smallest else axis + 2]
    along = sorted({round(p[1 - axis], 9) for p in trim.exterior.coords if abs(p[axis] - at) < 1e-6})
    if len(along) < 2:
        along = [x0, x1] if axis == 1 else [y0, y1]
    ends = (along[0], along[-1])
    return ((ends[0], at), (ends[1], at)) if axis == 1 else ((at, ends[0]), (at, ends[1]))


def _centre_line(film: MultiPolygon, trim: Polygon, rulers: Rulers) -> tuple[Point, Point]:
    """Return the level (else plumb) line through the widest clear gap of the middle half; else the least crossing."""
    for axis, ruler in ((1, rulers.y), (0, rulers.x)):
        gap = _widest_gap(film, axis)
        if gap is not None:
            return _chord(trim, axis, _snap(ruler, *gap))
    low, high = _middle_half(film.bounds, 1)
    marks = list(rulers.y.marks(low, high, coarse=True)) or [(low + high) / 2]
    x0, x1 = trim.bounds[0], trim.bounds[2]
    middle = (low + high) / 2

    def cost(at: float) -> tuple[float, float]:
        return round(LineString([(x0, at), (x1, at)]).intersection(film).length, 6), abs(at - middle)

    return _chord(trim, 1, min(marks, key=cost))


def _middle_half(bounds: Sequence[float], axis: int) -> tuple[float, float]:
    low, high = bounds[axis], bounds[axis + 2]
    return low + (high - low) / 4, high - (high - low) / 4


def _widest_gap(film: MultiPolygon, axis: int) -> tuple[float, float] | None:
    """Return the widest strip of the middle half that no film reaches into, or None."""
    low, high = _middle_half(film.bounds, axis)
    spans = sorted((polygon.bounds[axis], polygon.bounds[axis + 2]) for polygon in film.geoms)
    best: tuple[float, float] | None = None
    reach = spans[0][1]
    for start, end in spans[1:]:
        if start > reach:
            a, b = max(reach, low), min(start, high)
            if b - a > 1.0 and (best is None or b - a > best[1] - best[0] + 1e-9):
                best = (a, b)
        reach = max(reach, end)
    return best


def _snap(ruler: Ruler, low: float, high: float) -> float:
    """Return the mark nearest the middle of [low, high], coarse ones first; the middle where there is none."""
    middle = (low + high) / 2
    for coarse in (True, False):
        marks = list(ruler.marks(low + 0.5, high - 0.5, coarse))
        if marks:
            return min(marks, key=lambda mark: (round(abs(mark - middle), 6), mark))
    return middle


def _chord(trim: Polygon, axis: int, at: float) -> tuple[Point, Point]:
    """Return where the level (axis 1) or plumb (axis 0) line at ``at`` runs across the trim."""
    x0, y0, x1, y1 = trim.bounds
    line = LineString([(x0 - 1, at), (x1 + 1, at)]) if axis == 1 else LineString([(at, y0 - 1), (at, y1 + 1)])
    points = shapely.get_coordinates(line.intersection(trim))
    first, last = points[points[:, 1 - axis].argmin()], points[points[:, 1 - axis].argmax()]
    return (float(first[0]), float(first[1])), (float(last[0]), float(last[1]))
