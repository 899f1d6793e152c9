"""If something went wrong: a panel a little off, stretched film, a torn letter, lost numbers."""

from __future__ import annotations

from bigsign.plan_records import Panel, Plan
from bigsign.sheets.grid import Field, page_field, page_size, title_items
from bigsign.sheets.items import Item, Page
from bigsign.sheets.metrics import showable
from bigsign.sheets.own_rows import OwnWords, panel_words
from bigsign.sheets.style import GREY, SMALL_CAP, STEP_CAP
from bigsign.sheets.table import cell_table
from bigsign.sheets.writing import Column
from bigsign.wording import phrase

__all__ = ["trouble_pages"]

KINDS = ("off", "tilted", "stretched", "torn", "bubbles", "numbers")


COLUMNS = (("number", 0.06), ("text", 0.23), ("size", 0.25), ("file", 0.34), ("group", 0.12))  # shares of the width


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
    widths = [share * field.width for _, share in COLUMNS]
    head = [phrase(f"trouble.table.{key}") for key, _ in COLUMNS]
    rows = [_row(plan, panel) for panel in plan.panels]
    y = column.y + 1.0
    while rows:
        made, y, done = cell_table(field.left, y, widths, head, rows, field.bottom)
        if done:
            pages[-1] += made
            rows = rows[done:]
        if rows:
            pages.append(title_items(title))
            y = field.top
    found = _found(plan, field, y + 4.0)
    if found.y > field.bottom:
        found = _found(plan, field, field.top + 1.0)
        pages.append(title_items(title))
    pages[-1] += found.items
    return [Page("trouble", title, width, height, tuple(items)) for items in pages]


def _found(plan: Plan, field: Field, top: float) -> Column:
    """Return what is known of the parting, written from ``top`` down: over which cuts it was sought, what is proved."""
    column = Column(field.left, top, min(field.width, 150.0))
    column.heading(phrase("parting.head"))
    for report in plan.search:
        found = report.certificate
        what = phrase(f"parting.class.{found.cuts}")
        name = plan.project.colour_names.get(report.colour, report.colour)
        if found.proved:
            words = phrase("parting.proved", colour=name, cuts=what)
        else:
            reasons = "; ".join(phrase(f"parting.dropped.{code}") for code in found.dropped)
            words = phrase("parting.found", colour=name, cuts=what, reasons=reasons)
        column.text(showable(words), SMALL_CAP, False, GREY)
    return column


def _row(plan: Plan, panel: Panel) -> tuple[str | OwnWords, ...]:
    mat = next(mat for mat in plan.mats if mat.id == panel.mat)
    size = f"{panel.size.width.shown} × {panel.size.height.shown}"
    text = panel_words(plan, panel) or phrase("labels.no_text")
    return str(panel.number), text, size, showable(mat.file), f"panel-{panel.number}"
