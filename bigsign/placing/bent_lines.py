"""Break lines that bend where neighbours hook: three legs at any slant, or a free way in the middle of the clear room.

Both begin with the line through the middle of the clear room. Then points are left out as long as the line keeps clear:
for legs, of film by the room asked for; for a free way, also of all but the middle fifth of the room wherever it passes
a hook.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon

from bigsign.geometry import polygons_of
from bigsign.placing.break_lines import ChosenLine
from bigsign.placing.clear_room import ClearRoom, dense, drawn_on
from bigsign.placing.middle_line import linked_middle, middle_line, middle_within
from bigsign.splitting.tree import Way
from bigsign.tolerances import TOLERANCES

__all__ = ["choose_bent", "choose_within"]

FloatArray = npt.NDArray[np.float64]

EVER = 1e6  # mm
STUB = 10.0  # mm


def choose_bent(first: MultiPolygon, second: MultiPolygon, way: Way, clearance: float) -> ChosenLine:
    """Return the line of a way: of legs if that can be, else free; as far off film as was asked for where it can be.

    Parameters
    ----------
    first, second : the film of both sides, mm.
    way : the rough line that parts them.
    clearance : wanted between line and film, mm.
    """
    first, second = _coarse(first, second)
    room = ClearRoom(first, second, way.hooks)
    rough = np.array(way.points)
    middle = dense(rough)
    for find in (middle_line, linked_middle):
        line = find(first, second, rough)
        if line is not None and room.parted(line, 0.0):
            middle = line
            break
    rooms, least = _rooms(first, second, clearance)
    most = 1 + 2 * len(way.hooks)
    for wanted in rooms:
        line = _fewest(middle, room, partial(room.clear, room=wanted), most)
        if np.array_equal(line[-1], middle[-1]) and room.parted(line, wanted):
            return _chosen(_apart_at_ends(line), room, clearance, "legs")
    found = _in_middle(middle, room, rooms)
    if found is None:
        found = middle if room.parted(middle, least / 2) else rough
    return _chosen(_apart_at_ends(found), room, clearance, "free")


def choose_within(
    region: Polygon, own: Polygon, first: MultiPolygon, second: MultiPolygon, clearance: float
) -> ChosenLine | None:
    """Return a free way between two films of a region from edge to edge of it; None: no line in the middle was found.

    Parameters
    ----------
    own : the part of the region on the side of ``first``; the line winds as its border does.
    """
    first, second = _coarse(first, second)
    room = ClearRoom(first, second, (), region)
    for edged in (False, True):
        middle = middle_within(region, own, first, second, edged)
        if middle is not None and room.parted(middle, 0.0):
            found = _in_middle(middle, room, _rooms(first, second, clearance)[0])
            return _chosen(middle if found is None else found, room, clearance, "free")
    return None


def _rooms(first: MultiPolygon, second: MultiPolygon, clearance: float) -> tuple[list[float], float]:
    """Return the distances from film to try for, the widest first, and the least there has to be."""
    # the line crosses where both films are nearest, and keeps off neither by more than half of that
    widest = 0.49 * float(first.distance(second))
    least = min(TOLERANCES.line_room, clearance, 0.9 * widest)
    shares = [room for room in (0.95 * widest, 0.75 * widest, 0.5 * widest, least) if room < clearance]
    return list(dict.fromkeys([clearance, *shares] if clearance <= widest else shares)), least


def _in_middle(middle: FloatArray, room: ClearRoom, rooms: Sequence[float]) -> FloatArray | None:
    """Return the line of fewest points that keeps to the middle of the room at hooks; None: none keeps clear."""
    for least in rooms:
        line = _fewest(middle, room, partial(room.in_middle, least=least))
        if room.parted(line, least):
            return line
    return None


def _chosen(line: FloatArray, room: ClearRoom, clearance: float, way: str) -> ChosenLine:
    points = tuple((float(x), float(y)) for x, y in line)
    clear = room.distance(line)
    return ChosenLine(points, clear, on_marks=False, tight=clear < clearance - 1e-6, way=way)


def _apart_at_ends(line: FloatArray) -> FloatArray:
    """Return a line whose ends, drawn out for ever, cross nothing of it: square to its box where they would."""
    if LineString([drawn_on(line[0], line[1], EVER), *line, drawn_on(line[-1], line[-2], EVER)]).is_simple:
        return line
    x0, y0 = line.min(axis=0)
    x1, y1 = line.max(axis=0)
    ends = []
    for x, y in (line[0], line[-1]):
        off = (x - x0, x1 - x, y - y0, y1 - y)
        away = ((-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0))[off.index(min(off))]
        ends.append(np.array([x, y]) + np.array(away) * STUB)
    return np.array([ends[0], *line, ends[1]])


def _coarse(first: MultiPolygon, second: MultiPolygon) -> tuple[MultiPolygon, MultiPolygon]:
    """Return both films without holes, with fewer points, off by no more than matters to a line between them."""
    by = min(0.03, 0.02 * float(first.distance(second)))
    out = []
    for film in (first, second):
        filled = shapely.union_all([Polygon(part.exterior) for part in film.geoms]).simplify(by)
        out.append(MultiPolygon(polygons_of(filled)))
    return out[0], out[1]


def _fewest(
    points: FloatArray, films: ClearRoom, fits: Callable[[FloatArray], bool], most: int | None = None
) -> FloatArray:
    """Return a line through as few of the points as can be: from each the farthest that a leg reaches.

    With ``most`` legs it stops there, wherever that is.
    """
    kept = [0]
    last = len(points) - 1
    while kept[-1] < last and (most is None or len(kept) <= most):
        at = kept[-1]

        def reaches(to: int, at: int = at) -> bool:
            if not fits(points[[at, to]]) or films.between_holds(points[at : to + 1]):
                return False
            # where the line goes in and out again by one gap, a leg may cross what is still to come
            return bool(shapely.is_simple(shapely.linestrings(np.concatenate([points[kept], points[to:]]))))

        good, step = at + 1, 1
        while good < last and reaches(min(last, at + 2 * step)):
            step *= 2
            good = min(last, at + step)
        bad = min(last + 1, at + 2 * step)
        while bad - good > 1:
            middle = (good + bad) // 2
            if reaches(middle):
                good = middle
            else:
                bad = middle
        if good < last and reaches(last):
            good = last
        kept.append(good)
    return points[kept]
