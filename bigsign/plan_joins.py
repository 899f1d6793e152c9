"""Distances from the reference edges, and breaks: where two neighbouring panels part, as the plan has them."""

from __future__ import annotations

from dataclasses import dataclass

from bigsign.units import TapeLength

__all__ = ["Break", "BreakEnd", "EdgeDistance", "FromReference", "GapAt", "Narrowest", "NextBest", "Point", "Size"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class EdgeDistance:
    """A distance from a reference edge ("left", "right", "top", "bottom", "middle") to a side of a thing's box.

    ``side`` is the nearest side ("left", "right", "top", "bottom"), or "centre" where the edge is a middle.
    """

    edge: str
    side: str
    length: TapeLength


@dataclass(frozen=True, slots=True)
class FromReference:
    """Where a thing's box stands, from the two reference edges."""

    x: EdgeDistance
    y: EdgeDistance


@dataclass(frozen=True, slots=True)
class Size:
    """Width and height of a box, for people."""

    width: TapeLength
    height: TapeLength


@dataclass(frozen=True, slots=True)
class BreakEnd:
    """An end of a break line."""

    at: Point
    from_reference: FromReference


@dataclass(frozen=True, slots=True)
class GapAt:
    """The gap between two panels' film measured at a stated height: along "x" at y = at_mm, or along "y" at x.

    ``where`` on the lettering that is: "foot", "half" or "full" height of capitals, or "face" to face. ``between`` are
    the ids of the two glyphs (or ornament pieces).
    """

    along: str
    at_mm: float
    gap: TapeLength
    where: str = "face"
    between: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class Narrowest:
    """Where a gap is narrowest: the two points on the films that face each other, and the ids of their glyphs."""

    ends: tuple[Point, Point]
    between: tuple[str, str]


@dataclass(frozen=True, slots=True)
class NextBest:
    """What a plan with its cut at the next best place would have cost more: in whole measures, and in words.

    Negative figures are what it would have saved in a lower tier. ``words`` is one line for people.
    """

    in_word_breaks: int
    panels: int
    risk: float
    largest_panel_area: float
    words: str


@dataclass(frozen=True, slots=True)
class Break:
    """Where two neighbouring panels part.

    At a seam ``seam_length`` is what of it runs through film, and the film of the panel ``upper`` laps that of the
    other by ``overlap``. ``next_best`` says what the next best place to part would have cost.
    """

    id: str
    panels: tuple[str, str]
    kind: str  # line, word, letter, ornament, seam
    line: tuple[Point, ...]
    ends: tuple[BreakEnd, ...]
    butts: bool
    clearance_mm: float
    gap: TapeLength
    gaps: tuple[GapAt, ...]
    seam_length: float
    overlap_mm: float
    why: str
    upper: str | None = None
    overlap: TapeLength | None = None
    next_best: NextBest | None = None
    narrowest: Narrowest | None = None
    way: str = "straight"  # or "legs", "free", "seam": as the cut's
