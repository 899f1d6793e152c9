"""Rows of the sign's own letters: within their room whatever that is, nothing lost but what an ellipsis stands for."""

from __future__ import annotations

import pytest

from bigsign.sheets.metrics import ink_box, run_advance
from bigsign.sheets.own_face import SignLine
from bigsign.sheets.own_rows import ABOVE, BELOW, OwnWords, Row, panel_words, set_row
from bigsign.sheets.style import SMALL_CAP
from bigsign.sheets.writing import runs_of
from tests.lettering_plans import lettered_plan
from tests.sheets.test_own_face import SIGNS

WIDTHS = (2.0, 6.0, 15.0, 30.0, 90.0)


def said(row: Row) -> str:
    return "".join(run.text for run in row)


def reach(row: Row) -> float:
    return max(run.along + run_advance(run) for run in row)


@pytest.mark.parametrize("sign", SIGNS, ids=[package for _, package in SIGNS])
def test_rows_keep_to_their_room(sign: tuple[tuple[str, ...], str]) -> None:
    plan = lettered_plan(*sign)
    for panel in plan.panels:
        own = panel_words(plan, panel)
        for width in WIDTHS:
            for row in (own.one_row(width), *own.rows(width), *own.rows(width, 3.0, 2), *own.few_rows(width, 3)):
                box = ink_box(set_row((0.0, 0.0), row, 2.5))
                assert box is not None
                assert box[2] <= max(width, 2.5) + 1e-6  # the least is a letter with its ellipsis
                assert box[0] >= -1e-6
                assert box[1] >= -ABOVE * 3.0 - 0.01
                assert box[3] <= BELOW * 3.0 + 0.01


@pytest.mark.parametrize("sign", SIGNS, ids=[package for _, package in SIGNS])
def test_with_room_for_all_of_it_nothing_is_lost(sign: tuple[tuple[str, ...], str]) -> None:
    plan = lettered_plan(*sign)
    for panel in plan.panels:
        own = panel_words(plan, panel)
        assert said(own.one_row(300.0)) == panel.text.replace("\n", " / ") == own.text
        assert "\n".join(said(row) for row in own.rows(300.0)) == panel.text
        assert " ".join(said(row) for row in own.rows(30.0)).split() == panel.text.split()


def test_lines_break_at_words_and_what_has_no_room_is_an_ellipsis() -> None:
    plan = lettered_plan(("it is to be in a pot",), "fontpkg_anton")
    panel = max(plan.panels, key=lambda one: len(one.text.split()))
    own = panel_words(plan, panel)
    words = panel.text.split()
    assert len(words) > 1
    narrow = own.rows(max(reach(own.rows(300.0)[0]) * 0.7, 4.0))
    assert len(narrow) > 1
    assert [word for row in narrow for word in said(row).split()] == words
    cut = own.rows(4.0, most=1)
    assert len(cut) == 1
    assert said(cut[0]).endswith("…")
    short = own.one_row(reach(own.one_row(300.0)) * 0.5)
    assert said(short).endswith("…")
    assert panel.text.startswith(said(short)[:-1])


def test_an_ellipsis_stands_where_reading_ends() -> None:
    for sign, rightmost in ((("FRESHEGGS",), "fontpkg_anton"), True), ((("מאפייתהכפר",), "fontpkg_heebo"), False):
        plan = lettered_plan(*sign)
        panel = max(plan.panels, key=lambda one: len(one.text))
        own = panel_words(plan, panel)
        row = own.one_row(reach(own.one_row(300.0)) * 0.55)
        assert said(row).endswith("…")
        letters = min(run.along for run in row if run.ink is not None)
        assert (row[-1].along > letters) == rightmost


def test_lines_that_run_to_the_left_follow_each_other_to_the_left() -> None:
    plan = lettered_plan(("אב", "גד"), "fontpkg_heebo", board="20 in")
    panel = next(panel for panel in plan.panels if "\n" in panel.text)
    row = panel_words(plan, panel).one_row(300.0)
    assert said(row) == panel.text.replace("\n", " / ")
    assert row[0].along > row[-1].along


def test_lines_stand_on_one_row_where_that_has_room_for_all_of_them() -> None:
    plan = lettered_plan(("IN", "TO"), "fontpkg_anton", board="20 in")
    panel = next(panel for panel in plan.panels if "\n" in panel.text)
    own = panel_words(plan, panel)
    assert [said(row) for row in own.few_rows(60.0, 5)] == [panel.text.replace("\n", " / ")]
    least = max(reach(row) for row in own.rows(300.0))
    assert [said(row) for row in own.few_rows(least + 0.01, 5)] == panel.text.split("\n")


def longest(own: OwnWords, width: float) -> str:
    """Return what of the words has room on a row with an ellipsis, each letter fewer tried in turn."""
    for count in range(len(own.lines) - 1, -1, -1):
        line = own.lines[count]
        for end in range(len(line.letters) or len(line.text), 0, -1):
            part = line.part(0, end) if line.letters else SignLine(line.text[:end].rstrip())
            row = OwnWords([*own.lines[:count], part]).one_row(1e9, SMALL_CAP, SMALL_CAP)
            if reach(row) + reach(runs_of("…", SMALL_CAP)[0]) <= width:
                return said(row)
    return ""


@pytest.mark.parametrize("sign", SIGNS, ids=[package for _, package in SIGNS])
def test_a_shortened_row_holds_as_much_as_has_room(sign: tuple[tuple[str, ...], str]) -> None:
    plan = lettered_plan(*sign)
    shortened = 0
    for panel in plan.panels:
        own = panel_words(plan, panel)
        for width in (3.0, 4.5, 6.0, 9.0, 14.0):
            text = said(own.one_row(width))
            if "…" in text and (most := longest(own, width)):
                assert text.replace("…", "") == most
                shortened += 1
    assert shortened
