"""How long a seam would be at each place: the chord length of a shape along a sweep of plumb or level lines.

Between two neighbouring vertices the total chord length is a linear function of the line's place, so the whole
function is known from its values there. Its local minima are the necks; nothing is sampled on a grid.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.polygon import orient

__all__ = ["Neck", "Sweep"]

FloatArray = npt.NDArray[np.float64]

EDGE_ROOM = 0.5  # mm: a line keeps this far from an edge that runs along it
EDGE_LONG = 0.5  # mm: shorter edges are roundings
STEEP = 1e-7  # mm: an edge with less extent along the sweep counts as lying along the line
DETAILED = 3000  # edges
FLAT = 1e-6  # mm of chord: a rise below this is none
INSIDE = 1e-4  # mm: how far inside an interval its end is looked at


@dataclass(frozen=True, slots=True)
class Neck:
    """A place of least chord: ``at`` in the middle of where it is as short, from ``low`` to ``high``; mm."""

    at: float
    low: float
    high: float
    length: float


class Sweep:
    """Chord lengths of a shape along one axis.

    Parameters
    ----------
    shape : the film to cut.
    axis : 0 for plumb lines at x = place, 1 for level lines at y = place.
    angle : degrees; a line that meets an edge more nearly along it than this is not allowed there.
    """

    def __init__(self, shape: Polygon | MultiPolygon, axis: int, angle: float) -> None:
        self.axis = axis
        rings = _rings(shape)
        start, end = np.concatenate([ring[:-1] for ring in rings]), np.concatenate([ring[1:] for ring in rings])
        along = slice(axis, axis + 1)
        u0, u1 = start[:, along].ravel(), end[:, along].ravel()
        v0, v1 = start[:, 1 - axis], end[:, 1 - axis]
        sloped = np.abs(u1 - u0) > STEEP
        u0, u1, v0, v1 = u0[sloped], u1[sloped], v0[sloped], v1[sloped]
        # film lies to one side of every edge of an oriented ring: chords are the signed sum of the crossings
        sign = np.where(u1 > u0, 1.0, -1.0) * (-1.0 if axis == 0 else 1.0)
        slope = (v1 - v0) / (u1 - u0)
        self.breaks = np.unique(np.concatenate([u0, u1]))
        first = np.searchsorted(self.breaks, np.minimum(u0, u1))
        last = np.searchsorted(self.breaks, np.maximum(u0, u1))
        count = len(self.breaks)
        self._middle = float(self.breaks.mean())
        base = v0 + slope * (self._middle - u0)
        self._base = _running(first, last, sign * base, count)
        self._slope = _running(first, last, sign * slope, count)
        # the angle between the line and an edge: its tangent is the edge's run along the sweep over that along the line
        grazing = np.abs(u1 - u0) < math.tan(math.radians(angle)) * np.abs(v1 - v0)
        self._bad = _running(first, last, grazing.astype(float), count) > 0.5
        self._edges = (first, last, base, slope)
        self._lying = _lying(start, end, axis, angle)

    @property
    def low(self) -> float:
        """Where the shape begins."""
        return float(self.breaks[0])

    @property
    def high(self) -> float:
        """Where the shape ends."""
        return float(self.breaks[-1])

    def length(self, at: float) -> float:
        """Return the total chord length at a place, mm."""
        index = self._interval(at)
        return 0.0 if index is None else self._value(index, at)

    def share_before(self, at: float) -> float:
        """Return the share of the shape's area that lies before a place, 0 to 1."""
        if at <= self.low or at >= self.high:
            return 0.0 if at <= self.low else 1.0
        width = self.breaks[1:] - self.breaks[:-1]
        middles = (self.breaks[1:] + self.breaks[:-1]) / 2
        areas = (self._base + self._slope * (middles - self._middle)) * width
        index = self._interval(at) or 0
        here = self._value(index, (at + float(self.breaks[index])) / 2) * (at - float(self.breaks[index]))
        return float((areas[:index].sum() + here) / areas.sum())

    def allowed(self, at: float) -> bool:
        """Whether a line may run there: it meets no edge nearly along it."""
        index = self._interval(at)
        return index is not None and not self._bad[index] and not self._beside_edge(at)

    def _beside_edge(self, at: float) -> bool:
        """Whether the line would run closely along an edge."""
        lows, highs = self._lying
        return bool(((lows - EDGE_ROOM < at) & (at < highs + EDGE_ROOM)).any())

    def _interval(self, at: float) -> int | None:
        index = int(np.searchsorted(self.breaks, at, side="right")) - 1
        return index if 0 <= index < len(self.breaks) - 1 else None

    def _value(self, index: int, at: float) -> float:
        return float(max(0.0, self._base[index] + self._slope[index] * (at - self._middle)))

    def thinnest(self) -> float:
        """Return a length below which no single chord at an allowed place is, mm; 0 for very detailed shapes."""
        first, last, base, slope = self._edges
        if len(base) > DETAILED:
            return 0.0
        best = math.inf
        for index in np.flatnonzero(~self._bad):
            crossing = (first <= index) & (index < last)
            for at in (self.breaks[index], self.breaks[index + 1]):
                values = np.sort(base[crossing] + slope[crossing] * (at - self._middle))
                widths = values[1::2] - values[0::2]
                if len(widths):
                    best = min(best, float(widths.min()))
        return max(0.0, best) if math.isfinite(best) else 0.0

    def necks(self) -> list[Neck]:
        """Return the places of least chord: local minima of its length among the places allowed, in order."""
        b = self.breaks
        width = b[1:] - b[:-1]
        inside = np.minimum(INSIDE, width / 4)
        places = np.column_stack([b[:-1] + inside, b[1:] - inside])
        index = np.arange(len(width))
        values = np.maximum(0.0, self._base[index, None] + self._slope[index, None] * (places - self._middle))
        out: list[Neck] = []
        at = 0
        while at < len(width):
            if self._bad[at] or width[at] <= 1e-9:
                at += 1
                continue
            end = at
            while end + 1 < len(width) and not self._bad[end + 1]:
                end += 1
            out.extend(_minima(places[at : end + 1].ravel(), values[at : end + 1].ravel()))
            at = end + 1
        return out


def _minima(places: FloatArray, values: FloatArray) -> list[Neck]:
    """Return the local minima of a run of (place, value), plateaus as one."""
    out = []
    at = 0
    while at < len(values):
        end = at
        while end + 1 < len(values) and abs(values[end + 1] - values[at]) <= FLAT:
            end += 1
        before = values[at - 1] if at else math.inf
        after = values[end + 1] if end + 1 < len(values) else math.inf
        if before > values[at] and after > values[end]:
            low, high = float(places[at]), float(places[end])
            out.append(Neck((low + high) / 2, low, high, float(values[at])))
        at = end + 1
    return out


def _lying(start: FloatArray, end: FloatArray, axis: int, angle: float) -> tuple[FloatArray, FloatArray]:
    """Return from where to where along the sweep edges lie that run nearly along its lines."""
    run = np.abs(end[:, axis] - start[:, axis])
    reach = np.abs(end[:, 1 - axis] - start[:, 1 - axis])
    lying = (run <= math.tan(math.radians(angle)) * reach) & (reach > EDGE_LONG) & (angle > 0)
    ends = np.sort(np.column_stack([start[lying, axis], end[lying, axis]]), axis=1)
    return ends[:, 0], ends[:, 1]


def _rings(shape: Polygon | MultiPolygon) -> list[FloatArray]:
    parts = shape.geoms if isinstance(shape, MultiPolygon) else [shape]
    out: list[FloatArray] = []
    for part in parts:
        turned = orient(part)
        out.extend(np.asarray(shapely.get_coordinates(ring)) for ring in (turned.exterior, *turned.interiors))
    return out


def _running(first: npt.NDArray[np.intp], last: npt.NDArray[np.intp], weight: FloatArray, count: int) -> FloatArray:
    """Return, for each interval between breaks, the sum of the weights of the edges that span it."""
    change = np.zeros(count + 1)
    np.add.at(change, first, weight)
    np.add.at(change, last, -weight)
    return np.cumsum(change)[: count - 1]
