"""Letters of the sign in lists and steps: none left out, in the sign's own face where the paper's family lacks them."""

from __future__ import annotations

import pytest

from bigsign.making.weeding_notes import weeding_notes
from bigsign.sheets import lay_out
from bigsign.sheets.items import Page, Text
from bigsign.sheets.marked import CLOSE, OPEN, marked, marked_parts
from bigsign.sheets.metrics import can_show
from bigsign.sheets.own_letters import letter_said, letters_of, letters_said
from bigsign.sheets.writing import runs_of, text_width, wrap
from tests.lettering_plans import lettered_plan

HEBREW = (("לחם וחלה ספסל",), "fontpkg_heebo")
THAI = (("ร้านขนมปัง ผู้",), "fontpkg_kanit")
ARABIC = (("مكتبة البذور",), "fontpkg_amiri")
LATIN = (("FRESH EGGS", "Honey"), "fontpkg_anton")
SCRIPTS = [HEBREW, THAI, ARABIC, LATIN]


def texts(page: Page) -> list[Text]:
    return [item for item in page.items if isinstance(item, Text)]


@pytest.mark.parametrize("sign", SCRIPTS, ids=[package for _, package in SCRIPTS])
def test_a_mat_s_list_names_every_letter_with_a_hole(sign: tuple[tuple[str, ...], str]) -> None:
    plan = lettered_plan(*sign)
    pages = lay_out(plan, "letter").pages
    for mat in plan.mats:
        page = next(page for page in pages if page.kind == "mat" and mat.id.lstrip("mat-0") in page.title)
        listed = " ".join(item.string for item in texts(page))
        assert OPEN not in listed
        assert CLOSE not in listed
        assert "U+" not in listed
        for name in mat.panels:
            for glyph in plan.glyphs:
                if glyph.id in weeding_notes(plan, plan.panel(name)).holed:
                    assert glyph.text is not None
                    assert glyph.text in listed.partition("to pick out:")[2]


def test_letters_that_share_film_are_named_once_together() -> None:
    plan = lettered_plan(*ARABIC)
    with letters_of(plan):
        said = letters_said(plan, [glyph.id for glyph in plan.glyphs])
        drawn = [runs_of(one, 2.5)[0][0].text for one in said]
    assert len(drawn) == len(set(drawn)) < len(plan.glyphs)
    assert sum(map(len, drawn)) >= len(set("".join(glyph.text or "" for glyph in plan.glyphs)))


def test_a_gap_is_named_by_its_letters_in_list_and_step() -> None:
    plan = lettered_plan(*HEBREW)
    found = 0
    for page in lay_out(plan, "letter").pages:
        if page.panel is None:
            continue
        rows = [item for item in texts(page) if "Check the gap" in item.string]
        for row in rows:
            inked = [run for run in row.runs if run.ink is not None]
            found += len(inked)
            assert len(inked) in (0, 2)
            assert all(run.text in {glyph.text for glyph in plan.glyphs} for run in inked)
    assert found


def test_nothing_is_marked_where_no_sheet_is_laid_out() -> None:
    plan = lettered_plan(*HEBREW)
    assert letter_said(plan, plan.glyphs[0].id) == ""
    assert letters_said(plan, [plan.glyphs[0].id]) == [f"U+{ord(plan.glyphs[0].text or ''):04X}"]
    latin = lettered_plan(*LATIN)
    assert [letter_said(latin, glyph.id) for glyph in latin.glyphs] == [glyph.text for glyph in latin.glyphs]


def test_a_marked_letter_takes_its_room_and_breaks_no_line_within() -> None:
    plan = lettered_plan(*HEBREW)
    mark = marked(plan.glyphs[0].id)
    with letters_of(plan):
        text = f"from {mark} to {mark}, 1 1/2 in"
        runs, width = runs_of(text, 2.5)
        assert "".join(run.text for run in runs) == text.replace(mark, plan.glyphs[0].text or "")
        assert width == text_width(text, 2.5) > text_width("from  to , 1 1/2 in", 2.5)
        assert all(can_show(run.text) or run.ink is not None for run in runs)
        assert "".join(wrap(text, 2.5, 14.0)).count(mark) == 2


def test_what_is_left_of_a_mark_that_was_cut_through_is_dropped() -> None:
    assert "".join(part for part, _ in marked_parts(f"a {OPEN}g1")) == "a "
    assert list(marked_parts(f"a{OPEN}g1{CLOSE}b{CLOSE}")) == [("a", False), ("g1", True), ("b", False)]
    with letters_of(lettered_plan(*HEBREW)):
        assert runs_of(f"a {marked('none')}b", 2.5)[1] == pytest.approx(text_width("a b", 2.5))
