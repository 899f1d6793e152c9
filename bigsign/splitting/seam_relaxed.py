"""A recursion that makes light of every seam: what it finds, no true parting goes below.

Lemma. Let each line take a strip of film away with it, and charge it no more than the least chord of any line in that
strip. What is left of a part is film in a box that lies within the true part's box, so: it fits wherever the true
part fits; on any line each chord that is left lies in a chord of the true part, two of them in two; and a line
through the true part is a line through it. By induction on the number of cuts the recursion's least total is no
more than the true one, in length as well as in whole millimetres a chord, as long as every place of a line lies in
some strip. Films that no line parts may stay together in the truth; here each is parted by itself, which costs no more.

Of two lines along one axis through a part whose film before the second hangs together, it is all one which is cut
first. So a connected part before a line is not cut along that axis again first.
"""


from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon, box

from bigsign.geometry import polygons_of
from bigsign.splitting.limits import box_fits
from bigsign.splitting.seam_charge import Charges, Measure, pack
from bigsign.splitting.seam_clip import chords_of, clipped, first_point
from bigsign.splitting.seam_records import Bounds, SeamRules
from bigsign.splitting.seam_spans import row_bound
from bigsign.splitting.sweep import Sweep

__all__ = ["Relaxed", "Strips"]

Strips = Sequence[tuple[float, float]]

SIDE = 1e-9  # mm
NUDGE = 1e-5  # mm: places are rounded, so that this much of a sliver's width, or cut off an end, is nothing
HAIR = 1e-5  # mm: a place is looked at this far to both sides
NEVER = 1 << 80  # packed cost of a part that no line may cross
CHOSEN = 40  # strips of a parting that are told
WORK = 250  # vertices of a part that make it one more unit of work to clip


class _Lap(NamedTuple):
    """The strip of the seam at which a part carries an overlap."""

    axis: int
    low: float
    high: float


_Laps = tuple[_Lap | None, _Lap | None]


@dataclass(slots=True)
class _Part:
    """Film that hangs together, the box it is cut to, and what is known of its partings.

    ``rooms``: where lines may run along either axis. ``options``: the strips that cross it, each as the least that it
    costs by a quick look, its axis and its ends, the cheapest first. ``value``: what its partings cost at least,
    packed, which is the least of the recursion where that is ``known``. ``choice``: the strip of the best found.
    ``open``: being looked at, so that what rounding takes for the same part is not looked at within itself.
    """

    shape: Polygon
    area: Bounds
    laps: _Laps
    sweeps: tuple[Sweep, Sweep]
    rooms: list[tuple[float, float]]
    options: list[tuple[int, int, float, float]]
    value: int
    known: bool
    choice: tuple[int, float, float] | None = None
    open: bool = False


class Relaxed:
    """The recursion over the strips of both axes.

    Parameters
    ----------
    rules : limits, overlap and angle; the rule on slivers is not asked for, which makes the result no larger.
    strips : along each axis where lines may run; (low, high) in mm, in order. One of no width is a place, looked at
        from both sides.
    measure : how chords are counted.
    work : clips of parts after which what is left is charged one line a part.
    """

    def __init__(
        self, film: MultiPolygon, rules: SeamRules, strips: tuple[Strips, Strips], measure: Measure, work: int
    ) -> None:
        self.film, self.rules, self.work = film, rules, work
        self.charges = Charges(measure, rules.angle == 0)
        self.strips = [np.asarray(rows, dtype=float).reshape(-1, 2) for rows in strips]
        self.parts: dict[tuple[object, ...], _Part] = {}
        self.tips: dict[tuple[int, int, float], list[Polygon]] = {}
        self.corridors: dict[tuple[int, float, float], list[tuple[float, float]]] = {}

    def least(self, limit: int) -> int:
        """Return the least total of any parting, packed; ``limit`` where it is that or more."""
        everywhere = (-math.inf, -math.inf, math.inf, math.inf)
        parts = [self._part(part, everywhere, (None, None), None) for part in self.film.geoms]
        return self._sum(parts, 0, limit)

    def chosen(self) -> list[tuple[int, float, float]]:
        """Return the strips of the best parting that was found, (axis, low, high): true seams may lie there."""
        everywhere = (-math.inf, -math.inf, math.inf, math.inf)
        waiting = [self._part(part, everywhere, (None, None), None) for part in self.film.geoms]
        out: list[tuple[int, float, float]] = []
        while waiting and len(out) < CHOSEN:
            part = waiting.pop(0)
            if part is not None and part.choice is not None:
                out.append(part.choice)
                waiting.extend(self._beyond(part, *part.choice))
        return out

    def _part(self, shape: Polygon, area: Bounds, laps: _Laps, chain: int | None) -> _Part | None:
        """Return what is known of a part; None if it fits with the overlap that it carries."""
        bounds: Bounds = shape.bounds
        if min(bounds[2] - bounds[0], bounds[3] - bounds[1]) < HAIR:  # a hair that rounding left: it costs nothing
            return None
        if box_fits(self._grown(shape, bounds, laps), self.rules.limits):
            return None
        seamed = tuple(abs(bounds[side] - area[side]) < SIDE for side in range(4))
        key = (*(round(value, 6) for value in bounds), *first_point(shape), seamed, chain if chain is not None else 2)
        if key not in self.parts:
            sweeps = (Sweep(shape, 0, self.rules.angle), Sweep(shape, 1, self.rules.angle))
            rooms = self._rooms(shape, sweeps, seamed)
            options = self._options(sweeps, rooms, chain)
            least = options[0][0] if options else NEVER
            if self.charges.measure is Measure.TRUE:
                least = max(least, pack(max(0.0, row_bound(sweeps, self.rules) - NUDGE), 1))
            self.parts[key] = _Part(shape, area, laps, sweeps, rooms, options, least, False)
        return self.parts[key]

    def _sum(self, parts: Sequence[_Part | None], total: int, limit: int) -> int:
        """Return a total with the least of all parts; ``limit`` where it is that or more."""
        waiting = [part for part in parts if part is not None]
        total += sum(part.value for part in waiting)
        for part in waiting:
            if total >= limit:
                return limit
            total -= part.value
            total += self._least(part, limit - total)
        return min(total, limit)

    def _least(self, part: _Part, limit: int) -> int:
        if part.known or part.open or part.value >= limit:
            return min(part.value, limit)
        part.open = True
        best = limit
        for quick, axis, low, high in part.options:
            if quick >= best:
                break
            if self.work <= 0:
                best = min(best, quick)
                break
            across = (part.area[1 - axis], part.area[3 - axis])
            within = (max(low, part.rooms[axis][0]), min(high, part.rooms[axis][1]))
            charge = self.charges.least(part.sweeps[axis], within, across, best)
            if charge < best:
                total = self._sum(self._beyond(part, axis, low, high), charge, best)
                if total < best:
                    best, part.choice = total, (axis, low, high)
        part.known = best < limit and self.work > 0
        part.value = max(part.value, best)
        part.open = False
        return min(part.value, limit)

    def _beyond(self, part: _Part, axis: int, low: float, high: float) -> list[_Part | None]:
        """Return what a strip leaves of a part, the largest first."""
        shape, area, laps, sweep = part.shape, part.area, part.laps, part.sweeps[axis]
        x0, y0, x1, y1 = shape.bounds
        before = (x0 - 1, y0 - 1, low, y1 + 1) if axis == 0 else (x0 - 1, y0 - 1, x1 + 1, low)
        after = (high, y0 - 1, x1 + 1, y1 + 1) if axis == 0 else (x0 - 1, high, x1 + 1, y1 + 1)
        self.work -= 1 + sweep.size // WORK
        first = clipped(shape, before, sweep.share_before(low) * shape.area) if low > sweep.low else []
        second = clipped(shape, after, (1 - sweep.share_before(high)) * shape.area) if high < sweep.high else []
        lower = area[:2] + ((low, area[3]) if axis == 0 else (area[2], low))
        upper = ((high, area[1]) if axis == 0 else (area[0], high)) + area[2:]
        # the part to the right of a plumb seam carries the overlap, and the part above a level one
        lap = _Lap(axis, low, high)
        lap_low, lap_high = (laps, (lap, laps[1])) if axis == 0 else ((laps[0], lap), laps)
        left = [(child, lower, lap_low, axis if len(first) == 1 else None) for child in first]
        left += [(child, upper, lap_high, None) for child in second]
        left.sort(key=lambda entry: -_largest(entry[0].bounds))
        return [self._part(*entry) for entry in left]

    def _rooms(self, part: Polygon, sweeps: tuple[Sweep, Sweep], seamed: Sequence[bool]) -> list[tuple[float, float]]:
        """Return from where to where lines may run along either axis: clear of the film's tips, where slivers would be.

        A line that near to the end of a part cuts off film that reaches less than the sliver width from it, in the
        true part too, if the film as a whole reaches no farther beyond the line there.
        """
        out = []
        for axis, sweep in enumerate(sweeps):
            ends = [sweep.low, sweep.high]
            for side, sign in ((0, 1.0), (1, -1.0)):
                if self.rules.sliver > 0 and not seamed[axis + 2 * side] and self._is_tip(part, axis, side, ends[side]):
                    ends[side] += sign * (self.rules.sliver - NUDGE)
            out.append((ends[0], ends[1]))
        return out

    def _is_tip(self, part: Polygon, axis: int, side: int, end: float) -> bool:
        """Whether the film that hangs together with a part's end, up to the sliver width from it, ends there too."""
        key = (axis, side, round(end, 6))
        if key not in self.tips:
            x0, y0, x1, y1 = self.film.bounds
            area = [x0 - 1, y0 - 1, x1 + 1, y1 + 1]
            area[axis + 2 - 2 * side] = end + (self.rules.sliver if side == 0 else -self.rules.sliver)
            self.tips[key] = clipped(self.film, (area[0], area[1], area[2], area[3]))
        points = shapely.get_coordinates(part.exterior)
        tip = Point(points[np.argmin(points[:, axis]) if side == 0 else np.argmax(points[:, axis])])
        near = [other for other in self.tips[key] if other.distance(tip) < 1e-6]
        return bool(near) and all(abs(other.bounds[axis + 2 * side] - end) < 1e-6 for other in near)

    def _options(
        self, sweeps: tuple[Sweep, Sweep], rooms: Sequence[tuple[float, float]], chain: int | None
    ) -> list[tuple[int, int, float, float]]:
        """Return the strips that cross a part, the cheapest by a quick look first."""
        out: list[tuple[int, int, float, float]] = []
        for axis in (0, 1):
            if axis == chain:
                continue
            rows = self.strips[axis]
            low, high = rooms[axis]
            rows = rows[(rows[:, 1] > low + NUDGE) & (rows[:, 0] < high - NUDGE)]
            quick = self.charges.quick(sweeps[axis], np.clip(rows, low, high))
            for (a, b), length in zip(rows.tolist(), quick.tolist(), strict=True):
                if math.isfinite(length):
                    out.append((pack(max(0.0, length), 1), axis, a, b))
        return sorted(out)

    def _grown(self, part: Polygon, bounds: Bounds, laps: _Laps) -> Bounds:
        """Return a part's box with the overlap that it carries for certain."""
        if self.rules.overlap <= 0:
            return bounds
        x0, y0, x1, y1 = bounds
        if laps[0] is not None and abs(x0 - laps[0].high) < SIDE and self._carries(part, laps[0], laps[0].high):
            x0 -= self.rules.overlap
        if laps[1] is not None and abs(y1 - laps[1].low) < SIDE and self._carries(part, laps[1], laps[1].low):
            y1 += self.rules.overlap
        return x0, y0, x1, y1

    def _carries(self, part: Polygon, lap: _Lap, side: float) -> bool:
        """Whether film of the part goes straight on through the strip of its seam: then it reaches the seam."""
        own = _spans_on(part, lap.axis, side)
        through = self._through(lap)
        return any(min(b, d) - max(a, c) > SIDE for a, b in own for c, d in through)

    def _through(self, lap: _Lap) -> list[tuple[float, float]]:
        key = (lap.axis, lap.low, lap.high)
        if key not in self.corridors:
            self.corridors[key] = _corridors(self.film, lap)
        return self.corridors[key]


def _largest(bounds: Bounds) -> float:
    return max(bounds[2] - bounds[0], bounds[3] - bounds[1])


def _spans_on(part: Polygon, axis: int, at: float) -> list[tuple[float, float]]:
    """Return where a part's outline runs along a line at its side."""
    return list(chords_of([MultiPolygon([part])], axis, at))


def _corridors(film: MultiPolygon, lap: _Lap) -> list[tuple[float, float]]:
    """Return where, along a strip, film goes straight through it from side to side."""
    x0, y0, x1, y1 = film.bounds
    low, high = (lap.low, lap.high) if lap.high - lap.low > SIDE else (lap.low - HAIR, lap.high + HAIR)
    area = (low, y0 - 1, high, y1 + 1) if lap.axis == 0 else (x0 - 1, low, x1 + 1, high)
    strip = box(*area)
    # the outlook is clear wherever what is not film does not stand in the way
    blocked = sorted(
        (part.bounds[1 - lap.axis], part.bounds[3 - lap.axis])
        for part in polygons_of(strip.difference(film)) if part.area > 1e-12
    )  # fmt: skip
    out: list[tuple[float, float]] = []
    at = area[1 - lap.axis]
    for a, b in blocked:
        if a - at > SIDE:
            out.append((at, a))
        at = max(at, b)
    return out
