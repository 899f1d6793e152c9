"""The records the splitting room yields: a cut tree for each colour, its measures, and how it was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shapely.geometry.base import BaseGeometry

from bigsign.findings import Finding
from bigsign.splitting.certificate import Certificate

if TYPE_CHECKING:
    from bigsign.splitting.graph import ColourGraph

__all__ = [
    "BarredCut", "Branch", "Contact", "CutTree", "Edge", "Join", "Leaf", "Measures", "NextPlace", "Node",
    "SearchReport", "Splitting", "Way", "leaves",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Edge:
    """Two neighbours in the adjacency graph: node ids (glyphs, ornament pieces), kind, clear distance in mm."""

    a: str
    b: str
    kind: str  # line, word, letter, ornament, contact
    gap_mm: float


@dataclass(frozen=True, slots=True)
class Join:
    """An edge as the atoms see it: ``a`` and ``b`` are indices of atoms, ``edge`` of the edge; the gap in mm.

    ``seam`` is set where only a seam parts them.
    """

    a: int
    b: int
    edge: int
    gap_mm: float
    seam: Contact | None = None


@dataclass(frozen=True, slots=True)
class Contact:
    """A seam between two fragments: the film of ``upper`` laps that of ``under`` by ``overlap`` mm.

    ``under`` and ``upper`` are indices of atoms, ``a`` and ``b`` the nodes beside it, ``line`` its two ends in the
    sign's frame, ``edge`` the index of the edge it is a seam of.
    """

    under: int
    upper: int
    a: str
    b: str
    line: tuple[tuple[float, float], tuple[float, float]]
    overlap: float
    edge: int = -1

    @property
    def length(self) -> float:
        """Length through film, mm."""
        (x0, y0), (x1, y1) = self.line
        return abs(x1 - x0) + abs(y1 - y0)


@dataclass(frozen=True, slots=True)
class BarredCut:
    """A cut that is not to be made: the colour and layer of its tree, and the atoms of its two sides."""

    colour: str
    layer: str
    sides: frozenset[frozenset[int]]


@dataclass(frozen=True, slots=True)
class Leaf:
    """A panel to be: the node ids (glyph ids, ornament piece ids) that go together, and its atoms, in reading order."""

    nodes: tuple[str, ...]
    atoms: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class NextPlace:
    """The best parting with another cut in a cut's place: what it costs more, tier by tier (less where negative).

    ``a`` and ``b`` are the nodes of the tightest edge which that cut parts, None if it parts none. ``found`` is False
    where no other cut there leads to panels that fit.
    """

    found: bool
    breaks: int = 0
    panels: int = 0
    risk: float = 0.0
    area: float = 0.0
    a: str | None = None
    b: str | None = None


@dataclass(frozen=True, slots=True)
class Way:
    """A rough line of a cut that is not straight, from edge to edge round all film, mm.

    ``hooks``: where the hulls of neighbours that it passes meet, one for each pair that hooks; ``free``: it winds
    freely, for no straight line with bends at such neighbours parts the two sides.
    """

    points: tuple[tuple[float, float], ...]
    hooks: tuple[BaseGeometry, ...]
    free: bool


@dataclass(frozen=True, slots=True)
class Branch:
    """One cut: everything of ``first`` lies on one side of it, everything of ``second`` on the other.

    ``next_place`` is None where it was not looked for; ``way`` is None for a straight cut.
    """

    first: Node
    second: Node
    next_place: NextPlace | None = None
    way: Way | None = None


Node = Leaf | Branch


def leaves(tree: Node) -> list[Leaf]:
    """Return the leaves of ``tree`` from first to second, depth first."""
    out: list[Leaf] = []
    stack: list[Node] = [tree]
    while stack:
        node = stack.pop()
        if isinstance(node, Leaf):
            out.append(node)
        else:
            stack.extend((node.second, node.first))
    return out


@dataclass(frozen=True, slots=True)
class Measures:
    """The tiers of problem.md as whole numbers of their units, but the two in mm and mm² that people read.

    ``risk`` is in thousandths summed over cuts, divided by 1000; ``largest_panel_area`` in mm².
    """

    seam_length: float
    seams: int
    in_word_breaks: int
    panels: int
    risk: float
    largest_panel_area: float


@dataclass(frozen=True, slots=True)
class SearchReport:
    """What a search did, and its certificate: all that is claimed of the parting stands there."""

    colour: str
    policy: str
    turning: str
    method: str
    states: int
    certificate: Certificate
    layer: str = ""

    @property
    def proved(self) -> bool:
        """Whether no plan of the certificate's class is better."""
        return self.certificate.proved

    @property
    def bound(self) -> Mapping[str, float | None]:
        """By tier, what no plan goes below; None where nothing is claimed."""
        return self.certificate.bound


@dataclass(frozen=True, slots=True)
class CutTree:
    """The parting of one colour, or of a frame that is a layer of its own: the tree, its measures and the proof.

    ``graph`` holds the atoms that the tree's leaves name, the edges between their nodes, and the seams.
    """

    colour: str
    root: Node
    measures: Measures
    report: SearchReport
    graph: ColourGraph

    @property
    def edges(self) -> tuple[Edge, ...]:
        """Edges of the adjacency graph."""
        return self.graph.edges


@dataclass(frozen=True, slots=True)
class Splitting:
    """The cut trees of all colours, in order of first appearance."""

    trees: tuple[CutTree, ...]
    findings: tuple[Finding, ...] = ()
