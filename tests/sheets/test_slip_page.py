"""The slip budget's page: every join once, joins inside words first, grey where an error will show."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from bigsign.project import SlipSettings
from bigsign.sheets.items import Area, Cell, Page, Text
from bigsign.sheets.labels import clashes
from bigsign.sheets.panel_drawing import join_letters
from bigsign.sheets.slip_page import FIRST_METHOD, SHADE, own_way, slip_pages
from bigsign.sheets.style import FIRM
from bigsign.units import TapeStep
from bigsign.work.slip import METHODS, slip_joins
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


@pytest.mark.parametrize("name", ["farm_stand", "seed_library", "boat_shed"])
def test_each_join_has_one_framed_cell_and_its_advice_names_that_way(name: str) -> None:
    """The frame stands round the figures of the way that the panels' steps go, and the advice is that way's."""
    plan = demo_plan(name)
    pages = slip_pages(plan, "letter")
    letters = join_letters(plan)
    framed = 0
    for page in pages:
        frames = [item for item in page.items if isinstance(item, Area) and item.fill is None and item.width == FIRM]
        cells = [item for item in page.items if isinstance(item, Text) and isinstance(item.role, Cell)]
        names = {item.role.column: item.string for item in cells if isinstance(item.role, Cell) and item.role.head}
        framed += len(frames)
        for item in cells:
            part = next((part for part in plan.breaks if letters[part.id] == item.string), None)
            if part is None or not isinstance(item.role, Cell):
                continue
            way = own_way(plan, part)
            join = next(join for join in plan.slip if (join.break_id, join.method) == (part.id, way))
            column = FIRST_METHOD + METHODS.index(way)
            frame = next(f for f in frames if f.rings[0][0][1] < item.at[1] < f.rings[0][2][1])
            inside = [t for t in cells if frame.rings[0][0][0] < t.at[0] < frame.rings[0][1][0]]
            own = [t.string for t in inside if t.role == Cell(item.role.row, column)]
            assert own == [f"{join.rss.mm:.1f} ({join.worst.mm:.1f})"]
            said = " ".join(t.string for t in cells if t.role == Cell(item.role.row, len(names) - 1))
            assert said == f"{names[column]}: {join.advice}"
    assert framed == len(plan.breaks)


def test_the_page_says_what_the_tape_itself_may_be_off_by() -> None:
    plan = demo_plan("seed_library")
    said = " ".join(words(slip_pages(plan, "letter")[0]))
    assert "Your tape itself may be off by 1/16 in over 96 in (NIST Handbook 44, 5.52)" in said
    metric = replace(plan, tape_step=TapeStep("mm", Fraction(1)))
    assert "may be off by 0.9 mm over" in " ".join(words(slip_pages(metric, "letter")[0]))


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
