"""Trim outlines: the film's box grown by the trim margin to whole tape marks, cut off at the cuts of the tree."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from shapely.geometry import Polygon, box

from bigsign.geometry import polygons_of
from bigsign.placing.rulers import Ruler, Rulers
from bigsign.project import Cutter
from bigsign.reading.lettering import Bounds
from bigsign.units import MM_PER_INCH

__all__ = ["clip_half_plane", "preferred_margins", "sheet_allows", "trim_outline"]

GIVE = MM_PER_INCH / 16  # a margin may differ from the wanted one by this much to reach a mark
HAIR = 1e-6


def trim_outline(
    film: Bounds,
    region: Polygon,
    board: Bounds,
    rulers: Rulers,
    margin: float,
    cutter: Cutter,
    turnings: Sequence[bool],
) -> Polygon:
    """Return the trim outline of a panel.

    Parameters
    ----------
    film : box of the panel's film, mm.
    region : what the cuts of the tree leave to this panel, convex.
    board : the trim does not hang over the board's edge, from which it could not be measured.
    turnings : the ways up allowed on the mat: False as drawn, True a quarter turned.
    """
    wanted = [preferred_margins(film, side, rulers, margin) for side in range(4)]
    outline = _outline(film, [choices[0] for choices in wanted], region, board)
    if any(sheet_allows(film, outline.bounds, cutter, turned) for turned in turnings):
        return outline
    best: tuple[tuple[int, ...], Polygon] | None = None
    for ranks in product(*(range(len(choices)) for choices in wanted)):
        if best is not None and _worse(ranks, best[0]):
            continue
        outline = _outline(film, [wanted[side][rank] for side, rank in enumerate(ranks)], region, board)
        if any(sheet_allows(film, outline.bounds, cutter, turned) for turned in turnings):
            best = (ranks, outline)
    if best is not None:
        return best[1]
    # nothing on a mark stays on the sheet: exactly to the sheet's edge
    return _outline(film, [min(margin, cutter.border)] * 4, region, board)


def _worse(ranks: tuple[int, ...], other: tuple[int, ...]) -> bool:
    return (max(ranks), sum(ranks), ranks) >= (max(other), sum(other), other)


def preferred_margins(film: Bounds, side: int, rulers: Rulers, margin: float) -> list[float]:
    """Return the margins to try on a side (left, top, right, bottom), the most wanted first."""
    ruler: Ruler = rulers.x if side % 2 == 0 else rulers.y
    edge, sign = film[side], (-1 if side < 2 else 1)

    def reach(low: float, high: float, coarse: bool) -> list[float]:
        ends = sorted((edge + sign * low, edge + sign * high))
        found = [sign * (mark - edge) for mark in ruler.marks(ends[0], ends[1], coarse)]
        return sorted(found, key=lambda m: (round(abs(m - margin), 6), m))

    least = max(margin - GIVE, 0.0)
    around = [*reach(least, margin + GIVE, True), *reach(least, margin + GIVE, False)]
    below = sorted(reach(0.0, least, False), reverse=True)
    choices = list(dict.fromkeys(round(choice, 9) for choice in [*around, *below]))
    return choices or [margin]


def _outline(film: Bounds, margins: Sequence[float], region: Polygon, board: Bounds) -> Polygon:
    grown = box(
        max(film[0] - margins[0], min(board[0], film[0])),
        max(film[1] - margins[1], min(board[1], film[1])),
        min(film[2] + margins[2], max(board[2], film[2])),
        min(film[3] + margins[3], max(board[3], film[3])),
    )
    clipped = grown.intersection(region)
    parts = polygons_of(clipped)
    # a step in a cut may cut a corner of the box off: what holds the film is kept
    return max(parts, key=lambda part: part.intersection(box(*film)).area) if parts else grown


def sheet_allows(film: Bounds, trim: Bounds, cutter: Cutter, turned: bool) -> bool:
    """Whether film within the usable area and trim on the sheet can be had at once, this way up."""
    usable = (cutter.length, cutter.width) if turned else (cutter.width, cutter.length)
    for axis in (0, 1):
        f0, f1, t0, t1 = film[axis], film[axis + 2], trim[axis], trim[axis + 2]
        room, border = usable[axis] + HAIR + 1e-3, cutter.border
        if f1 - f0 > room or t1 - t0 > room + 2 * border or f1 - t0 > room + border or t1 - f0 > room + border:
            return False
    return True


def clip_half_plane(
    region: Polygon, start: tuple[float, float], end: tuple[float, float], keep: tuple[float, float]
) -> Polygon:
    """Return the part of a convex region on the side of the line start–end on which ``keep`` lies."""
    (x0, y0), (x1, y1) = start, end

    def side(x: float, y: float) -> float:
        return (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)

    sign = 1.0 if side(*keep) > 0 else -1.0
    points = list(region.exterior.coords)[:-1]
    out: list[tuple[float, float]] = []
    for (ax, ay), (bx, by) in zip(points, [*points[1:], points[0]], strict=True):
        a, b = sign * side(ax, ay), sign * side(bx, by)
        if a >= 0:
            out.append((ax, ay))
        if (a > 0 > b) or (a < 0 < b):
            share = a / (a - b)
            out.append((ax + (bx - ax) * share, ay + (by - ay) * share))
    return Polygon(out)
