"""Sentences that name letters which the guide's own family lacks."""

from __future__ import annotations

from bigsign.sheets.metrics import can_show
from bigsign.sheets.said import action_said, by_panels, warning_said
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
    both = f"The films of the lines '{plan.lines[0].text}' and '{plan.lines[1].text}' overlap."
    assert warning_said(plan, both) == "The films of line 1 and line 2 overlap."


def test_a_warning_on_paper_names_no_ids() -> None:
    plan = lettered_plan(("FRESH EGGS", "Honey"), "fontpkg_anton")
    piece = plan.pieces[0].id
    (number,) = (
        panel.number
        for panel in plan.panels
        if any(name in panel.fragments for name, of, _ in plan.fragments if of == piece)
    )
    said = warning_said(
        plan, f"The film of {piece} is larger. Line {plan.lines[1].id}: doubt. Between panel-01 and panel-02."
    )
    assert said == f"The film of a piece of panel {number} is larger. Line 2: doubt. Between panel 1 and panel 2."


def test_panels_and_pieces_go_by_their_numbers() -> None:
    plan = lettered_plan(("FRESH EGGS", "Honey"), "fontpkg_anton")
    first, piece = plan.panels[0], plan.fragments[0][1]
    holders = [panel.number for panel in plan.panels if plan.fragments[0][0] in panel.fragments]
    assert by_panels(plan, f"{first.id} and panel-99; Piece {piece}.") == (
        f"panel {first.number} and panel-99; A piece of panel {holders[0]}."
    )
    assert by_panels(plan, "Film p99999 lies.") == "Film p99999 lies."
