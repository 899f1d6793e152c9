"""Sentences that name letters which the guide's own family lacks."""

from __future__ import annotations

from bigsign.sheets.metrics import can_show
from bigsign.sheets.said import action_said, warning_said
from tests.lettering_plans import lettered_plan


def test_a_gap_between_letters_that_can_t_be_shown_is_the_narrowest() -> None:
    plan = lettered_plan(("מאפיית הכפר", "לחם וחלה"), "fontpkg_heebo")
    changed = 0
    for panel in plan.panels:
        step = next(step for step in plan.steps if step.kind == "stick" and step.panel == panel.id)
        for action in step.actions:
            shown = action_said(plan, panel, action)
            assert can_show(shown)
            if shown != action:
                changed += 1
                assert shown == f"{action.split(',')[0]} at its narrowest."
    assert changed


def test_what_can_be_shown_stays_as_it_is() -> None:
    plan = lettered_plan(("FRESH EGGS", "Honey"), "fontpkg_anton")
    for panel in plan.panels:
        step = next(step for step in plan.steps if step.kind == "stick" and step.panel == panel.id)
        assert [action_said(plan, panel, action) for action in step.actions] == list(step.actions)
    assert warning_said(plan, "The line 'Honey' is low.") == "The line 'Honey' is low."


def test_a_warning_of_a_line_that_can_t_be_shown_gives_its_number() -> None:
    plan = lettered_plan(("מאפיית הכפר", "לחם וחלה"), "fontpkg_heebo")
    assert warning_said(plan, f"The films of '{plan.lines[0].text}' and '{plan.lines[1].text}' overlap.") == (
        "The films of line 1 and line 2 overlap."
    )
    assert warning_said(plan, "It is א here.") == "It is U+05D0 here."
