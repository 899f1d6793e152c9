"""The splitting room's way through: artwork and lettering in, the best cut tree of each colour out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

from bigsign.artwork.pieces import Artwork
from bigsign.budgets import BUDGETS
from bigsign.errors import Fault, InputError
from bigsign.findings import Finding
from bigsign.project import Cutter, PlanSettings
from bigsign.reading.lettering import Lettering
from bigsign.splitting.certificate import CLASSES, DROPPED
from bigsign.splitting.certify import certify
from bigsign.splitting.colour_search import ColourSearch, Level
from bigsign.splitting.cost import Policy
from bigsign.splitting.graph import ColourGraph
from bigsign.splitting.layers import glyph_outlines, layered_graphs
from bigsign.splitting.limits import panel_limits
from bigsign.splitting.seams import Marks, part_pieces, reunite
from bigsign.splitting.search_records import Found, Other, Parting, units_of
from bigsign.splitting.too_big import PieceTooBigError, piece_faults
from bigsign.splitting.tree import (
    BarredCut,
    Branch,
    CutTree,
    Leaf,
    Measures,
    NextPlace,
    Node,
    SearchReport,
    Splitting,
    leaves,
)
from bigsign.splitting.units import Unit
from bigsign.splitting.wishes import Resolved, resolve_wishes

__all__ = ["Seamed", "seamed", "split", "split_colour"]


@dataclass(frozen=True, slots=True)
class Seamed:
    """Film whose pieces all fit a panel: the graph of each layer, parted by seams where it had to be."""

    graphs: tuple[ColourGraph, ...]
    findings: tuple[Finding, ...]


def seamed(
    artwork: Artwork,
    lettering: Lettering,
    limits: Sequence[tuple[float, float]],
    settings: PlanSettings,
    marks: Marks | None = None,
) -> Seamed:
    """Part by seams every piece of film that is too big for a panel.

    Parameters
    ----------
    limits : (width, height) a panel's film may have.
    marks : tape marks of the board between two places of an axis; seams go onto marks where that costs nothing.

    Raises
    ------
    PieceTooBigError
        For pieces that no seam can part into what fits.
    """
    outlines = glyph_outlines(artwork, lettering)
    graphs: list[ColourGraph] = []
    findings: list[Finding] = []
    faults: list[Fault] = []
    for whole in layered_graphs(artwork, lettering, limits):
        graph, found, stuck = part_pieces(whole, lettering, outlines, limits, settings.seams, marks)
        faults.extend(piece_faults(stuck, lettering, limits, settings.tape_step))
        findings.extend(found)
        graphs.append(graph)
    if faults:
        raise PieceTooBigError(faults)
    return Seamed(tuple(graphs), tuple(findings))


def split(
    artwork: Artwork,
    lettering: Lettering,
    cutter: Cutter,
    turning: str,
    settings: PlanSettings,
    progress: Callable[[str], None] | None = None,
    budget: int = BUDGETS.states,
    barred: Collection[BarredCut] = (),
    film: Seamed | None = None,
) -> Splitting:
    """Return the best parting of every colour.

    Parameters
    ----------
    barred : cuts not to be made, for they could not be laid out on the board.
    film : what `seamed` made of the artwork; None: it is made here, for a board without tape marks.

    Raises
    ------
    InputError
        For a piece that no seam can part into what fits, and for wishes that cannot hold.
    """
    wishes = resolve_wishes(settings.wishes, lettering)
    limits = panel_limits(cutter, turning)
    if film is None:
        film = seamed(artwork, lettering, limits, settings)
    trees: list[CutTree] = []
    findings = list(film.findings)
    for graph in film.graphs:
        if progress is not None:
            progress(f"finding the best parting of {len(graph.atoms)} shapes, {graph.colour}")
        tree, found = split_colour(graph, lettering, limits, turning, settings, wishes, budget, barred)
        trees.append(tree)
        findings.extend(found)
    return Splitting(tuple(trees), tuple(findings))


def split_colour(
    graph: ColourGraph,
    lettering: Lettering,
    limits: Sequence[tuple[float, float]],
    turning: str,
    settings: PlanSettings,
    wishes: Sequence[Resolved],
    budget: int,
    barred: Collection[BarredCut] = (),
) -> tuple[CutTree, list[Finding]]:
    """Return the best cut tree of one colour, and what a person should know of it."""
    own = [cut.sides for cut in barred if (cut.colour, cut.layer) == (graph.colour, graph.layer)]
    colour = ColourSearch(graph, lettering, limits, settings, wishes, own)
    words, letters, given_up = colour.units()
    level, found, method = colour.best(words, letters, given_up, budget)
    if found.parting is None:
        raise InputError(_no_parting(wishes, graph, found.proved))
    root = _tree(found.parting, level, graph, found.others)
    graph = reunite(graph, [leaf.atoms for leaf in leaves(root)])
    findings = [] if found.proved else [_unproved(graph.colour, found)]
    policy = Policy.of(settings)
    breaks, panels, risk = policy.unpack(found.cost)
    measures = Measures(graph.seam_length, graph.seams, breaks, panels, risk / 1000, _largest_area(root, graph))
    certificate = certify(level, found, root, graph, measures, limits, bool(own))
    how = f"{CLASSES[certificate.cuts]}; {method}"
    if certificate.dropped:
        how = "; ".join([how, *(DROPPED[code] for code in certificate.dropped)])
    report = SearchReport(graph.colour, policy.name, turning, how, found.states, certificate, graph.layer)
    return CutTree(graph.colour, root, measures, report, graph), findings


def _tree(parting: Parting, level: Level, graph: ColourGraph, others: Mapping[int, Other | None]) -> Node:
    units = level.units
    if isinstance(parting, int):
        atoms = _atoms(parting, units)
        order = {node: rank for rank, node in enumerate(node for atom in graph.atoms for node in atom.nodes)}
        nodes = dict.fromkeys(node for atom in atoms for node in graph.atoms[atom].nodes)
        return Leaf(tuple(sorted(nodes, key=order.__getitem__)), tuple(atoms))
    first, second = (_tree(side, level, graph, others) for side in parting)
    everything = units_of(parting)
    place = _next_place(others[everything], everything, units, graph) if everything in others else None
    way = level.passages.way(units_of(parting[0]), units_of(parting[1]))
    return Branch(first, second, place, way)


def _atoms(mask: int, units: Sequence[Unit]) -> list[int]:
    return sorted(atom for rank, unit in enumerate(units) if mask >> rank & 1 for atom in unit.atoms)


def _next_place(other: Other | None, everything: int, units: Sequence[Unit], graph: ColourGraph) -> NextPlace:
    """Return what another cut would have cost, and between which two nodes it would have run."""
    if other is None:
        return NextPlace(False)
    here, there = set(_atoms(other.side, units)), set(_atoms(everything ^ other.side, units))
    parted = [
        join for join in graph.joins
        if (join.a in here and join.b in there) or (join.a in there and join.b in here)
    ]  # fmt: skip
    edge = graph.edges[min(parted, key=lambda join: (join.gap_mm, join.edge)).edge] if parted else None
    return NextPlace(
        True, other.breaks, other.panels, other.risk / 1000, other.area * 100.0,
        None if edge is None else edge.a, None if edge is None else edge.b,
    )  # fmt: skip


def _largest_area(root: Node, graph: ColourGraph) -> float:
    """Return the box area of the largest panel's film, mm²."""
    if isinstance(root, Branch):
        return max(_largest_area(root.first, graph), _largest_area(root.second, graph))
    boxes = [graph.atoms[atom].bounds for atom in root.atoms]
    width = max(b[2] for b in boxes) - min(b[0] for b in boxes)
    height = max(b[3] for b in boxes) - min(b[1] for b in boxes)
    return width * height


def _unproved(colour: str, found: Found) -> Finding:
    breaks, panels, _ = found.bound
    return Finding(
        "fit-unproved",
        f"The search for the best parting of {colour} was cut short after {found.states} states; "
        f"no plan has fewer than {breaks} broken words and {panels} panels.",
        remedy="The plan can be used; a smaller design or a larger mat lets the search finish.",
    )


def _no_parting(wishes: Sequence[Resolved], graph: ColourGraph, sure: bool) -> list[Fault]:
    if not sure:
        return [
            Fault(
                f"no cuts that part the {graph.colour} film into panels that fit were found among the states allowed",
                "the artwork", "a simpler design, more space between its lines or letters, or a larger mat",
            )
        ]  # fmt: skip
    if wishes:
        return [
            Fault(f"no parting into panels holds {wish.label}", wish.wish.where, "drop or change this wish")
            for wish in wishes
        ]
    return [
        Fault(
            f"no cuts part the {graph.colour} film into panels that fit", "the artwork",
            "more space between its lines or letters, or a larger mat",
        )
    ]  # fmt: skip
