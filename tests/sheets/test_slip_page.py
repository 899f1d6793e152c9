"""The slip budget's page: every join once, joins inside words first, grey where an error will show."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bigsign.project import SlipSettings
from bigsign.sheets.items import Area, Page, Text
from bigsign.sheets.labels import clashes
from bigsign.sheets.panel_drawing import join_letters
from bigsign.sheets.slip_page import SHADE, slip_pages
from bigsign.work.slip import slip_joins
from tests.demos import demo_plan
from tests.work.test_slip import box_plan


def words(page: Page) -> list[str]:
    return [item.string for item in page.items if isinstance(item, Text)]


@pytest.mark.parametrize("name", ["farm_stand", "seed_library", "boat_shed"])
def test_every_join_has_a_row_with_its_figures_and_grey_where_it_shows(name: str) -> None:
    plan = demo_plan(name)
    pages = slip_pages(plan, "letter")
    said = [text for page in pages for text in words(page)]
    for part in plan.breaks:
        assert said.count(join_letters(plan)[part.id]) == 1
    for join in plan.slip:
        assert f"{join.rss.mm:.1f} ({join.worst.mm:.1f})" in said
    grey = [item for page in pages for item in page.items if isinstance(item, Area) and item.fill == SHADE]
    assert len(grey) == sum(join.shows for join in plan.slip)


def test_joins_inside_words_stand_first() -> None:
    plan = demo_plan("seed_library")
    letters = join_letters(plan)
    inside = [letters[part.id] for part in plan.breaks if part.kind == "letter"]
    said = words(slip_pages(plan, "a4")[0])
    rows = [text for text in said if text in letters.values()]
    assert inside
    assert rows[: len(inside)] == inside


def test_many_joins_take_several_pages_without_clashes() -> None:
    plan = box_plan(rows=4, words=8)
    looser = SlipSettings(30.0, 20.0)
    plan = replace(
        plan,
        project=replace(plan.project, slip=looser),
        slip=slip_joins(plan.panels, plan.breaks, looser, plan.tape_step),
    )
    pages = slip_pages(plan, "letter")
    assert len(pages) > 1
    said = [text for page in pages for text in words(page)]
    assert sum(text in join_letters(plan).values() for text in said) == len(plan.breaks)
    for page in pages:
        assert clashes(page.items, (12.0, 12.0, page.width - 12.0, page.height - 12.0 - 17.0)) == []


def test_a_sign_without_joins_has_no_budget() -> None:
    assert slip_pages(demo_plan("one_mat"), "letter") == []
