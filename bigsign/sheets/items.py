"""What a page is made of: strokes, areas, circles and lines of text at fixed places.

Millimetres from the page's top-left corner, y down. A writer turns these into a file and decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Literal, TypeAlias

from bigsign.sheets.style import BLACK, FINE

__all__ = [
    "Area", "Box", "Cell", "Circle", "Drawing", "Entry", "Ink", "Item", "Page", "Picture", "Point", "Role", "Run",
    "Sheets", "Stroke", "Text", "in_role",
]  # fmt: skip

Point = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A polyline."""

    points: tuple[Point, ...]
    width: float = FINE
    colour: str = BLACK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Area:
    """A filled, an outlined or a filled and outlined shape: rings under the even-odd rule."""

    rings: tuple[tuple[Point, ...], ...]
    fill: str | None = None
    stroke: str | None = BLACK
    width: float = FINE
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    centre: Point
    radius: float
    fill: str | None = "#ffffff"
    stroke: str | None = BLACK
    width: float = FINE


@dataclass(frozen=True, slots=True)
class Ink:
    """Text of the sign in its own face: its outlines, mm from the run's start on the baseline, by the even-odd rule.

    ``box`` holds them. ``size`` is what the sign's height of capitals became, ``drop`` how far its baseline was moved
    down, mm. ``rtl``: its characters are read from the right.
    """

    rings: tuple[tuple[Point, ...], ...]
    box: Box
    size: float
    drop: float = 0.0
    rtl: bool = False

    def scaled(self, k: float) -> Ink:
        """Return it ``k`` times as large."""
        rings = tuple(tuple((round(x * k, 2), round(y * k, 2)) for x, y in ring) for ring in self.rings)
        x0, y0, x1, y1 = (value * k for value in self.box)
        return Ink(rings, (x0, y0, x1, y1), self.size * k, self.drop * k, self.rtl)


@dataclass(frozen=True, slots=True)
class Run:
    """Characters of one size: ``along`` the baseline from the text's start, raised by ``rise``, mm.

    ``cap`` is the height of capitals in mm. ``ink``: what is seen in place of the guide's own letters; the characters
    stand behind it unseen, for search and for reading aloud.
    """

    text: str
    along: float
    rise: float
    cap: float
    bold: bool
    ink: Ink | None = None


@dataclass(frozen=True, slots=True)
class Cell:
    """What of a table a text belongs to; a row is counted from 0, and 0 holds the heads."""

    row: int
    column: int

    @property
    def head(self) -> bool:
        """Whether it is a column's head."""
        return self.row == 0


@dataclass(frozen=True, slots=True)
class Entry:
    """What of a list a text belongs to: ``label`` is an entry's name or number, ``first`` begins an entry.

    ``of`` tells lists apart that stand one after the other. The entries of "facts" and of the title block, "block",
    are values with a name.
    """

    of: str
    label: bool = False
    first: bool = False


#: "drawn": words of a drawing, which its alternative text says; "again": what is read elsewhere, and here only seen.
Role: TypeAlias = Cell | Entry | Literal["H1", "H2", "drawn", "again"]


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text: ``at`` is the start of its baseline; ``turned`` text reads upwards.

    ``role`` is what it is to someone who has the page read out; None: a line of a paragraph. ``link`` names what it
    leads to ("panel:", "mat:" or "join:" and an id); the number of that sheet stands for a § in it.
    """

    at: Point
    runs: tuple[Run, ...]
    colour: str = BLACK
    turned: bool = False
    role: Role | None = None
    link: str = ""

    @property
    def string(self) -> str:
        """The characters in reading order."""
        return "".join(run.text for run in self.runs)


Item: TypeAlias = Stroke | Area | Circle | Text


def in_role(items: Iterable[Item], role: Role) -> list[Item]:
    """Return items with their texts in a role."""
    return [replace(item, role=role) if isinstance(item, Text) else item for item in items]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing to scale on a page: the n of 1:n, which part it shows, and where on the paper that stands.

    ``of`` is "sign", or the id of the mat in whose frame ``sign_box`` is given; ``join`` the id of the break that it
    shows at full size. ``alt`` says what is drawn, for those who can't see it.
    """

    scale: float
    sign_box: Box
    paper_box_mm: Box
    of: str = "sign"
    join: str = ""
    alt: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing that plan.json does not list and the title block gives no scale of, with its alternative text."""

    paper_box_mm: Box
    alt: str


@dataclass(frozen=True, slots=True)
class Page:
    """One page. ``panel`` is the id of the panel it is about, if it is about one."""

    kind: str
    title: str
    width: float
    height: float
    items: tuple[Item, ...]
    drawings: tuple[Drawing, ...] = ()
    panel: str | None = None
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheets:
    """All pages in order; ``title`` names the document, ``language`` is that of its words."""

    paper: str
    title: str
    pages: tuple[Page, ...]
    language: str = "en"

    @property
    def guide_pages(self) -> list[dict[str, Any]]:
        """The pages as plan.json lists them."""
        return [
            {
                "page": number,
                "kind": page.kind,
                "panel": page.panel,
                "drawings": [
                    {
                        "scale": drawing.scale,
                        "of": drawing.of,
                        "break": drawing.join or None,
                        "sign_box": [round(v, 6) for v in drawing.sign_box],
                        "paper_box_mm": [round(v, 6) for v in drawing.paper_box_mm],
                    }
                    for drawing in page.drawings
                ],
            }
            for number, page in enumerate(self.pages, 1)
        ]
