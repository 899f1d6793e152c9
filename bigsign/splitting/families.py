"""What a search needs to know of units: their boxes, edges, wishes, lines and words, and which of them hook."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from networkx.utils import UnionFind

from bigsign.project import PlanSettings
from bigsign.splitting.bits import set_of
from bigsign.splitting.bounds import find_chains
from bigsign.splitting.cost import Family, Pair, risk_of
from bigsign.splitting.graph import ColourGraph
from bigsign.splitting.hooks import Hooks
from bigsign.splitting.units import Unit
from bigsign.splitting.wishes import Resolved

__all__ = ["hooks_of", "make_family"]


def hooks_of(units: Sequence[Unit], graph: ColourGraph) -> Hooks:
    """Return what hooks among units: each by itself, and the words that are whole among them."""
    words: UnionFind[int] = UnionFind(range(len(units)))
    unit_of = {atom: rank for rank, unit in enumerate(units) for atom in unit.atoms}
    whole: dict[str, set[int]] = {}
    missing: set[str] = set()
    for index, atom in enumerate(graph.atoms):
        for word in {graph.word_of[node] for node in atom.nodes if node in graph.word_of}:
            if index in unit_of:
                whole.setdefault(word, set()).add(unit_of[index])
            else:
                missing.add(word)
    for ranks in whole.values():
        words.union(*sorted(ranks))
    groups = [set_of(group) for group in words.to_sets() if len(group) > 1]
    broken = set_of(rank for word in missing for rank in whole.get(word, ()))
    return Hooks(
        [graph.film_of(unit.atoms) for unit in units], [unit.hull for unit in units],
        sorted(group for group in groups if not group & broken),
    )  # fmt: skip


def make_family(
    graph: ColourGraph,
    units: Sequence[Unit],
    limits: Sequence[tuple[float, float]],
    settings: PlanSettings,
    wishes: Sequence[Resolved],
    hooks: Hooks | None = None,
) -> Family:
    """Return the family of a search: units (all of a graph, or some) with boxes, edges, wishes, lines, words.

    ``hooks``: what hooks among the units; None: they are looked at here.
    """
    unit_of_atom = {atom: rank for rank, unit in enumerate(units) for atom in unit.atoms}
    stands = {
        node: [unit_of_atom[atom] for atom in atoms if atom in unit_of_atom]
        for node, atoms in graph.atoms_of.items()
        if any(atom in unit_of_atom for atom in atoms)
    }
    gaps: dict[int, float] = {}
    joins: dict[int, int] = {}
    for join in graph.joins:
        a, b = unit_of_atom.get(join.a), unit_of_atom.get(join.b)
        if a != b and a is not None and b is not None:
            both = 1 << a | 1 << b
            gaps[both] = min(gaps.get(both, float("inf")), join.gap_mm)
            joins[both] = joins.get(both, 0) + (graph.edges[join.edge].kind == "letter")
    pairs = [Pair(both, risk_of(gap, settings.placement_tolerance), joins[both]) for both, gap in gaps.items()]
    pairs.sort(key=lambda pair: (-pair.risk, pair.both))
    apart = [0] * len(units)
    for wish in wishes:
        for first, second in wish.apart:
            for a, b in product(stands.get(first, ()), stands.get(second, ())):
                if a != b:
                    apart[a] |= 1 << b
                    apart[b] |= 1 << a
    rows: dict[int, dict[int, None]] = {}
    for node, line in graph.line_of.items():
        rows.setdefault(line, {}).update(dict.fromkeys(stands.get(node, ())))
    spelled: dict[str, set[int]] = {}
    for join in graph.joins:
        edge = graph.edges[join.edge]
        a, b = unit_of_atom.get(join.a), unit_of_atom.get(join.b)
        if edge.kind == "letter" and a is not None and b is not None and a != b:
            spelled.setdefault(graph.word_of[edge.a], set()).add(1 << a | 1 << b)
    in_rows = [list(rows[line]) for line in sorted(rows)]
    hooks = hooks or hooks_of(units, graph)
    risks = {pair.both: pair.risk for pair in pairs}
    return Family(
        [unit.bounds for unit in units], limits, pairs, apart, [set_of(row) for row in in_rows],
        [sorted(spelled[word]) for word in sorted(spelled)],
        find_chains(in_rows, [unit.hull for unit in units], hooks.hookable, risks),
    )  # fmt: skip
