"""What a page is made of: strokes, areas, circles and lines of text at fixed places.

Millimetres from the page's top-left corner, y down. A writer turns these into a file and decides nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

from bigsign.sheets.style import BLACK, FINE

__all__ = ["Area", "Box", "Circle", "Drawing", "Item", "Page", "Point", "Run", "Sheets", "Stroke", "Text"]

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
class Run:
    """Characters of one size: ``along`` the baseline from the text's start, raised by ``rise``, mm.

    ``cap`` is the height of capitals in mm.
    """

    text: str
    along: float
    rise: float
    cap: float
    bold: bool


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text: ``at`` is the start of its baseline; ``turned`` text reads upwards."""

    at: Point
    runs: tuple[Run, ...]
    colour: str = BLACK
    turned: bool = False

    @property
    def string(self) -> str:
        """The characters in reading order."""
        return "".join(run.text for run in self.runs)


Item: TypeAlias = Stroke | Area | Circle | Text


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing to scale on a page: the n of 1:n, which part it shows, and where on the paper that stands.

    ``of`` is "sign", or the id of the mat in whose frame ``sign_box`` is given; ``join`` the id of the break that it
    shows at full size.
    """

    scale: float
    sign_box: Box
    paper_box_mm: Box
    of: str = "sign"
    join: str = ""


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
