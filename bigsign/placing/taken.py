"""Where no register mark can stand: on film or near it, and near other marks."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from bigsign.placing.place import PlacedPanel
from bigsign.plan_records import Point

__all__ = ["CLEAR", "ROUNDING", "Taken"]

CLEAR = 2.0  # mm, between a mark and film: enough to take it off without touching the film; common practice, no source
CHUNK = 400  # places that are looked at together
ROUNDING = 0.05  # mm: buffers are polygons within the true curve


class Taken:
    """Where no mark can stand: on film or near it, and near other marks."""

    def __init__(self, panels: Sequence[PlacedPanel]) -> None:
        grown = [(panel.id, part.buffer(CLEAR + ROUNDING, 16)) for panel in panels for part in panel.film.geoms]
        self._names = [name for name, _ in grown]
        self._parts = [shape for _, shape in grown]
        for part in self._parts:
            shapely.prepare(part)
        self._tree = shapely.STRtree(self._parts)
        self._marks: list[BaseGeometry] = []

    def add(self, mark: BaseGeometry) -> None:
        """Take the place of a mark as well."""
        self._marks.append(mark.buffer(CLEAR + ROUNDING, 16))

    def open(self, places: Sequence[Point], shape: MultiPolygon, free: Collection[str]) -> Iterator[Point]:
        """Yield the places at which no corner of a mark stands on film: few enough to look at one by one."""
        corners = shapely.get_coordinates(shape.convex_hull)[:-1]
        parts = np.array(self._parts, dtype=object)
        named = np.array([name not in free for name in self._names], dtype=bool)
        for first in range(0, len(places), CHUNK):
            some = places[first : first + CHUNK]
            # where film is dense most places are shut by the first corner, and the others need no look
            for few in (corners[:1], corners[1:]):
                points = np.asarray(shapely.points((np.asarray(some)[:, None, :] + few[None, :, :]).reshape(-1, 2)))
                at, held = self._tree.query(points)
                at, held = at[named[held]], held[named[held]]
                shut = np.zeros(len(some), dtype=bool)
                shut[at[shapely.intersects(parts[held], points[at])] // len(few)] = True
                some = [place for place, closed in zip(some, shut.tolist(), strict=True) if not closed]
                if not some:
                    break
            yield from some

    def holds(self, path: BaseGeometry, free: Collection[str]) -> bool:
        """Whether a mark would stand on what is taken, but for the film of panels that it may lie on."""
        near = [n for n in self._tree.query(path).tolist() if self._names[n] not in free]
        return any(shape.intersects(path) for shape in (*(self._parts[n] for n in near), *self._marks))
