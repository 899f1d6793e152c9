"""The checks of a cut's way, fed wrong ones."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bigsign.plan import check_plan, plan_lettering
from bigsign.plan_records import CutLine, Plan
from tests.bench.proof.judge import moved
from tests.bench.proof.stuck import make_stuck
from tests.planning import project_of


def wheel() -> Plan:
    """Return a plan of a wheel of blades, opened by a free way with room on both sides."""
    for seed in range(40):
        sign = moved(make_stuck("wheels", seed), (1.0, 0.0, 0.0, 1.0, 150.0, 150.0))
        plan = plan_lettering(project_of(500, 400, sign.usable, sign.turning), sign.artwork, sign.lettering)
        tight = any(finding.code == "place-tight" for finding in plan.warnings)
        if not tight and any(cut.way == "free" for cut in plan.cuts):
            return plan
    raise AssertionError("no wheel with room was found")


@pytest.fixture(scope="module")
def plan() -> Plan:
    return wheel()


def with_cut(plan: Plan, change: dict[str, object]) -> Plan:
    found = next(cut for cut in plan.cuts if cut.way == "free")
    made: CutLine = replace(found, **change)  # type: ignore[arg-type]
    return replace(plan, cuts=tuple(made if cut is found else cut for cut in plan.cuts))


def test_a_wheel_of_blades_is_opened_by_a_free_way(plan: Plan) -> None:
    assert check_plan(plan) == []


def test_a_free_way_off_the_middle_is_told(plan: Plan) -> None:
    line = next(cut for cut in plan.cuts if cut.way == "free").line
    gap = min(part.gap.mm for part in plan.breaks)
    told = check_plan(with_cut(plan, {"line": tuple((x + 0.3 * gap, y + 0.3 * gap) for x, y in line)}))
    assert any("winds" in fault for fault in told)


@pytest.mark.parametrize("way", ["straight", "legs", "zigzag"])
def test_a_free_way_by_another_name_is_told(plan: Plan, way: str) -> None:
    assert any("legs" in fault or "called" in fault for fault in check_plan(with_cut(plan, {"way": way})))


def test_a_free_way_that_leaves_its_region_is_told(plan: Plan) -> None:
    line = next(cut for cut in plan.cuts if cut.way == "free").line
    assert check_plan(with_cut(plan, {"line": (line[0], line[-1])})) != []
