"""Room left for register marks: parted for a smaller area only where marks are asked for and lack that room."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from shapely.geometry import box

from bigsign.plan import check_plan, plan_lettering
from bigsign.plan_records import Plan
from bigsign.project import MarkSettings
from tests.box_lettering import letters_from, row_of_boxes
from tests.demos import DEMOS, demo_plan
from tests.planning import project_of

SMALLER = "usable area less"


@cache
def short_words(use: str, size: float = 6.0, letter: float = 90.0, turning: str = "quarter") -> Plan:
    """Six words of one letter: three fill the width of the mat but for a few mm, and then no mark has room."""
    row = row_of_boxes([[letter]] * 6, height=200, letter_gap=5, word_gap=9, x=40, y=60)
    project = replace(project_of(700, 320, (292.0, 292.0), turning), marks=MarkSettings(use, size))
    plan = plan_lettering(project, *letters_from([row]))
    assert check_plan(plan) == []
    return plan


def codes(plan: Plan) -> set[str]:
    return {finding.code for finding in plan.warnings}


def test_panels_are_kept_smaller_where_their_marks_would_have_no_room() -> None:
    bare, marked = short_words("off"), short_words("on")
    assert len(bare.panels) == 2
    assert len(marked.panels) > len(bare.panels)
    assert len(marked.marks) == 2 * len(marked.breaks) > 0
    assert "place-no-mark" not in codes(marked)
    assert "place-mark-room" in codes(marked)
    said = next(finding.message for finding in marked.warnings if finding.code == "place-mark-room")
    assert said.startswith("The lettering is parted as if the usable area were 5/16 in smaller each way: else 1 of its")


def test_the_report_does_not_call_a_parting_best_that_only_the_marks_ask_for() -> None:
    for report in short_words("on").search:
        assert report.method.endswith("less 8 mm for register marks")
        assert not report.proved
    for plan in (short_words("off"), short_words("auto")):
        assert plan.search[0].proved
        assert SMALLER not in plan.search[0].method
    assert short_words("on").search[0].bound == short_words("off").search[0].bound


def test_without_marks_asked_for_the_whole_area_is_used() -> None:
    assert [p.fragments for p in short_words("auto").panels] == [p.fragments for p in short_words("off").panels]
    assert "place-mark-room" not in codes(short_words("auto")) | codes(short_words("off"))


def test_where_marks_have_room_as_it_is_nothing_is_parted_anew() -> None:
    plan = short_words("on", letter=84.0)
    assert len(plan.panels) == 2
    assert len(plan.marks) == 2
    assert "place-mark-room" not in codes(plan)
    assert SMALLER not in plan.search[0].method


def test_a_larger_mark_is_left_more_room() -> None:
    assert any("less 22 mm" in report.method for report in short_words("on", size=20.0).search)


def test_no_seam_is_cut_to_make_room_for_marks() -> None:
    """A letter as tall as the mat would have to be parted: it stays whole, and its join without marks."""
    row = row_of_boxes([[140.0] * 2], height=291, letter_gap=5, word_gap=40, x=5, y=5)
    project = replace(project_of(300, 302, (292.0, 152.0)), marks=MarkSettings("on"))
    plan = plan_lettering(project, *letters_from([row]))
    assert check_plan(plan) == []
    assert not any(part.kind == "seam" for part in plan.breaks)
    assert "place-no-mark" in codes(plan)
    assert "place-mark-room" not in codes(plan)


@pytest.mark.parametrize("use", ["on", "off"])
def test_the_same_lettering_gives_the_same_plan(use: str) -> None:
    again = short_words.__wrapped__(use)
    assert again == short_words(use)


def test_a_seam_that_is_there_anyway_stays() -> None:
    """A bar longer than the mat is parted by one seam, with or without room for marks."""
    project = replace(project_of(700, 200, (292.0, 292.0)), marks=MarkSettings("on"))
    plan = plan_lettering(project, *letters_from([], [box(40, 60, 620, 120)]))
    assert check_plan(plan) == []
    assert sum(part.kind == "seam" for part in plan.breaks) == 2
    assert plan.marks


@pytest.mark.parametrize("name", DEMOS)
def test_the_ids_of_panels_are_their_numbers(name: str) -> None:
    plan = demo_plan(name)
    assert [panel.id for panel in plan.panels] == [f"panel-{n:02d}" for n in range(1, len(plan.panels) + 1)]
    assert [panel.number for panel in plan.panels] == list(range(1, len(plan.panels) + 1))


def test_ids_and_numbers_agree_past_a_hundred_panels() -> None:
    rows = [[[box(20 + 30 * x, 20 + 30 * y, 40 + 30 * x, 40 + 30 * y)] for x in range(11)] for y in range(10)]
    plan = plan_lettering(project_of(400, 400, (25.0, 25.0)), *letters_from(rows))
    assert len(plan.panels) == 110
    assert [panel.id for panel in plan.panels] == [f"panel-{n:02d}" for n in range(1, 111)]
    assert check_plan(plan) == []
