"""Making the certificate of a parting out of what was searched and found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from bigsign.splitting.bounds import PanelBound
from bigsign.splitting.certificate import TIERS, Certificate, CertTree
from bigsign.splitting.colour_search import Level
from bigsign.splitting.cost import apart_masks
from bigsign.splitting.graph import ColourGraph
from bigsign.splitting.search_records import Found
from bigsign.splitting.tree import Leaf, Measures, Node

__all__ = ["certify"]


def certify(
    level: Level, found: Found, root: Node, graph: ColourGraph, measures: Measures,
    limits: Sequence[tuple[float, float]], barred: bool,
) -> Certificate:
    """Return the certificate of a parting: nothing is claimed but what was searched to its end."""
    if isinstance(root, Leaf) and not graph.seams:  # one panel: any other plan has more, and breaks no fewer words
        one: dict[str, float | None] = dict(asdict(measures).items())
        return Certificate("straight", _cert_tree(root, graph), asdict(measures), one, (), _witness(graph, limits))
    dropped = [] if found.proved else ["areas" if level.separations is None else "budget"]
    if barred or (level.separations is not None and not level.separations.complete):
        dropped.append("lines")
    if not graph.seams_strict:
        dropped.append("seam-rules")
    if not graph.seams_exact:
        dropped.append("seams")
    elif graph.seams:
        dropped.append("seam-places")
    breaks, panels, risk = found.bound
    bound: dict[str, float | None] = dict.fromkeys(TIERS)
    bound["seam_length"], bound["seams"] = graph.seam_bound, graph.seams if graph.seams_exact else None
    # bounds of the later tiers hold for the atoms as seams left them: with seams nothing is claimed of others
    if not graph.seams:
        bound |= {"in_word_breaks": breaks, "panels": panels, "risk": None if risk is None else risk / 1000}
        if "lines" in dropped:  # what was searched bounds no plan by other lines: only the witness does
            bound |= {"in_word_breaks": None, "panels": len(_witness(graph, limits)), "risk": None}
        elif found.proved:
            bound["largest_panel_area"] = measures.largest_panel_area
    cuts = "free" if found.freed else "bent" if level.passages.bends else "straight"
    return Certificate(cuts, _cert_tree(root, graph), asdict(measures), bound, tuple(dropped), _witness(graph, limits))


def _cert_tree(node: Node, graph: ColourGraph) -> CertTree:
    if isinstance(node, Leaf):
        return tuple(dict.fromkeys(f.id for atom in node.atoms for f in graph.atoms[atom].fragments))
    return _cert_tree(node.first, graph), _cert_tree(node.second, graph)


def _witness(graph: ColourGraph, limits: Sequence[tuple[float, float]]) -> tuple[tuple[str, ...], ...]:
    """Return sets of fragments of which no two go on a panel together, as many as are found."""
    atoms = [n for n, atom in enumerate(graph.atoms) if atom.fragments]
    apart = apart_masks([graph.atoms[n].bounds for n in atoms], limits)
    rows: dict[int, int] = {}
    for rank, n in enumerate(atoms):
        for line in {graph.line_of[node] for node in graph.atoms[n].nodes if node in graph.line_of}:
            rows[line] = rows.get(line, 0) | 1 << rank
    chosen = PanelBound(apart, [rows[line] for line in sorted(rows)]).witness((1 << len(atoms)) - 1)
    return tuple(tuple(f.id for f in graph.atoms[atoms[rank]].fragments) for rank in chosen)
