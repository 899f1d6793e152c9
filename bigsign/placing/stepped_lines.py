"""Break lines with steps, where films hook into each other or a seam can't run on straight past other film."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import LineString, MultiPolygon

from bigsign.placing.break_lines import ChosenLine
from bigsign.placing.rulers import Ruler, Rulers
from bigsign.plan_records import Point
from bigsign.splitting.ways import Profiles, Stairs
from bigsign.tolerances import TOLERANCES

__all__ = ["choose_steps"]



def choose_steps(
    first: MultiPolygon,
    second: MultiPolygon,
    rulers: Rulers,
    clearance: float,
    span: tuple[float, float, float, float],
    most: int,
    seams: Sequence[tuple[int, float]] = (),
) -> ChosenLine | None:
    """Return the line of fewest plumb and level legs between two films, on tape marks where it can be; None: none.

    Parameters
    ----------
    span : box that the line runs across.
    most : treads (plumb or level stretches that keep their place) at most.
    seams : (axis, place) of seams that the line follows where it passes them.
    """
    profiles = Profiles([first, second])
    least = min(TOLERANCES.line_room, clearance)
    for room in dict.fromkeys((clearance, least) if not seams else (least,)):
        stairs = profiles.stairs([0], [1], room, most)
        if stairs is not None:
            points = _points(stairs, rulers, span, seams)
            line = LineString(points)
            clear = min(line.distance(first), line.distance(second))
            way = "seam" if seams else "legs" if len(points) > 2 else "straight"
            return ChosenLine(points, clear, on_marks=False, tight=room < clearance and not seams, way=way)
    return None


def _points(
    stairs: Stairs, rulers: Rulers, span: tuple[float, float, float, float], seams: Sequence[tuple[int, float]]
) -> tuple[Point, ...]:
    axis = stairs.axis
    along, across = (rulers.x, rulers.y) if axis == 0 else (rulers.y, rulers.x)
    places = []
    for tread in stairs.treads:
        low, high = max(tread.low, span[axis]), min(tread.high, span[axis + 2])
        if low > high:  # film of one side only: anywhere beside it
            low, high = (tread.low, tread.low + 1) if tread.low > high else (tread.high - 1, tread.high)
        at = next((at for seam_axis, at in seams if seam_axis == axis and low <= at <= high), None)
        places.append(_on_mark(along, low, high) if at is None else at)
    points = [(places[0], span[1 - axis])]
    for here, there, tread in zip(places, places[1:], stairs.treads[1:], strict=False):
        jump = _jump(stairs, here, there, tread.start, across, seams)
        points += [(here, jump), (there, jump)]
    points.append((places[-1], span[3 - axis]))
    kept = [p for n, p in enumerate(points) if n in (0, len(points) - 1) or p != points[n - 1]]
    return tuple((u, v) if axis == 0 else (v, u) for u, v in kept)


def _jump(
    stairs: Stairs, here: float, there: float, start: float, across: Ruler, seams: Sequence[tuple[int, float]]
) -> float:
    """Return where to step from one place to the next: on a mark in the bands where both are clear."""
    band = round((start - stairs.origin) / stairs.band)
    low = band
    while low > 0 and stairs.floor[low - 1] <= there <= stairs.ceiling[low - 1]:
        low -= 1
    high = band
    while high < len(stairs.floor) and stairs.floor[high] <= here <= stairs.ceiling[high]:
        high += 1
    first, last = stairs.origin + low * stairs.band, stairs.origin + high * stairs.band
    at = next((at for axis, at in seams if axis != stairs.axis and first <= at <= last), None)
    return _on_mark(across, first, last) if at is None else at


def _on_mark(ruler: Ruler, low: float, high: float) -> float:
    """Return the coarse mark nearest the middle of a stretch, else a fine one, else the middle."""
    middle = (low + high) / 2
    for coarse in (True, False):
        marks = list(ruler.marks(low, high, coarse))
        if marks:
            return min(marks, key=lambda mark: (round(abs(mark - middle), 6), mark))
    return middle
