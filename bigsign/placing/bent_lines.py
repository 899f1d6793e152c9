"""Break lines that bend where neighbours hook: three legs at any slant, or a free way in the middle of the clear room.

Both begin with the rough line that parted the two sides. The clear room is cut into triangles; those that touch film of
both sides form a chain, and the middles of the edges they share, from one side's film to the other's, are a line in the
middle of the room. Then points are left out as long as the line keeps clear: for legs, of film by the room asked for;
for a free way, also of all but the middle fifth of the room wherever it passes a hook.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.ops import split

from bigsign.geometry import polygons_of
from bigsign.mesh import Corner, Mesh, triangulate
from bigsign.placing.break_lines import ChosenLine
from bigsign.splitting.tree import Way
from bigsign.tolerances import TOLERANCES

__all__ = ["choose_bent"]

FloatArray = npt.NDArray[np.float64]

STEP = 0.5  # mm between the points that are looked at along a line
FINE = 1.5  # mm between the points of outlines that the triangles stand on
MOST_POINTS = 12_000  # of outlines
EVER = 1e6  # mm
STUB = 10.0  # mm
TENTH = 0.1  # of the clear room: how far off its middle a free way may run


def choose_bent(first: MultiPolygon, second: MultiPolygon, way: Way, clearance: float) -> ChosenLine:
    """Return the line of a way: of legs if that can be, else free; as far off film as was asked for where it can be.

    Parameters
    ----------
    first, second : the film of both sides, mm.
    way : the rough line that parts them.
    clearance : wanted between line and film, mm.
    """
    first, second = _coarse(first, second)
    films = _Films(first, second, way)
    rough = np.array(way.points)
    middle = _middle_line(first, second, rough)
    if middle is None or not films.parted(middle, 0.0):
        middle = _dense(rough)
    # the line crosses where both films are nearest, and keeps off neither by more than half of that
    widest = 0.49 * float(first.distance(second))
    least = min(TOLERANCES.line_room, clearance, 0.9 * widest)
    shares = (0.95 * widest, 0.75 * widest, 0.5 * widest, least)
    rooms = [clearance, *(room for room in shares if room < clearance)] if clearance <= widest else list(shares)
    most = 1 + 2 * len(way.hooks)
    for room in dict.fromkeys(rooms):
        line = _fewest(middle, films, partial(films.clear, room=room), most)
        if np.array_equal(line[-1], middle[-1]) and films.parted(line, room):
            return _chosen(line, films, clearance, "legs")
    for room in dict.fromkeys(rooms):
        line = _fewest(middle, films, partial(films.in_middle, least=room))
        if films.parted(line, room):
            return _chosen(line, films, clearance, "free")
    return _chosen(middle if films.parted(middle, least / 2) else rough, films, clearance, "free")


def _chosen(line: FloatArray, films: _Films, clearance: float, way: str) -> ChosenLine:
    line = _apart_at_ends(line)
    points = tuple((float(x), float(y)) for x, y in line)
    clear = films.distance(line)
    return ChosenLine(points, clear, on_marks=False, tight=clear < clearance - 1e-6, way=way)


def _apart_at_ends(line: FloatArray) -> FloatArray:
    """Return a line whose ends, drawn out for ever, cross nothing of it: square to its box where they would."""
    if LineString([_on(line[0], line[1], EVER), *line, _on(line[-1], line[-2], EVER)]).is_simple:
        return line
    x0, y0 = line.min(axis=0)
    x1, y1 = line.max(axis=0)
    ends = []
    for x, y in (line[0], line[-1]):
        off = (x - x0, x1 - x, y - y0, y1 - y)
        away = ((-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0))[off.index(min(off))]
        ends.append(np.array([x, y]) + np.array(away) * STUB)
    return np.array([ends[0], *line, ends[1]])


class _Films:
    """The film of two sides, asked for distances along lines."""

    def __init__(self, first: MultiPolygon, second: MultiPolygon, way: Way) -> None:
        self._sides = (first, second)
        self._edges = []
        for film in (first, second):
            points = [shapely.get_coordinates(part.exterior) for part in film.geoms]
            ends = np.concatenate([np.stack([run[:-1], run[1:]], axis=1) for run in points])
            self._edges.append(shapely.STRtree(np.asarray(shapely.linestrings(ends))))
        hooks = way.hooks or (first.convex_hull.intersection(second.convex_hull),)
        self._hooks = shapely.union_all(hooks)
        shapely.prepare(self._hooks)

    def distances(self, points: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return the distance of each point from the film of either side, mm."""
        where = shapely.points(points)
        out = []
        for edges in self._edges:
            (rows, _), far = edges.query_nearest(where, return_distance=True, all_matches=False)
            held = np.zeros(len(points))
            held[rows] = far
            out.append(held)
        return out[0], out[1]

    def distance(self, line: FloatArray) -> float:
        """Return the distance of a line from the nearest film, mm."""
        drawn = LineString(line)
        return min(float(drawn.distance(film)) for film in self._sides)

    def clear(self, leg: FloatArray, room: float) -> bool:
        """Whether a leg between two points that are off film keeps ``room`` mm off the edges of all film."""
        drawn = LineString(leg)
        return not any(len(edges.query(drawn, predicate="dwithin", distance=room)) for edges in self._edges)

    def in_middle(self, leg: FloatArray, least: float) -> bool:
        """Whether a leg keeps clear of film, and to the middle of the room wherever it passes a hook."""
        if not self.clear(leg, least):
            return False
        points = _dense(leg)
        one, two = self.distances(points)
        off = np.abs(one - two) / 2
        passing = np.asarray(shapely.contains(self._hooks, shapely.points(points)))
        return bool((off <= TENTH * (one + two))[passing].all())

    def parted(self, line: FloatArray, least: float) -> bool:
        """Whether a line keeps clear of all film, crosses itself nowhere and has either film on one hand."""
        drawn = LineString(line)
        if not drawn.is_simple or min(drawn.distance(film) for film in self._sides) < least * (1 - 1e-6):
            return False
        x0, y0, x1, y1 = shapely.union_all([drawn, *self._sides]).bounds
        far = shapely.box(x0 - 1, y0 - 1, x1 + 1, y1 + 1)
        lines = shapely.node(shapely.union(_stretched(line, far), far.exterior))
        parts = shapely.get_parts(shapely.polygonize([lines]))
        held = [tuple(film.intersects(part) for film in self._sides) for part in parts]
        return all(not (one and two) for one, two in held)

    def between_holds(self, loop: FloatArray) -> bool:
        """Whether film lies within a closed line that itself keeps clear of film."""
        area = Polygon(loop).buffer(0) if len(loop) > 3 else Polygon()
        return any(area.intersects(film) for film in self._sides)


def _coarse(first: MultiPolygon, second: MultiPolygon) -> tuple[MultiPolygon, MultiPolygon]:
    """Return both films without holes, with fewer points, off by no more than matters to a line between them."""
    by = min(0.03, 0.02 * float(first.distance(second)))
    out = []
    for film in (first, second):
        filled = shapely.union_all([Polygon(part.exterior) for part in film.geoms]).simplify(by)
        out.append(MultiPolygon(polygons_of(filled)))
    return out[0], out[1]


def _middle_line(first: MultiPolygon, second: MultiPolygon, rough: FloatArray) -> FloatArray | None:
    """Return the line through the middle of the room between two films that begins and ends as a rough one does."""
    around = shapely.box(*shapely.union(first, second).bounds).buffer(STUB, join_style="mitre")
    far = shapely.segmentize(shapely.box(*shapely.union(LineString(rough), around).bounds), 5.0)
    halves = [part for part in shapely.get_parts(split(far, _stretched(rough, far))) if part.area > 1e-6]
    # the narrower the room, the finer: the middles of long edges lie off its middle
    step = max(min(FINE, 0.2 * float(first.distance(second))), (first.length + second.length) / MOST_POINTS)
    films = [shapely.segmentize(film, step) for film in (first, second)]
    sides: dict[tuple[float, float], int] = {}
    own = [part for part in halves if part.intersects(first)]
    edge = shapely.get_coordinates(far)
    held = shapely.union_all(own).buffer(1e-6)
    for (x, y), inside in zip(edge.tolist(), shapely.intersects_xy(held, edge[:, 0], edge[:, 1]).tolist(), strict=True):
        sides[x, y] = 0 if inside else 1
    for side, film in enumerate(films):
        for x, y in shapely.get_coordinates(film).tolist():
            sides[x, y] = side
    mesh = triangulate(far.difference(films[0]).difference(films[1]))
    return _chain(mesh, sides, rough)


def _chain(mesh: Mesh, sides: Mapping[Corner, int], rough: FloatArray) -> FloatArray | None:
    """Return the line through the triangles that touch both sides, from where a rough line begins to where it ends."""
    starts = [
        edge for edge, beside in mesh.beside.items() if len(beside) == 1 and sides.get(edge[0]) != sides.get(edge[1])
    ]
    if len(starts) != 2:
        return None
    starts.sort(key=lambda edge: float(np.hypot(*(np.mean(edge, axis=0) - rough[0]))))
    here, at = starts[0], mesh.beside[starts[0]][0]
    points = [rough[0]]
    for _ in range(len(mesh.triangles)):
        across = [
            (other, edge)
            for other, edge in mesh.neighbours(at)
            if edge != here and sides.get(edge[0]) != sides.get(edge[1])
        ]
        if not across:
            break
        at, here = across[0]
        points.append(np.mean(here, axis=0))
    return np.array([*points, rough[-1]])


def _fewest(
    points: FloatArray, films: _Films, fits: Callable[[FloatArray], bool], most: int | None = None
) -> FloatArray:
    """Return a line through as few of the points as can be: from each the farthest that a leg reaches.

    With ``most`` legs it stops there, wherever that is.
    """
    kept = [0]
    last = len(points) - 1
    while kept[-1] < last and (most is None or len(kept) <= most):
        at = kept[-1]

        def reaches(to: int, at: int = at) -> bool:
            return fits(points[[at, to]]) and not films.between_holds(points[at : to + 1])

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


def _dense(points: FloatArray) -> FloatArray:
    """Return a line with points no farther apart than a step."""
    out = [points[:1]]
    for a, b in pairwise(points):
        count = max(1, int(np.ceil(float(np.hypot(*(b - a))) / STEP)))
        out.append(a + (b - a) * (np.arange(1, count + 1) / count)[:, None])
    return np.concatenate(out)


def _stretched(line: FloatArray, far: Polygon) -> LineString:
    """Return a line with its ends drawn out past a box."""
    x0, y0, x1, y1 = far.bounds
    reach = 2 * (x1 - x0 + y1 - y0)
    return LineString([_on(line[0], line[1], reach), *line[1:-1], _on(line[-1], line[-2], reach)])


def _on(end: FloatArray, before: FloatArray, reach: float) -> FloatArray:
    away = end - before
    return end + away / max(float(np.hypot(*away)), 1e-9) * reach
