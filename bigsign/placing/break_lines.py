"""Choosing the line of a cut: plumb or level on a tape mark where it can be, slanted between two marks where not.

Order of choice: plumb or level on any mark, then a slanted line with both ends on marks; the coarsest mark; the
widest clearance. What can't be on a mark runs through the middle of its room, and its rounding error shows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, Polygon
from shapely.ops import nearest_points

from bigsign.placing.rulers import Ruler, Rulers
from bigsign.plan_records import Point
from bigsign.tolerances import TOLERANCES

__all__ = ["ChosenLine", "choose_line"]

FloatArray = npt.NDArray[np.float64]
REACH = 40  # marks tried on each side of the middle line when a slanted line is looked for


@dataclass(frozen=True, slots=True)
class ChosenLine:
    """The points of a cut's line (two, or more for one that bends), its clearance, whether the wanted one was had.

    ``way`` is "straight", "legs" (a leg, and up to two more for each hook it passes) or "free".
    """

    points: tuple[Point, ...]
    clearance: float
    on_marks: bool
    tight: bool
    way: str = "straight"


def choose_line(
    first: Polygon,
    second: Polygon,
    rulers: Rulers,
    clearance: float,
    span: tuple[float, float, float, float],
    shared: Sequence[tuple[int, float]] = (),
) -> ChosenLine:
    """Return the line between two disjoint convex hulls.

    Parameters
    ----------
    first, second : hulls of the film on both sides, mm.
    span : box (x0, y0, x1, y1) whose edges, on marks, the ends of a slanted line are put on.
    shared : (axis, place) of plumb and level lines of other colours, taken where their mark is as coarse as the best.
    """
    for room in dict.fromkeys((clearance, min(TOLERANCES.line_room, clearance))):
        tight = room < clearance
        for coarse in (True, False):
            straight = _best(_straight_on_marks(first, second, rulers, room, span, coarse, shared), first, second)
            if straight is not None:
                return _chosen(straight, on_marks=True, tight=tight)
        for coarse in (True, False):
            slanted = _best(_slanted_on_marks(first, second, rulers, room, span, coarse), first, second)
            if slanted is not None and slanted[2] >= room - 1e-9:
                return _chosen(slanted, on_marks=True, tight=tight)
        free = _best(_straight_anywhere(first, second, room, span), first, second)
        if free is None and first.distance(second) >= 2 * room:
            free = _middle(first, second, span)
        if free is not None:
            return _chosen(free, on_marks=False, tight=tight)
    return _chosen(_middle(first, second, span), on_marks=False, tight=True)


Candidate = tuple[Point, Point, float]


def _chosen(found: Candidate, *, on_marks: bool, tight: bool) -> ChosenLine:
    return ChosenLine((found[0], found[1]), found[2], on_marks, tight)


def _best(lines: Iterator[tuple[Point, Point]], first: Polygon, second: Polygon) -> Candidate | None:
    """Return the line with the widest clearance, the first of equals."""
    best: Candidate | None = None
    for start, end in lines:
        line = LineString([start, end])
        clear = min(line.distance(first), line.distance(second))
        if best is None or clear > best[2] + 1e-9:
            best = (start, end, clear)
    return best


def _rooms(first: Polygon, second: Polygon) -> Iterator[tuple[int, float, float]]:
    """Yield (axis, low, high) of each upright (axis 0) or level (axis 1) strip between the two hulls."""
    a, b = first.bounds, second.bounds
    for axis in (0, 1):
        for left, right in ((a, b), (b, a)):
            if left[axis + 2] < right[axis]:
                yield axis, left[axis + 2], right[axis]


def _across(axis: int, at: float, span: tuple[float, float, float, float]) -> tuple[Point, Point]:
    """Return the plumb line at x = at (axis 0, bottom to top reversed: top first) or the level one at y = at."""
    return ((at, span[1]), (at, span[3])) if axis == 0 else ((span[0], at), (span[2], at))


def _straight_on_marks(
    first: Polygon,
    second: Polygon,
    rulers: Rulers,
    room: float,
    span: tuple[float, float, float, float],
    coarse: bool,
    shared: Sequence[tuple[int, float]],
) -> Iterator[tuple[Point, Point]]:
    for axis, low, high in _rooms(first, second):
        ruler = rulers.x if axis == 0 else rulers.y
        middle = (low + high) / 2
        marks = list(ruler.marks(low + room, high - room, coarse))
        common = [mark for mark in marks if any(a == axis and abs(at - mark) < 1e-6 for a, at in shared)]
        marks = common or marks
        if marks:
            yield _across(axis, min(marks, key=lambda mark: (round(abs(mark - middle), 6), mark)), span)


def _straight_anywhere(
    first: Polygon, second: Polygon, room: float, span: tuple[float, float, float, float]
) -> Iterator[tuple[Point, Point]]:
    for axis, low, high in _rooms(first, second):
        if high - low >= 2 * room:
            yield _across(axis, (low + high) / 2, span)


def _bisector(first: Polygon, second: Polygon) -> tuple[FloatArray, FloatArray]:
    """Return a point of the line that runs farthest from both hulls, and its normal from first to second."""
    p, q = (np.array(point.coords[0]) for point in nearest_points(first, second))
    return (p + q) / 2, q - p


def _middle(first: Polygon, second: Polygon, span: tuple[float, float, float, float]) -> Candidate:
    point, normal = _bisector(first, second)
    axis = 0 if abs(normal[0]) >= abs(normal[1]) else 1
    ends = []
    for level in (span[1 - axis], span[3 - axis]):
        end = np.empty(2)
        end[1 - axis] = level
        end[axis] = point[axis] - normal[1 - axis] * (level - point[1 - axis]) / normal[axis]
        ends.append((float(end[0]), float(end[1])))
    return ends[0], ends[1], first.distance(second) / 2


def _slanted_on_marks(
    first: Polygon,
    second: Polygon,
    rulers: Rulers,
    room: float,
    span: tuple[float, float, float, float],
    coarse: bool,
) -> Iterator[tuple[Point, Point]]:
    """Yield slanted lines with both ends on marks that keep ``room`` from both hulls.

    For an end on the near side of the span, the room on the far side is an interval: each hull point gives one
    of its limits.
    """
    start, end, _ = _middle(first, second, span)
    _, normal = _bisector(first, second)
    axis = 0 if abs(normal[0]) >= abs(normal[1]) else 1
    ruler = rulers.x if axis == 0 else rulers.y
    near, far = span[1 - axis], span[3 - axis]
    if far - near < 1e-6:
        return
    left, right = (first, second) if normal[axis] > 0 else (second, first)
    pitch = (ruler.step.coarse if coarse else ruler.step).mm
    lean = float(np.hypot(end[axis] - start[axis], far - near) / (far - near))
    low_points, high_points = _points(left), _points(right)
    for one in ruler.marks(start[axis] - REACH * pitch, start[axis] + REACH * pitch, coarse):
        low = _limit(low_points, axis, near, far, one, room * lean).max()
        high = _limit(high_points, axis, near, far, one, -room * lean).min()
        if low > high:
            continue
        marks = list(ruler.marks(low, high, coarse))
        if marks:
            other = min(marks, key=lambda mark: (round(abs(mark - (low + high) / 2), 6), mark))
            yield ((one, near), (other, far)) if axis == 0 else ((near, one), (far, other))


def _points(hull: Polygon) -> FloatArray:
    return np.asarray(shapely.get_coordinates(hull))[:-1]


def _limit(points: FloatArray, axis: int, near: float, far: float, one: float, offset: float) -> FloatArray:
    """Return, for each point, where a line from ``one`` on the near side meets the far side if it passes the point."""
    share = np.clip((points[:, 1 - axis] - near) / (far - near), 1e-6, None)
    return np.asarray((points[:, axis] + offset - one * (1 - share)) / share)


def reference_span(ruler: Ruler, low: float, high: float) -> tuple[float, float]:
    """Return [low, high] widened to whole marks."""
    below = list(ruler.marks(low - ruler.step.mm, low))
    above = list(ruler.marks(high, high + ruler.step.mm))
    return (below[-1] if below else low), (above[0] if above else high)
