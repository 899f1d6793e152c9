"""Steps: every panel stuck once in order, cautions before, every length one of the plan's, every phrase known."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from bigsign.plan import make_plan
from bigsign.plan_records import Plan
from bigsign.project import MarkSettings, Site
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


def cautions_of(name: str, site: Site) -> dict[str, str]:
    """Return the cautions of a demo's steps, by kind of step, planned for a place."""
    plan = make_plan(replace(demo_plan(name).project, site=site))
    return {step.kind: step.caution for step in plan.steps if step.caution is not None}


def test_steps_hold_the_cautions_that_apply_to_them() -> None:
    usual = cautions_of("one_mat", Site())
    assert set(usual) == {"prepare", "mark"}
    assert usual["prepare"].startswith("WARNING: Cleaners burn.")
    assert "If the board has paint from before about 1978" in usual["prepare"]
    assert usual["mark"].startswith("NOTICE: Fresh paint")
    old = cautions_of("one_mat", Site(old_paint=True, fresh_paint=False, solvent=False, foot=1800))
    assert old["prepare"].startswith("WARNING: Old paint may hold lead")
    assert "Cleaners" not in old["prepare"]
    assert old["strike"].startswith("WARNING: Don’t overreach")
    assert "mark" not in old
    assert cautions_of("one_mat", Site("bare", solvent=False)) == {}


def test_steps_on_glass_speak_of_glass_and_of_no_paint() -> None:
    glass = cautions_of("one_mat", Site("glass"))
    assert glass["prepare"].startswith("WARNING: Glass breaks")
    assert "Cleaners burn" in glass["prepare"]
    project = replace(demo_plan("boat_shed").project, marks=MarkSettings("on"))
    on_paint, on_glass = (make_plan(replace(project, site=Site(surface))) for surface in ("painted", "glass"))
    assert on_glass.marks
    said = [
        " ".join(text for step in plan.steps for text in (*step.actions, step.caution or ""))
        for plan in (on_paint, on_glass)
    ]
    assert "Where the paint is fresh" in said[0]
    assert "paint" not in said[1].lower()
    assert phrase("peel.marks_tape") in said[0]
    assert phrase("peel.marks_tape") not in said[1]


@pytest.mark.parametrize("language", ["en", "de"])
def test_temperatures_are_the_same_in_both_units(language: str) -> None:
    """°F = 9/5 °C + 32; printed to the next 1 °F of what the sources round. The ranges: sign sources, which differ."""
    pairs = []
    for key in ("prepare.warm", "begin.surface_text"):
        text = phrase(key, language)
        pairs += re.findall(r"(\d+) (?:to|bis) (\d+)\s°C \((\d+) (?:to|bis) (\d+)\s°F\)", text)
        pairs += [(a, a, b, b) for a, b in re.findall(r"(?<!to )(?<!bis )\b(\d+)\s°C \((\d+)\s°F\)", text)]
    assert len(pairs) == 4
    for low, high, low_f, high_f in pairs:
        for celsius, fahrenheit in ((low, low_f), (high, high_f)):
            assert abs(float(celsius) * 9 / 5 + 32 - float(fahrenheit)) <= 1


def test_an_unknown_phrase_is_an_error() -> None:
    with pytest.raises(KeyError):
        phrase("no.such.key")
