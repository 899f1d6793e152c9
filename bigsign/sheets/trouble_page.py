"""If something went wrong: a panel a little off, stretched film, a torn letter, lost numbers."""

from __future__ import annotations

from bigsign.plan_records import Plan
from bigsign.sheets.grid import page_field, page_size, title_items
from bigsign.sheets.items import Item, Page
from bigsign.sheets.style import STEP_CAP
from bigsign.sheets.writing import Column
from bigsign.wording import phrase

__all__ = ["trouble_page"]

KINDS = ("off", "tilted", "stretched", "torn", "bubbles", "numbers")


def trouble_page(plan: Plan, paper: str) -> Page:
    """Return the page that says what to do when a panel did not go as it should."""
    field = page_field(paper)
    width, height = page_size(paper)
    title = phrase("title.trouble")
    column = Column(field.left, field.top + 1.0, min(field.width, 150.0))
    check = plan.panels[0].check.tolerance
    letters = [part for part in plan.breaks if part.kind == "letter"]
    tightest = min(letters or plan.breaks, key=lambda part: part.gap.mm, default=None)
    mats = phrase("trouble.file", file=plan.mats[0].file)
    values = {"tolerance": check.shown, "file": mats}
    for kind in KINDS:
        column.heading(phrase(f"trouble.{kind}.head"))
        column.text(phrase(f"trouble.{kind}", **values))
        if kind == "off" and tightest is not None:
            column.gap(1.0)
            a, b = sorted(plan.panel(name).number for name in tightest.panels)
            column.text(phrase("trouble.tightest", a=a, b=b, gap=tightest.gap.shown))
        column.gap(4.0 + STEP_CAP / 2)
    items: list[Item] = [*title_items(title), *column.items]
    return Page("trouble", title, width, height, tuple(items))
