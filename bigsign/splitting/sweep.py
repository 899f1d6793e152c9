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
PLACES = 7  # digits of a mm that places are told apart by: an edge with less extent lies along the line
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
        # on whole units, so that edges left out as lying along the line leave no gap between their neighbours
        u0, u1 = np.round(start[:, along].ravel(), PLACES), np.round(end[:, along].ravel(), PLACES)
        v0, v1 = start[:, 1 - axis], end[:, 1 - axis]
        sloped = u1 != u0
        u0, u1, v0, v1 = u0[sloped], u1[sloped], v0[sloped], v1[sloped]
        # film lies to one side of every edge of an oriented ring: chords are the signed sum of the crossings
        sign = np.where(u1 > u0, 1.0, -1.0) * (-1.0 if axis == 0 else 1.0)
        slope = (v1 - v0) / (u1 - u0)
        self.breaks = np.unique(np.concatenate([u0, u1]))
        if not len(self.breaks):  # a hair that rounding left, of no extent along the axis: no line crosses it
            self.breaks = np.round(start[:1, axis], PLACES)
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
        self._counts = np.rint(_running(first, last, np.full(len(base), 0.5), count)).astype(np.intp)
        level = np.round(start[~sloped & (np.abs(end[:, 1 - axis] - start[:, 1 - axis]) > 1e-6), axis], PLACES)
        on = np.flatnonzero(np.isin(self.breaks, level)).tolist()
        self._steps = [rank for rank in on if 0 < rank < count - 1]
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

    @property
    def size(self) -> int:
        """The number of edges that lines can cross."""
        return len(self._edges[0])

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

    def all_allowed(self, at: FloatArray) -> npt.NDArray[np.bool_]:
        """Return for many places at once whether a line may run there."""
        index = np.searchsorted(self.breaks, at, side="right") - 1
        inside = (index >= 0) & (index < len(self.breaks) - 1)
        lows, highs = self._lying
        beside = ((lows - EDGE_ROOM < at[:, None]) & (at[:, None] < highs + EDGE_ROOM)).any(axis=1)
        found: npt.NDArray[np.bool_] = inside & ~self._bad[np.where(inside, index, 0)] & ~beside
        return found

    def _beside_edge(self, at: float) -> bool:
        """Whether the line would run closely along an edge."""
        lows, highs = self._lying
        return bool(((lows - EDGE_ROOM < at) & (at < highs + EDGE_ROOM)).any())

    def _interval(self, at: float) -> int | None:
        index = int(np.searchsorted(self.breaks, at, side="right")) - 1
        return index if 0 <= index < len(self.breaks) - 1 else None

    def _value(self, index: int, at: float) -> float:
        return float(max(0.0, self._base[index] + self._slope[index] * (at - self._middle)))

    def chords_in(self, index: int, low: float, high: float) -> FloatArray:
        """Return the chords between two places of one interval, in order, as rows of four; mm.

        Columns are where a chord begins and ends at ``low``, then where it does at ``high``. No vertex lies between
        two neighbouring ``breaks``, so every chord changes evenly from the one place to the other.
        """
        first, last, base, slope = self._edges
        crossing = np.flatnonzero((first <= index) & (index < last))
        base, slope = base[crossing], slope[crossing]
        middle = base + slope * (float(self.breaks[index] + self.breaks[index + 1]) / 2 - self._middle)
        order = np.argsort(middle, kind="stable")
        at_low = (base + slope * (low - self._middle))[order]
        at_high = (base + slope * (high - self._middle))[order]
        return np.column_stack([at_low[0::2], at_low[1::2], at_high[0::2], at_high[1::2]])

    def chords_of(self, ranks: npt.NDArray[np.intp]) -> tuple[npt.NDArray[np.intp], FloatArray]:
        """Return the chords of many intervals from end to end, and of which each is; rows as `chords_in` has them."""
        first, last, base, slope = self._edges
        place = np.searchsorted(ranks, first), np.searchsorted(ranks, last)
        crossed = place[1] - place[0]
        edge = np.repeat(np.arange(len(first)), crossed)
        rank = ranks[np.arange(len(edge)) - np.repeat(np.cumsum(crossed) - crossed, crossed) + place[0][edge]]
        low, high = self.breaks[rank], self.breaks[rank + 1]
        order = np.lexsort((base[edge] + slope[edge] * ((low + high) / 2 - self._middle), rank))
        edge, rank = edge[order], rank[order]
        at_low = base[edge] + slope[edge] * (low[order] - self._middle)
        at_high = base[edge] + slope[edge] * (high[order] - self._middle)
        return rank[0::2], np.column_stack([at_low[0::2], at_low[1::2], at_high[0::2], at_high[1::2]])

    def chords_at(self, at: float, along_edges: bool = False) -> list[tuple[float, float]]:
        """Return the chords of the line at a place, in order; mm.

        Parameters
        ----------
        along_edges : of a line that runs along an edge, only what film on both its sides has in common.
        """
        if along_edges:
            for rank in self.steps():
                if abs(float(self.breaks[rank]) - at) < 1e-9:
                    return self.meeting(rank)
        index = self._interval(at)
        return [] if index is None else [(a, b) for a, b, _, _ in self.chords_in(index, at, at).tolist()]

    def totals(self, index: npt.NDArray[np.intp], at: FloatArray) -> FloatArray:
        """Return the total chord lengths at places of the given intervals (their ends as seen from within), mm."""
        return np.maximum(0.0, self._base[index] + self._slope[index] * (at - self._middle))

    @property
    def counts(self) -> npt.NDArray[np.intp]:
        """The number of chords in each interval between breaks."""
        return self._counts

    @property
    def barred(self) -> npt.NDArray[np.bool_]:
        """Which intervals between breaks no line may run in, as it would meet an edge nearly along it."""
        return self._bad

    def steps(self) -> list[int]:
        """Return the breaks (ranks) inside the shape at which edges lie along the line."""
        return self._steps

    def meeting(self, rank: int) -> list[tuple[float, float]]:
        """Return what film on both sides of a break has in common along the line there; mm."""
        at = float(self.breaks[rank])
        before, after = self.chords_in(rank - 1, at, at), self.chords_in(rank, at, at)
        return [
            (max(a, c), min(b, d))
            for a, b in before[:, :2].tolist() for c, d in after[:, :2].tolist() if min(b, d) - max(a, c) > 1e-9
        ]  # fmt: skip

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
    change = np.bincount(first, weight, count) - np.bincount(last, weight, count)
    running: FloatArray = np.cumsum(change)[: count - 1]
    return running
