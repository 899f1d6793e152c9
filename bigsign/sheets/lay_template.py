"""Laying the full-size template out: its map and all its sheets, with their title blocks."""

from __future__ import annotations

from bigsign.plan_records import Plan
from bigsign.sheets.grid import finish_page, page_size
from bigsign.sheets.items import Sheets
from bigsign.sheets.template import Template, make_grid
from bigsign.sheets.template_map import map_page
from bigsign.sheets.template_tile import film_drawn, tile_page
from bigsign.wording import speaking

__all__ = ["lay_template"]


def lay_template(plan: Plan, paper: str) -> Template:
    """Return the template for ``paper`` ("letter", "a4", "tabloid" or "a3"). Pure, as the guide is."""
    with speaking(plan.project.plan.language):
        return _lay_template(plan, paper)


def _lay_template(plan: Plan, paper: str) -> Template:
    grid = make_grid(plan, paper)
    film = film_drawn(plan)
    size = page_size(paper, grid.landscape)
    tiles = grid.tiles if grid.drawn else ()
    pages = [map_page(plan, grid), *(tile_page(plan, grid, tile, film, size) for tile in tiles)]
    finished = tuple(finish_page(page, plan, number, len(pages)) for number, page in enumerate(pages, 1))
    return Template(grid, Sheets(paper, plan.sign.name, finished, plan.project.plan.language))
