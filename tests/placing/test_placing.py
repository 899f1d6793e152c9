"""Where things stand: marks, break lines, trims, hinges, levels, order of work."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import skew
from shapely.geometry import MultiPolygon, Point, Polygon, box

from bigsign.placing.break_lines import choose_line
from bigsign.placing.hinges import hinge_kind, panel_hinge
from bigsign.placing.levels import FootLine, panel_level
from bigsign.placing.rulers import Rulers
from bigsign.placing.trims import clip_half_plane, trim_outline
from bigsign.plan import check_plan, plan_lettering
from bigsign.project import Board, Cutter
from bigsign.units import TapeStep, on_mark
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import INCH, project_of

BOARD = Board(1000.0, 500.0, box(0, 0, 1000, 500))
RULERS = Rulers.of(BOARD, TapeStep())
SPAN = (0.0, 0.0, 40 * INCH, 8 * INCH)


def test_a_break_line_in_a_wide_gap_is_plumb_on_the_coarse_mark_nearest_its_middle() -> None:
    line = choose_line(box(0, 10, 100, 90), box(140, 10, 200, 90), RULERS, 1.0, SPAN)
    assert line.points[0][0] == line.points[-1][0]
    assert on_mark(line.points[0][0], TapeStep().coarse)
    assert abs(line.points[0][0] - 120) <= INCH / 16 + 1e-6
    assert line.on_marks
    assert not line.tight


def test_a_narrow_gap_without_a_mark_takes_the_middle_and_says_so() -> None:
    low = 10 * INCH + 0.2
    line = choose_line(box(0, 10, low, 90), box(low + 1.2, 10, 400, 90), RULERS, 0.2, SPAN)
    assert not line.on_marks
    assert line.points[0][0] == pytest.approx(low + 0.6)


def test_a_gap_too_narrow_for_the_clearance_is_tight() -> None:
    line = choose_line(box(0, 10, 100, 90), box(101, 10, 200, 90), RULERS, 1.0, SPAN)
    assert line.tight
    assert 0.1 - 1e-9 <= line.clearance <= 0.5


def test_slanted_neighbours_part_along_a_slanted_line_with_both_ends_on_marks() -> None:
    first, second = (skew(box(x, 10, x + 60, 150), xs=-20, origin=(0, 80)) for x in (20.0, 92.0))
    line = choose_line(first, second, RULERS, 1.0, SPAN)
    assert line.on_marks
    assert line.points[0][0] != line.points[-1][0]
    assert all(on_mark(point[0], TapeStep()) for point in line.points)
    assert line.clearance >= 1.0 - 1e-9


@given(
    st.floats(10, 800), st.floats(30, 300), st.floats(10, 150), st.floats(20, 150), st.floats(2.0, 9.0),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_trims_grow_by_the_margin_to_whole_marks(x: float, y: float, w: float, h: float, margin: float) -> None:
    film = (x, y, x + w, y + h)
    region = box(-10, -10, 1100, 600)
    cutter = Cutter("t", "m", 2000, 2000, 6.35)
    trim = trim_outline(film, region, (0, 0, 1000, 500), RULERS, margin, cutter, [False]).bounds
    for side, edge in enumerate(trim):
        grown = (film[side] - edge) if side < 2 else (edge - film[side])
        limit = 0.0 if side < 2 else (1000.0, 500.0)[side - 2]
        if abs(edge - limit) > 1e-6:
            assert on_mark(edge, TapeStep())
            assert abs(grown - margin) <= INCH / 16 + 1e-6


def test_a_half_plane_keeps_the_side_asked_for() -> None:
    square = box(0, 0, 10, 10)
    left = clip_half_plane(square, (4, 0), (4, 10), (1, 5))
    right = clip_half_plane(square, (4, 0), (4, 10), (9, 5))
    assert left.area == pytest.approx(40)
    assert right.area == pytest.approx(60)
    assert left.bounds[2] == pytest.approx(4)


@pytest.mark.parametrize(
    ("size", "kind"),
    [((50, 201), "side"), ((50, 200), "top"), ((400, 12 * INCH), "top"), ((400, 12 * INCH + 1), "centre")],
)
def test_hinge_kinds(size: tuple[float, float], kind: str) -> None:
    assert hinge_kind((0, 0, *size), "auto")[0] == kind
    assert hinge_kind((0, 0, *size), "none")[0] == "none"


def test_a_centre_hinge_runs_through_the_widest_clear_gap_of_the_middle_half() -> None:
    film = MultiPolygon([box(10, 10, 300, 180), box(10, 215, 300, 240), box(10, 250, 300, 410)])
    hinge = panel_hinge(film, box(0, 0, 310, 420), RULERS, "auto")
    assert hinge is not None
    assert hinge.kind == "centre"
    assert 180 < hinge.line[0][1] < 215
    assert hinge.crosses_film_mm == 0


def test_a_centre_hinge_is_plumb_where_only_that_runs_clear() -> None:
    film = MultiPolygon([box(10, 10, 150, 410), box(190, 10, 400, 410)])
    hinge = panel_hinge(film, box(0, 0, 410, 420), RULERS, "auto")
    assert hinge is not None
    assert hinge.line[0][0] == hinge.line[1][0]
    assert 150 < hinge.line[0][0] < 190


def ring(x: float, foot: float) -> Polygon:
    """A round letter that overshoots its baseline by 2 mm on both sides."""
    return Point(x, foot - 50).buffer(52, 64)


def test_the_level_takes_flat_feet_and_leaves_overshoot_out() -> None:
    films = (
        MultiPolygon([box(0, 100, 40, 200)]),
        MultiPolygon([ring(120, 200)]),
        MultiPolygon([box(200, 100, 240, 200)]),
    )
    level = panel_level([FootLine(films, 0, 200.0)], films[0], RULERS)
    assert level is not None
    assert level.flat
    assert level.at == pytest.approx(200)
    assert len(level.points) == 2


def test_round_letters_alone_are_levelled_at_their_lowest_points_with_their_overshoot() -> None:
    films = (MultiPolygon([ring(60, 200)]), MultiPolygon([ring(180, 200)]))
    level = panel_level([FootLine(films, 0, 200.0)], films[0], RULERS)
    assert level is not None
    assert not level.flat
    assert level.at == pytest.approx(202, abs=0.01)
    assert level.overshoot_mm == pytest.approx(2, abs=0.01)


def test_turned_lines_are_levelled_plumb_on_their_feet() -> None:
    """Turned a quarter clockwise, feet face left."""
    films = tuple(MultiPolygon([box(300, y, 400, y + 40)]) for y in (0, 60, 120))
    level = panel_level([FootLine(films, 1, 300.0)], films[0], RULERS)
    assert level is not None
    assert level.axis == "x"
    assert level.at == pytest.approx(300)
    assert len(level.points) == 3


@pytest.mark.parametrize("reference", [("left", "top"), ("right", "bottom"), ("middle", "middle")])
def test_plans_hold_from_every_reference_edge(reference: tuple[str, str]) -> None:
    rows = [
        row_of_boxes([[90.0] * 3, [80.0] * 3], height=100, letter_gap=8, word_gap=40, x=30, y=30 + i * 140)
        for i in range(2)
    ]
    plan = plan_lettering(project_of(901.7, 403.3, reference=reference), *letters_from(rows))
    assert check_plan(plan) == []
    for part in plan.breaks:
        if part.kind == "word":
            assert abs(part.ends[0].from_reference.x.length.error_mm) < 1e-6


def test_the_order_of_work_starts_with_the_longest_run_of_feet_and_goes_to_neighbours() -> None:
    row = row_of_boxes([[80.0] * 3, [80.0] * 3, [80.0] * 3], height=100, letter_gap=8, word_gap=60, x=30, y=30)
    plan = plan_lettering(project_of(1200, 200, (11.5 * INCH, 11.5 * INCH)), *letters_from([row]))
    assert next(panel.text for panel in plan.panels) == "DEF"
    assert {panel.text for panel in plan.panels} == {"ABC", "DEF", "GHI"}


def test_rounding_from_the_datum_never_adds_up_while_a_chain_does() -> None:
    """ISO 129-1 datum against chain (worked here): 8 panels of 11.45 in, tape read to 1/16 in.

    The chain of rounded pitches drifts 8 × 0.0125 = 0.1 in; no running distance is off by more than 1/32 in.
    """
    from bigsign.units import to_tape

    pitch = 11.45 * INCH
    chain = sum(pitch + to_tape(pitch, TapeStep()).error_mm for _ in range(8)) - 8 * pitch
    running = [to_tape(n * pitch, TapeStep()).error_mm for n in range(1, 9)]
    assert abs(chain) == pytest.approx(0.1 * INCH)
    assert max(abs(error) for error in running) <= INCH / 32 + 1e-9


def test_the_worst_rounding_of_a_chain_of_eight_is_a_quarter_inch_and_of_a_datum_a_thirtysecond() -> None:
    """ISO 129-1 datum against chain, worked: each of 8 pitches off by all but 1/32 in adds up to all but 1/4 in."""
    from bigsign.units import to_tape

    worst_chain = worst_running = 0.0
    for thousandths in range(11_000, 11_125):
        pitch = thousandths / 1000 * INCH
        worst_chain = max(worst_chain, abs(8 * to_tape(pitch, TapeStep()).error_mm))
        running = (abs(to_tape(n * pitch, TapeStep()).error_mm) for n in range(1, 9))
        worst_running = max(worst_running, *running)
    assert 0.24 * INCH < worst_chain <= INCH / 4
    assert worst_running <= INCH / 32 + 1e-9


@pytest.mark.parametrize(("across", "down"), [(2, 2), (3, 2)])
def test_trims_hold_overlaps_that_meet_where_seams_cross(across: int, down: int) -> None:
    """Film with no neck is parted like tiles: at a crossing the overlaps of panels across the corner meet."""
    solid = box(30, 30, 30 + 200 * across, 30 + 200 * down)
    plan = plan_lettering(project_of(700, 500, usable=(220.0, 220.0)), *letters_from([[[solid]]]))
    films = {panel.id: panel.film for panel in plan.panels}
    seams = {frozenset(part.panels) for part in plan.breaks}
    crossed = [
        (a, b) for a in films for b in films
        if a < b and frozenset((a, b)) not in seams and films[a].intersection(films[b]).area > 1
    ]  # fmt: skip
    assert crossed
    assert all(panel.trim.buffer(1e-3).covers(panel.film) for panel in plan.panels)
    assert check_plan(plan) == []
