"""Laying the guide out: all pages in the order of use."""

from __future__ import annotations

from bigsign.plan_records import Plan
from bigsign.sheets.begin import begin_pages
from bigsign.sheets.cautions import plan_cautions
from bigsign.sheets.cover import cover_page
from bigsign.sheets.grid import finish_page
from bigsign.sheets.items import Page, Sheets
from bigsign.sheets.join_page import join_pages
from bigsign.sheets.label_page import label_pages
from bigsign.sheets.links import with_sheets
from bigsign.sheets.mats import mat_pages
from bigsign.sheets.own_letters import letters_of
from bigsign.sheets.panel_page import panel_pages
from bigsign.sheets.setout import setout_pages
from bigsign.sheets.slip_page import slip_pages
from bigsign.sheets.table import panel_table
from bigsign.sheets.trouble_page import trouble_pages
from bigsign.sheets.work_page import work_pages
from bigsign.wording import speaking

__all__ = ["lay_out"]


def lay_out(plan: Plan, paper: str) -> Sheets:
    """Return the guide's pages for ``paper`` ("letter" or "a4").

    Pure: the same plan gives the same sheets. Everything that is drawn has its place here; a writer adds nothing.
    """
    with speaking(plan.project.plan.language), letters_of(plan):
        return _lay_out(plan, paper)


def _lay_out(plan: Plan, paper: str) -> Sheets:
    blade = next(((caution.signal, caution.step) for caution in plan_cautions(plan) if caution.kind == "blade"), None)
    panels = [panel_pages(plan, panel, paper) for panel in plan.panels]
    left = [join for made in panels for join in made.rest]
    pages: list[Page] = [
        cover_page(plan, paper),
        *begin_pages(plan, paper),
        *panel_table(plan, paper),
        *(page for mat in plan.mats for page in mat_pages(plan, mat, paper, blade)),
        *label_pages(plan, paper),
        *work_pages(plan, paper),
        *setout_pages(plan, paper),
        *slip_pages(plan, paper),
        *(page for made in panels for page in made.pages),
        *join_pages(plan, left, paper),
        *trouble_pages(plan, paper),
    ]
    pages = with_sheets(pages)
    finished = tuple(finish_page(page, plan, number, len(pages)) for number, page in enumerate(pages, 1))
    return Sheets(paper, plan.sign.name, finished, plan.project.plan.language)
