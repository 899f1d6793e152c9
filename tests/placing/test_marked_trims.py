"""Trim outlines of panels with register marks: past marked joins, off other film, cut off at the other cuts."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import LineString, Polygon, box

from bigsign.plan import check_plan, plan_lettering
from bigsign.plan_records import Plan
from bigsign.project import MarkSettings
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import project_of

MARGIN, GIVE = 6.35, 25.4 / 16


def two_words(gap: float, use: str = "on", height: float = 100.0, usable: float = 300.0) -> Plan:
    """A row of two words, each a panel: the mat takes one of them."""
    row = row_of_boxes([[60.0] * 3, [60.0] * 3], height=height, letter_gap=2, word_gap=gap, x=60, y=60)
    project = replace(project_of(600, 260, (usable, 220.0)), marks=MarkSettings(use))
    plan = plan_lettering(project, *letters_from([row]))
    assert check_plan(plan) == []
    assert len(plan.panels) == 2
    return plan


@pytest.mark.parametrize("gap", [40.0, 60.0, 90.0])
def test_at_a_wide_gap_both_trims_are_rectangles_past_the_line(gap: float) -> None:
    plan = two_words(gap)
    assert len(plan.marks) == 2
    line = LineString(plan.breaks[0].line)
    for panel in plan.panels:
        assert isinstance(panel.trim, Polygon)
        assert panel.trim.equals(panel.trim.envelope)
        assert not panel.trim.exterior.buffer(0.01).covers(line)
        grown = zip(panel.trim.bounds, plan.all_cut(panel).bounds, strict=True)
        assert all(abs(abs(a - b) - MARGIN) <= GIVE + 1e-6 for a, b in grown)


@pytest.mark.parametrize("gap", [4.0, 6.0, 9.0, 14.0])
def test_at_a_narrow_gap_a_trim_keeps_off_the_other_film_and_holds_its_marks_by_tabs(gap: float) -> None:
    plan = two_words(gap)
    assert len(plan.marks) == 2
    for panel, other in (plan.panels, plan.panels[::-1]):
        assert panel.trim.distance(other.film) >= 1 - 1e-3
        wide = panel.trim.buffer(-1.9, join_style="mitre")
        assert isinstance(wide, Polygon), "a neck under 4 mm"
        assert all(panel.trim.covers(mark.path.buffer(0.99)) for mark in plan.marks)


def test_a_trim_edge_past_the_line_stands_on_a_tape_mark() -> None:
    plan = two_words(9.0)
    left = min(plan.panels, key=lambda panel: panel.film.bounds[0])
    x0, y0, x1, y1 = left.film.bounds
    middle = left.trim.intersection(box(x0, (y0 + y1) / 2 - 1, x1 + 50, (y0 + y1) / 2 + 1))
    at = middle.bounds[2] / plan.tape_step.mm
    assert middle.bounds[2] > plan.breaks[0].line[0][0]
    assert at == pytest.approx(round(at), abs=1e-6)


def test_without_marks_a_trim_ends_at_the_line() -> None:
    plan = two_words(9.0, "off")
    at = plan.breaks[0].line[0][0]
    assert {round(side, 6) for panel in plan.panels for side in panel.trim.bounds} >= {round(at, 6)}
    assert plan.panels[0].trim.intersection(plan.panels[1].trim).area < 1e-6


def test_a_cut_to_a_neighbour_without_marks_still_ends_a_trim() -> None:
    """Shapes as wide as the mat: marks have room between the rows, and none between those of a row."""
    rows = [row_of_boxes([[184.0], [184.0]], height=80, letter_gap=2, word_gap=9, x=60, y=y) for y in (40.0, 160.0)]
    project = replace(project_of(600, 300, (184.1, 120.0), "none"), marks=MarkSettings("on"))
    plan = plan_lettering(project, *letters_from(rows))
    assert check_plan(plan) == []
    marked = {mark.panels for mark in plan.marks}
    assert marked
    bare = [part for part in plan.breaks if part.panels not in marked]
    assert bare
    for part in bare:
        one, two = (plan.panel(name).trim for name in part.panels)
        assert one.intersection(two).area < 1e-3
    for pair in marked:
        one, two = (plan.panel(name).trim for name in pair)
        assert one.intersection(two).area > 100


def test_parts_of_a_frame_are_trimmed_along_their_film_and_hold_their_marks() -> None:
    frame = box(20, 20, 420, 260) - box(30, 30, 410, 250)
    inside = [box(200, 110, 250, 170)]
    assert isinstance(frame, Polygon)
    project = replace(project_of(480, 300, usable=(260.0, 260.0)), marks=MarkSettings("on"))
    plan = plan_lettering(project, *letters_from([], [frame, *inside]))
    assert check_plan(plan) == []
    parts = [panel for panel in plan.panels if any(part.upper and panel.id in part.panels for part in plan.breaks)]
    assert len(parts) > 1
    assert plan.marks
    middle = box(150, 90, 300, 190)
    assert all(panel.trim.intersection(middle).area == 0 for panel in parts)
