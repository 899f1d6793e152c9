"""Cutting parts of a piece: what fits, where lines may run, and what a line leaves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from shapely.geometry import MultiPolygon

from bigsign.splitting.limits import box_fits
from bigsign.splitting.seam_clip import chords_of, first_point, halves, shared
from bigsign.splitting.seam_places import Place, Places, Which, sweeps_of
from bigsign.splitting.seam_records import Bounds, SeamCut, SeamRules, Total
from bigsign.splitting.seam_spans import row_bound
from bigsign.splitting.sweep import Sweep

__all__ = ["Cutting", "Group", "Made", "Node", "gathered"]

SIDE = 1e-6  # mm
HEAVY = 250  # edges of a part that make it one more unit of work to cut


@dataclass(frozen=True, eq=False)
class Group:
    """Film that no straight line parts, to be parted further.

    Parameters
    ----------
    laps : whether it carries an overlap at its left, and at its lower side.
    chain : the axis along which it was cut off before a line with nothing beside it: not cut along it again first.
    """

    shape: MultiPolygon
    laps: tuple[bool, bool]
    chain: int | None

    @cached_property
    def key(self) -> tuple[object, ...]:
        """What tells a group from all others of its piece."""
        bounds = tuple(round(value, 6) for value in self.shape.bounds)
        return (bounds, tuple(first_point(part) for part in self.shape.geoms), self.laps, self.chain)


class Made(NamedTuple):
    """A cut that was carried out: what it costs, the cut, and the groups it leaves, the largest first."""

    cost: Total
    cut: SeamCut
    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class Node:
    """A parting of a group: no cut where it fits, else the cut and the partings of what it leaves."""

    group: Group
    cost: Total
    made: Made | None = None
    children: tuple[Node, ...] = ()

    def parts(self) -> tuple[MultiPolygon, ...]:
        """Return the parts, in the order of the tree."""
        if self.made is None:
            return (self.group.shape,)
        return tuple(part for child in self.children for part in child.parts())

    def cuts(self) -> tuple[SeamCut, ...]:
        """Return the cuts, each before those of what it leaves."""
        if self.made is None:
            return ()
        return (self.made.cut, *(cut for child in self.children for cut in child.cuts()))


def gathered(group: Group, made: Made, children: Sequence[Node]) -> Node:
    """Return a cut with the partings of all that it leaves."""
    total = made.cost
    for child in children:
        total = total.plus(child.cost)
    return Node(group, total, made, tuple(children))


class Cutting:
    """What can be done to groups of one piece; ``work`` counts what was done, in cuts of a simple shape."""

    def __init__(self, rules: SeamRules, which: Which = "all", hints: Sequence[tuple[int, float, float]] = ()) -> None:
        self.rules, self.places, self.work = rules, Places(rules, which, hints), 0
        self._sweeps: dict[tuple[object, ...], tuple[Sweep, Sweep]] = {}
        self._rows: dict[tuple[object, ...], float] = {}
        self._moves: dict[tuple[object, ...], list[Place]] = {}

    def whole(self, shape: MultiPolygon) -> Group:
        """Return a piece as it is before any cut."""
        return Group(shape, (False, False), None)

    def grown(self, group: Group) -> Bounds:
        """Return a group's box with the overlap it carries."""
        x0, y0, x1, y1 = group.shape.bounds
        return x0 - self.rules.overlap * group.laps[0], y0, x1, y1 + self.rules.overlap * group.laps[1]

    def fits(self, group: Group) -> bool:
        """Whether a group can be one panel."""
        return box_fits(self.grown(group), self.rules.limits)

    def sweeps(self, group: Group) -> tuple[Sweep, Sweep]:
        """Return the sweeps of a group along both axes."""
        key = group.key[:2]
        if key not in self._sweeps:
            self._sweeps[key] = sweeps_of(group.shape, self.rules.angle)
        return self._sweeps[key]

    def moves(self, group: Group) -> list[Place]:
        """Return every line worth trying first, the cheapest first."""
        key = group.key
        if key not in self._moves:
            self.work += 2 + self.sweeps(group)[0].size // HEAVY
            self._moves[key] = self.places.of(self.sweeps(group), self.grown(group), group.chain)
        return self._moves[key]

    def rows(self, group: Group) -> float:
        """Return what seams of a group come to at least, by its rows and columns of film, mm."""
        key = group.key[:2]
        if key not in self._rows:
            self._rows[key] = row_bound(self.sweeps(group), self.rules)
        return self._rows[key]

    def halving(self, group: Group) -> list[Place]:
        """Return the lines, the cheapest first, of which both sides might fit as far as their reach from it tells."""
        bounds = self.grown(group)
        sizes = [max(pair[axis] for pair in self.rules.limits) for axis in (0, 1)]
        return [
            place for place in self.moves(group)
            if place.at - bounds[place.axis] <= sizes[place.axis] >= bounds[place.axis + 2] - place.at
        ]  # fmt: skip

    def make(self, group: Group, axis: int, at: float) -> Made | None:
        """Carry a cut out; None where the rules bar it."""
        sweep = self.sweeps(group)[axis]
        self.work += 1 + sweep.size // HEAVY
        if not sweep.allowed(at):
            return None
        low, high = halves(group.shape, axis, at, sweep.share_before(at))
        chords = shared(chords_of(low, axis, at), chords_of(high, axis, at))
        if not chords or self._leaves_sliver([*low, *high], axis, at):
            return None
        cut = SeamCut(axis, at, chords)
        cost = cut.total._replace(bodies=self.places.bodies(axis, at))
        groups = [Group(shape, self._laps(group, shape, axis, at, 0), axis if len(low) == 1 else None) for shape in low]
        groups += [Group(shape, self._laps(group, shape, axis, at, 1), None) for shape in high]
        groups.sort(key=lambda made: (-_longest(made.shape.bounds), made.shape.bounds))
        return Made(cost, cut, tuple(groups))

    def _laps(self, group: Group, shape: MultiPolygon, axis: int, at: float, side: int) -> tuple[bool, bool]:
        """Return where a part of a group carries an overlap: at seams along its left and its lower side."""
        if self.rules.overlap <= 0:
            return False, False
        x0, _, _, y1 = shape.bounds
        left = group.laps[0] and abs(x0 - group.shape.bounds[0]) < SIDE
        lower = group.laps[1] and abs(y1 - group.shape.bounds[3]) < SIDE
        if axis == 0 and side == 1:
            left = abs(x0 - at) < SIDE
        if axis == 1 and side == 0:
            lower = abs(y1 - at) < SIDE
        return left, lower

    def _leaves_sliver(self, groups: Sequence[MultiPolygon], axis: int, at: float) -> bool:
        """Whether a part that the line makes reaches less than the sliver width from it."""
        for group in groups:
            for part in group.geoms:
                near, far = part.bounds[axis], part.bounds[axis + 2]
                touches = abs(near - at) < SIDE or abs(far - at) < SIDE
                if touches and far - near < self.rules.sliver - SIDE:
                    return True
        return False


def _longest(bounds: Bounds) -> float:
    return max(bounds[2] - bounds[0], bounds[3] - bounds[1])
