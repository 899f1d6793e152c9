"""The independent checker: silent on every demo, and it finds each kind of wrong that is put into a plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from shapely.affinity import translate
from shapely.geometry import LineString, MultiPolygon, Polygon, box

from bigsign.plan import check_plan, plan_lettering
from bigsign.plan_records import Plan
from tests.box_lettering import letters_from, row_of_boxes
from tests.demos import DEMOS, demo_plan
from tests.planning import INCH, project_of


def sample() -> Plan:
    rows = [
        row_of_boxes([[110.0] * 3, [100.0] * 3], height=100, letter_gap=8, word_gap=40, x=30, y=30 + i * 140)
        for i in range(2)
    ]
    return plan_lettering(project_of(900, 400), *letters_from(rows))


@pytest.mark.parametrize("name", DEMOS)
def test_every_demo_holds(name: str) -> None:
    plan = demo_plan(name)
    assert check_plan(plan) == []
    assert all(report.proved for report in plan.search)


def test_the_sample_holds_and_has_breaks() -> None:
    plan = sample()
    assert check_plan(plan) == []
    assert plan.breaks
    assert plan.cuts


def test_a_word_of_frames_breaks_between_its_layers() -> None:
    """Two frames too big for the mat, read as a word of two letters, each go up by themselves."""
    frames = [box(x, 20, x + 300, 260) - box(x + 10, 30, x + 290, 250) for x in (20, 340)]
    inside = [box(x + 100, 110, x + 150, 170) for x in (20, 340)]
    shapes = [frame for frame in frames if isinstance(frame, Polygon)]
    plan = plan_lettering(project_of(660, 280, usable=(200.0, 200.0)), *letters_from([[shapes]], inside))
    layers = [report.layer for report in plan.search]
    frames_of = [layer for layer in layers if not layer.startswith("in-")]
    assert len(frames_of) == 2
    assert sorted(layers) == sorted([*frames_of, *(f"in-{frame}-1" for frame in frames_of)])
    assert plan.measures.in_word_breaks == 1
    assert check_plan(plan) == []


def first_panel(plan: Plan, **changes: object) -> Plan:
    return replace(plan, panels=(replace(plan.panels[0], **changes), *plan.panels[1:]))  # type: ignore[arg-type]


def lost_film(plan: Plan) -> Plan:
    film = plan.panels[0].film
    return first_panel(plan, film=MultiPolygon(list(film.geoms)[1:]))


def moved_film(plan: Plan) -> Plan:
    return first_panel(plan, film=translate(plan.panels[0].film, 0.2, 0))


def tilted_cut(plan: Plan) -> Plan:
    cut = plan.cuts[0]
    (x0, y0), (x1, y1) = cut.line[0], cut.line[-1]
    return replace(plan, cuts=(replace(cut, line=((x0 - 80, y0), (x1 + 80, y1))), *plan.cuts[1:]))


def swapped_sides(plan: Plan) -> Plan:
    cut = plan.cuts[0]
    return replace(plan, cuts=(replace(cut, left=cut.right, right=cut.left), *plan.cuts[1:]))


def lost_cut(plan: Plan) -> Plan:
    return replace(plan, cuts=plan.cuts[1:])


def wrong_breaks(plan: Plan) -> Plan:
    return replace(plan, measures=replace(plan.measures, in_word_breaks=plan.measures.in_word_breaks + 1))


def wrong_risk(plan: Plan) -> Plan:
    return replace(plan, measures=replace(plan.measures, risk=plan.measures.risk + 0.001))


def small_mat(plan: Plan) -> Plan:
    cutter = replace(plan.project.cutter, width=50.0, length=60.0)
    return replace(plan, project=replace(plan.project, cutter=cutter))


def small_trim(plan: Plan) -> Plan:
    return first_panel(plan, trim=plan.panels[0].trim.buffer(-10))


def wide_trim(plan: Plan) -> Plan:
    return first_panel(plan, trim=plan.panels[0].trim.buffer(60))


def wrong_gap(plan: Plan) -> Plan:
    part = plan.breaks[0]
    gap = replace(part.gap, mm=part.gap.mm + 0.5)
    return replace(plan, breaks=(replace(part, gap=gap), *plan.breaks[1:]))


def lost_break(plan: Plan) -> Plan:
    return replace(plan, breaks=plan.breaks[1:])


def wrong_distance(plan: Plan) -> Plan:
    place = plan.panels[0].from_reference
    length = replace(place.x.length, mm=place.x.length.mm + 1.0)
    return first_panel(plan, from_reference=replace(place, x=replace(place.x, length=length)))


def off_the_mat(plan: Plan) -> Plan:
    a, b, c, d, e, f = plan.panels[0].to_mat
    return first_panel(plan, to_mat=(a, b, c, d, e + 500, f))


def mirrored(plan: Plan) -> Plan:
    a, b, c, d, e, f = plan.panels[0].to_mat
    return first_panel(plan, to_mat=(-a, b, -c, d, e, f))


def off_every_mat(plan: Plan) -> Plan:
    return replace(plan, mats=(replace(plan.mats[0], panels=()), *plan.mats[1:]))


def wrong_order(plan: Plan) -> Plan:
    return replace(plan, panels=tuple(reversed(plan.panels)))


def stuck_twice(plan: Plan) -> Plan:
    sticks = [step for step in plan.steps if step.kind == "stick"]
    return replace(plan, steps=(*plan.steps, replace(sticks[0], n=len(plan.steps) + 1)))


WRONGS: list[tuple[Callable[[Plan], Plan], str]] = [
    (lost_film, "missing from the panels"),
    (moved_film, "not in the artwork"),
    (tilted_cut, "runs through film"),
    (swapped_sides, "on the other side"),
    (lost_cut, "do not make one tree"),
    (wrong_breaks, "in-word breaks"),
    (wrong_risk, "risk"),
    (small_mat, "does not fit the usable area"),
    (small_trim, "does not hold its film"),
    (wide_trim, "lies on film"),
    (wrong_gap, "says a gap"),
    (lost_break, "neighbours part at"),
    (wrong_distance, "the plan says"),
    (off_the_mat, "leaves the usable area"),
    (mirrored, "mirrored wrongly"),
    (off_every_mat, "the mats hold"),
    (wrong_order, "not numbered"),
    (stuck_twice, "not each panel once"),
]


@pytest.mark.parametrize(("spoil", "message"), WRONGS, ids=[wrong.__name__ for wrong, _ in WRONGS])
def test_each_wrong_is_found(spoil: Callable[[Plan], Plan], message: str) -> None:
    faults = check_plan(spoil(sample()))
    assert any(message in fault for fault in faults), faults


def test_film_as_wide_as_the_usable_area_fits_and_its_trim_stays_on_the_sheet() -> None:
    row = row_of_boxes([[11.5 * INCH]], height=50, letter_gap=1, word_gap=1, x=40, y=40)
    plan = plan_lettering(project_of(500, 300, (11.5 * INCH, 40.0 * INCH), "none"), *letters_from([row]))
    assert check_plan(plan) == []
    assert plan.measures.panels == 1


def test_a_trim_laid_along_the_edge_of_the_usable_area_is_cut_all_round() -> None:
    row = row_of_boxes([[80.0] * 3], height=50, letter_gap=8, word_gap=40, x=60.3, y=70.7)
    plan = plan_lettering(project_of(500, 300), *letters_from([row]))
    assert plan.panels[0].unlined == ()
    drawn = sum(LineString(line).length for line in plan.panels[0].trim_lines)
    assert drawn == pytest.approx(plan.panels[0].trim.length)
