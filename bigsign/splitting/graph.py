"""The adjacency graph of one colour: who stands beside whom, and how far apart.

Glossary: a *node* is a glyph or an ornament piece. An *atom* is a set of nodes that share film, or whose films are so
close that no line runs between, so that only a seam could part them: glyphs of connected lettering, or a single node.
Edges are those of docs/reasoning.md.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import networkx as nx
import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.pieces import Artwork
from bigsign.geometry import components, meeting
from bigsign.reading.lettering import Lettering, Line
from bigsign.splitting.tree import Contact, Edge, Join
from bigsign.tolerances import TOLERANCES

__all__ = [
    "Atom", "ColourGraph", "Fragment", "build_graph", "colours_of", "fragment_id", "hull_points", "join_atoms",
    "touching_pieces",
]  # fmt: skip

FloatArray = npt.NDArray[np.float64]


NEAR = 6  # decimals of a mm to which two distances count as the same
GROWTH = 1.5  # by which the reach grows within which parts of the graph are joined


@dataclass(frozen=True, slots=True)
class Fragment:
    """A piece, or what a seam left of one, with the overlap it carries."""

    id: str
    piece: str
    shape: Polygon


@dataclass(frozen=True, slots=True)
class Atom:
    """Nodes that share film, or a part of them that seams cut off.

    Parameters
    ----------
    film : what is parted, without overlaps and a knife's width short of each seam.
    bounds : box of the fragments, overlaps included.
    hull : convex hull of ``film``, k × 2, mm, without the closing point.
    fragments : the film as it is cut.
    held : for each node, its pieces.
    """

    nodes: tuple[str, ...]
    pieces: tuple[str, ...]
    film: MultiPolygon
    bounds: tuple[float, float, float, float]
    hull: FloatArray
    fragments: tuple[Fragment, ...]
    held: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def pieces_of(self, node: str) -> tuple[str, ...]:
        """Return the pieces of a node."""
        return dict(self.held)[node]


@dataclass(frozen=True, slots=True)
class ColourGraph:
    """Atoms of one colour (of one layer of it) in reading order, and the edges between and within them.

    ``joins`` are the edges between atoms; ``contacts`` the seams, of ``seam_length`` mm in all in ``seams`` chords.
    ``seams_exact``: their length is proved the least; ``seam_bound``: what no seams go below; ``seams_strict``: they
    keep clear of edges and slivers. ``layer``: "", the name of the stratum, or the piece id of a ``frame`` that is
    parted by itself; ``stratum``: 0, or how often the colour is laid before (`strata`). ``own_joins``: for edges
    between pieces of one letter, by index, the atoms that they join.
    """

    colour: str
    atoms: tuple[Atom, ...]
    edges: tuple[Edge, ...]
    line_of: dict[str, int]  # node id -> rank of its line; ornaments are absent
    word_of: dict[str, str]  # glyph id -> word id
    joins: tuple[Join, ...] = ()
    contacts: tuple[Contact, ...] = ()
    seam_length: float = 0.0
    seams: int = 0
    layer: str = ""
    seams_exact: bool = True
    seams_strict: bool = True
    seam_bound: float | None = 0.0
    own_joins: tuple[tuple[int, tuple[int, int]], ...] = ()
    stratum: int = 0
    frame: bool = False

    def film_of(self, atoms: Iterable[int]) -> MultiPolygon:
        """Return the film of some atoms, as it is parted: without overlaps."""
        return MultiPolygon([polygon for atom in atoms for polygon in self.atoms[atom].film.geoms])

    @property
    def atoms_of(self) -> dict[str, list[int]]:
        """Node id to the indices of the atoms it stands in: one, or several where a seam parts it."""
        out: dict[str, list[int]] = {}
        for index, atom in enumerate(self.atoms):
            for node in atom.nodes:
                out.setdefault(node, []).append(index)
        return out


def fragment_id(piece_id: str) -> str:
    """Return the id of a piece's fragment where no seam parts it; seams add -1, -2 …"""
    return "f" + piece_id[1:]


def colours_of(artwork: Artwork) -> list[str]:
    """Return the film colours in order of first appearance."""
    return list(dict.fromkeys(piece.colour for piece in artwork.pieces))


def build_graph(
    artwork: Artwork, lettering: Lettering, colour: str, without: Collection[str] = (), only: Collection[str] = (),
    layer: str = "",
) -> ColourGraph:
    """Return the adjacency graph of the film of ``colour``: all, all but some pieces, or some ``only`` as a layer."""
    pieces = {
        piece.id: piece.shape
        for piece in artwork.pieces
        if piece.colour == colour and piece.id not in without and (not only or piece.id in only)
    }
    node_pieces: dict[str, tuple[str, ...]] = {}
    rank_of_line = {line.id: rank for rank, line in enumerate(lettering.lines)}
    line_of: dict[str, int] = {}
    word_of: dict[str, str] = {}
    for glyph in lettering.glyphs:
        own = tuple(piece for piece in glyph.pieces if piece in pieces)
        if own:
            node_pieces[glyph.id] = own
            line_of[glyph.id] = rank_of_line[glyph.line]
            word_of[glyph.id] = glyph.word
    for ornament in lettering.ornaments:
        if ornament in pieces:
            node_pieces[ornament] = (ornament,)
    touching = touching_pieces(pieces)
    atoms = _atoms(node_pieces, pieces, touching)
    films = {node: shapely.union_all([pieces[p] for p in own]) for node, own in node_pieces.items()}
    edges = _edges(lettering, node_pieces, films, word_of, touching)
    made = ColourGraph(colour, atoms, edges, line_of, word_of, layer=layer)
    return replace(made, joins=join_atoms(made))


def join_atoms(graph: ColourGraph) -> tuple[Join, ...]:
    """Return the edges as joins between atoms: between the nearest of the atoms that their nodes stand in."""
    atoms_of = graph.atoms_of
    own = dict(graph.own_joins)
    seams: dict[int, list[Contact]] = {}
    for contact in graph.contacts:
        seams.setdefault(contact.edge, []).append(contact)
    parted = {atom for contact in graph.contacts for atom in (contact.under, contact.upper)}
    out: list[Join] = []
    for rank, edge in enumerate(graph.edges):
        if rank in seams:
            out.extend(Join(seam.under, seam.upper, rank, 0.0, seam) for seam in seams[rank])
            continue
        if edge.kind == "contact":  # film shared, with no seam between just these two
            continue
        if rank in own:  # pieces of one letter
            a, b = own[rank]
            out.append(Join(a, b, rank, float(graph.atoms[a].film.distance(graph.atoms[b].film))))
            continue
        ones, others = atoms_of[edge.a], atoms_of[edge.b]
        if not set(ones).isdisjoint(others):
            continue
        if len(ones) == len(others) == 1 and parted.isdisjoint((ones[0], others[0])):
            out.append(Join(ones[0], others[0], rank, edge.gap_mm))
            continue
        # rounded, so that of two as near it is not the last digit that decides
        gap, a, b = min(
            (round(float(graph.atoms[a].film.distance(graph.atoms[b].film)), NEAR), a, b) for a in ones for b in others
        )
        out.append(Join(a, b, rank, gap))
    return tuple(out)


def touching_pieces(pieces: Mapping[str, Polygon]) -> frozenset[tuple[str, str]]:
    """Return the pairs of pieces whose films are closer than a knife needs, each way round."""
    names, films = list(pieces), list(pieces.values())
    first, second = shapely.STRtree(films).query(films, predicate="dwithin", distance=TOLERANCES.touch)
    pairs = zip(first.tolist(), second.tolist(), strict=True)
    return frozenset(
        (names[a], names[b]) for a, b in pairs if a != b and films[a].distance(films[b]) < TOLERANCES.touch
    )  # fmt: skip


def _atoms(
    node_pieces: dict[str, tuple[str, ...]], pieces: dict[str, Polygon], touching: Collection[tuple[str, str]]
) -> tuple[Atom, ...]:
    """Group nodes that share a piece or whose pieces touch; keep the order in which the nodes came."""
    sharing: nx.Graph[str] = nx.Graph()
    sharing.add_nodes_from(node_pieces)
    holder: dict[str, str] = {}
    for node, own in node_pieces.items():
        for piece in own:
            if piece in holder:
                sharing.add_edge(holder[piece], node)
            else:
                holder[piece] = node
    sharing.add_edges_from((holder[a], holder[b]) for a, b in touching if a in holder and b in holder)
    order = {node: index for index, node in enumerate(node_pieces)}
    groups = [sorted(group, key=order.__getitem__) for group in nx.connected_components(sharing)]
    groups.sort(key=lambda group: order[group[0]])
    return tuple(_atom(group, node_pieces, pieces) for group in groups)


def _atom(group: Sequence[str], node_pieces: dict[str, tuple[str, ...]], pieces: dict[str, Polygon]) -> Atom:
    own = tuple(dict.fromkeys(piece for node in group for piece in node_pieces[node]))
    film = MultiPolygon([pieces[piece] for piece in own])
    fragments = tuple(Fragment(fragment_id(piece), piece, pieces[piece]) for piece in own)
    held = tuple((node, node_pieces[node]) for node in group)
    return Atom(tuple(group), own, film, film.bounds, hull_points(film), fragments, held)


def hull_points(film: BaseGeometry) -> FloatArray:
    """Return the convex hull of ``film`` as k × 2 points in order, the first not repeated."""
    hull = film.convex_hull
    return np.asarray(hull.exterior.coords, dtype=float)[:-1] if isinstance(hull, Polygon) else np.asarray(hull.coords)


def _edges(
    lettering: Lettering,
    node_pieces: dict[str, tuple[str, ...]],
    films: Mapping[str, BaseGeometry],
    word_of: dict[str, str],
    touching: Collection[tuple[str, str]],
) -> tuple[Edge, ...]:
    edges: dict[tuple[str, str], Edge] = {}

    def add(a: str, b: str, kind: str) -> None:
        if (a, b) in edges or (b, a) in edges:
            return
        met = any((p, q) in touching for p in node_pieces[a] for q in node_pieces[b]) if touching else False
        if met or set(node_pieces[a]) & set(node_pieces[b]):
            edges[a, b] = Edge(a, b, "contact", 0.0)
        else:
            edges[a, b] = Edge(a, b, kind, float(films[a].distance(films[b])))

    words = {word.id: word for word in lettering.words}
    in_line = [
        [glyph for word in line.words for glyph in words[word].glyphs if glyph in node_pieces]
        for line in lettering.lines
    ]
    for row in in_line:
        for a, b in pairwise(row):
            add(a, b, "letter" if word_of[a] == word_of[b] else "word")
    for upper, lower in pairwise(range(len(in_line))):
        if lettering.lines[upper].block == lettering.lines[lower].block:
            for a, b in _facing(lettering.lines[upper], in_line[upper], in_line[lower], films):
                add(a, b, "line")
    glyphs = [node for node in node_pieces if node in word_of]
    ornaments = [node for node in node_pieces if node not in word_of]
    everything = [*glyphs, *ornaments]
    if ornaments and len(everything) > 1:
        tree = shapely.STRtree([films[node] for node in everything])
        asked, near = tree.query_nearest([films[node] for node in ornaments], exclusive=True)
        nearest: dict[int, int] = {}
        for ornament, other in zip(asked.tolist(), near.tolist(), strict=True):
            nearest[ornament] = min(other, nearest.get(ornament, other))
        for rank, other in sorted(nearest.items()):
            add(ornaments[rank], everything[other], "ornament")
    for a, b in _bridges(list(node_pieces), edges, films):
        add(a, b, "line" if a in word_of and b in word_of else "ornament")
    return tuple(edges.values())


def _facing(
    line: Line, upper: Sequence[str], lower: Sequence[str], films: Mapping[str, BaseGeometry]
) -> Iterable[tuple[str, str]]:
    """Yield the pairs of two consecutive lines whose extents along the line overlap."""
    (x0, y0), (x1, y1) = line.baseline
    length = float(np.hypot(x1 - x0, y1 - y0)) or 1.0
    along = np.array([(x1 - x0) / length, (y1 - y0) / length])

    def extent(node: str) -> tuple[float, float]:
        run = shapely.get_coordinates(films[node]) @ along
        return float(run.min()), float(run.max())

    below = [(node, *extent(node)) for node in lower]
    for a in upper:
        low, high = extent(a)
        for b, b_low, b_high in below:
            if low < b_high and b_low < high:
                yield a, b


def _bridges(
    nodes: Sequence[str], edges: dict[tuple[str, str], Edge], films: Mapping[str, BaseGeometry]
) -> Iterable[tuple[str, str]]:
    """Yield the closest pairs of two components until the graph hangs together.

    Kruskal's rule, in bands of distance: what lies no farther apart than a reach is joined, nearest first, then the
    reach grows. So pairs that are far apart are never listed, and thousands of ornaments take seconds.
    """
    at = {node: index for index, node in enumerate(nodes)}
    linked = np.array([(at[a], at[b]) for a, b in edges], dtype=np.int64).reshape(-1, 2)
    groups = components(len(nodes), iter([(linked[:, 0], linked[:, 1])]))
    group = np.empty(len(nodes), dtype=np.int64)
    for rank, members in enumerate(groups):
        group[members] = rank
    first_group = group.copy()
    shapes = np.array([films[node] for node in nodes], dtype=object)
    boxes = shapely.bounds(shapes)
    reach = max(float(np.ptp(boxes)) / 1000, TOLERANCES.touch)
    while group.any():
        asked = np.flatnonzero(group != np.bincount(group).argmax())
        near: list[tuple[float, int, int]] = []
        grown = np.asarray(shapely.box(*(boxes[asked] + [-reach, -reach, reach, reach]).T), dtype=object)
        for some, other in meeting(shapes, grown):
            one = asked[some]
            apart = group[one] != group[other]
            one, other = one[apart], other[apart]
            swap = first_group[one] > first_group[other]
            one, other = np.where(swap, other, one), np.where(swap, one, other)
            away = shapely.distance(shapes[one], shapes[other])
            close = away <= reach
            near.extend(zip(away[close].tolist(), one[close].tolist(), other[close].tolist(), strict=True))
        for _, i, j in sorted(set(near)):
            kept, gone = sorted((int(group[i]), int(group[j])))
            if kept != gone:
                group[group == gone] = kept
                yield nodes[i], nodes[j]
        reach *= GROWTH

