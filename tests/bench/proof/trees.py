"""A parting against every tree of cuts as they are defined; its cuts, measures and bounds looked at one by one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from networkx.utils import UnionFind
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from bigsign.errors import InputError
from bigsign.splitting.bits import set_of
from bigsign.splitting.families import hooks_of
from bigsign.splitting.graph import ColourGraph
from bigsign.splitting.layers import layered_graphs
from bigsign.splitting.tree import Branch, CutTree, Leaf, Node, leaves
from bigsign.splitting.units import merge_units
from bigsign.splitting.wishes import resolve_wishes
from tests.bench.proof.kinds import Sign
from tests.splitting.brute_force import APART, Films, Order, Tree, Trees

__all__ = ["Case", "case_of", "cut_faults", "partable", "tree_faults"]

MOST = 9  # units for which every tree is tried
ROOM = 0.05  # mm a way keeps of film at least
LOST = {"budget", "areas", "lines"}  # with any of these the search was not run to its end


@dataclass(frozen=True)
class Case:
    """A graph as the brute force sees it: all its trees, and the unit each atom is in."""

    trees: Trees
    unit_of: dict[int, int]

    def tree(self, node: Node) -> Tree:
        """Return the library's tree as one of units."""
        if isinstance(node, Leaf):
            return frozenset(self.unit_of[atom] for atom in node.atoms)
        return self.tree(node.first), self.tree(node.second)


def case_of(sign: Sign, graph: ColourGraph) -> Case:
    """Return what the brute force needs of a graph; whether a line runs between two films is asked of the library."""
    atoms, settings = graph.atoms, sign.settings
    together: UnionFind[int] = UnionFind(range(len(atoms)))
    apart: list[tuple[int, int]] = []
    for frame, inner in _enclosed([atom.film for atom in atoms]):
        together.union(frame, inner)
    for wish in resolve_wishes(settings.wishes, sign.lettering):
        for group in wish.together:
            held = [atom for node in group for atom in graph.atoms_of.get(node, ())]
            if held:
                together.union(*held)
        apart += [
            (a, b) for one, two in wish.apart
            for a in graph.atoms_of.get(one, ()) for b in graph.atoms_of.get(two, ()) if a != b
        ]  # fmt: skip
    groups: dict[int, list[int]] = {}
    for atom in range(len(atoms)):
        groups.setdefault(together[atom], []).append(atom)
    units = list(groups.values())
    unit_of = {atom: rank for rank, group in enumerate(units) for atom in group}
    words: UnionFind[int] = UnionFind(range(len(units)))
    spelled: dict[str, set[int]] = {}
    for index, held_here in enumerate(atoms):
        for node in held_here.nodes:
            if node in graph.word_of:
                spelled.setdefault(graph.word_of[node], set()).add(unit_of[index])
    for ranks in spelled.values():
        words.union(*ranks)
    w, h = sign.usable[0] + 0.001, sign.usable[1] + 0.001
    films = Films(
        [MultiPolygon([part for atom in group for part in atoms[atom].film.geoms]) for group in units],
        [_around([atoms[atom].bounds for atom in group]) for group in units],
        [
            (unit_of[join.a], unit_of[join.b], join.gap_mm, graph.edges[join.edge].kind == "letter")
            for join in graph.joins if unit_of[join.a] != unit_of[join.b]
        ],
        [frozenset(group) for group in words.to_sets()],
        [(w, h)] if sign.turning == "none" else [(w, h), (h, w)],
        [(unit_of[a], unit_of[b]) for a, b in apart],
    )  # fmt: skip
    same, _ = merge_units(graph, units, lambda _: True)
    hooks = hooks_of(same, graph)
    weights = settings.weights
    order = Order(settings.policy, None if weights is None else (weights.in_word_breaks, weights.panels, weights.risk))
    trees = Trees(
        films, order, settings.placement_tolerance,
        lambda a, b: hooks.way(set_of(a), set_of(b)) is not None,
        lambda a, b: hooks.free(set_of(a), set_of(b)) is not None,
    )  # fmt: skip
    return Case(trees, unit_of)


def tree_faults(sign: Sign, tree: CutTree) -> Iterator[str]:
    """Yield where a parting is not what it says: its measures, its bounds, and that nothing is better."""
    case = case_of(sign, tree.graph)
    trees, own, m = case.trees, case.tree(tree.root), tree.measures
    if sorted(atom for leaf in leaves(tree.root) for atom in leaf.atoms) != list(range(len(tree.graph.atoms))):
        yield "invalid: not every atom once"
        return
    if not all(trees.given.fits(frozenset(case.unit_of[atom] for atom in leaf.atoms)) for leaf in leaves(tree.root)):
        yield "invalid: a panel that does not fit, or that a wish parts"
    cost = trees.cost(own)
    adds = trees.order.adds(m.in_word_breaks, m.panels, round(1000 * m.risk))
    said = (*adds, round(m.largest_panel_area / 100))
    if cost != said:
        yield f"invalid: it says {said}, but costs {cost}"
    if len(trees.everything) > MOST:
        return
    best = trees.best()
    if best is None:
        yield "beyond: a plan where no tree of cuts as defined is one"
        return
    if not LOST & set(tree.report.certificate.dropped):
        if cost > best:
            yield f"worse: {cost}, where some tree costs {best}"
        elif cost < best:
            yield f"beyond: {cost}, where no tree of cuts as defined costs less than {best}"
    if trees.order.weights is None:
        yield from _bounds(tree, min(best, cost))


def _bounds(tree: CutTree, truth: Sequence[int]) -> Iterator[str]:
    """Yield the bounds that are above the truth: the first tier's, and each next one's where all before are met."""
    names = ["in_word_breaks", "panels", "risk"]
    if tree.report.policy == "panels":
        names[:2] = names[1], names[0]
    for name, true in zip(names, truth, strict=False):
        bound = tree.report.bound[name]
        if bound is None:
            return
        units = round(1000 * bound) if name == "risk" else round(bound)
        if units > true:
            yield f"unsound: bound {units} of {name}, where some tree has {true}"
        if units != true:
            return


def partable(sign: Sign) -> bool:
    """Whether a refused sign of few pieces, none of them too big, has a tree all the same."""
    limits = [sign.usable] if sign.turning == "none" else [sign.usable, sign.usable[::-1]]
    try:
        graphs = list(layered_graphs(sign.artwork, sign.lettering, limits))
        cases = [case_of(sign, graph) for graph in graphs]
    except InputError:
        return False
    return all(len(case.trees.everything) <= MOST and case.trees.best() is not None for case in cases)


def cut_faults(tree: CutTree) -> Iterator[str]:
    """Yield the cuts of a parting that part nothing, or whose lines are no lines."""
    films = [atom.film for atom in tree.graph.atoms]
    nodes = [tree.root]
    while nodes:
        node = nodes.pop()
        if isinstance(node, Branch):
            nodes += [node.first, node.second]
            one, two = (
                shapely.union_all([films[atom] for leaf in leaves(side) for atom in leaf.atoms])
                for side in (node.first, node.second)
            )
            apart = float(one.convex_hull.distance(two.convex_hull))
            if node.way is None and apart <= APART / 2:
                yield "invalid: a cut without a way, and no straight line parts its sides"
            elif node.way is not None:
                yield from _way_faults(LineString(node.way.points), one, two)


def _way_faults(line: LineString, one: BaseGeometry, two: BaseGeometry) -> Iterator[str]:
    if not line.is_simple:
        yield "invalid: a way that crosses itself"
    clear = float(one.distance(two))
    if float(line.distance(one.union(two))) < min(ROOM, 0.25 * clear):
        yield "invalid: a way that runs on film"
    bounds = line.union(one).union(two).bounds
    far = box(bounds[0] - 5, bounds[1] - 5, bounds[2] + 5, bounds[3] + 5)
    ends = [_outwards(line.coords[at], bounds) for at in (0, -1)]
    whole = LineString([ends[0], *line.coords, ends[1]])
    parts = getattr(far.difference(whole.buffer(0.01)), "geoms", [far])
    first = [n for n, part in enumerate(parts) if part.area > 1e-3 and part.intersects(one)]
    second = [n for n, part in enumerate(parts) if part.area > 1e-3 and part.intersects(two)]
    if len(first) != 1 or len(second) != 1 or first == second:
        yield "invalid: a way that does not have each side whole on its own hand"


def _outwards(end: tuple[float, ...], bounds: tuple[float, float, float, float]) -> tuple[float, float]:
    """Return a point beyond the edge of a box that an end is nearest to."""
    x, y = end[0], end[1]
    x0, y0, x1, y1 = bounds
    _, at = min((x - x0, (x0 - 9, y)), (x1 - x, (x1 + 9, y)), (y - y0, (x, y0 - 9)), (y1 - y, (x, y1 + 9)))
    return at


def _enclosed(films: Sequence[BaseGeometry]) -> Iterator[tuple[int, int]]:
    for n, film in enumerate(films):
        filled = [Polygon(part.exterior) for part in getattr(film, "geoms", [film]) if part.interiors]
        for k, other in enumerate(films):
            if k != n and any(outline.contains_properly(other) for outline in filled):
                yield n, k


def _around(boxes: Sequence[tuple[float, float, float, float]]) -> tuple[float, float, float, float]:
    lows, highs = ([[b[k + n] for n in (0, 1)] for b in boxes] for k in (0, 2))
    return min(a for a, _ in lows), min(b for _, b in lows), max(a for a, _ in highs), max(b for _, b in highs)
