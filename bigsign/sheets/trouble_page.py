"""If something went wrong: a panel a little off, stretched film, a torn letter, lost numbers."""

from __future__ import annotations

from bigsign.plan_records import Plan
from bigsign.sheets.grid import Field, page_field, page_size, shorten, title_items
from bigsign.sheets.items import Item, Page, Stroke
from bigsign.sheets.metrics import showable
from bigsign.sheets.style import BLACK, FINE, GREY, HAIR, PALE, SMALL_CAP, STEP_CAP
from bigsign.sheets.table import shown_text
from bigsign.sheets.writing import Column, line, text_width
from bigsign.wording import phrase

__all__ = ["trouble_pages"]

KINDS = ("off", "tilted", "stretched", "torn", "bubbles", "numbers")


COLUMNS = (("number", 0.06), ("text", 0.23), ("size", 0.25), ("file", 0.34), ("group", 0.12))  # shares of the width
ROW = 6.0
HEAD = 5.2


def trouble_pages(plan: Plan, paper: str) -> list[Page]:
    """Return the page that says what to do when a panel did not go as it should, and where to find each panel again."""
    field = page_field(paper)
    width, height = page_size(paper)
    title = phrase("title.trouble")
    column = Column(field.left, field.top + 1.0, min(field.width, 150.0))
    check = plan.panels[0].check.tolerance
    letters = [part for part in plan.breaks if part.kind == "letter"]
    tightest = min(letters or plan.breaks, key=lambda part: part.gap.mm, default=None)
    for kind in KINDS:
        column.heading(phrase(f"trouble.{kind}.head"))
        column.text(phrase(f"trouble.{kind}", tolerance=check.shown))
        if kind == "off" and tightest is not None and tightest.kind != "seam":
            column.gap(1.0)
            a, b = sorted(plan.panel(name).number for name in tightest.panels)
            column.text(phrase("trouble.tightest", a=a, b=b, gap=tightest.gap.shown))
        column.gap(3.0 + STEP_CAP / 2)
    pages: list[list[Item]] = [[*title_items(title), *column.items]]
    y = column.y + 1.0
    if y + HEAD + 2 * ROW > field.bottom:
        pages.append(title_items(title))
        y = field.top
    y = _head(pages[-1], field, y)
    for panel in plan.panels:
        if y + ROW > field.bottom:
            pages.append(title_items(title))
            y = _head(pages[-1], field, field.top)
        mat = next(mat for mat in plan.mats if mat.id == panel.mat)
        size = f"{panel.size.width.shown} × {panel.size.height.shown}"
        text = shown_text(panel) or phrase("labels.no_text")
        cells = (str(panel.number), text, size, showable(mat.file), f"panel-{panel.number}")
        for (left, room), cell in zip(_places(field), cells, strict=True):
            bold = left == field.left
            cap = STEP_CAP if text_width(cell, STEP_CAP, bold) <= room else SMALL_CAP
            pages[-1].append(line((left, y + 4.2), shorten(cell, cap, room, bold), cap, bold))
        y += ROW
        pages[-1].append(Stroke(((field.left, y), (field.right, y)), HAIR, PALE))
    return [Page("trouble", title, width, height, tuple(items)) for items in pages]


def _places(field: Field) -> list[tuple[float, float]]:
    """Return each column's left edge and the room in it."""
    out = []
    left = field.left
    for _, share in COLUMNS:
        out.append((left, share * field.width - 2.0))
        left += share * field.width
    return out


def _head(items: list[Item], field: Field, top: float) -> float:
    for (left, _), (key, _) in zip(_places(field), COLUMNS, strict=True):
        items.append(line((left, top + SMALL_CAP), phrase(f"trouble.table.{key}"), SMALL_CAP, False, "l", GREY))
    items.append(Stroke(((field.left, top + HEAD - 1.0), (field.right, top + HEAD - 1.0)), FINE, BLACK))
    return top + HEAD - 1.0
