"""The page: paper sizes, frame, title block with bar scale. The block holds what ISO 7200 asks for, without dates."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bigsign.plan_records import Plan
from bigsign.sheets.items import Entry, Item, Page, Stroke, Text, in_role
from bigsign.sheets.metrics import showable
from bigsign.sheets.own_name import name_words
from bigsign.sheets.own_rows import OwnWords, Row, row_width, set_row
from bigsign.sheets.style import BLACK, FINE, FIRM, GREY, HAIR, MARGIN, SMALL_CAP, STEP_CAP, TITLE_CAP
from bigsign.sheets.writing import line, rectangle, runs_of, text_width
from bigsign.wording import phrase

__all__ = [
    "BLOCK", "PAPERS", "Field", "finish_page", "name_title", "page_field", "page_size", "scale_text", "shorten",
    "title_items",
]  # fmt: skip

#: Portrait sizes in mm: Letter 8.5 × 11 in, tabloid 11 × 17 in; A4 and A3 as ISO 216 has them. The guide is laid out
#: for letter and a4 only, the template for all.
PAPERS = {"letter": (215.9, 279.4), "a4": (210.0, 297.0), "tabloid": (279.4, 431.8), "a3": (297.0, 420.0)}
INNER = 5.0  # from the frame to what stands in it
BLOCK = 17.0  # height of the title block
TITLE_ROOM = 15.0
TITLE_GAP = 5.0  # between a title and its note
INCH_BARS = (1, 2, 4, 6, 12, 24, 48, 60, 96, 120, 240, 480)
MM_BARS = (20, 40, 100, 200, 400, 1000, 2000, 4000, 10000)
BAR_CELL = 66.0  # width of the bar scale's cell


@dataclass(frozen=True, slots=True)
class Field:
    """The part of a page that content may use, mm from the page's top-left."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width in mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height in mm."""
        return self.bottom - self.top


def page_size(paper: str, landscape: bool = False) -> tuple[float, float]:
    """Return (width, height) in mm."""
    width, height = PAPERS[paper]
    return (height, width) if landscape else (width, height)


def page_field(paper: str, landscape: bool = False) -> Field:
    """Return the field for content below the page's title and above its title block."""
    width, height = page_size(paper, landscape)
    return Field(
        MARGIN + INNER, MARGIN + TITLE_ROOM, width - MARGIN - INNER, height - MARGIN - BLOCK - 4.0
    )  # fmt: skip


def scale_text(scale: float) -> str:
    """Return a drawing's scale as it is printed."""
    return phrase("scale.full") if scale == 1 else phrase("scale.reduced", n=f"{scale:g}")


def shorten(text: str, cap: float, width: float, bold: bool = False) -> str:
    """Return ``text``, cut short with an ellipsis if it is wider than ``width`` mm."""
    shown = text
    while text_width(shown, cap, bold) > width and len(shown) > 1:
        shown = shown.removesuffix("…")[:-1].rstrip() + "…"
    return shown


def title_items(title: str | Row, note: str | Row = "") -> list[Item]:
    """Return a page's title, with a note after it on its line, or what a panel says."""
    x, y = MARGIN + INNER, MARGIN + INNER + TITLE_CAP
    row = runs_of(title, TITLE_CAP, True)[0] if isinstance(title, str) else title
    out: list[Item] = [Text((x, y), row, role="H1")]
    after = (x + row_width(row) + TITLE_GAP, y)
    if isinstance(note, tuple):
        out.append(Text(after, note))
    elif note:
        out.append(line(after, note, STEP_CAP, False, "l", GREY))
    return out


def name_title(plan: Plan, field: Field, note: str) -> list[Item]:
    """Return a title that is the name of the sign, as high as has room; where it has none, what kind of page it is."""
    room = field.width - TITLE_GAP - text_width(note, STEP_CAP)
    name = name_words(plan).one_row(room, TITLE_CAP, STEP_CAP, True)
    return title_items(name or phrase("title.cover"), note)


def finish_page(page: Page, plan: Plan, number: int, count: int) -> Page:
    """Return a page with its frame, title block and bar scale."""
    left, right, top, bottom = MARGIN, page.width - MARGIN, MARGIN, page.height - MARGIN
    block, middle, cells_left = bottom - BLOCK, bottom - BLOCK / 2, left + BAR_CELL
    items: list[Item] = [
        rectangle(left, top, right, bottom, None, BLACK, FINE),
        Stroke(((left, block), (right, block)), FIRM),
        Stroke(((cells_left, block), (cells_left, bottom)), FINE),
        Stroke(((cells_left, middle), (right, middle)), HAIR),
    ]
    items += in_role(_bar_scale(page, plan, left + 4.0, block), "again")  # its scale stands beside it
    shown = ", ".join(dict.fromkeys(f"1:{drawing.scale:g}" for drawing in page.drawings))
    units = phrase("block.inches") if plan.tape_step.unit == "in" else phrase("block.millimetres")
    name = name_words(plan)
    upper: list[tuple[str, str | OwnWords, float]] = [("block.sign", name, 0.58), ("block.page", page.title, 0.42)]
    lower: list[tuple[str, str | OwnWords, float]] = [
        ("block.scale", shown or "–", 0.17),
        ("block.units", units, 0.22),
        ("block.revision", showable(plan.sign.revision) or "–", 0.17),
        ("block.plan", plan.project.sha256[:8], 0.24),
        ("block.sheet", phrase("block.of", n=number, count=count), 0.20),
    ]
    for cells, head in ((upper, block), (lower, middle)):
        x = cells_left
        for index, (key, value, share) in enumerate(cells):
            width = share * (right - cells_left)
            if index:
                items.append(Stroke(((x, head), (x, head + BLOCK / 2)), HAIR))
            label = Entry("block", label=True, first=True)
            items.append(line((x + 1.8, head + 1.0 + SMALL_CAP), phrase(key), SMALL_CAP, False, "l", GREY, role=label))
            bold = key == "block.sign"
            base = head + BLOCK / 2 - 1.3
            if isinstance(value, str):
                row: str | Row = shorten(value, STEP_CAP, width - 3.4, bold)
            else:
                row = value.one_row(width - 3.4, bold=bold)
            items.append(set_row((x + 1.8, base), row, STEP_CAP, bold, role=Entry("block")))
            x += width
    return replace(page, items=(*page.items, *items))


def _bar_scale(page: Page, plan: Plan, left: float, block: float) -> list[Item]:
    """Return a bar of a round length at the scale of the page's first drawing, or of true size."""
    scale = page.drawings[0].scale if page.drawings else 1.0
    inch = plan.tape_step.unit == "in"
    unit, name = (25.4, "in") if inch else (1.0, "mm")
    lengths = INCH_BARS if inch else MM_BARS
    room = (BAR_CELL - 14.0) * scale / unit
    length = max((value for value in lengths if value <= room), default=lengths[0])
    drawn = length * unit / scale
    y, high, parts = block + 7.6, 1.3, 4
    out: list[Item] = [line((left, block + 2.2 + SMALL_CAP), _bar_title(page, scale), SMALL_CAP, bool(page.drawings))]
    out.append(rectangle(left, y, left + drawn, y + high, "#ffffff", BLACK, HAIR))
    for part in range(0, parts, 2):
        a, b = left + drawn * part / parts, left + drawn * (part + 1) / parts
        out.append(rectangle(a, y, b, y + high, BLACK, None))
    foot = y + high + 1.6 + SMALL_CAP
    out.append(line((left, foot), "0", SMALL_CAP))
    if length % 2 == 0:
        out.append(line((left + drawn / 2, foot), f"{length // 2}", SMALL_CAP, False, "c"))
    out.append(line((left + drawn, foot), f"{length} {name}", SMALL_CAP, False, "c"))
    return out


def _bar_title(page: Page, scale: float) -> str:
    return scale_text(scale) if page.drawings else scale_text(1.0)
