"""The check of materials passes what plans say, and finds each kind of wrong that is put into one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from bigsign.plan_check_materials import check_materials
from bigsign.plan_needs import FilmNeed, TapeNeed
from bigsign.plan_records import Plan
from bigsign.project import Site
from bigsign.units import TapeLength
from tests.demos import DEMOS, demo_plan


def with_film(plan: Plan, **changes: object) -> Plan:
    first, *rest = plan.materials.films
    changed: FilmNeed = replace(first, **changes)  # type: ignore[arg-type]
    return replace(plan, materials=replace(plan.materials, films=(changed, *rest)))


def with_tape(plan: Plan, kind: str, **changes: object) -> Plan:
    tapes: tuple[TapeNeed, ...] = tuple(
        replace(tape, **changes) if tape.kind == kind else tape  # type: ignore[arg-type]
        for tape in plan.materials.tapes
    )
    return replace(plan, materials=replace(plan.materials, tapes=tapes))


def one_sheet_too_many(plan: Plan) -> Plan:
    first, *rest = plan.materials.films[0].sheets
    return with_film(plan, sheets=(replace(first, count=first.count + 1), *rest))


def longer(length: TapeLength, by: float) -> TapeLength:
    return replace(length, error_mm=length.error_mm + by)


def transfer(plan: Plan) -> TapeNeed:
    return next(tape for tape in plan.materials.tapes if tape.kind == "transfer tape")


def masking(plan: Plan) -> TapeNeed:
    return next(tape for tape in plan.materials.tapes if tape.kind == "masking tape")


def width(plan: Plan, inches: float) -> Plan:
    said = TapeLength(inches * 25.4, f"{inches:g} in", 0.0)
    return with_tape(plan, "transfer tape", width=said)


WRONG: list[tuple[Callable[[Plan], Plan], str]] = [
    (one_sheet_too_many, "are not those of its mats"),
    (lambda plan: with_film(plan, film_area=plan.materials.films[0].film_area + 1), "the panels hold"),
    (lambda plan: with_film(plan, colour="#123456"), "film is wanted of"),
    (lambda plan: replace(plan, materials=replace(plan.materials, tapes=())), "the tapes are []"),
    (lambda plan: width(plan, 6), "does not span a panel"),
    (lambda plan: width(plan, 18), "transfer tape of 12 in would do"),
    (lambda plan: width(plan, 13), "is not sold 13 in wide"),
    (lambda plan: with_tape(plan, "transfer tape", width=None), "has no width"),
    (lambda plan: with_tape(plan, "transfer tape", length=longer(transfer(plan).length, -25.4)), "transfer tape: "),
    (lambda plan: with_tape(plan, "transfer tape", length=longer(transfer(plan).length, 25.4)), "transfer tape: "),
    (lambda plan: with_tape(plan, "masking tape", length=longer(masking(plan).length, -25.4)), "masking tape: "),
    (lambda plan: replace(plan, tape_marks=plan.tape_marks[1:]), "masking tape: "),
]


@pytest.mark.parametrize("name", DEMOS)
def test_what_plans_say_holds(name: str) -> None:
    assert list(check_materials(demo_plan(name))) == []


@pytest.mark.parametrize(("spoil", "said"), WRONG)
def test_each_kind_of_wrong_is_found(spoil: Callable[[Plan], Plan], said: str) -> None:
    found = list(check_materials(spoil(demo_plan("farm_stand"))))
    assert len(found) == 1
    assert said in found[0]


def test_tape_under_register_marks_counts_where_paint_may_be_fresh() -> None:
    plan = demo_plan("boat_shed")
    wrong = replace(plan, project=replace(plan.project, site=Site("glass")))
    assert bool(list(check_materials(wrong))) == bool(plan.marks)
