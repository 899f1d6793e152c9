"""Film with the room that a way keeps round it, made piece by piece as lines reach it."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.geometry import polygons_of
from bigsign.tolerances import TOLERANCES

__all__ = ["RoomyFilm", "roomy_films"]

Shape = Polygon | MultiPolygon
Line = tuple[float, float, float]
FloatArray = npt.NDArray[np.float64]

ROUND = 4  # segments of a quarter circle where film is given room
COARSEST = 1.0  # mm that an outline may be off for a rough way


class RoomyFilm:
    """The film of one side of a cut, each of its pieces with room round it as soon as it is asked for.

    Parameters
    ----------
    room : mm that a way keeps from film.
    coarse : mm that the outlines may be off; the room is so much wider, so that film lies in it whatever they are.
    """

    def __init__(self, film: Shape, room: float, coarse: float) -> None:
        self._parts = polygons_of(film)
        self._room, self._coarse = room, coarse
        rings = [shapely.get_coordinates(part.exterior) for part in self._parts]
        self._corners: FloatArray = np.concatenate(rings)
        self._starts = np.cumsum([0, *(len(ring) for ring in rings[:-1])])
        self._made: dict[int, BaseGeometry] = {}
        self._unions: dict[tuple[int, ...], BaseGeometry] = {}

    def whole(self) -> BaseGeometry:
        """Return all pieces with their room."""
        return self._united(tuple(range(len(self._parts))))

    def beyond(self, line: Line) -> BaseGeometry:
        """Return the pieces that reach, with their room, over a line to where n·p > c; empty: none does."""
        farthest = np.maximum.reduceat(self._corners @ np.array(line[:2]), self._starts)
        reach = self._room + self._coarse + TOLERANCES.way
        return self._united(tuple(np.flatnonzero(farthest > line[2] - reach).tolist()))

    def _united(self, pieces: tuple[int, ...]) -> BaseGeometry:
        if pieces not in self._unions:
            self._unions[pieces] = shapely.union_all([self._piece(piece) for piece in pieces])
        return self._unions[pieces]

    def _piece(self, piece: int) -> BaseGeometry:
        if piece not in self._made:
            film: BaseGeometry = self._parts[piece]
            wide = self._room
            if self._coarse > TOLERANCES.flatten:
                film, wide = film.simplify(self._coarse), self._room + self._coarse
            self._made[piece] = film.buffer(wide, quad_segs=ROUND)
        return self._made[piece]


def roomy_films(first: Shape, second: Shape) -> tuple[RoomyFilm, RoomyFilm] | None:
    """Return both films with the room a way keeps, their outlines as coarse as the room between them allows.

    None: they touch.
    """
    apart = float(first.distance(second))
    room = min(1.1 * TOLERANCES.line_room, 0.3 * apart)
    if room <= 0:
        return None
    coarse = min(COARSEST, 0.8 * (apart / 2 - room))
    return RoomyFilm(first, room, coarse), RoomyFilm(second, room, coarse)
