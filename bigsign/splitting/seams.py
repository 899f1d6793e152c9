"""Pieces too big for the cut area become fragments: seams are found, overlaps added, neighbours joined anew.

At a level seam the upper fragment carries the overlap and laps the lower one, as roof tiles do, so that water runs
off (common practice, no source); at a plumb seam the right one laps the left. The overlap's outer corners are rounded,
so that they don't lift. Heat-applied film butts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import shapely
from networkx.utils import UnionFind
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from bigsign.findings import Finding
from bigsign.geometry import least_links, polygons_of
from bigsign.project import SeamSettings
from bigsign.reading.lettering import Lettering
from bigsign.splitting.graph import Atom, ColourGraph, Fragment, hull_points, join_atoms, touching_pieces
from bigsign.splitting.limits import box_fits
from bigsign.splitting.seam_parts import Part, bridged, carries, leaves_slivers, meets, parts_of
from bigsign.splitting.seam_records import SeamCut, SeamRules, Seams
from bigsign.splitting.seam_search import chords_of, find_seams
from bigsign.splitting.sweep import Sweep
from bigsign.splitting.too_big import floor_percent, name_of, scale_that_fits
from bigsign.splitting.tree import Contact, Edge
from bigsign.tolerances import TOLERANCES

__all__ = ["Marks", "part_pieces", "reunite"]

Marks = Callable[[int, float, float], Sequence[float]]

KNIFE = TOLERANCES.touch / 2 + 0.001  # mm taken off on both sides of a seam, for the search only
BODY = 0.1  # a line that leaves less than this share of a letter on one side cuts only its joining stroke


def part_pieces(
    graph: ColourGraph,
    lettering: Lettering,
    outlines: Mapping[str, BaseGeometry],
    limits: Sequence[tuple[float, float]],
    settings: SeamSettings,
    marks: Marks | None,
) -> tuple[ColourGraph, list[Finding], list[Atom]]:
    """Return the graph with every atom that is too big parted by seams, what to know of it, and those that can't be.

    Parameters
    ----------
    lettering : for the names by which people know what is parted.
    outlines : what each glyph covers of the film it may share with others, sign frame.
    limits : (width, height) a panel's film may have.
    marks : tape marks between two places of an axis, as the board is measured.
    """
    made = _Parted(graph, limits)
    for atom in graph.atoms:
        if box_fits(atom.bounds, limits):
            made.atoms.append(atom)
            continue
        pieces = pieces_apart(atom)
        for part in pieces:
            regions = _own_film(part) | {node: outlines[node] for node in part.nodes if node in outlines}
            if box_fits(part.bounds, limits):
                made.atoms.append(part)
                continue
            seams, strict = _seams_of(part, regions, limits, settings, marks, tuple(made.used))
            if seams is None:
                made.stuck.append(part)
                made.atoms.append(part)
                continue
            made.seam(part, seams, strict, regions, settings.overlap, lettering)
        made.join_pieces(atom, pieces)
    return made.graph(), made.findings, made.stuck


def _own_film(atom: Atom) -> dict[str, BaseGeometry]:
    """Return the film of each node that shares no piece with another: pieces that only touch are told apart."""
    if len(atom.fragments) < 2:
        return {}
    shapes = {fragment.piece: fragment.shape for fragment in atom.fragments}
    count = Counter(piece for node in atom.nodes for piece in atom.pieces_of(node))
    return {
        node: shapely.union_all([shapes[piece] for piece in atom.pieces_of(node) if piece in shapes])
        for node in atom.nodes
        if all(count[piece] == 1 for piece in atom.pieces_of(node))
    }


def pieces_apart(atom: Atom) -> list[Atom]:
    """Return an atom's film that hangs together, or touches, each by itself, with the nodes that stand in it."""
    if len(atom.fragments) == 1:
        return [atom]
    films = {fragment.piece: fragment.shape for fragment in atom.fragments}
    groups: UnionFind[str] = UnionFind(films)
    for a, b in touching_pieces(films):
        groups.union(a, b)
    out = []
    for own in sorted(groups.to_sets(), key=lambda held: min(list(films).index(piece) for piece in held)):
        fragments = tuple(fragment for fragment in atom.fragments if fragment.piece in own)
        film = MultiPolygon([fragment.shape for fragment in fragments])
        nodes = tuple(node for node in atom.nodes if not own.isdisjoint(atom.pieces_of(node)))
        out.append(
            replace(
                atom, nodes=nodes, pieces=tuple(f.piece for f in fragments), film=film, bounds=film.bounds,
                hull=hull_points(film), fragments=fragments,
            )
        )  # fmt: skip
    return out


class _Parted:
    """The atoms of a graph as they are parted one by one, with what parts them."""

    def __init__(self, graph: ColourGraph, limits: Sequence[tuple[float, float]]) -> None:
        self._graph, self._limits = graph, limits
        self.atoms: list[Atom] = []
        self.edges = list(graph.edges)
        self.own: list[tuple[int, str, tuple[frozenset[str], frozenset[str]]]] = []
        self.contacts: list[Contact] = []
        self.findings: list[Finding] = []
        self.stuck: list[Atom] = []
        self.exact, self.strict, self.bound = True, True, 0.0
        self.used: dict[tuple[int, float], None] = {}

    def seam(
        self, atom: Atom, seams: Seams, strict: bool, regions: Mapping[str, BaseGeometry],
        overlap: float, lettering: Lettering,
    ) -> None:  # fmt: skip
        """Take an atom that seams part."""
        parts = parts_of(atom, seams, regions, overlap)
        self.used |= dict.fromkeys((cut.axis, cut.at) for cut in seams.cuts)
        first = len(self.atoms)
        self.atoms.extend(_atom(part, seams.cuts) for part in parts)
        self.contacts.extend(_contacts(parts, seams.cuts, first, regions, overlap))
        self.exact, self.strict = self.exact and seams.exact, self.strict and strict
        self.bound += seams.bound
        name = name_of(atom.nodes, atom.pieces, lettering)
        self.findings.extend(_findings(atom, name, strict, floor_percent(scale_that_fits(atom.bounds, self._limits))))

    def join_pieces(self, atom: Atom, parts: Sequence[Atom]) -> None:
        """Join the pieces of each letter that were taken apart: a letter edge for each two that are nearest."""
        for node in atom.nodes:
            own = [part for part in parts if node in part.nodes]
            for a, b, gap in least_links([part.film for part in own]):
                self.own.append((len(self.edges), node, (frozenset(own[a].pieces), frozenset(own[b].pieces))))
                self.edges.append(Edge(node, node, "letter", gap))

    def _nearest(self, node: str, ones: frozenset[str], others: frozenset[str]) -> tuple[int, int]:
        """Return the atoms that join two pieces of a letter: of parts that seams left, ones that fit together."""
        held = [n for n, atom in enumerate(self.atoms) if node in atom.nodes]
        from_ones = [n for n in held if not ones.isdisjoint(self.atoms[n].pieces)]
        pairs = [(a, b) for a in from_ones for b in held if not others.isdisjoint(self.atoms[b].pieces)]

        def far(pair: tuple[int, int]) -> tuple[bool, float]:
            one, two = (self.atoms[n] for n in pair)
            both = shapely.union(shapely.box(*one.bounds), shapely.box(*two.bounds)).bounds
            return not box_fits(both, self._limits), float(one.film.distance(two.film))

        return min(pairs, key=lambda pair: (*far(pair), pair))

    def graph(self) -> ColourGraph:
        """Return the graph of all atoms."""
        if not self.contacts and not self.own:
            return self._graph
        parted = tuple(replace(contact, edge=_edge_of(contact, self.edges)) for contact in self.contacts)
        made = replace(
            self._graph, atoms=tuple(self.atoms), edges=tuple(self.edges), contacts=parted,
            seam_length=sum(contact.length for contact in parted), seams=len(parted), seams_exact=self.exact,
            seams_strict=self.strict, seam_bound=self.bound if self.strict else None,
            own_joins=tuple((edge, self._nearest(node, *held)) for edge, node, held in self.own),
        )  # fmt: skip
        return replace(made, joins=join_atoms(made))


def reunite(graph: ColourGraph, panels: Sequence[Sequence[int]]) -> ColourGraph:
    """Return the graph with those fragments whole again that the search left in one panel (atoms by panel)."""
    panel_of = {atom: n for n, panel in enumerate(panels) for atom in panel}
    inner = [c for c in graph.contacts if panel_of[c.under] == panel_of[c.upper]]
    if not inner:
        return graph
    atoms = list(graph.atoms)
    for panel in panels:
        own = [c for c in inner if c.under in panel]
        pieces = dict.fromkeys(f.piece for c in own for f in (*atoms[c.under].fragments, *atoms[c.upper].fragments))
        for piece in pieces:
            held = [(atom, f) for atom in panel for f in atoms[atom].fragments if f.piece == piece]
            whole = shapely.union_all([f.shape for _, f in held])
            parts = polygons_of(whole)
            if len(parts) == len(held):
                continue
            made = [Fragment(f.id, piece, part) for (_, f), part in zip(held, parts, strict=False)]
            for atom in panel:
                kept = [f for f in atoms[atom].fragments if f.piece != piece]
                atoms[atom] = replace(atoms[atom], fragments=(*kept, *(made if atom == held[0][0] else ())))
    contacts = tuple(c for c in graph.contacts if c not in inner)
    return replace(
        graph, atoms=tuple(atoms), contacts=contacts, seams=len(contacts), seam_length=sum(c.length for c in contacts)
    )


def _seams_of(
    atom: Atom,
    regions: Mapping[str, BaseGeometry],
    limits: Sequence[tuple[float, float]],
    settings: SeamSettings,
    marks: Marks | None,
    used: tuple[tuple[int, float], ...],
) -> tuple[Seams | None, bool]:
    """Return the seams of an atom, and whether they keep to the sliver width and the least angle."""
    sweeps = [
        (Sweep(MultiPolygon(polygons_of(region)), 0, 0.0), Sweep(MultiPolygon(polygons_of(region)), 1, 0.0))
        for region in regions.values()
        if len(regions) > 1
    ]

    def bodies(axis: int, at: float) -> int:
        return sum(BODY < pair[axis].share_before(at) < 1 - BODY for pair in sweeps)

    rules = SeamRules(
        tuple(limits), settings.overlap, settings.sliver, settings.angle, bodies if sweeps else None, marks,
        used,
    )
    film = bridged(atom.film) if len(atom.fragments) > 1 else atom.film
    found = find_seams(film, rules)
    if found is not None:
        return found, not leaves_slivers(atom, found, settings.sliver)
    return find_seams(film, replace(rules, sliver=0.5, angle=0.0)), False


def _atom(part: Part, cuts: Sequence[SeamCut]) -> Atom:
    """Return the atom of a part: its film for the search ends a knife's width short of each seam."""
    cores: list[Polygon] = []
    for polygon in part.core.geoms:
        x0, y0, x1, y1 = polygon.bounds
        for cut in cuts:
            if meets(polygon, cut):
                if cut.axis == 0:
                    x0, x1 = (x0 + KNIFE, x1) if carries(polygon, cut) else (x0, x1 - KNIFE)
                else:
                    y0, y1 = (y0, y1 - KNIFE) if carries(polygon, cut) else (y0 + KNIFE, y1)
        cores.extend(polygons_of(polygon.intersection(box(x0, y0, x1, y1))))
    film = MultiPolygon(cores)
    shapes = MultiPolygon([fragment.shape for fragment in part.fragments])
    pieces = tuple(dict.fromkeys(fragment.piece for fragment in part.fragments))
    return Atom(part.nodes, pieces, film, shapes.bounds, hull_points(film), part.fragments)


def _contacts(
    parts: Sequence[Part],
    cuts: Sequence[SeamCut],
    first: int,
    regions: Mapping[str, BaseGeometry],
    overlap: float,
) -> list[Contact]:
    """Return where the parts of an atom meet at its seams."""
    out = []
    for cut in cuts:
        sides: tuple[list[tuple[int, tuple[float, float]]], list[tuple[int, tuple[float, float]]]] = ([], [])
        for rank, part in enumerate(parts):
            for polygon in part.core.geoms:
                if meets(polygon, cut):
                    spans = chords_of([MultiPolygon([polygon])], cut.axis, cut.at)
                    sides[carries(polygon, cut)].extend((rank, span) for span in spans)
        for under, (a, b) in sides[0]:
            for upper, (c, d) in sides[1]:
                low, high = max(a, c), min(b, d)
                if high - low > 1e-6 and any(s - 1e-6 <= low and high <= e + 1e-6 for s, e in cut.chords):
                    line = ((cut.at, low), (cut.at, high)) if cut.axis == 0 else ((low, cut.at), (high, cut.at))
                    nodes = tuple(_nearest(parts[rank].nodes, line, regions) for rank in (under, upper))
                    out.append(Contact(first + under, first + upper, nodes[0], nodes[1], line, overlap))
    return out


def _nearest(
    nodes: Sequence[str], line: tuple[tuple[float, float], tuple[float, float]], regions: Mapping[str, BaseGeometry]
) -> str:
    """Return the node that stands nearest a seam."""
    middle = LineString(line).centroid
    return min(nodes, key=lambda node: (regions[node].distance(middle) if node in regions else 0.0, node))


def _edge_of(contact: Contact, edges: list[Edge]) -> int:
    """Return the index of a contact's edge: a new one, or that of its two nodes, whose gap is its shortest seam."""
    for rank, edge in enumerate(edges):
        if {edge.a, edge.b} == {contact.a, contact.b} and edge.kind == "contact":
            shortest = min(edge.gap_mm or contact.length, contact.length)
            edges[rank] = replace(edge, gap_mm=shortest)
            return rank
    edges.append(Edge(contact.a, contact.b, "contact", contact.length))
    return len(edges) - 1


def _findings(atom: Atom, name: str, strict: bool, whole: str) -> list[Finding]:
    """Return what to know of a parted atom; ``whole``: the share of its size at which it would fit."""
    out = [
        Finding(
            "fit-seam",
            f"The film of {name} is larger than the usable area and is parted by seams.",
            atom.pieces,
            remedy=f"At {whole} of this size, or on a larger mat, it needs no seam.",
        )
    ]
    if not strict:
        out.append(
            Finding(
                "fit-seam-edge",
                f"A seam through {name} leaves a sliver or runs close along an edge: none was found that does neither.",
                atom.pieces,
                remedy="Look at the seam in the guide; a little smaller or larger may give a better one.",
            )
        )
    return out
