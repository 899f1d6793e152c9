"""A walk with the printed figures: every panel goes where the tape says, and the sign comes out.

Panels are cut true and set by the printed distances of their trim from the reference edges, read back from plan.json's
texts; what is left is the rounding to tape marks. No hand slips here: those are the slip budget's.
"""

from __future__ import annotations

import pytest
from shapely.affinity import translate

from bigsign.plan_records import EdgeDistance, Panel, Plan
from bigsign.units import parse_length
from tests.demos import DEMOS, demo_plan
from tests.test_random_projects import plan_or_none, random_project


def printed(distance: EdgeDistance) -> float:
    text = distance.length.tape
    return -parse_length(text[1:]) if text.startswith("-") else parse_length(text)


def shift_of(panel: Panel) -> tuple[float, float]:
    """Return how far a panel lands from where it is planned, if its trim is set by the printed distances."""
    out = []
    for distance in (panel.from_reference.x, panel.from_reference.y):
        off = printed(distance) - distance.length.mm
        out.append(-off if distance.edge in ("right", "bottom") else off)
    return out[0], out[1]


def walk(plan: Plan) -> None:
    tolerance, half_step = plan.project.plan.placement_tolerance, plan.tape_step.mm / 2
    laid = {panel.id: translate(panel.film, *shift_of(panel)) for panel in plan.panels}
    for panel in plan.panels:
        dx, dy = shift_of(panel)
        assert max(abs(dx), abs(dy)) <= max(half_step, 1e-6) + 1e-6 <= tolerance
    for part in plan.breaks:
        first, second = (laid[name] for name in part.panels)
        if part.kind == "seam":
            assert first.distance(second) == 0.0  # the overlap takes up the rounding
        else:
            assert abs(first.distance(second) - part.gap.mm) <= 2 * half_step * 2**0.5 + 1e-6


@pytest.mark.parametrize("name", DEMOS)
def test_the_demos_come_out(name: str) -> None:
    walk(demo_plan(name))


def test_random_projects_come_out() -> None:
    plans = [plan for seed in range(50) if (plan := plan_or_none(random_project(seed))) is not None]
    assert len(plans) >= 20
    for plan in plans:
        walk(plan)
