"""The page: paper sizes, frame, title block with bar scale. Layout after ISO 7200's title block, without dates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bigsign.plan_records import Plan
from bigsign.sheets.items import BLACK, FINE, GREY, HAIR, SMALL_CAP, STEP_CAP, TITLE_CAP, Item, Page, Stroke, Text
from bigsign.sheets.metrics import printable, text_width

__all__ = ["PAPERS", "Field", "finish_page", "page_field", "scale_text", "title_text"]

#: Portrait sizes in mm: Letter 8.5 × 11 in; A4 as ISO 216 has it.
PAPERS = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
MARGIN = 12.0
BLOCK = 15.0  # height of the title block
TITLE_ROOM = 14.0


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
    inner = 4.0
    return Field(MARGIN + inner, MARGIN + TITLE_ROOM + inner, width - MARGIN - inner, height - MARGIN - BLOCK - inner)


def scale_text(scale: float) -> str:
    """Return a drawing's scale as it is printed."""
    return "FULL SIZE" if scale == 1 else f"SCALE 1:{scale:g}"


def title_text(title: str, note: str = "") -> list[Item]:
    """Return a page's title, with a note at the right end of its line."""
    y = MARGIN + 4.0 + TITLE_CAP + 2.0
    out: list[Item] = [Text((MARGIN + 4.0, y), title, TITLE_CAP, True)]
    if note:
        x = MARGIN + 4.0 + text_width(title, TITLE_CAP, True) + 6.0
        out.append(Text((x, y), note, STEP_CAP, False, "l", GREY))
    return out


def finish_page(page: Page, plan: Plan, number: int, count: int) -> Page:
    """Return a page with its frame, title block and bar scale."""
    width, height = page.width, page.height
    left, right, top, bottom = MARGIN, width - MARGIN, MARGIN, height - MARGIN
    block = bottom - BLOCK
    frame = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
    items: list[Item] = [Stroke(frame, FINE), Stroke(((left, block), (right, block)), FINE)]
    units = "inches" if plan.tape_step.unit == "in" else "millimetres"
    scales = list(dict.fromkeys(scale_text(drawing.scale) for drawing in page.drawings))
    name = printable(plan.sign.name, bold=True)
    while text_width(name, STEP_CAP, True) > 0.30 * (right - left) and len(name) > 4:
        name = name[:-2].rstrip() + "…" if not name.endswith("…") else name[:-3].rstrip() + "…"
    cells = [
        ("Sign", name, 0.31),
        ("Sheet", f"{number} of {count}", 0.12),
        ("Units", units, 0.14),
        ("Revision", printable(plan.sign.revision) or "–", 0.11),
        ("Plan", plan.project.sha256[:8], 0.12),
    ]
    x = left
    for label, value, share in cells:
        items.append(Text((x + 2.0, block + 2.0 + SMALL_CAP), label, SMALL_CAP, False, "l", GREY))
        items.append(Text((x + 2.0, bottom - 3.6), value, STEP_CAP, label == "Sign"))
        x += share * (right - left)
        items.append(Stroke(((x, block), (x, bottom)), HAIR))
    items.extend(_bar_scale(page, plan, x + 3.0, right - 4.0, block, scales))
    return Page(page.kind, page.title, width, height, (*page.items, *items), page.drawings, page.panel)


def _bar_scale(page: Page, plan: Plan, left: float, right: float, block: float, scales: Sequence[str]) -> list[Item]:
    """Return a bar scale of a round length of the page's first drawing, or of true inches or millimetres."""
    scale = page.drawings[0].scale if page.drawings else 1.0
    inch = plan.tape_step.unit == "in"
    unit = 25.4 if inch else 10.0
    room = (right - left - 6.0) * scale / unit
    steps = [s for s in (0.5, 1, 2, 3, 4, 6, 12, 24, 36, 48, 60, 96, 120) if s <= room] if inch else [
        s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500) if s <= room
    ]  # fmt: skip
    length = steps[-1] if steps else 1.0
    drawn = length * unit / scale
    y = block + 8.0
    parts = 4
    out: list[Item] = []
    for i in range(parts):
        a, b = left + drawn * i / parts, left + drawn * (i + 1) / parts
        out.append(Stroke(((a, y), (b, y)), 0.9 if i % 2 == 0 else HAIR, BLACK))
        out.append(Stroke(((b, y - 0.8), (b, y + 0.8)), HAIR))
    out.append(Stroke(((left, y - 0.8), (left, y + 0.8)), HAIR))
    shown = f"{length:g} in" if inch else f"{length * 10:g} mm"
    out.append(Text((left, y + 2.2 + SMALL_CAP), "0", SMALL_CAP))
    out.append(Text((left + drawn, y + 2.2 + SMALL_CAP), shown, SMALL_CAP, False, "c" if drawn > 14 else "l"))
    out.append(
        Text((left, block + 2.0 + SMALL_CAP), scales[0] if scales else "No drawing to scale", SMALL_CAP, bool(scales))
    )
    return out
