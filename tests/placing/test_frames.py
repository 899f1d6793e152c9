"""Frames that go up by themselves: what lies in them shares no panel with what lies round them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import Polygon, box

from bigsign import check_plan
from bigsign.plan import plan_lettering
from bigsign.plan_records import Plan
from tests.box_lettering import letters_from
from tests.planning import project_of


def framed(frame: Polygon, others: list[Polygon]) -> Plan:
    return plan_lettering(project_of(600, 600, usable=(200.0, 200.0)), *letters_from([], [frame, *others]))


def ring(x0: float, y0: float, x1: float, y1: float) -> Polygon:
    shape = box(x0, y0, x1, y1) - box(x0 + 10, y0 + 10, x1 - 10, y1 - 10)
    assert isinstance(shape, Polygon)
    return shape


def test_what_lies_in_a_frame_and_what_lies_beside_it_are_layers() -> None:
    """All of it would fit one panel but for the frame that passes between."""
    plan = framed(ring(100, 50, 400, 350), [box(120, 100, 150, 130), box(40, 100, 70, 130), box(120, 150, 150, 180)])
    assert check_plan(plan) == []
    frame, inside, outside = (report.layer for report in plan.search)
    assert (inside, outside) in ((f"in-{frame}-1", ""), ("", f"in-{frame}-1"))
    small = [round(panel.film.area) for panel in plan.panels if panel.film.bounds[2] <= 150]
    assert sorted(small) == [900, 1800]
    assert not any(finding.code == "place-over-film" for finding in plan.warnings)


def between() -> Plan:
    """A frame stands like a post between two pieces that fit one panel."""
    beside = [box(150, 200, 180, 290), box(280, 200, 310, 290)]
    return framed(ring(200, 50, 260, 430), [*beside, box(220, 100, 240, 120)])


def test_a_panel_on_both_sides_of_a_frame_reaches_across_and_says_so() -> None:
    plan = between()
    assert check_plan(plan) == []
    across = [panel for panel in plan.panels if panel.film.bounds == (150.0, 200.0, 310.0, 290.0)]
    assert len(across) == 1
    told = [finding for finding in plan.warnings if finding.code == "place-over-film"]
    assert len(told) == 1
    assert across[0].id in told[0].message
    frames = [panel for panel in plan.panels if panel.id in told[0].message.split("that of")[1]]
    assert len(frames) == 2  # its upper and its lower part, both of which stand between
    x0, y0, x1, y1 = across[0].trim.bounds
    assert across[0].trim.area == pytest.approx((x1 - x0) * (y1 - y0))  # not notched for one of them
    (step,) = (step for step in plan.steps if step.panel == across[0].id and step.kind == "stick")
    one, two = sorted(panel.number for panel in frames)
    assert f"Its transfer tape reaches over panels {one} and {two}: don’t rub it down there." in step.actions
    assert all(panel.number < across[0].number for panel in frames)


def test_the_checker_refuses_such_a_panel_before_the_frame() -> None:
    plan = between()
    turned = tuple(replace(panel, number=len(plan.panels) + 1 - panel.number) for panel in plan.panels)
    assert any("lies on film of" in fault for fault in check_plan(replace(plan, panels=turned)))
