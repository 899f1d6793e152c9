"""Whether and how a line passes between two sets of units: straight, bent at hooks, or winding freely."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import LineString, MultiPoint

from bigsign.splitting.bits import bits_of
from bigsign.splitting.graph import FloatArray
from bigsign.splitting.hooks import Hooks
from bigsign.splitting.tree import Way
from bigsign.tolerances import TOLERANCES

__all__ = ["Passages"]

Sides = tuple[int, int]

STATES_A_WAY = 300  # states that take as long as to build a way
CORNERS_A_WAY = 8_000  # of the film on both sides, of which building a way takes that long


class Passages:
    """What is known of the lines between sets of units; a pair of sets is named with that of the lowest unit first.

    Parameters
    ----------
    hulls : n arrays of k × 2 points, mm.
    hooks : what is known of units whose hulls meet; None: the hulls are disjoint, all lines straight.
    """

    def __init__(self, hulls: Sequence[FloatArray], hooks: Hooks | None = None) -> None:
        self.hooks = hooks
        self._hulls = [MultiPoint(hull) for hull in hulls]
        self._straight: dict[Sides, bool] = {}
        self._ways: dict[Sides, Way | None] = {}
        self._freed: dict[Sides, Way | None] = {}
        self.barred: set[Sides] = set()
        self._shut: set[Sides] = set()
        self._hoped: set[Sides] = set()
        self.effort = 0  # spent on looking for ways, in states of a search that take as long

    @property
    def bends(self) -> bool:
        """Whether any of the units hook, so that cuts may bend."""
        return self.hooks is not None and bool(self.hooks.hookable)

    def straight(self, side: int, other: int) -> bool:
        """Whether a straight line parts two sides."""
        key = _sides(side, other)
        if key not in self._straight:
            one, two = (shapely.union_all([self._hulls[n] for n in bits_of(m)]).convex_hull for m in key)
            self._straight[key] = float(one.distance(two)) > TOLERANCES.way / 2
        return self._straight[key]

    def way(self, side: int, other: int) -> Way | None:
        """Return the line between two sides that no straight one parts; None: one does, or none was found."""
        key = _sides(side, other)
        if self.hooks is None or self.straight(*key):
            return None
        if key not in self._ways:
            self._spend(key)
            line = self.hooks.way(*key)
            self._ways[key] = None if line is None else Way(_points(line), self.hooks.meetings(*key), False)
        return self._ways[key] or self._freed.get(key)

    def _spend(self, key: Sides) -> None:
        """Count a way that is looked for: one along a coast takes as long as many past letters."""
        assert self.hooks is not None
        corners = sum(self.hooks.corners(side) for side in key)
        self.effort += round(STATES_A_WAY * max(1.0, corners / CORNERS_A_WAY))

    def runs(self, side: int, other: int) -> bool:
        """Whether a line runs between two sides; a pair between which none does is shut from now on."""
        if self.straight(side, other) or self.way(side, other) is not None:
            return True
        if _sides(side, other) in self._hoped and self.opens_freely(side, other):
            return True
        self._shut.add(_sides(side, other))
        return False

    def may_open(self, side: int, other: int) -> bool:
        """Whether a winding line between two sides is to be hoped for: it is looked for once a cut is to follow it."""
        key = _sides(side, other)
        if key in self.barred or self.hooks is None or self._freed.get(key, False) is None:
            return False
        self._hoped.add(key)
        return True

    def opens_freely(self, side: int, other: int) -> bool:
        """Whether a line runs between two sides if it may wind as it likes: asked where nothing else parts them."""
        key = _sides(side, other)
        if key in self.barred or self.hooks is None:
            return False
        if key not in self._freed:
            self._spend(key)
            line = self.hooks.free(*key)
            self._freed[key] = None if line is None else Way(_points(line), self.hooks.meetings(*key), True)
        return self._freed[key] is not None

    def bar(self, side: int, other: int) -> None:
        """Let no cut part these two sides."""
        if side and other:
            self.barred.add(_sides(side, other))

    @property
    def shut(self) -> set[Sides]:
        """The sides that no cut parts: those barred, and those between which no line was found to run."""
        return self.barred | {key for key in self._shut if self._freed.get(key) is None}

    def is_shut(self, side: int, other: int) -> bool:
        """Whether no cut parts these two sides; the side with the lowest unit first."""
        return (side, other) in self.barred or (side, other) in self._shut


def _sides(side: int, other: int) -> Sides:
    return (side, other) if side & -side < other & -other else (other, side)


def _points(line: LineString) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in line.coords)
