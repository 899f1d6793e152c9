"""The records the splitting room yields: a cut tree for each colour, its measures, and how it was found."""

from __future__ import annotations

from dataclasses import dataclass

from bigsign.findings import Finding

__all__ = ["Branch", "CutTree", "Edge", "Leaf", "Measures", "Node", "SearchReport", "Splitting", "leaves"]


@dataclass(frozen=True, slots=True)
class Edge:
    """Two neighbours in the adjacency graph: node ids (glyphs, ornament pieces), kind, clear distance in mm."""

    a: str
    b: str
    kind: str  # line, word, letter, ornament, contact
    gap_mm: float


@dataclass(frozen=True, slots=True)
class Leaf:
    """A panel to be: the node ids (glyph ids, ornament piece ids) that go together, sorted."""

    nodes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Branch:
    """One straight cut: everything of ``first`` lies on one side of a line, everything of ``second`` on the other."""

    first: Node
    second: Node


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
    """What a search did: ``proved`` says that no step-cut plan is better; ``bound`` holds what is proved."""

    colour: str
    policy: str
    turning: str
    method: str
    proved: bool
    states: int
    bound: dict[str, float | int | None]


@dataclass(frozen=True, slots=True)
class CutTree:
    """The parting of one colour: the tree, the nodes' film boxes need no keeping, the measures and the proof."""

    colour: str
    root: Node
    measures: Measures
    report: SearchReport
    edges: tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Splitting:
    """The cut trees of all colours, in order of first appearance."""

    trees: tuple[CutTree, ...]
    findings: tuple[Finding, ...] = ()
