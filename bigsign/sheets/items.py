"""What a page is made of: strokes, areas, circles and texts at fixed places. Millimetres from the page's top-left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

__all__ = [
    "ACCENT", "BLACK", "CHAIN", "DASHED", "FINE", "FIRM", "GREY", "HAIR", "MEASURE_CAP", "SMALL_CAP",
    "STEP_CAP", "TITLE_CAP", "Area", "Circle", "Drawing", "Item", "Page", "Point", "Sheets", "Stroke",
    "Text", "ink_box",
]  # fmt: skip

Point = tuple[float, float]

# Line widths in mm: film and board, trim and dimensions, hatching and leaders.
FIRM, FINE, HAIR = 0.5, 0.25, 0.18
# Heights of capitals in mm.
TITLE_CAP, MEASURE_CAP, STEP_CAP, SMALL_CAP = 5.0, 3.0, 2.5, 1.8
BLACK, GREY, ACCENT = "#111111", "#6b6b6b", "#8c2a1c"
# Dash patterns in mm, after ISO 128: dashed for what is hidden or not there yet, long-dash-dot for centre lines.
DASHED: tuple[float, ...] = (3.0, 1.2)
CHAIN: tuple[float, ...] = (6.0, 1.0, 0.5, 1.0)


@dataclass(frozen=True, slots=True)
class Stroke:
    """A polyline."""

    points: tuple[Point, ...]
    width: float = FINE
    colour: str = BLACK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Area:
    """A filled and outlined shape: rings under the even-odd rule."""

    rings: tuple[tuple[Point, ...], ...]
    fill: str | None = None
    stroke: str | None = BLACK
    width: float = FINE
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle with a white or no fill."""

    centre: Point
    radius: float
    fill: str | None = "#ffffff"
    stroke: str | None = BLACK
    width: float = FINE


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text: ``at`` is on its baseline, at its left end, middle or right end as ``align`` says (l, c, r).

    ``cap`` is the height of its capitals in mm; ``turned`` text reads upwards.
    """

    at: Point
    text: str
    cap: float = STEP_CAP
    bold: bool = False
    align: str = "l"
    colour: str = BLACK
    turned: bool = False


Item: TypeAlias = Stroke | Area | Circle | Text


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing to scale on a page: 1:``scale``, which part of the sign (or mat) it shows, and where."""

    scale: float
    sign_box: tuple[float, float, float, float]
    paper_box_mm: tuple[float, float, float, float]
    of: str = "sign"


@dataclass(frozen=True, slots=True)
class Page:
    """One page."""

    kind: str
    title: str
    width: float
    height: float
    items: tuple[Item, ...]
    drawings: tuple[Drawing, ...] = ()
    panel: str | None = None


@dataclass(frozen=True, slots=True)
class Sheets:
    """All pages, in order."""

    paper: str
    title: str
    pages: tuple[Page, ...]

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
                        "sign_box": [round(v, 6) for v in drawing.sign_box],
                        "paper_box_mm": [round(v, 6) for v in drawing.paper_box_mm],
                    }
                    for drawing in page.drawings
                ],
            }
            for number, page in enumerate(self.pages, 1)
        ]


def ink_box(text: Text) -> tuple[float, float, float, float]:
    """Return the box a text's ink takes on the page, tails below the baseline included."""
    from bigsign.sheets.metrics import text_width

    width = text_width(text.text, text.cap, text.bold)
    shift = {"l": 0.0, "c": -width / 2, "r": -width}[text.align]
    x, y = text.at
    if text.turned:
        return x - text.cap, y - shift - width, x + 0.3 * text.cap, y - shift
    return x + shift, y - text.cap, x + shift + width, y + 0.3 * text.cap
