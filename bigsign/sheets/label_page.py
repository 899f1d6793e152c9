"""Labels to cut out and tape on: number, which way is up, mat and file, what it says."""

from __future__ import annotations

from bigsign.plan_records import Panel, Plan
from bigsign.sheets.grid import page_field, page_size, shorten, title_items
from bigsign.sheets.items import Area, Item, Page
from bigsign.sheets.metrics import showable
from bigsign.sheets.own_rows import panel_words, set_row
from bigsign.sheets.style import BLACK, DASHED, GREY, HAIR, SMALL_CAP, STEP_CAP
from bigsign.sheets.writing import line
from bigsign.wording import phrase

__all__ = ["label_pages"]

COLUMNS = 3
TALL = 34.0
BIG = 9.0  # height of a number's figures
OWN = 3.0  # height of capitals of what a panel says
PITCH = 4.6


def label_pages(plan: Plan, paper: str) -> list[Page]:
    """Return a label a panel, in the order of work."""
    field = page_field(paper)
    width, height = page_size(paper)
    wide = field.width / COLUMNS
    rows = int(field.height / TALL)
    pages = []
    for first in range(0, len(plan.panels), COLUMNS * rows):
        items: list[Item] = title_items(phrase("title.labels"), phrase("labels.note"))
        for at, panel in enumerate(plan.panels[first : first + COLUMNS * rows]):
            left = field.left + (at % COLUMNS) * wide
            items += _label(plan, panel, left, field.top + (at // COLUMNS) * TALL, wide)
        pages.append(Page("labels", phrase("title.labels"), width, height, tuple(items)))
    return pages


def _label(plan: Plan, panel: Panel, left: float, top: float, wide: float) -> list[Item]:
    mat = next(mat for mat in plan.mats if mat.id == panel.mat)
    x, right, room = left + 3.0, left + wide - 3.0, wide - 6.0
    edge = ((left, top), (left + wide, top), (left + wide, top + TALL), (left, top + TALL))
    items: list[Item] = [Area((edge,), None, GREY, HAIR, DASHED)]
    items.append(line((x, top + 4.0 + BIG), str(panel.number), BIG, True))
    tip = (right - 4.0, top + 4.0)
    arrow = (tip, (tip[0] - 3.2, tip[1] + 4.6), (tip[0] - 1.2, tip[1] + 4.6), (tip[0] - 1.2, tip[1] + BIG),
             (tip[0] + 1.2, tip[1] + BIG), (tip[0] + 1.2, tip[1] + 4.6), (tip[0] + 3.2, tip[1] + 4.6))  # fmt: skip
    items.append(Area((arrow,), BLACK, None))
    items.append(line((right - 9.0, top + 4.0 + BIG), phrase("labels.top"), STEP_CAP, True, "r"))
    y = top + 4.0 + BIG + 5.0
    own = panel_words(plan, panel)
    text = own.one_row(room, OWN) if own else phrase("labels.no_text")
    items.append(set_row((x, y), text, STEP_CAP, True))
    y += PITCH
    for words, cap, bold in (
        (f"{panel.size.width.shown} × {panel.size.height.shown}", STEP_CAP, False),
        (f"{phrase('title.mat', n=int(mat.id.removeprefix('mat-')))}: {showable(mat.file)}", SMALL_CAP, False),
    ):
        items.append(line((x, y), shorten(words, cap, room, bold), cap, bold))
        y += PITCH
    return items
