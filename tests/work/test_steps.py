"""Steps: every panel stuck once in order, cautions before, every length one of the plan's, every phrase known."""

from __future__ import annotations

import re

import pytest

from bigsign.plan_records import Plan
from bigsign.units import TapeLength
from bigsign.wording import phrase
from tests.demos import DEMOS, demo_plan

LENGTH = re.compile(r"(?<![\d/])\d+(?: \d+/\d+)?(?:/\d+)? (?:in|mm)\b")


def tapes(value: object) -> set[str]:
    """Return the tape texts of all lengths in a record."""
    if isinstance(value, TapeLength):
        return {value.tape}
    if isinstance(value, tuple):
        return {text for part in value for text in tapes(part)}
    if hasattr(value, "__dataclass_fields__"):
        return {text for name in value.__dataclass_fields__ for text in tapes(getattr(value, name))}
    return set()


def numbers_of(plan: Plan) -> set[str]:
    return tapes((plan.sign, plan.panels, plan.breaks, plan.tape_marks))


@pytest.mark.parametrize("name", DEMOS)
def test_every_length_of_a_step_is_a_number_of_the_plan(name: str) -> None:
    plan = demo_plan(name)
    known = numbers_of(plan)
    found = [text for step in plan.steps for action in step.actions for text in LENGTH.findall(action)]
    assert found
    assert set(found) <= known


@pytest.mark.parametrize("name", DEMOS)
def test_kinds_come_in_the_order_of_work(name: str) -> None:
    plan = demo_plan(name)
    kinds = [step.kind for step in plan.steps]
    assert kinds[:5] == ["prepare", "strike", "mark", "hang", "check"]
    assert kinds[-1] == "finish"
    assert kinds.count("stick") == len(plan.panels)
    assert [step.panel for step in plan.steps if step.kind == "stick"] == [panel.id for panel in plan.panels]


def test_transfer_tape_stays_on_until_butting_neighbours_are_stuck() -> None:
    plan = demo_plan("seed_library")
    butting = [part for part in plan.breaks if part.butts]
    assert butting
    number = {panel.id: panel.number for panel in plan.panels}
    for part in butting:
        first = min(part.panels, key=number.__getitem__)
        other = next(name for name in part.panels if name != first)
        step = next(step for step in plan.steps if step.panel == first and step.kind == "stick")
        assert any("Leave the transfer tape on" in a and str(number[other]) in a for a in step.actions)


def test_an_unknown_phrase_is_an_error() -> None:
    with pytest.raises(KeyError):
        phrase("no.such.key")
