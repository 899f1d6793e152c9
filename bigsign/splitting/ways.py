"""Stepped ways between films whose hulls leave no straight one: plumb and level legs, as few as can be.

Film is seen as profiles: for each thin band of height, how far it reaches to the left and to the right (and the same
turned by a quarter). Between two sides a way steps down band by band; it keeps its place as long as it can, so that
it has the fewest legs. Bands are rounded outwards: a way that is found is clear.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import MultiPolygon

__all__ = ["Profiles", "Stairs", "Tread"]

FloatArray = npt.NDArray[np.float64]
BAND = 0.25  # mm
BANDS = 6000  # at most


@dataclass(frozen=True, slots=True)
class Tread:
    """A stretch of a way: from ``start`` to ``end`` across, at any place between ``low`` and ``high``, mm."""

    start: float
    end: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Stairs:
    """A way: ``axis`` 0 for plumb treads (places are x, stretches y), 1 for level ones; treads in order across.

    ``first_low``: whether the first side lies at the lower places. ``floor`` and ``ceiling`` are, band by band from
    ``origin`` on, the least and the greatest place that is clear.
    """

    axis: int
    first_low: bool
    treads: tuple[Tread, ...]
    origin: float
    band: float
    floor: FloatArray
    ceiling: FloatArray


class Profiles:
    """Profiles of several films, to find ways between any two sets of them."""

    def __init__(self, films: Sequence[MultiPolygon]) -> None:
        bounds = np.array([film.bounds for film in films])
        self._low: list[FloatArray] = []
        self._high: list[FloatArray] = []
        self._origin: list[float] = []
        self._band: list[float] = []
        for axis in (0, 1):
            start, end = float(bounds[:, 1 - axis].min()), float(bounds[:, 3 - axis].max())
            band = max(BAND, (end - start) / BANDS)
            count = int((end - start) / band) + 3
            self._origin.append(start - band)
            self._band.append(band)
            low = np.full((len(films), count), np.inf)
            high = np.full((len(films), count), -np.inf)
            for row, film in enumerate(films):
                _profile(film, axis, start - band, band, low[row], high[row])
            self._low.append(low)
            self._high.append(high)

    def stairs(self, first: Sequence[int], second: Sequence[int], room: float, most: int) -> Stairs | None:
        """Return the way with the fewest treads, at most ``most``, that keeps ``room`` mm from both sides."""
        best: Stairs | None = None
        for axis in (0, 1):
            reach = int(np.ceil(room / self._band[axis]))
            for first_low in (True, False):
                lower, upper = (first, second) if first_low else (second, first)
                floor = _spread(self._high[axis][list(lower)].max(axis=0), reach) + room
                ceiling = -_spread(-self._low[axis][list(upper)].min(axis=0), reach) - room
                if (floor > ceiling).any():
                    continue
                treads = _treads(floor, ceiling, self._origin[axis], self._band[axis], most)
                if treads and (best is None or len(treads) < len(best.treads)):
                    best = Stairs(
                        axis, first_low, tuple(treads), self._origin[axis], self._band[axis], floor, ceiling
                    )
        return best


def _profile(film: MultiPolygon, axis: int, origin: float, band: float, low: FloatArray, high: FloatArray) -> None:
    """Enter how far a film reaches along ``axis`` in each band across it."""
    for part in film.geoms:
        points = shapely.get_coordinates(part.exterior)
        u, v = points[:, axis], points[:, 1 - axis]
        ends = np.column_stack([v[:-1], v[1:], u[:-1], u[1:]])
        ends[ends[:, 0] > ends[:, 1]] = ends[ends[:, 0] > ends[:, 1]][:, [1, 0, 3, 2]]
        first = np.floor((ends[:, 0] - origin) / band).astype(int)
        last = np.floor((ends[:, 1] - origin) / band).astype(int)
        spans = last - first + 1
        edge = np.repeat(np.arange(len(ends)), spans)
        bands = np.concatenate([np.arange(a, b + 1) for a, b in zip(first, last, strict=True)])
        v0, v1, u0, u1 = ends[edge].T
        size = np.where(v1 > v0, v1 - v0, 1.0)
        enter = np.clip((origin + bands * band - v0) / size, 0, 1)
        leave = np.where(v1 > v0, np.clip((origin + (bands + 1) * band - v0) / size, 0, 1), 1.0)
        a, b = u0 + (u1 - u0) * enter, u0 + (u1 - u0) * leave
        np.minimum.at(low, bands, np.minimum(a, b))
        np.maximum.at(high, bands, np.maximum(a, b))


def _spread(values: FloatArray, reach: int) -> FloatArray:
    """Return, for each band, the greatest value within ``reach`` bands of it."""
    out = values.copy()
    for shift in range(1, reach + 1):
        out[shift:] = np.maximum(out[shift:], values[:-shift])
        out[:-shift] = np.maximum(out[:-shift], values[shift:])
    return out


def _treads(floor: FloatArray, ceiling: FloatArray, origin: float, band: float, most: int) -> list[Tread]:
    """Return the fewest stretches that each stay in one place; an empty list if they are more than ``most``."""
    out: list[Tread] = []
    at = 0
    while at < len(floor):
        if len(out) == most:
            return []
        low, high = np.maximum.accumulate(floor[at:]), np.minimum.accumulate(ceiling[at:])
        blocked = np.flatnonzero(low > high)
        count = int(blocked[0]) if len(blocked) else len(low)
        end = at + count
        out.append(Tread(origin + at * band, origin + end * band, float(low[count - 1]), float(high[count - 1])))
        at = end
    return out
