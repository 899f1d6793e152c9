"""Neighbours whose hulls leave no straight way between them: where a cut may leave its straight line.

A *neighbour* on a side of a cut is a whole word (words that share film count as one) if all of it lies on that side,
else each unit by itself. Two neighbours of different sides *hook* if their hulls meet. A cut has a straight line; it
leaves that line only to pass neighbours that hook, so whatever else there is lies clear of the line on its own side.
The *core* of a neighbour against one that it hooks with is its film outside the other's hull.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPoint, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.splitting.bits import bits_of
from bigsign.splitting.graph import FloatArray
from bigsign.splitting.territory import border_of, free_territory, way_territory
from bigsign.tolerances import TOLERANCES

__all__ = ["Hooks"]

COAST = 20_000  # corners of film round which one free line is enough, without the other way round
LEAST_CORE = 1e-4  # mm²: less left of a film is a rounding


class Hooks:
    """What is known of the hooks within a family of units.

    Parameters
    ----------
    films : of each unit, mm.
    hulls : of each unit, k × 2 points.
    groups : bits of the units of each whole word of more than one unit; no unit in two of them.
    """

    def __init__(self, films: Sequence[MultiPolygon], hulls: Sequence[FloatArray], groups: Sequence[int]) -> None:
        self._films, self.groups = films, tuple(groups)
        self._corners = [int(shapely.get_num_coordinates(film)) for film in films]
        self._in_group = {unit: group for group in groups for unit in bits_of(group)}
        self._points: dict[int, FloatArray] = {1 << n: hull for n, hull in enumerate(hulls)}
        for group in self.groups:
            self._points[group] = hull_of([hulls[n] for n in bits_of(group)])
        self._hulls = {shape: MultiPoint(points).convex_hull for shape, points in self._points.items()}
        self.partners = self._hooked(list(self._points))
        self._film: dict[int, MultiPolygon] = {}
        self._cores: dict[tuple[int, ...], BaseGeometry] = {}
        self._licensed: dict[tuple[int, int], int] = {}
        self.hookable = 0
        for shape in self.partners:
            self.hookable |= shape
        self.rank = {shape: n for n, shape in enumerate(self._points)}
        self.centres = np.array([self.film(shape).centroid.coords[0] for shape in self._points]).reshape(-1, 2)

    def _hooked(self, shapes: Sequence[int]) -> dict[int, tuple[int, ...]]:
        """Return, by neighbour, those that its hull meets."""
        hulls = np.array([self._hulls[shape] for shape in shapes], dtype=object)
        first, second = shapely.STRtree(hulls).query(hulls, predicate="dwithin", distance=TOLERANCES.way)
        out: dict[int, list[int]] = {}
        for a, b in zip(first.tolist(), second.tolist(), strict=True):
            if not shapes[a] & shapes[b]:
                out.setdefault(shapes[a], []).append(shapes[b])
        return {shape: tuple(sorted(found)) for shape, found in sorted(out.items())}

    def corners(self, units: int) -> int:
        """Return how many corners the film of a set of units has."""
        return sum(self._corners[n] for n in bits_of(units))

    def film(self, units: int) -> MultiPolygon:
        """Return the film of a set of units."""
        found = self._film.get(units)
        if found is None:
            found = MultiPolygon([part for n in bits_of(units) for part in self._films[n].geoms])
            self._film[units] = found
        return found

    def neighbours(self, side: int, among: int = -1) -> list[int]:
        """Return the neighbours on a side, or those with units ``among`` some: whole words, and units by themselves."""
        out = []
        rest = side & among
        while rest:
            low = rest & -rest
            group = self._in_group.get(low.bit_length() - 1, low)
            found = group if group & side == group else low
            rest &= ~found
            out.append(found)
        return out

    def hooked(self, side: int, other: int) -> list[tuple[int, int]]:
        """Return the pairs of neighbours of two sides that hook."""
        if not side & self.hookable or not other & self.hookable:
            return []
        across = set(self.neighbours(other, self.hookable))
        here = self.neighbours(side, self.hookable)
        return [(n, k) for n in here for k in self.partners.get(n, ()) if k in across]

    def meetings(self, side: int, other: int) -> tuple[BaseGeometry, ...]:
        """Return where the hulls of neighbours of two sides meet, for each pair that hooks."""
        return tuple(self._hulls[one].intersection(self._hulls[two]) for one, two in self.hooked(side, other))

    def may_hook(self, neighbour: int, across: int) -> bool:
        """Whether a neighbour hooks with one that some units across make up, or are part of."""
        return any(not other & ~across for other in self.partners.get(neighbour, ()))

    def licensed(self, side: int, other: int) -> int:
        """Return the units of both sides that a cut between them may bend round."""
        key = (side, other) if side < other else (other, side)
        if key not in self._licensed:
            out = 0
            for one, two in self.hooked(side, other):
                out |= one | two
            self._licensed[key] = out
        return self._licensed[key]

    def shapes(self) -> Iterator[tuple[int, int, FloatArray]]:
        """Yield (neighbour, units that have to be there, hull) of whole words and of cores, for lines to touch."""
        for group in self.groups:
            if group in self.partners:
                yield group, group, self._points[group]
        for neighbour, hooked in self.partners.items():
            for other in hooked:
                core = self._core(neighbour, [other])
                if isinstance(core, Polygon) and not core.is_empty:
                    yield neighbour, neighbour | other, np.asarray(core.exterior.coords, dtype=float)[:-1]

    def _core(self, neighbour: int, hooked: Sequence[int]) -> BaseGeometry:
        """Return the hull of a neighbour's film outside the hulls of some others; empty if nothing is left."""
        if not hooked:
            return self._hulls[neighbour]
        key = (neighbour, *sorted(hooked))
        if key not in self._cores:
            over = shapely.union_all([self._hulls[other] for other in hooked])
            shapely.prepare(over)
            parts = shapely.get_parts(self.film(neighbour))
            clear, met = ~shapely.intersects(over, parts), ~shapely.contains_properly(over, parts)
            left = [*parts[clear], *shapely.difference(parts[met & ~clear], over)]
            area = math.fsum(part.area for part in left)
            self._cores[key] = shapely.GeometryCollection(left).convex_hull if area > LEAST_CORE else Polygon()
        return self._cores[key]

    def nested(self) -> bool:
        """Whether some neighbours that hook leave no line between their cores: lines that could bend are missing."""
        for one, others in self.partners.items():
            for two in others:
                cores = self._core(one, [two]), self._core(two, [one])
                if any(core.is_empty for core in cores) or float(cores[0].distance(cores[1])) <= TOLERANCES.way:
                    return True
        return False

    def way(self, side: int, other: int) -> LineString | None:
        """Return a line from edge to edge, straight but at hooks, between all film of two sides; None: none."""
        pairs = self.hooked(side, other)
        if not pairs:
            return None
        bound: list[list[BaseGeometry]] = []
        for turned in (False, True):
            held, firm, cores = (other, [], []) if turned else (side, [], [])
            for neighbour in self.neighbours(held):
                across = [pair[not turned] for pair in pairs if pair[turned] == neighbour]
                if not across:
                    firm.append(self._hulls[neighbour])
                cores.append(self._core(neighbour, across))
            bound.append([shapely.union_all(firm).convex_hull, shapely.union_all(cores).convex_hull])
        firm_apart = any(hull.is_empty for hull in (bound[0][0], bound[1][0])) or (
            float(bound[0][0].distance(bound[1][0])) > TOLERANCES.way
        )
        if not firm_apart:
            return None
        films = self.film(side), self.film(other)
        found = way_territory(*films, (bound[0][0], bound[1][0]), (bound[0][1], bound[1][1]))
        return None if found is None else border_of(found, *films)

    def free(self, side: int, other: int) -> LineString | None:
        """Return any line from edge to edge with all film of each side on its hand, however it winds; None: none."""
        films = sorted((self.film(side), self.film(other)), key=lambda film: len(film.geoms))
        lines: list[LineString] = []
        for first, second in (films, films[::-1]):
            if lines and self.corners(side | other) > COAST:
                break
            found = free_territory(first, second)
            if found is not None:
                lines.append(border_of(found, first, second))
        return min(lines, key=lambda line: round(line.length, 3), default=None)


def hull_of(parts: Sequence[FloatArray]) -> FloatArray:
    """Return the corners of the convex hull of some point sets, k × 2."""
    hull = MultiPoint(np.concatenate(parts)).convex_hull
    return np.asarray(hull.exterior.coords, dtype=float)[:-1] if isinstance(hull, Polygon) else np.asarray(hull.coords)
