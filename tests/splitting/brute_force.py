"""A brute force over cut trees, written apart from the search: every bipartition of every set, tested with shapely."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from typing import Union

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

Side = frozenset[int]
Cost = tuple[int, ...]
Way = Callable[[Side, Side], bool]
Tree = Union[Side, tuple["Tree", "Tree"]]  # noqa: UP007 - it names itself
APART = 0.002  # mm between two hulls for a straight cut
DUST = 1e-4  # mm²: less left of a film is a rounding
Ways = Callable[[Sequence[Polygon], frozenset[int]], list[tuple[frozenset[int], frozenset[int]]]]


def linear_ways(shapes: Sequence[Polygon], group: frozenset[int]) -> list[tuple[frozenset[int], frozenset[int]]]:
    """Return every way a straight line parts a group: both hulls must be apart."""
    first = min(group)
    rest = sorted(group - {first})
    out = []
    for size in range(len(rest)):
        for chosen in combinations(rest, size):
            a = frozenset({first, *chosen})
            b = group - a
            hull = [MultiPolygon([shapes[i] for i in side]).convex_hull for side in (a, b)]
            if hull[0].distance(hull[1]) > 0.002:
                out.append((a, b))
    return out


def plumb_or_level_ways(
    shapes: Sequence[Polygon], group: frozenset[int]
) -> list[tuple[frozenset[int], frozenset[int]]]:
    """Return every way a plumb or level line parts a group."""
    out = []
    for axis in (0, 1):
        for at in sorted(shapes[i].bounds[axis + 2] for i in group):
            low = frozenset(i for i in group if shapes[i].bounds[axis + 2] <= at)
            high = frozenset(i for i in group if shapes[i].bounds[axis] > at)
            if low and high and low | high == group:
                out.append((low, high))
    return out


def of_both(
    one: tuple[int, int, int, int], two: tuple[int, int, int, int], breaks: int, risk: int, policy: str
) -> tuple[int, int, int, int]:
    """Return the cost of two sides and the cut between them."""
    lead = (breaks, 0) if policy == "words" else (0, breaks)
    return one[0] + two[0] + lead[0], one[1] + two[1] + lead[1], one[2] + two[2] + risk, max(one[3], two[3])


def best_cost(
    shapes: Sequence[Polygon],
    words: Sequence[int],
    edges: Sequence[tuple[int, int, float]],
    usable: tuple[float, float],
    policy: str,
    tolerance: float = 1.0,
    ways: Ways | None = None,
) -> tuple[int, int, int, int] | None:
    """Return the best (breaks, panels, risk in thousandths, largest area in cm²) over all cut trees.

    For the policy ``panels`` the first two are swapped.

    Parameters
    ----------
    words : the word of each shape; shapes are in reading order and consecutive ones of a word are joined.
    edges : (a, b, gap) of the adjacency graph.
    """

    def box(group: frozenset[int]) -> tuple[float, float]:
        boxes = [shapes[i].bounds for i in group]
        return (
            max(b[2] for b in boxes) - min(b[0] for b in boxes),
            max(b[3] for b in boxes) - min(b[1] for b in boxes),
        )

    def cut_cost(a: frozenset[int], b: frozenset[int]) -> tuple[int, int]:
        parted = [(i, j, gap) for i, j, gap in edges if (i in a and j in b) or (i in b and j in a)]
        risk = round(1000 * tolerance / max(min(gap for _, _, gap in parted), tolerance)) if parted else 0
        breaks = sum(abs(i - j) == 1 and words[i] == words[j] for i, j, _ in parted)
        return breaks, risk

    @cache
    def solve(group: frozenset[int]) -> tuple[int, int, int, int] | None:
        width, height = box(group)
        w, h = usable
        best = None
        if (width <= w + 0.001 and height <= h + 0.001) or (width <= h + 0.001 and height <= w + 0.001):
            best = (
                (0, 1, 0, round(width * height / 100)) if policy == "words" else (1, 0, 0, round(width * height / 100))
            )
        for a, b in (ways or linear_ways)(shapes, group):
            one, two = solve(a), solve(b)
            if one is None or two is None:
                continue
            breaks, risk = cut_cost(a, b)
            total = of_both(one, two, breaks, risk, policy)
            if best is None or total < best:
                best = total
        return best

    return solve(frozenset(range(len(shapes))))


@dataclass(frozen=True)
class Films:
    """What the trees of a colour are made of, with nothing of the library but what is read: see `Trees`.

    Parameters
    ----------
    films : of each unit: what no cut parts.
    boxes : of each unit, seams' overlaps included.
    joins : (one unit, other unit, gap in mm, whether inside a word), a seam with a gap of 0.
    words : the units of each word, words that share a unit as one.
    limits : (width, height) that a panel's film may have.
    apart : pairs of units that a wish puts on different panels.
    """

    films: Sequence[BaseGeometry]
    boxes: Sequence[tuple[float, float, float, float]]
    joins: Sequence[tuple[int, int, float, bool]]
    words: Sequence[frozenset[int]]
    limits: Sequence[tuple[float, float]]
    apart: Sequence[tuple[int, int]] = ()

    def size(self, group: Side) -> tuple[float, float]:
        """Return width and height of a group's film."""
        boxes = np.array([self.boxes[i] for i in group])
        return float(boxes[:, 2].max() - boxes[:, 0].min()), float(boxes[:, 3].max() - boxes[:, 1].min())

    def fits(self, group: Side) -> bool:
        """Whether a group can be one panel."""
        width, height = self.size(group)
        wished = any(a in group and b in group for a, b in self.apart)
        return not wished and any(width <= w and height <= h for w, h in self.limits)

    def area(self, group: Side) -> int:
        """Return the box area of a group in whole cm²."""
        width, height = self.size(group)
        return round(width * height / 100)

    def parted(self, a: Side, b: Side, tolerance: float) -> tuple[int, int]:
        """Return (breaks, risk in thousandths) of a cut."""
        joins = [join for join in self.joins if (join[0] in a and join[1] in b) or (join[0] in b and join[1] in a)]
        if not joins:
            return 0, 0
        return sum(join[3] for join in joins), round(1000 * tolerance / max(min(join[2] for join in joins), tolerance))


@dataclass(frozen=True)
class Order:
    """How costs compare: the policy's order, or the weighted sum of (breaks, panels, risk) first."""

    policy: str
    weights: tuple[float, float, float] | None = None

    def adds(self, breaks: int, panels: int, risk: int) -> tuple[int, ...]:
        """Return what adds over the cuts and panels of a tree, the first tier first."""
        if self.weights is not None:
            w = [round(1000 * weight) for weight in self.weights]
            return 1000 * (w[0] * breaks + w[1] * panels) + w[2] * risk, breaks, panels, risk
        return (panels, breaks, risk) if self.policy == "panels" else (breaks, panels, risk)

    def sum(self, one: Cost, two: Cost, more: tuple[int, ...]) -> Cost:
        """Return the cost of two parts with the cut between them: the largest area stands last."""
        return *(a + b + c for a, b, c in zip(one, two, more, strict=False)), max(one[-1], two[-1])


class Trees:
    """All cut trees of some films, by the definition of a cut: straight, bent where neighbours hook, or free.

    A *neighbour* on a side is a whole word if all of it lies there, else a unit. Two of different sides are *hooked* if
    their hulls meet; the core of one is its film outside the hulls of all that it is hooked with. A cut is straight if
    the hulls of its sides are apart. It bends if any neighbours are hooked, the hull of all cores of one side is apart
    from that of the other's, and a way runs. A set that neither parts and that fits no panel may lose one neighbour.
    """

    def __init__(self, films: Films, order: Order, tolerance: float, way: Way, free: Way) -> None:
        self.given, self.order, self.tolerance, self.way, self.free = films, order, tolerance, way, free
        self.everything = frozenset(range(len(films.films)))
        self._hulls: dict[Side, BaseGeometry] = {}
        self._cores: dict[tuple[Side, frozenset[Side]], BaseGeometry] = {}
        self._ways: dict[tuple[Side, Side], bool] = {}
        self._best: dict[Side, Cost | None] = {}
        shapes = [frozenset({i}) for i in self.everything] + [word for word in films.words if len(word) > 1]
        self._partners = {
            one: [two for two in shapes if not one & two and self._hull(one).distance(self._hull(two)) <= APART]
            for one in shapes
        }

    def best(self, group: Side | None = None) -> Cost | None:
        """Return the least cost of all trees over a group: what adds, then the largest area; None: there is no tree."""
        group = self.everything if group is None else group
        if group not in self._best:
            self._best[group] = self._solve(group)
        return self._best[group]

    def straight(self, a: Side, b: Side) -> bool:
        """Whether a straight line parts two sides."""
        return bool(self._hull(a).distance(self._hull(b)) > APART)

    def bendable(self, a: Side, b: Side) -> bool:
        """Whether neighbours are hooked across and all cores apart."""
        ones, twos = self._neighbours(a), self._neighbours(b)
        across = {g: frozenset(k for k in self._partners[g] if k in twos) for g in ones}
        back = {k: frozenset(g for g in self._partners[k] if g in ones) for k in twos}
        if not any(across.values()):
            return False
        cores = [
            shapely.union_all([self._core(shape, hooked) for shape, hooked in side.items()]).convex_hull
            for side in (across, back)
        ]
        return any(core.is_empty for core in cores) or bool(cores[0].distance(cores[1]) > APART)

    def runs(self, a: Side, b: Side) -> bool:
        """Whether a way runs between two sides."""
        key = (a, b) if min(a) < min(b) else (b, a)
        if key not in self._ways:
            self._ways[key] = self.way(*key)
        return self._ways[key]

    def cost(self, tree: Tree) -> Cost:
        """Return the cost of a tree."""
        if isinstance(tree, frozenset):
            return *self.order.adds(0, 1, 0), self.given.area(tree)
        one, two = tree
        breaks, risk = self.given.parted(units_in(one), units_in(two), self.tolerance)
        return self.order.sum(self.cost(one), self.cost(two), self.order.adds(breaks, 0, risk))

    def holds(self, tree: Tree) -> bool:
        """Whether every panel of a tree fits and every cut leaves its straight line for nothing but what hooks."""
        if isinstance(tree, frozenset):
            return self.given.fits(tree)
        a, b = units_in(tree[0]), units_in(tree[1])
        cut = self.straight(a, b) or ((self.bendable(a, b) or self.firm(a, b)) and self.runs(a, b))
        return cut and self.holds(tree[0]) and self.holds(tree[1])

    def firm(self, a: Side, b: Side) -> bool:
        """Whether any neighbours are hooked, and a straight line parts all that are not."""
        ones, twos = self._neighbours(a), self._neighbours(b)
        free = [
            frozenset().union(*(g for g in s if not any(k in t for k in self._partners[g])))
            for s, t in ((ones, twos), (twos, ones))
        ]
        hooked = free[0] | free[1] != a | b
        return hooked and (not free[0] or not free[1] or self.straight(free[0], free[1]))

    def _solve(self, group: Side) -> Cost | None:
        if self.given.fits(group):  # one panel is best in every tier
            return self.cost(group)
        pairs = list(_halves(group))
        straight = [pair for pair in pairs if self.straight(*pair)]
        found = [cost for cost in (self._joined(*pair) for pair in straight) if cost is not None]
        best = min(found, default=None)
        rest = [pair for pair in pairs if pair not in straight] if self._any_hook(group) else []
        bent = [pair for pair in rest if self.bendable(*pair)]
        costs = [(cost, pair) for pair in bent if (cost := self._joined(*pair)) is not None]
        for cost, pair in sorted(costs, key=lambda entry: entry[0]):
            if best is not None and cost >= best:
                break
            if self.runs(*pair):
                best = cost
        if best is None and not straight and not any(self.runs(*pair) for pair in bent):
            sides = self._neighbours(group)
            sides = sides if len(sides) > 1 else [frozenset({i}) for i in group]
            pairs = [(s, group - s) for s in sides if s != group]
            ways = [(a, b) for a, b in pairs if self.runs(a, b) or self.free(a, b)]
            best = min((cost for pair in ways if (cost := self._joined(*pair)) is not None), default=None)
        return best

    def _joined(self, a: Side, b: Side) -> Cost | None:
        one = self.best(a)
        two = None if one is None else self.best(b)
        if one is None or two is None:
            return None
        breaks, risk = self.given.parted(a, b, self.tolerance)
        return self.order.sum(one, two, self.order.adds(breaks, 0, risk))

    def _any_hook(self, group: Side) -> bool:
        return any(shape <= group and any(two <= group for two in twos) for shape, twos in self._partners.items())

    def _neighbours(self, side: Side) -> list[Side]:
        whole = [word for word in self.given.words if len(word) > 1 and word <= side]
        return whole + [frozenset({i}) for i in side.difference(*whole)]

    def _hull(self, group: Side) -> BaseGeometry:
        if group not in self._hulls:
            self._hulls[group] = shapely.union_all([self.given.films[i] for i in group]).convex_hull
        return self._hulls[group]

    def _core(self, group: Side, hooked: frozenset[Side]) -> BaseGeometry:
        if (group, hooked) not in self._cores:
            film = shapely.union_all([self.given.films[i] for i in group])
            left = film.difference(shapely.union_all([self._hull(other) for other in hooked]))
            self._cores[group, hooked] = left if left.area > DUST else Polygon()
        return self._cores[group, hooked]


def units_in(tree: Tree) -> Side:
    """Return all units of a tree."""
    return tree if isinstance(tree, frozenset) else units_in(tree[0]) | units_in(tree[1])


def _halves(group: Side) -> Iterator[tuple[Side, Side]]:
    first = min(group)
    rest = sorted(group - {first})
    for size in range(len(rest)):
        for chosen in combinations(rest, size):
            a = frozenset({first, *chosen})
            yield a, group - a
