"""Laying the guide out: all pages in the order of use."""

from __future__ import annotations

from dataclasses import replace

from bigsign.plan_records import Plan
from bigsign.sheets.front import begin_page, check_page, cover_page, mat_page, panel_pages
from bigsign.sheets.grid import finish_page
from bigsign.sheets.items import Item, Page, Sheets, Text
from bigsign.sheets.metrics import printable
from bigsign.sheets.panel_page import panel_pages_of
from bigsign.sheets.setout import marks_pages, setout_page, steps_pages

__all__ = ["lay_out"]


def lay_out(plan: Plan, paper: str) -> Sheets:
    """Return the guide's pages for ``paper`` ("letter" or "a4")."""

    pages: list[Page] = [
        cover_page(plan, paper),
        begin_page(plan, paper),
        check_page(paper),
        *panel_pages(plan, paper),
        *(mat_page(plan, mat, paper) for mat in plan.mats),
        setout_page(plan, paper),
        *marks_pages(plan, paper),
        *steps_pages(plan, paper),
        *(page for panel in plan.panels for page in panel_pages_of(plan, panel, paper)),
    ]
    pages = [replace(page, items=tuple(_shown(item) for item in page.items)) for page in pages]
    finished = tuple(finish_page(page, plan, number, len(pages)) for number, page in enumerate(pages, 1))
    return Sheets(paper, plan.sign.name, finished)


def _shown(item: Item) -> Item:
    """Return an item whose text the guide's font can print."""
    return replace(item, text=printable(item.text, item.bold)) if isinstance(item, Text) else item
