"""Parting film that is too big for the cut area: straight seams, plumb and level, of the least total length.

A shape is cut by one whole line, its parts by lines of their own, until every part fits; all cuts of a piece are
chosen together. Of a total that is piecewise linear in the places of the cuts, a least value is had with every cut
at a neck or tied to a neck, to an end of the shape or to another cut by the size of the usable area: only those
places are tried. Upper film laps lower film at a level seam, and right film left film at a plumb one.
"""


from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, box

from bigsign.geometry import polygons_of
from bigsign.splitting.limits import box_fits, size_fits
from bigsign.splitting.seam_records import Bounds, Cost, SeamCut, SeamRules, Seams, Shape, film_of
from bigsign.splitting.sweep import Sweep

__all__ = ["chords_of", "find_seams"]

TRIES = 6000  # cuts of a piece that are carried out before the search is content with what it has
PLACES = 256  # places kept along an axis of a part; beyond that the shortest of each stretch
POINTS = 160  # of a shape's outline looked at for a bound
DEEPEST = 100  # seams around a part: cuts that get nowhere are given up
NUDGE = 1e-6  # mm: tied places stay this far inside what fits
ANY = 10**9  # chords: as many as may be

NOTHING = Cost(0, 0.0, 0)


def find_seams(shape: Shape, rules: SeamRules) -> Seams | None:
    """Return the seams that part ``shape`` into parts that fit, of the least cost; None if there are none."""
    film = film_of(shape)
    thinnest = min(Sweep(film, axis, rules.angle).thinnest() for axis in (0, 1))
    search = _Search(rules, thinnest)
    nowhere = _Sides((), ())
    started = [search.descend(film, nowhere, None)]
    started += [search.strips(film, nowhere, axis, size) for axis in (0, 1) for size in rules.limits]
    rough = min((found for found in started if found is not None), key=lambda found: found.cost, default=None)
    search.tries = 0
    found = search.best(film, nowhere, None, None if rough is None else rough.cost) or rough
    return None if found is None else Seams(found.parts, found.cuts, found.cost, search.exact)


@dataclass(frozen=True, slots=True)
class _Solved:
    cost: Cost
    parts: tuple[MultiPolygon, ...]
    cuts: tuple[SeamCut, ...]


class _Sides(NamedTuple):
    """Places of the seams above a part in the tree: plumb ones and level ones."""

    plumb: tuple[float, ...]
    level: tuple[float, ...]


class _Place(NamedTuple):
    """A line to try: its own cost, how it came about (the more wanted first), axis and place."""

    cost: Cost
    rank: int
    axis: int
    at: float


class _Search:
    def __init__(self, rules: SeamRules, thinnest: float) -> None:
        self.rules, self.thinnest = rules, thinnest
        self.tries = 0
        self.exact = True
        self.known: dict[tuple[object, ...], _Solved] = {}
        self.above: dict[tuple[object, ...], Cost | None] = {}
        self.moves: dict[tuple[object, ...], list[_Place]] = {}

    def fits(self, shape: MultiPolygon, sides: _Sides) -> bool:
        return box_fits(self.grown(shape.bounds, sides), self.rules.limits)

    def grown(self, bounds: Bounds, sides: _Sides) -> Bounds:
        """Return a part's box with the overlap it carries: at its left and lower sides where these are seams."""
        x0, y0, x1, y1 = bounds
        if any(abs(x0 - at) < 1e-6 for at in sides.plumb):
            x0 -= self.rules.overlap
        if any(abs(y1 - at) < 1e-6 for at in sides.level):
            y1 += self.rules.overlap
        return x0, y0, x1, y1

    def least(self, shape: MultiPolygon) -> float:
        """Return a total chord length below which no parting of ``shape`` is.

        Parts hang together by chords; a loop that no part can hold (its hole is too big) takes one more.
        """
        holes = [ring.bounds for part in shape.geoms for ring in part.interiors]
        loops = sum(not box_fits(hole, self.rules.limits) for hole in holes)
        return self.thinnest * max(0, least_parts(shape, self.rules.limits) - len(shape.geoms) + loops)

    def best(self, shape: MultiPolygon, sides: _Sides, chain: int | None, limit: Cost | None) -> _Solved | None:
        """Return the best parting of ``shape`` that costs less than ``limit``.

        ``chain``: the axis along which the part before a line was cut off; it is not cut along that axis again
        first, as of the lines across a shape the first is always taken first.
        """
        if self.fits(shape, sides):
            return _Solved(NOTHING, (shape,), ())
        if len(sides.plumb) + len(sides.level) > DEEPEST:
            return None
        key = (tuple(round(value, 4) for value in (*shape.bounds, shape.area)), chain)
        if key in self.known:
            found = self.known[key]
            return found if limit is None or found.cost < limit else None
        if key in self.above:
            tried = self.above[key]
            if tried is None or (limit is not None and limit <= tried):
                return None
        least = Cost(0, self.least(shape), 1)
        if limit is not None and least >= limit:
            return None
        best: _Solved | None = None
        bound = limit
        if key not in self.moves:
            self.moves[key] = self.places(shape, sides, chain)
        for place in self.moves[key]:
            if bound is not None and max(place.cost, Cost(place.cost.bodies, least.length, 1)) >= bound:
                break
            if self.tries > TRIES:
                self.exact = False
                break
            found_here = self.cut(shape, sides, place, bound)
            if found_here is not None and (bound is None or found_here.cost < bound):
                best, bound = found_here, found_here.cost
        if best is None:
            if self.exact:
                self.above[key] = limit
        else:
            self.known[key] = best
        return best

    def cut(self, shape: MultiPolygon, sides: _Sides, place: _Place, bound: Cost | None) -> _Solved | None:
        """Return the best parting that begins with a line, None if there is none or it costs ``bound`` or more."""
        made = self.make(shape, sides, place)
        if made is None:
            return None
        cut, below, groups = made

        def rest(group: MultiPolygon, chain: int | None, so_far: Cost) -> _Solved | None:
            if bound is None:
                return self.best(group, below, chain, None)
            if so_far >= bound:
                return None
            left = Cost(bound.bodies - so_far.bodies, bound.length - so_far.length, ANY)
            return self.best(group, below, chain, left)

        return _gather(place.cost.bodies, cut, groups, rest)

    def make(
        self, shape: MultiPolygon, sides: _Sides, place: _Place
    ) -> tuple[SeamCut, _Sides, list[tuple[MultiPolygon, int | None]]] | None:
        """Carry a cut out: the cut, the seams around its parts, and the parts, the largest first; None: not allowed."""
        self.tries += 1
        axis, at = place.axis, place.at
        low, high = halves(shape, axis, at)
        chords = chords_of(low, axis, at)
        if not chords or not high or self.leaves_sliver([*low, *high], axis, at):
            return None
        below = _Sides((*sides.plumb, at), sides.level) if axis == 0 else _Sides(sides.plumb, (*sides.level, at))
        groups: list[tuple[MultiPolygon, int | None]] = [(group, axis) for group in low]
        groups += [(group, None) for group in high]
        groups.sort(key=lambda pair: (-max(_extent(pair[0].bounds)), pair[0].bounds))
        return SeamCut(axis, at, chords), below, groups

    def descend(self, shape: MultiPolygon, sides: _Sides, chain: int | None) -> _Solved | None:
        """Return a good parting: at each step the line that, with the least that can follow, costs least."""
        if self.fits(shape, sides):
            return _Solved(NOTHING, (shape,), ())
        if len(sides.plumb) + len(sides.level) > DEEPEST:
            return None
        tried = []
        for rank, place in enumerate(self.places(shape, sides, chain)):
            made = self.make(shape, sides, place)
            if made is not None:
                cut, below, groups = made
                rest = sum(self.least(group) for group, _ in groups if not self.fits(group, below))
                loose = sum(not self.fits(group, below) for group, _ in groups)
                tried.append((place.cost.bodies, round(cut.length + rest, 6), loose, rank, place, made))
        for bodies, _, _, _, _, (cut, below, groups) in sorted(tried, key=lambda entry: entry[:4])[:4]:
            found = _gather(bodies, cut, groups, partial(self._descend_group, below))
            if found is not None:
                return found
        return None

    def strips(self, shape: MultiPolygon, sides: _Sides, axis: int, size: tuple[float, float]) -> _Solved | None:
        """Return a parting into even strips along ``axis``, each then parted across, for panels of one size."""
        if self.fits(shape, sides):
            return _Solved(NOTHING, (shape,), ())
        if len(sides.plumb) + len(sides.level) > DEEPEST:
            return None
        bounds = self.grown(shape.bounds, sides)
        along = axis if bounds[axis + 2] - bounds[axis] > size[axis] else 1 - axis
        low, high, pitch = bounds[along], bounds[along + 2], size[along] - self.rules.overlap
        # as many even panels as are needed: each but the last shares an overlap with the next
        count = max(2, -int(-(high - low - self.rules.overlap) // pitch))
        share = (high - low + (count - 1) * self.rules.overlap) / count - (self.rules.overlap if along == 1 else 0.0)
        sweep = Sweep(shape, along, self.rules.angle)
        for at in (*self.marks(along, low + share, 4.0)[:1], low + share, low + pitch - NUDGE):
            bodies = self.rules.bodies(along, at) if self.rules.bodies is not None else 0
            made = self.make(shape, sides, _Place(Cost(bodies, 0.0, 1), 0, along, at)) if sweep.allowed(at) else None
            if made is None:
                continue
            cut, below, groups = made
            found = _gather(bodies, cut, groups, partial(self._strip_group, below, axis, size))
            if found is not None:
                return found
        return None

    def _descend_group(
        self, sides: _Sides, group: MultiPolygon, chain: int | None, so_far: Cost
    ) -> _Solved | None:
        return self.descend(group, sides, chain)

    def _strip_group(
        self, sides: _Sides, axis: int, size: tuple[float, float], group: MultiPolygon, chain: int | None, so_far: Cost
    ) -> _Solved | None:
        return self.strips(group, sides, axis, size)

    def leaves_sliver(self, groups: Sequence[MultiPolygon], axis: int, at: float) -> bool:
        """Whether a part that the line makes reaches less than the sliver width from it."""
        for group in groups:
            for part in group.geoms:
                near, far = part.bounds[axis], part.bounds[axis + 2]
                touches = abs(near - at) < 1e-6 or abs(far - at) < 1e-6
                if touches and far - near < self.rules.sliver:
                    return True
        return False

    def places(self, shape: MultiPolygon, sides: _Sides, chain: int | None) -> list[_Place]:
        """Return every line worth trying first, the cheapest first."""
        out: list[_Place] = []
        for axis in (0, 1):
            if axis == chain:
                continue
            sweep = Sweep(shape, axis, self.rules.angle)
            found = []
            for rank, at in self.axis_places(shape, sides, sweep):
                bodies = self.rules.bodies(axis, at) if self.rules.bodies is not None else 0
                found.append(_Place(Cost(bodies, round(sweep.length(at), 6), 1), rank, axis, at))
            if len(found) > PLACES:
                self.exact = False
                kept: dict[int, _Place] = {}
                for place in sorted(found):
                    kept.setdefault(int((place.at - sweep.low) / (sweep.high - sweep.low + 1e-9) * PLACES), place)
                found = list(kept.values())
            out.extend(found)
        # of equal lines the one that leaves least to do: the farthest from where the shape begins
        return sorted(out, key=lambda place: (place.cost, place.rank, place.axis, -place.at))

    def axis_places(self, shape: MultiPolygon, sides: _Sides, sweep: Sweep) -> Iterator[tuple[int, float]]:
        """Yield (rank, place): necks, places tied to them or to the ends by the usable area, and even shares."""
        axis, overlap, sliver = sweep.axis, self.rules.overlap, self.rules.sliver
        bounds = self.grown(shape.bounds, sides)
        low, high = bounds[axis], bounds[axis + 2]
        sizes = sorted({pair[axis] for pair in self.rules.limits})
        first, last = sweep.low + sliver - NUDGE, sweep.high - sliver + NUDGE
        steps = int((high - low) / max(min(sizes) - overlap, 1.0)) + 2
        ranked: list[tuple[int, float]] = [(-1, at) for used, at in self.rules.used if used == axis]
        for size in sizes:
            shares = -int(-(high - low - overlap) // max(size - overlap, 1.0))
            if shares > 1:
                ranked.extend((0, at) for at in self.marks(axis, low + (high - low) / shares, 4.0)[:1])
            ranked.extend(self._from_ends(axis, low, high, size, steps))
        for neck in sweep.necks():
            tied = [neck.at]
            if neck.high - neck.low > 1.0:
                tied += [neck.low + NUDGE, neck.high - NUDGE]
                ranked.extend((1, at) for at in self.marks(axis, neck.at, 0.3 * (neck.high - neck.low))[:1])
            ranked.append((2, neck.at))
            ranked.extend(
                (4, at + sign * n * (size - overlap))
                for at in tied for size in sizes for n in range(steps) for sign in (1, -1)
            )  # fmt: skip
        seen: set[float] = set()
        for rank, at in sorted(ranked):
            key = round(at, 6)
            if first <= at <= last and key not in seen and sweep.allowed(at):
                seen.add(key)
                yield rank, at

    def marks(self, axis: int, middle: float, reach: float) -> list[float]:
        """Return the tape marks within ``reach`` of a place, the nearest first."""
        if self.rules.marks is None:
            return [middle]
        return sorted(self.rules.marks(axis, middle - reach, middle + reach), key=lambda at: (abs(at - middle), at))

    def _from_ends(
        self, axis: int, low: float, high: float, size: float, steps: int
    ) -> Iterator[tuple[int, float]]:
        """Yield the farthest places at which parts counted from either end still fit, and the marks just inside."""
        pitch = size - self.rules.overlap
        # the right and the upper part carry the overlap
        far, near = (size, pitch) if axis == 0 else (pitch, size)
        for n in range(steps):
            for at, inward in ((low + far + n * pitch, -1), (high - near - n * pitch, 1)):
                yield 4, at + inward * NUDGE
                if self.rules.marks is not None:
                    ends = sorted((at + inward * NUDGE, at + inward * 4.0))
                    inside = self.rules.marks(axis, ends[0], ends[1])
                    if inside:
                        yield 3, inside[-1 if inward < 0 else 0]


def _gather(
    bodies: int,
    cut: SeamCut,
    groups: Sequence[tuple[MultiPolygon, int | None]],
    solve: Callable[[MultiPolygon, int | None, Cost], _Solved | None],
) -> _Solved | None:
    """Return a cut with the partings of all its parts; None as soon as one has none. ``solve`` sees the cost so far."""
    total = Cost(bodies, cut.length, len(cut.chords))
    parts: tuple[MultiPolygon, ...] = ()
    cuts: tuple[SeamCut, ...] = (cut,)
    for group, chain in groups:
        found = solve(group, chain, total)
        if found is None:
            return None
        total = total.plus(found.cost)
        parts, cuts = (*parts, *found.parts), (*cuts, *found.cuts)
    return _Solved(total, parts, cuts)


def least_parts(shape: MultiPolygon, limits: Sequence[tuple[float, float]]) -> int:
    """Return a number of parts below which no parting is: points of the film of which no two fit one panel."""
    points = shapely.get_coordinates(shape)
    points = points[:: max(1, len(points) // POINTS)]
    best = 1
    for order in (np.lexsort((points[:, 1], points[:, 0])), np.lexsort((points[:, 0], points[:, 1]))):
        chosen: list[tuple[float, float]] = []
        for x, y in points[order].tolist():
            if not any(size_fits(abs(x - a), abs(y - b), limits) for a, b in chosen):
                chosen.append((x, y))
        best = max(best, len(chosen))
    return best


def _extent(bounds: Bounds) -> tuple[float, float]:
    return bounds[2] - bounds[0], bounds[3] - bounds[1]


def halves(shape: MultiPolygon, axis: int, at: float) -> tuple[list[MultiPolygon], list[MultiPolygon]]:
    """Return the parts of a shape before and after a line: films whose hulls interlock stay together."""
    x0, y0, x1, y1 = shape.bounds
    first = box(x0 - 1, y0 - 1, at, y1 + 1) if axis == 0 else box(x0 - 1, y0 - 1, x1 + 1, at)
    second = box(at, y0 - 1, x1 + 1, y1 + 1) if axis == 0 else box(x0 - 1, at, x1 + 1, y1 + 1)
    return _groups(shape.intersection(first)), _groups(shape.intersection(second))


def _groups(shape: shapely.Geometry) -> list[MultiPolygon]:
    """Return the polygons of a shape, those whose hulls meet together."""
    parts = [part for part in polygons_of(shape) if part.area > 1e-6]
    sets = [[part] for part in sorted(parts, key=lambda part: part.bounds)]
    merged = True
    while merged:
        merged = False
        hulls = [MultiPolygon(group).convex_hull for group in sets]
        for i in range(len(sets)):
            for j in range(i + 1, len(sets)):
                if hulls[i].distance(hulls[j]) < 1e-9:
                    sets[i] = sets[i] + sets.pop(j)
                    merged = True
                    break
            if merged:
                break
    return [film_of(MultiPolygon(group)) for group in sets]


def chords_of(groups: Sequence[MultiPolygon], axis: int, at: float) -> tuple[tuple[float, float], ...]:
    """Return where film of one side meets the line, (low, high) along it."""
    out = []
    for group in groups:
        for part in group.geoms:
            for ring in (part.exterior, *part.interiors):
                points = shapely.get_coordinates(ring)
                on = abs(points[:, axis] - at) < 1e-7
                for here in range(len(points) - 1):
                    if on[here] and on[here + 1]:
                        a, b = sorted((float(points[here, 1 - axis]), float(points[here + 1, 1 - axis])))
                        if b - a > 1e-9:
                            out.append((a, b))
    return tuple(_merged(sorted(out)))


def _merged(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    out: list[tuple[float, float]] = []
    for low, high in spans:
        if out and low <= out[-1][1] + 1e-9:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out
