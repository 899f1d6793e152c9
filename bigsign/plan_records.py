"""The plan: every number that the cut files and the guide show, and nothing that they have to work out.

Fields are named as in plan.json (docs/reference.md). mm, sign frame: origin at the board's top-left corner,
x right, y down. Points are (x, y) tuples. Shapes are shapely geometries; the writer turns them into paths.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from shapely.geometry import MultiPolygon, Polygon

from bigsign.artwork.pieces import Piece
from bigsign.findings import Finding
from bigsign.plan_joins import (
    Break,
    BreakEnd,
    EdgeDistance,
    FromReference,
    GapAt,
    Narrowest,
    NextBest,
    Point,
    Size,
)
from bigsign.plan_needs import Materials, SiteFrame
from bigsign.reading.lettering import Bounds, Glyph, Line, Word
from bigsign.splitting.tree import Measures, SearchReport
from bigsign.units import TapeLength, TapeStep

if TYPE_CHECKING:
    from bigsign.project import Project

__all__ = [
    "Break",
    "BreakEnd",
    "CheckMeasure",
    "CutLine",
    "EdgeDistance",
    "FromReference",
    "GapAt",
    "Hinge",
    "Level",
    "MatSheet",
    "Narrowest",
    "Neighbour",
    "NextBest",
    "Panel",
    "Plan",
    "PlanEdge",
    "Point",
    "RegisterMark",
    "SignFrame",
    "Size",
    "SlipJoin",
    "Step",
    "TapeError",
    "TapeMark",
    "marks_on",
]

ON_OUTLINE = 0.01  # mm


@dataclass(frozen=True, slots=True)
class SignFrame:
    """The board."""

    name: str
    revision: str
    width: TapeLength
    height: TapeLength
    diagonal: TapeLength
    outline: Polygon
    margin_mm: float
    reference: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Hinge:
    """The hinge tape's line: two points along "top", "side" or "centre"; None of this for heat film."""

    kind: str
    line: tuple[Point, Point]
    crosses_film_mm: float
    from_reference: FromReference
    why: str = ""


@dataclass(frozen=True, slots=True)
class Level:
    """What to level a panel on: the y (or x, for lines that run up or down) of the feet of flat letters.

    ``axis`` is "y" or "x"; ``at`` its value in mm; ``points`` the feet; ``overshoot_mm`` is set where no flat
    foot was found and the line is struck at the lowest points.
    """

    axis: str
    at: float
    from_reference: EdgeDistance
    points: tuple[Point, ...]
    overshoot_mm: float = 0.0
    flat: bool = True


@dataclass(frozen=True, slots=True)
class CheckMeasure:
    """The closing check of a panel: what to measure, from where, and how far off is still right."""

    what: str
    from_reference: EdgeDistance
    tolerance: TapeLength


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A neighbour of a panel and the break between them, by id."""

    panel: str
    break_id: str


@dataclass(frozen=True, slots=True)
class Panel:
    """What is cut, weeded, taped and applied as one. ``number`` is its place in the order of work, from 1.

    ``film`` is all its film (fragments united as a multipolygon), ``trim`` where tape and backing are cut off,
    ``trim_lines`` what is kiss-cut of that; all in the sign's frame. ``to_mat`` = (a, b, c, d, e, f) as in SVG:
    x' = a x + c y + e, y' = b x + d y + f. ``unlined`` names trim sides that carry no cut line.
    """

    id: str
    number: int
    colour: str
    fragments: tuple[str, ...]
    nodes: tuple[str, ...]
    text: str
    film: MultiPolygon
    bounds: Bounds
    size: Size
    trim: Polygon
    trim_size: Size
    from_reference: FromReference
    hinge: Hinge | None
    level: Level | None
    trim_lines: tuple[tuple[Point, ...], ...]
    check: CheckMeasure
    neighbours: tuple[Neighbour, ...]
    mat: str
    to_mat: tuple[float, float, float, float, float, float]
    step: int
    unlined: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()

    def with_step(self, step: int) -> Panel:
        """Return the panel with the number of the step that sticks it."""
        return replace(self, step=step)


@dataclass(frozen=True, slots=True)
class TapeMark:
    """A strip of masking tape on the board with a pencilled mark: T1, T2 …"""

    id: str
    at: Point
    from_reference: FromReference


def marks_on(panel: Panel, tape_marks: Iterable[TapeMark]) -> tuple[TapeMark, ...]:
    """Return the tape marks at the ends of the upper edge of a panel's trim, the left one first: one or two."""
    top = panel.trim.bounds[1]
    points = [point for point in panel.trim.exterior.coords if point[1] < top + ON_OUTLINE]
    marks = list(tape_marks)
    ends = [min(points), max(points)]
    found = [mark for x, y in ends for mark in marks if math.dist(mark.at, (x, y)) < ON_OUTLINE]
    return tuple(dict.fromkeys(found))


@dataclass(frozen=True, slots=True)
class RegisterMark:
    """A mark cut with two panels at one place of the sign, laid one on the other and then taken off: R1, R2 …

    ``shape`` names its figure, ``at`` is its middle, ``path`` its outline, in waste clear of all film. ``break_id`` is
    None where the panels are of different colours.
    """

    id: str
    shape: str
    at: Point
    path: MultiPolygon
    panels: tuple[str, str]
    break_id: str | None
    from_reference: FromReference


@dataclass(frozen=True, slots=True)
class CutLine:
    """One cut of a tree; left and right (walking along the line, on the drawing) are ids of cuts or panels.

    ``way``: "straight"; "legs", where it passes neighbours that hook; "free", in the middle of the clear room;
    "seam", along seams through film, with legs where it must.
    """

    id: str
    colour: str
    line: tuple[Point, ...]
    left: str
    right: str
    way: str = "straight"


@dataclass(frozen=True, slots=True)
class PlanEdge:
    """An edge of the adjacency graph and whether the plan parts it."""

    a: str
    b: str
    kind: str
    gap_mm: float
    parted: bool


@dataclass(frozen=True, slots=True)
class MatSheet:
    """One mat (or length of roll) with what is cut on it. ``width``, ``length``: the usable area, mm.

    ``border_mm``: the sheet beyond the usable area on each side. ``usable`` is the usable area for people, ``load``
    the least sheet of film to load (width and height as it lies on the mat).
    """

    id: str
    cutter: str
    mat: str
    colour: str
    colour_name: str
    width: float
    length: float
    border_mm: float
    used_length: float
    mirrored: bool
    file: str
    panels: tuple[str, ...]
    usable: Size
    load: Size


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work; ``kind``: prepare, strike, mark, hang, check, stick, peel, finish."""

    n: int
    kind: str
    panel: str | None
    actions: tuple[str, ...]
    caution: str | None = None


@dataclass(frozen=True, slots=True)
class SlipJoin:
    """What error to expect in a break's gap by one way of working: ``method`` is "edge", "butt" or "marks".

    ``worst``: with every slip at its limit and adding up. ``rss``: the standard deviation (root-sum-square).
    ``place_worst``, ``place_rss``: the same for the place of the later panel on the board, along the gap's direction.
    ``shows``: whether twice ``rss``, which errors hardly exceed, is more than a quarter of the gap (at a seam: than the
    overlap).
    """

    break_id: str
    method: str
    worst: TapeLength
    rss: TapeLength
    place_worst: TapeLength
    place_rss: TapeLength
    shows: bool
    advice: str


@dataclass(frozen=True, slots=True)
class TapeError:
    """What a tape measure itself may be off by ``over`` the longer side of the board.

    ``handbook_44``: by NIST Handbook 44, section 5.52, or None past the 100 ft where that ends. ``class_ii``: by
    2014/32/EU, MI-008, for a tape of accuracy class II.
    """

    over: TapeLength
    handbook_44: TapeLength | None
    class_ii: TapeLength


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole plan."""

    project: Project
    sign: SignFrame
    site: SiteFrame
    tape_step: TapeStep
    measures: Measures
    search: tuple[SearchReport, ...]
    pieces: tuple[Piece, ...]
    glyphs: tuple[Glyph, ...]
    words: tuple[Word, ...]
    lines: tuple[Line, ...]
    edges: tuple[PlanEdge, ...]
    cuts: tuple[CutLine, ...]
    panels: tuple[Panel, ...]
    tape_marks: tuple[TapeMark, ...]
    breaks: tuple[Break, ...]
    mats: tuple[MatSheet, ...]
    steps: tuple[Step, ...]
    tape_error: TapeError
    warnings: tuple[Finding, ...] = ()
    fragments: tuple[tuple[str, str, Polygon], ...] = field(default=())  # (id, piece id, shape)
    slip: tuple[SlipJoin, ...] = ()
    marks: tuple[RegisterMark, ...] = ()
    materials: Materials = field(default_factory=Materials)

    def panel(self, panel_id: str) -> Panel:
        """Return the panel with that id; KeyError if there is none."""
        for panel in self.panels:
            if panel.id == panel_id:
                return panel
        raise KeyError(panel_id)

    def marks_on(self, panel: Panel) -> tuple[TapeMark, ...]:
        """Return the tape marks at the upper corners of a panel's trim; see :func:`marks_on`."""
        return marks_on(panel, self.tape_marks)

    def marks_of(self, panel: Panel) -> tuple[RegisterMark, ...]:
        """Return the register marks that are cut with a panel."""
        return tuple(mark for mark in self.marks if panel.id in mark.panels)

    def all_cut(self, panel: Panel) -> MultiPolygon:
        """Return all that is cut of film for a panel: its film and its register marks."""
        return MultiPolygon([*panel.film.geoms, *(part for mark in self.marks_of(panel) for part in mark.path.geoms)])

    def colour_name(self, colour: str) -> str:
        """Return a film colour as the project spells it."""
        return self.project.colour_names.get(colour, colour)

    def _repr_svg_(self) -> str:
        """Show the plan in a notebook: its preview."""
        from bigsign.output.preview import preview_svg

        return preview_svg(self)
