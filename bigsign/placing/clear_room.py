"""The clear room between the film of two sides: how far a line in it lies from either."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

__all__ = ["ClearRoom", "dense", "drawn_on", "stretched"]

FloatArray = npt.NDArray[np.float64]

STEP = 0.5  # mm between the points that are looked at along a line
ON_EDGE = 1e-3  # mm from the edge of a region that counts as on it
NEAR_EDGE = 0.01  # mm of a leg that begins on the edge of a region, which are not looked at
TENTH = 0.1  # of the clear room: how far off its middle a free way may run


class ClearRoom:
    """The film of two sides, asked for distances along lines.

    Parameters
    ----------
    first, second : the film of both sides, mm.
    hooks : where the hulls of neighbours meet: there a free way keeps to the middle; none: where the hulls of both do.
    region : what a line has to stay within; None: it may run anywhere.
    """

    def __init__(
        self, first: MultiPolygon, second: MultiPolygon, hooks: Sequence[BaseGeometry], region: Polygon | None = None
    ) -> None:
        self._sides, self._region = (first, second), region
        self._edges = []
        for film in (first, second):
            points = [shapely.get_coordinates(part.exterior) for part in film.geoms]
            ends = np.concatenate([np.stack([run[:-1], run[1:]], axis=1) for run in points])
            self._edges.append(shapely.STRtree(np.asarray(shapely.linestrings(ends))))
        met = shapely.union_all(hooks or (first.convex_hull.intersection(second.convex_hull),))
        self._hooks = met.buffer(STEP)  # lines are looked at in steps: so the place where one comes in is held too
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
        if any(len(edges.query(drawn, predicate="dwithin", distance=room)) for edges in self._edges):
            return False
        return self._region is None or self._stays_within(drawn, self._region)

    def _stays_within(self, leg: LineString, region: Polygon) -> bool:
        """Whether a leg keeps off the edge of the region, but where it begins or ends there."""
        edge = region.exterior
        at = [n for n in (0, -1) if shapely.Point(leg.coords[n]).distance(edge) < ON_EDGE]
        low, high = (NEAR_EDGE if 0 in at else 0.0), leg.length - (NEAR_EDGE if -1 in at else 0.0)
        inner = substring(leg, low, high) if low < high else shapely.Point(leg.interpolate(0.5, normalized=True))
        return bool(region.covers(inner)) and float(inner.distance(edge)) > ON_EDGE

    def in_middle(self, leg: FloatArray, least: float) -> bool:
        """Whether a leg keeps clear of film, and to the middle of the room wherever it passes a hook."""
        if not self.clear(leg, least):
            return False
        points = dense(leg)
        one, two = self.distances(points)
        off = np.abs(one - two) / 2
        passing = np.asarray(shapely.contains(self._hooks, shapely.points(points)))
        return bool((off <= TENTH * (one + two))[passing].all())

    def parted(self, line: FloatArray, least: float) -> bool:
        """Whether a line keeps clear of all film, crosses itself nowhere and has either film on one hand."""
        drawn = LineString(line)
        if not drawn.is_simple or min(drawn.distance(film) for film in self._sides) < least * (1 - 1e-6):
            return False
        if self._region is None:
            x0, y0, x1, y1 = shapely.union_all([drawn, *self._sides]).bounds
            far = shapely.box(x0 - 1, y0 - 1, x1 + 1, y1 + 1)
            drawn = stretched(line, far)
        else:
            far, ends = self._region, (drawn_on(line[0], line[1], NEAR_EDGE), drawn_on(line[-1], line[-2], NEAR_EDGE))
            drawn = LineString([ends[0], *line[1:-1], ends[1]])
        lines = shapely.node(shapely.union(drawn, far.exterior))
        parts = shapely.get_parts(shapely.polygonize([lines]))
        held = [tuple(film.intersects(part) for film in self._sides) for part in parts]
        return all(not (one and two) for one, two in held)

    def between_holds(self, loop: FloatArray) -> bool:
        """Whether film lies within a closed line that itself keeps clear of film."""
        area = shapely.make_valid(Polygon(loop)) if len(loop) > 3 else Polygon()
        return any(area.intersects(film) for film in self._sides)


def dense(points: FloatArray) -> FloatArray:
    """Return a line with points no farther apart than a step."""
    out = [points[:1]]
    for a, b in pairwise(points):
        count = max(1, int(np.ceil(float(np.hypot(*(b - a))) / STEP)))
        out.append(a + (b - a) * (np.arange(1, count + 1) / count)[:, None])
    return np.concatenate(out)


def stretched(line: FloatArray, far: Polygon) -> LineString:
    """Return a line with its ends drawn out past a box."""
    x0, y0, x1, y1 = far.bounds
    reach = 2 * (x1 - x0 + y1 - y0)
    return LineString([drawn_on(line[0], line[1], reach), *line[1:-1], drawn_on(line[-1], line[-2], reach)])


def drawn_on(end: FloatArray, before: FloatArray, reach: float) -> FloatArray:
    """Return the end of a leg drawn on by so many mm."""
    away = end - before
    return end + away / max(float(np.hypot(*away)), 1e-9) * reach
