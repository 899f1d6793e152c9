"""The truth about a parting by trying everything: every two sides of every set, and every tree of them.

Written apart from the library's search. It takes from it the graph (atoms, joins) and, for cuts that bend, whether a
line runs between two films; which sides come into question is worked out here, from the corners of the hulls.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

import numpy as np
from shapely.geometry import MultiPolygon, Polygon
from shapely.ops import unary_union

from bigsign.splitting.graph import ColourGraph
from bigsign.splitting.hooks import Hooks
from bigsign.splitting.limits import size_fits
from tests.splitting.brute_force import of_both

__all__ = ["Truth", "truth_of"]

Side = frozenset[int]
Cost = tuple[int, int, int, int]
WAY = 0.002


@dataclass(frozen=True)
class Truth:
    """The best cost in the policy's order (risk in thousandths, cm²), and of every set the least of each tier alone."""

    best: Cost
    least: dict[int, tuple[int, int, int]]


def truth_of(
    graph: ColourGraph,
    hooks: Hooks,
    limits: Sequence[tuple[float, float]],
    policy: str,
    tolerance: float,
    together: Sequence[frozenset[int]] = (),
    apart: Sequence[frozenset[int]] = (),
) -> Truth | None:
    """Return the best of all cut trees over the atoms of a graph; None: there is none.

    Parameters
    ----------
    hooks : of the atoms, asked for lines between films only.
    together, apart : what wishes hold together, and pairs that they part.
    """
    world = _World(graph, hooks)
    boxes = [atom.bounds for atom in graph.atoms]

    def allowed(group: Side) -> bool:
        width = max(boxes[i][2] for i in group) - min(boxes[i][0] for i in group)
        height = max(boxes[i][3] for i in group) - min(boxes[i][1] for i in group)
        return size_fits(width, height, limits) and not any(pair <= group for pair in apart)

    def area(group: Side) -> int:
        width = max(boxes[i][2] for i in group) - min(boxes[i][0] for i in group)
        height = max(boxes[i][3] for i in group) - min(boxes[i][1] for i in group)
        return round(width * height / 100)

    least: dict[int, tuple[int, int, int]] = {}

    @cache
    def solve(group: Side) -> Cost | None:
        best: Cost | None = None
        sole = None
        if allowed(group):
            best = (0, 1, 0, area(group)) if policy == "words" else (1, 0, 0, area(group))
            sole = (0, 1, 0)
        for a, b in world.cuts(group, together, fits=allowed(group)):
            one, two = solve(a), solve(b)
            if one is None or two is None:
                continue
            breaks, risk = world.cost(a, b, tolerance)
            total = of_both(one, two, breaks, risk, policy)
            if best is None or total < best:
                best = total
            x, y = least[_mask(a)], least[_mask(b)]
            found = (x[0] + y[0] + breaks, x[1] + y[1], x[2] + y[2] + risk)
            sole = found if sole is None else (min(sole[0], found[0]), min(sole[1], found[1]), min(sole[2], found[2]))
        if sole is not None:
            least[_mask(group)] = sole
        return best

    found = solve(frozenset(range(len(graph.atoms))))
    return None if found is None else Truth(found, least)


def _mask(group: Side) -> int:
    return sum(1 << i for i in group)


class _World:
    """The atoms of a graph, and where they can be cut apart."""

    def __init__(self, graph: ColourGraph, hooks: Hooks) -> None:
        self.graph, self.hooks = graph, hooks
        self.films = [atom.film for atom in graph.atoms]
        words: dict[str, set[int]] = {}
        for index, atom in enumerate(graph.atoms):
            for node in atom.nodes:
                if node in graph.word_of:
                    words.setdefault(graph.word_of[node], set()).add(index)
        groups: list[set[int]] = []
        for held in words.values():
            touching = [group for group in groups if group & held]
            groups = [group for group in groups if not group & held] + [held.union(*touching)]
        self.words = [frozenset(group) for group in groups if len(group) > 1]

    def neighbours(self, side: Side) -> list[Side]:
        whole = [word for word in self.words if word <= side]
        rest = side.difference(*whole)
        return whole + [frozenset({i}) for i in rest]

    def hull(self, group: Side) -> Polygon:
        made = MultiPolygon([part for i in group for part in self.films[i].geoms]).convex_hull
        assert isinstance(made, Polygon)
        return made

    @cache  # noqa: B019 - a world lives as long as its case
    def meet(self, one: Side, two: Side) -> bool:
        return bool(self.hull(one).distance(self.hull(two)) <= WAY)

    def hooked(self, a: Side, b: Side) -> list[tuple[Side, Side]]:
        return [(g, k) for g in self.neighbours(a) for k in self.neighbours(b) if self.meet(g, k)]

    def cuts(self, group: Side, together: Sequence[frozenset[int]], fits: bool) -> Iterator[tuple[Side, Side]]:
        """Yield every two sides that a line parts, straight or bent at hooks; free ones where there are none."""
        first = min(group)
        rest = sorted(group - {first})
        found = False
        lines: list[tuple[float, float, float]] | None = None
        for size in range(len(rest)):
            for chosen in combinations(rest, size):
                a = frozenset({first, *chosen})
                b = group - a
                if any(not held.isdisjoint(a) and not held.isdisjoint(b) for held in together):
                    continue
                if self.hull(a).distance(self.hull(b)) > WAY / 2:
                    found = True
                    yield a, b
                    continue
                pairs = self.hooked(a, b)
                if pairs:
                    lines = self._lines(group) if lines is None else lines
                    licensed = frozenset().union(*(g | k for g, k in pairs))
                    if any(self._along(line, a, b, licensed) for line in lines) and self._way(a, b):
                        found = True
                        yield a, b
        if found or fits:
            return
        for sides in (self.neighbours(group), [frozenset({i}) for i in group]):
            for side in sides:
                cut = any(not held.isdisjoint(side) and not held <= side for held in together)
                if side == group or cut:
                    continue
                if self._way(side, group - side) or self.hooks.free(_mask(side), _mask(group - side)):
                    found = True
                    yield side, group - side
            if found:
                return

    def _way(self, a: Side, b: Side) -> bool:
        one, two = (a, b) if min(a) < min(b) else (b, a)
        return self.hooks.way(_mask(one), _mask(two)) is not None

    def _lines(self, group: Side) -> list[tuple[float, float, float]]:
        """Return the inner tangents of all shapes in a set: its atoms, its whole words, and cores of what hooks."""
        shapes = [(frozenset({i}), self.hull(frozenset({i}))) for i in sorted(group)]
        sides = [frozenset({i}) for i in sorted(group)] + [word for word in self.words if word <= group]
        for one in sides:
            others = [two for two in sides if not one & two and self.meet(one, two)]
            if others and len(one) > 1:
                shapes.append((one, self.hull(one)))
            for two in others:
                film = unary_union([self.films[i] for i in one])
                left = film.difference(self.hull(two))
                core = left.convex_hull
                if left.area > 1e-4 and isinstance(core, Polygon):
                    shapes.append((one, core))
        out = []
        for (one, hull), (two, other) in combinations(shapes, 2):
            if not one & two and hull.distance(other) > 0:
                out.extend(_tangents(hull, other))
        return out

    def _along(self, line: tuple[float, float, float], a: Side, b: Side, licensed: Side) -> bool:
        """Whether all lies clear of a line on its own side but licensed neighbours that reach over it."""
        for low, high in ((a, b), (b, a)):
            stray = [
                neighbour
                for side, sign in ((low, 1.0), (high, -1.0))
                for neighbour in self.neighbours(side)
                if self._reach(neighbour, line, sign)[1] > 1e-6
            ]
            over = all(
                self._reach(neighbour, line, 1.0 if neighbour <= low else -1.0)[0] < -1e-6 for neighbour in stray
            )
            if stray and over and frozenset().union(*stray) <= licensed:
                return True
        return False

    def _reach(self, group: Side, line: tuple[float, float, float], sign: float) -> tuple[float, float]:
        """Return the least and the greatest distance of a group's film beyond a line."""
        nx, ny, c = line
        run = sign * (np.asarray(self.hull(group).exterior.coords) @ (nx, ny) - c)
        return float(run.min()), float(run.max())

    def cost(self, a: Side, b: Side, tolerance: float) -> tuple[int, int]:
        parted = [
            join for join in self.graph.joins if (join.a in a and join.b in b) or (join.a in b and join.b in a)
        ]  # fmt: skip
        risk = max((round(1000 * tolerance / max(join.gap_mm, tolerance)) for join in parted), default=0)
        return sum(self.graph.edges[join.edge].kind == "letter" for join in parted), risk


def _tangents(first: Polygon, second: Polygon) -> list[tuple[float, float, float]]:
    """Return the lines through a corner of either that leave them on different sides."""
    one, two = (np.asarray(hull.exterior.coords)[:-1] for hull in (first, second))
    out = []
    for p in one:
        for q in two:
            d = q - p
            size = float(np.hypot(*d))
            n = np.array([-d[1], d[0]]) / size
            c = float(n @ p)
            u, v = one @ n - c, two @ n - c
            if (u.max() <= 1e-9 and v.min() >= -1e-9) or (u.min() >= -1e-9 and v.max() <= 1e-9):
                sign = 1.0 if u.max() <= 1e-9 else -1.0
                out.append((float(sign * n[0]), float(sign * n[1]), sign * c))
    return out
