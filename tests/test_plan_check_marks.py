"""The check of register marks finds each kind of wrong that is put into a plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign.plan import check_plan
from bigsign.plan_records import Panel, Plan, RegisterMark
from tests.placing.test_marks import one_colour


def first_mark(plan: Plan, **changes: object) -> Plan:
    return replace(plan, marks=(replace(plan.marks[0], **changes), *plan.marks[1:]))  # type: ignore[arg-type]


def moved(mark: RegisterMark, dx: float, dy: float) -> dict[str, object]:
    return {"path": translate(mark.path, dx, dy), "at": (mark.at[0] + dx, mark.at[1] + dy)}


def on_film(plan: Plan) -> Plan:
    mark = plan.marks[0]
    spot = plan.panel(mark.panels[0]).film.representative_point()
    return first_mark(plan, **moved(mark, spot.x - mark.at[0], spot.y - mark.at[1]))


def near_film(plan: Plan) -> Plan:
    """Moved towards the nearest film until it is 1.9 mm off."""
    mark = plan.marks[0]
    film = plan.panel(mark.panels[0]).film
    away = film.distance(mark.path)
    spot = min(film.geoms, key=mark.path.distance).centroid
    way = (spot.x - mark.at[0], spot.y - mark.at[1])
    share = 0.0
    while film.distance(translate(mark.path, share * way[0], share * way[1])) > 1.9:
        share += 0.0001
    assert away >= 2.0
    return first_mark(plan, **moved(mark, share * way[0], share * way[1]))


def off_the_trim(plan: Plan) -> Plan:
    return first_mark(plan, **moved(plan.marks[0], 0, -20))


def off_the_board(plan: Plan) -> Plan:
    return first_mark(plan, **moved(plan.marks[0], 0, -500))


def small_mat(plan: Plan) -> Plan:
    """The mats are shorter than what lies on them."""
    mats = tuple(replace(mat, length=mat.length - 280) for mat in plan.mats)
    return replace(plan, mats=mats)


def alike(plan: Plan) -> Plan:
    """The third mark becomes the first one, turned upside down."""
    one, other = plan.marks[0], plan.marks[2]
    path = translate(rotate(one.path, 180, origin=one.at), other.at[0] - one.at[0], other.at[1] - one.at[1])
    return replace(plan, marks=(*plan.marks[:2], replace(other, path=path), *plan.marks[3:]))


def side_by_side(plan: Plan) -> Plan:
    one, other = plan.marks[:2]
    return replace(plan, marks=(one, replace(other, at=(one.at[0] + 5, one.at[1])), *plan.marks[2:]))


def not_listed(plan: Plan) -> Plan:
    return replace(plan, panels=tuple(replace(panel, marks=()) for panel in plan.panels))


def dropped_in_silence(plan: Plan) -> Plan:
    kept = plan.marks[1:]
    panels = tuple(replace(p, marks=tuple(m.id for m in kept if p.id in m.panels)) for p in plan.panels)
    return replace(plan, marks=kept, panels=panels)


def of_one_panel(plan: Plan) -> Plan:
    name = plan.marks[0].panels[0]
    return first_mark(plan, panels=(name, name))


def at_another_break(plan: Plan) -> Plan:
    return first_mark(plan, break_id=plan.breaks[-1].id)


def twice_named(plan: Plan) -> Plan:
    return first_mark(plan, id=plan.marks[1].id)


def butting(plan: Plan) -> Plan:
    return replace(plan, breaks=tuple(replace(part, butts=True) for part in plan.breaks))


def trimmed_away(plan: Plan) -> Plan:
    """The trim of the mark's second panel is cut straight where its tab was."""
    mark = plan.marks[0]
    panel = plan.panel(mark.panels[1])
    cut = panel.trim.difference(mark.path.envelope)
    parts = [part for part in getattr(cut, "geoms", [cut]) if isinstance(part, Polygon)]
    trim = max(parts, key=lambda part: part.area)
    return replace(plan, panels=tuple(replace(p, trim=trim) if p.id == panel.id else p for p in plan.panels))


def with_trim(plan: Plan, panel: Panel, trim: BaseGeometry) -> Plan:
    assert isinstance(trim, Polygon)
    return replace(plan, panels=tuple(replace(p, trim=trim) if p.id == panel.id else p for p in plan.panels))


def stopped_at_the_line(plan: Plan) -> Plan:
    """The trim of a panel ends at the line of its first marked break but for the marks."""
    part = next(part for part in plan.breaks if part.line[0][0] == part.line[1][0])
    panel = min((plan.panel(name) for name in part.panels), key=lambda panel: panel.film.bounds[0])
    x0, y0, _, y1 = panel.trim.bounds
    held = [mark.path.envelope.buffer(1, join_style="mitre") for mark in plan.marks_of(panel)]
    return with_trim(plan, panel, panel.trim.intersection(unary_union([box(x0, y0, part.line[0][0], y1), *held])))


def on_a_tongue(plan: Plan) -> Plan:
    """A mark's tab hangs on a strip 1 mm wide."""
    mark = plan.marks[0]
    panel = plan.panel(mark.panels[0])
    _, y0, _, y1 = mark.path.bounds
    x0, _, x1, _ = mark.path.envelope.buffer(1, join_style="mitre").bounds
    inner = box(*panel.film.bounds)
    way = LineString([mark.at, panel.film.centroid.coords[0]]).buffer(0.5)
    return with_trim(plan, panel, unary_union([inner, box(x0, y0 - 1, x1, y1 + 1), way]))


def far_past_its_margin(plan: Plan) -> Plan:
    return with_trim(plan, plan.panels[0], plan.panels[0].trim.envelope.buffer(3, join_style="mitre"))


def line_through_a_mark(plan: Plan) -> Plan:
    mark = plan.marks[0]
    (x0, y0, x1, y1) = mark.path.bounds
    lines = (((x0, y0), (x1, y1)),)
    wrong = mark.panels[0]
    return replace(plan, panels=tuple(replace(p, trim_lines=lines) if p.id == wrong else p for p in plan.panels))


def never_taken_off(plan: Plan) -> Plan:
    steps = (*plan.steps[:-2], replace(plan.steps[-1], n=plan.steps[-1].n - 1))
    return replace(plan, steps=steps)


def laid_on_nothing(plan: Plan) -> Plan:
    steps = tuple(
        replace(step, actions=tuple(action for action in step.actions if "register" not in action))
        for step in plan.steps
    )
    return replace(plan, steps=steps)


def not_asked_for(plan: Plan) -> Plan:
    return replace(plan, project=replace(plan.project, marks=replace(plan.project.marks, use="off")))


def of_one_colour(plan: Plan) -> Plan:
    return replace(plan, project=replace(plan.project, marks=replace(plan.project.marks, use="auto")))


def on_another(plan: Plan) -> Plan:
    one, other = plan.marks[0], plan.marks[2]
    path = translate(other.path, one.at[0] - other.at[0], one.at[1] - other.at[1])
    return replace(plan, marks=(one, plan.marks[1], replace(other, path=path, at=one.at), *plan.marks[3:]))


WRONGS: list[tuple[Callable[[Plan], Plan], str]] = [
    (on_film, "mm from film of"),
    (near_film, "R1 is 1.9"),
    (off_the_trim, "does not hold R1"),
    (off_the_board, "R1 leaves the board"),
    (small_mat, "leaves the usable area of"),
    (alike, "look alike"),
    (side_by_side, "of one join stand close together"),
    (not_listed, "lists marks []"),
    (dropped_in_silence, "have not two register marks"),
    (of_one_panel, "is not a mark of two panels"),
    (at_another_break, "is at no break of its panels"),
    (twice_named, "two register marks have one id"),
    (butting, "says that its trims butt"),
    (trimmed_away, "does not hold R1"),
    (stopped_at_the_line, "stops at the line of"),
    (on_a_tongue, "by a tongue under"),
    (far_past_its_margin, "farther than its margin"),
    (line_through_a_mark, "mm from R1"),
    (never_taken_off, "takes the register marks off"),
    (laid_on_nothing, "on nothing"),
    (not_asked_for, "which were not asked for"),
    (of_one_colour, "at a join of one colour"),
    (on_another, "R1 and R3 are 0.00 mm apart"),
]


@pytest.mark.parametrize(("spoil", "message"), WRONGS, ids=[wrong.__name__ for wrong, _ in WRONGS])
def test_each_wrong_mark_is_found(spoil: Callable[[Plan], Plan], message: str) -> None:
    plan = one_colour("on")
    assert check_plan(plan) == []
    faults = check_plan(spoil(plan))
    assert any(message in fault for fault in faults), faults


def test_a_mark_off_the_mat_is_told_from_film_off_the_mat() -> None:
    plan = one_colour("on")
    faults = check_plan(small_mat(plan))
    assert any(fault.startswith("R") and "leaves the usable area" in fault for fault in faults)
