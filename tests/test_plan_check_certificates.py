"""The checker of certificates is silent on sound plans, and finds each kind of wrong that is put into one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from bigsign.plan import plan_lettering
from bigsign.plan_check_certificates import check_certificates
from bigsign.plan_records import Plan
from bigsign.splitting.certificate import CertTree
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import project_of


def sample() -> Plan:
    rows = [
        row_of_boxes([[110.0] * 3, [100.0] * 3], height=100, letter_gap=8, word_gap=40, x=30, y=30 + i * 140)
        for i in range(2)
    ]
    return plan_lettering(project_of(900, 400, usable=(300.0, 300.0)), *letters_from(rows))


def with_certificate(plan: Plan, **changes: Any) -> Plan:
    report = plan.search[0]
    return replace(plan, search=(replace(report, certificate=replace(report.certificate, **changes)),))


def cost(plan: Plan, **values: float) -> Plan:
    return with_certificate(plan, cost={**plan.search[0].certificate.cost, **values})


def bound(plan: Plan, **values: float | None) -> Plan:
    return with_certificate(plan, bound={**plan.search[0].certificate.bound, **values})


def leaves(tree: CertTree) -> list[tuple[str, ...]]:
    if isinstance(tree[0], str):
        return [tree]
    return [leaf for side in tree if not isinstance(side, str) for leaf in leaves(side)]


def swapped(tree: CertTree, one: tuple[str, ...], two: tuple[str, ...]) -> CertTree:
    """Return a tree with two panels in each other's place."""
    if tree in (one, two):
        return two if tree == one else one
    if isinstance(tree[0], str):
        return tree
    first, second = (swapped(side, one, two) for side in tree if not isinstance(side, str))
    return first, second


def two_panels_one(plan: Plan) -> Plan:
    return with_certificate(plan, tree=tuple(name for leaf in leaves(plan.search[0].certificate.tree) for name in leaf))


def other_cut(plan: Plan) -> Plan:
    tree = plan.search[0].certificate.tree
    panels = leaves(tree)
    return with_certificate(plan, tree=swapped(tree, panels[0], panels[-1]))


def bent(plan: Plan) -> Plan:
    return replace(plan, cuts=(replace(plan.cuts[0], way="free"), *plan.cuts[1:]))


def seams(plan: Plan) -> Plan:
    return replace(cost(plan, seams=1), measures=replace(plan.measures, seams=1))


WRONG: list[tuple[Callable[[Plan], Plan], str]] = [
    (lambda plan: with_certificate(plan, tree=plan.search[0].certificate.tree[0]), "do not hold every fragment once"),
    (two_panels_one, "has panels that the plan has not"),
    (other_cut, "has cuts that the plan has not"),
    (lambda plan: cost(plan, panels=77), "says 77 panels, its tree has"),
    (lambda plan: cost(plan, largest_panel_area=1.0), "says the largest panel has 1.0 mm²"),
    (lambda plan: cost(plan, risk=0.5), "in risk, but the plan says"),
    (lambda plan: cost(plan, in_word_breaks=44), "in in_word_breaks, but the plan says"),
    (lambda plan: bound(plan, panels=99), "has a bound of 99 for panels, above its cost"),
    (lambda plan: with_certificate(plan, bound={"panels": 4}), "does not speak of every tier"),
    (lambda plan: with_certificate(plan, cuts="any"), "speaks of cuts called 'any'"),
    (lambda plan: with_certificate(plan, dropped=("luck",)), "dropped what nobody knows"),
    (bent, "speaks of straight cuts, and cut-01 bends"),
    (seams, "calls a plan with seams the best"),
    (lambda plan: with_certificate(plan, apart=(("f001",), ("f002",))), "calls two sets apart that go on one panel"),
    (lambda plan: with_certificate(plan, apart=(("f999",),)), "names fragments that are not there"),
]


def test_a_sound_plan_is_proved_and_passes() -> None:
    plan = sample()
    assert list(check_certificates(plan)) == []
    assert plan.search[0].proved
    found = plan.search[0].certificate
    assert found.dropped == ()
    assert dict(found.bound) == dict(found.cost)
    assert 1 < len(found.apart) <= found.cost["panels"]


@pytest.mark.parametrize(("make", "said"), WRONG)
def test_each_wrong_is_found(make: Callable[[Plan], Plan], said: str) -> None:
    assert any(said in fault for fault in check_certificates(make(sample())))


def test_nothing_is_proved_of_what_was_dropped_or_not_bounded() -> None:
    plan = sample()
    for wrong in (
        with_certificate(plan, dropped=("budget",)), bound(plan, panels=None), bound(plan, panels=1),
        cost(plan, panels=plan.search[0].certificate.cost["panels"] + 1),
    ):  # fmt: skip
        assert not wrong.search[0].proved
