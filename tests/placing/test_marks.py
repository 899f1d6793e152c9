"""Register marks: where they stand, what they do to trims, nesting, steps and cut files."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.affinity import affine_transform, translate
from shapely.geometry import MultiPolygon, Point, Polygon, box

from bigsign.artwork.pieces import Artwork
from bigsign.output.cut_files import cut_svg
from bigsign.output.plan_json import plan_to_dict
from bigsign.placing.mark_shapes import FIGURES, mark_shape
from bigsign.placing.marks import films_meet
from bigsign.plan import check_plan, make_plan, plan_lettering
from bigsign.plan_records import Plan
from bigsign.project import MarkSettings
from bigsign.project_file import load_project
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import INCH, project_of


@cache
def one_colour(use: str, size: float = 6.0) -> Plan:
    """Two lines of two words, each word a panel."""
    rows = [
        row_of_boxes([[110.0] * 3, [100.0] * 3], height=100, letter_gap=8, word_gap=40, x=30, y=30 + i * 140)
        for i in range(2)
    ]
    project = replace(project_of(900, 400, (380.0, 150.0)), marks=MarkSettings(use, size))
    return plan_lettering(project, *letters_from(rows))


@cache
def two_colours(use: str = "auto") -> Plan:
    """Black letters, and red ones 4 mm lower and to the right over them, on a mat that takes three of each."""
    row = row_of_boxes([[80.0] * 3, [80.0] * 3], height=100, letter_gap=8, word_gap=40, x=60, y=60)
    over = [[translate(letter, 4, 4) for letter in word] for word in row]
    under = letters_from([row])
    upper = letters_from([over], colour="#cc0000")
    pieces = [replace(piece, id=f"r{piece.id}") for piece in upper[0].pieces]
    glyphs = [
        replace(glyph, id=f"r{glyph.id}", pieces=tuple(f"r{p}" for p in glyph.pieces), word=f"r{glyph.word}",
                line=f"r{glyph.line}")
        for glyph in upper[1].glyphs
    ]  # fmt: skip
    words = [
        replace(word, id=f"r{word.id}", glyphs=tuple(f"r{g}" for g in word.glyphs), line=f"r{word.line}")
        for word in upper[1].words
    ]
    lines = [replace(one, id=f"r{one.id}", words=tuple(f"r{w}" for w in one.words)) for one in upper[1].lines]
    artwork = Artwork((*under[0].pieces, *pieces))
    lettering = replace(
        under[1], glyphs=(*under[1].glyphs, *glyphs), words=(*under[1].words, *words),
        lines=(*under[1].lines, *lines),
    )  # fmt: skip
    project = replace(project_of(800, 300, (11.5 * INCH, 11.5 * INCH)), marks=MarkSettings(use))
    return plan_lettering(project, artwork, lettering)


def test_lettering_of_one_colour_has_no_marks_unless_asked() -> None:
    assert one_colour("auto").marks == one_colour("off").marks == ()
    assert len(one_colour("on").breaks) > 1
    assert len(one_colour("on").marks) == 2 * len(one_colour("on").breaks)


def test_where_colours_meet_there_are_marks_by_themselves_and_none_at_breaks() -> None:
    plan = two_colours()
    colours = {panel.id: panel.colour for panel in plan.panels}
    assert plan.marks
    assert all(colours[mark.panels[0]] != colours[mark.panels[1]] for mark in plan.marks)
    assert two_colours("off").marks == ()
    assert {mark.panels for mark in plan.marks} < {mark.panels for mark in two_colours("on").marks}


PLANS = [(one_colour, "on"), (two_colours, "auto"), (two_colours, "on")]


@pytest.mark.parametrize(("make", "use"), PLANS)
def test_marked_plans_hold(make: object, use: str) -> None:
    assert callable(make)
    plan: Plan = make(use)
    assert check_plan(plan) == []
    assert not [finding for finding in plan.warnings if finding.code == "place-no-mark"]
    for mark in plan.marks:
        for panel in (plan.panel(name) for name in mark.panels):
            assert panel.trim.covers(mark.path)
            assert mark.id in panel.marks
            a, b, c, d, e, f = panel.to_mat
            mat = next(mat for mat in plan.mats if mat.id == panel.mat)
            laid = affine_transform(mark.path, [a, c, b, d, e, f])
            assert box(0, 0, mat.width, mat.length).buffer(1e-3).covers(laid)
        assert min(mark.path.distance(panel.film) for panel in plan.panels) >= 2.0


def test_both_marks_of_a_break_stand_at_its_two_ends_and_the_trims_overlap_there() -> None:
    plan = one_colour("on")
    for part in plan.breaks:
        one, two = (mark for mark in plan.marks if mark.break_id == part.id)
        first, second = (plan.panel(name) for name in part.panels)
        shared = first.film.union(second.film).bounds
        assert Point(one.at).distance(Point(two.at)) > 0.3 * min(shared[2] - shared[0], shared[3] - shared[1])
        overlap = first.trim.intersection(second.trim)
        assert overlap.buffer(1e-3).covers(MultiPolygon([*one.path.geoms, *two.path.geoms]))
        assert not part.butts


@pytest.mark.parametrize(("make", "use"), PLANS)
def test_marks_stand_on_coarse_tape_marks_where_there_is_room(make: object, use: str) -> None:
    assert callable(make)
    for mark in make(use).marks:
        for said in (mark.from_reference.x, mark.from_reference.y):
            assert said.length.error_mm == 0
            assert said.length.mm / 3.175 == pytest.approx(round(said.length.mm / 3.175), abs=1e-6)


def test_cut_files_hold_each_mark_twice_between_film_and_trim() -> None:
    plan = one_colour("on")
    seen: list[str] = []
    for mat in plan.mats:
        groups = [group.get("id", "") for group in ET.fromstring(cut_svg(plan, mat))]
        for name in mat.panels:
            panel = plan.panel(name)
            at = groups.index(f"panel-{panel.number}")
            assert groups[at + 1 : at + 3] == [f"marks-{panel.number}", f"trim-{panel.number}"]
        paths = [len(group) for group in ET.fromstring(cut_svg(plan, mat)) if group.get("id", "").startswith("marks-")]
        assert sum(paths) == sum(len(m.path.geoms) for n in mat.panels for m in plan.marks_of(plan.panel(n)))
        seen += [mark.id for name in mat.panels for mark in plan.marks_of(plan.panel(name))]
    assert sorted(seen) == sorted(2 * [mark.id for mark in plan.marks])


def test_steps_tape_lay_and_take_off_the_marks() -> None:
    plan = one_colour("on")
    last = plan.marks[-1].id
    taped = next(step for step in plan.steps if step.kind == "mark")
    assert f"R1 to {last}" in taped.actions[-1]
    off = plan.steps[-2]
    assert off.kind == "peel"
    assert f"R1 to {last}" in off.actions[0]
    up: set[str] = set()
    for step in plan.steps:
        if step.kind != "stick":
            continue
        wanted = {mark.panels for mark in plan.marks if step.panel in mark.panels and up & set(mark.panels)}
        assert sum("register marks" in action for action in step.actions) == len(wanted)
        up.add(str(step.panel))


def test_without_marks_nothing_speaks_of_them() -> None:
    plan = one_colour("off")
    assert plan_to_dict(plan, [])["marks"] == []
    assert not any("register" in action for step in plan.steps for action in step.actions)


def test_a_mark_without_room_is_left_out_and_that_is_said() -> None:
    row = row_of_boxes([[140.0] * 2], height=11.5 * INCH - 1, letter_gap=5, word_gap=40, x=5, y=5)
    project = replace(project_of(300, 302, (11.5 * INCH, 6 * INCH), "none"), marks=MarkSettings("on"))
    plan = plan_lettering(replace(project, turning="quarter"), *letters_from([row]))
    assert check_plan(plan) == []
    assert len(plan.breaks) == 1
    assert plan.marks == ()
    assert [finding.code for finding in plan.warnings if finding.code == "place-no-mark"] == ["place-no-mark"]


def test_no_two_of_fifty_marks_are_the_same_figure() -> None:
    made = [mark_shape(n, 6.0) for n in range(50)]
    assert len({name for name, _ in made}) == 50
    for one, other in itertools.combinations(FIGURES.values(), 2):
        assert one.symmetric_difference(other).area > 0.12 * max(one.area, other.area)
    assert [len(shape.geoms) for _, shape in made[: 2 * len(FIGURES)]] == [1] * len(FIGURES) + [2] * len(FIGURES)
    for name, shape in made:
        assert shape.is_valid, name
        x0, y0, x1, y1 = shape.bounds
        assert x0 + x1 == pytest.approx(0, abs=1e-6)
        assert y1 - y0 <= 6.001


def test_films_meet_where_one_lies_in_a_hole_of_the_other() -> None:
    ring = MultiPolygon([Polygon(box(0, 0, 100, 100).exterior, [box(10, 10, 90, 90).exterior])])
    assert films_meet(ring, MultiPolygon([box(40, 40, 60, 60)]))
    assert films_meet(MultiPolygon([box(40, 40, 60, 60)]), ring)
    assert films_meet(ring, MultiPolygon([box(100.1, 0, 120, 20)]))
    assert not films_meet(ring, MultiPolygon([box(103, 0, 120, 20)]))


@settings(max_examples=12, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.floats(3.0, 10.0), st.floats(3.0, 60.0), st.floats(40.0, 130.0), st.sampled_from(["quarter", "none"]),
    st.floats(2.0, 9.0),
)  # fmt: skip
def test_whatever_the_lettering_marked_plans_hold(
    size: float, word_gap: float, wide: float, turning: str, letter_gap: float
) -> None:
    rows = [
        row_of_boxes([[wide] * 3, [0.8 * wide] * 2], height=70, letter_gap=letter_gap, word_gap=word_gap, x=30, y=y)
        for y in (30.0, 125.0)
    ]
    project = replace(project_of(900, 260, (200.0, 240.0), turning), marks=MarkSettings("on", size))
    assert check_plan(plan_lettering(project, *letters_from(rows))) == []


DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="220mm" height="220mm" viewBox="0 0 220 220">
<rect x="0" y="0" width="220" height="220" fill="#008000"/><rect x="50" y="60" width="120" height="80" fill="#ffff00"/>
<path d="M70 70h30v60h-30zM120 70h30v60h-30z" fill="#ff0000"/></svg>"""
PROJECT = """[sign]
width = "224 mm"
height = "224 mm"
[cutter]
width = "222 mm"
length = "222 mm"
[[artwork]]
file = "ground.svg"
"""


def test_marks_stand_on_film_only_where_that_is_up_before_and_is_none_of_theirs(tmp_path: Path) -> None:
    """The ground fills board and mat: marks with it have no room, those of the two colours over it stand upon it."""
    (tmp_path / "ground.svg").write_text(DRAWING, "utf-8")
    (tmp_path / "ground.toml").write_text(PROJECT, "utf-8")
    plan = make_plan(load_project(tmp_path / "ground.toml"))
    assert check_plan(plan) == []
    ground = next(panel for panel in plan.panels if panel.colour == "#008000")
    assert ground.number == 1
    assert ground.marks == ()
    assert len(plan.marks) == 2
    for mark in plan.marks:
        assert ground.film.covers(mark.path)
        assert ground.id not in mark.panels
    assert sum(finding.code == "place-no-mark" for finding in plan.warnings) == 2
