"""The name of the sign: in a face of the sign where the paper's family lacks its letters, else as U+XXXX."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bigsign.plan_records import Plan
from bigsign.project import LetteringSpec
from bigsign.sheets.cover import cover_page
from bigsign.sheets.grid import finish_page
from bigsign.sheets.items import Page, Run, Text
from bigsign.sheets.labels import clashes
from bigsign.sheets.own_name import name_words
from tests.lettering_plans import lettered_plan


def named(plan: Plan, name: str) -> Plan:
    """Return a plan with another name of the sign."""
    return replace(plan, sign=replace(plan.sign, name=name))


def runs(plan: Plan, name: str) -> list[Run]:
    """Return the name as it stands on a long line."""
    return list(name_words(named(plan, name)).one_row(500.0, bold=True))


def cover(plan: Plan) -> Page:
    """Return the cover with its title block, which must not clash nor leave the frame."""
    page = finish_page(cover_page(plan, "letter"), plan, 1, 12)
    assert clashes(page.items, (12.0, 12.0, page.width - 12.0, page.height - 12.0)) == []
    return page


HEBREW = (("לחם וחלה",), "fontpkg_heebo")
THAI = (("ร้านขนมปัง",), "fontpkg_kanit")
ARABIC = (("مكتبة البذور",), "fontpkg_amiri")


@pytest.mark.parametrize(
    ("sign", "name", "rtl"),
    [
        (HEBREW, "מאפיית הכפר", True),
        (HEBREW, "מאפייה Marrow Lane", True),
        (THAI, "ไข่สด", False),
        (ARABIC, "خبز طازج", True),
    ],
)
def test_a_face_of_the_sign_shows_a_name_that_the_papers_family_can_t(
    sign: tuple[tuple[str, ...], str], name: str, rtl: bool
) -> None:
    plan = lettered_plan(*sign)
    (run,) = runs(plan, name)
    assert run.text == name
    assert run.ink is not None
    assert run.ink.rtl == rtl
    for text in [item for item in cover(named(plan, name)).items if isinstance(item, Text)]:
        assert "U+" not in text.string
        if text.role == "H1":
            assert text.string == name


def test_the_papers_family_shows_what_it_has() -> None:
    (run,) = runs(lettered_plan(*HEBREW), "Žluťoučký Φρέσκα Свежий")
    assert run.ink is None
    assert run.text == "Žluťoučký Φρέσκα Свежий"


def test_each_word_goes_in_the_first_face_that_has_it() -> None:
    found = runs(lettered_plan(*HEBREW), "Φρέσκα לחם וחלה 種 ไข")
    assert "".join(run.text for run in found) == "Φρέσκα לחם וחלה U+7A2E U+0E44 U+0E02"
    assert [run.text for run in found if run.ink is not None] == ["לחם וחלה"]


def test_hidden_marks_of_direction_are_left_out() -> None:
    assert [run.text for run in runs(lettered_plan(*HEBREW), "\u202bלחם\u202c")] == ["לחם"]


def test_a_sign_without_a_font_shows_it_in_figures() -> None:
    plan = lettered_plan(*HEBREW)
    blocks = tuple(block for block in plan.project.blocks if not isinstance(block, LetteringSpec))
    bare = replace(plan, project=replace(plan.project, blocks=blocks))
    assert "".join(run.text for run in runs(bare, "לחם")) == "U+05DC U+05D7 U+05DD"


@pytest.mark.parametrize("name", ["Čĝǻ Ẫ Ő", "Farm stand " * 30, "לחם " * 60, "種" * 80, "x" * 300, ""])
def test_a_name_of_any_length_and_height_keeps_to_its_room(name: str) -> None:
    page = cover(named(lettered_plan(*HEBREW), name))
    assert [item for item in page.items if isinstance(item, Text) and item.role == "H1"]
