"""Register marks on paper: on the panels' pages, the mats, the set-out and the template."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bigsign.plan_records import Plan
from bigsign.sheets.items import Page, Text
from bigsign.sheets.labels import clashes
from bigsign.sheets.lay_out import lay_out
from bigsign.sheets.lay_template import lay_template
from tests.placing.test_marks import one_colour, two_colours


def texts(page: Page) -> list[str]:
    return [item.string for item in page.items if isinstance(item, Text)]


@pytest.mark.parametrize(("make", "use"), [(one_colour, "on"), (two_colours, "auto")])
def test_the_guide_names_each_mark_where_it_is_needed_and_nothing_clashes(
    make: Callable[[str], Plan], use: str
) -> None:
    plan = make(use)
    sheets = lay_out(plan, "letter")
    names = {mark.id for mark in plan.marks}
    setout = {text for page in sheets.pages if page.kind == "setout" for text in texts(page)}
    assert names <= setout
    for panel in plan.panels:
        on = {text for page in sheets.pages if page.panel == panel.id for text in texts(page)}
        assert set(panel.marks) == on & names
    for page in sheets.pages:
        assert clashes(page.items, (0.0, 0.0, page.width, page.height)) == []


def test_a_guide_without_marks_has_no_table_of_them() -> None:
    sheets = lay_out(one_colour("off"), "letter")
    assert not any("Register" in text for page in sheets.pages for text in texts(page))


def test_the_template_names_every_mark() -> None:
    plan = one_colour("on")
    template = lay_template(plan, "letter")
    said = {text for page in template.sheets.pages for text in texts(page)}
    assert {mark.id for mark in plan.marks} <= said
