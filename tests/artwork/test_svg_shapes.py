"""Path data and basic shapes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from svgelements import Path

from bigsign.artwork import svg_shapes as s
from bigsign.artwork.fill import resolve_fill
from bigsign.artwork.flatten import ArcTo, Close, CubicTo, LineTo, MoveTo, QuadTo, flatten_path
from bigsign.artwork.svg_scene import Stroke
from bigsign.artwork.svg_stroke import dash_count, stroke_outline


def outline(data: str) -> tuple[object, ...]:
    return s.read_path(data).commands


def test_every_command() -> None:
    assert outline("M1 2 L3 4 H5 V6 Q7 8 9 10 T11 12 C1 1 2 2 3 3 S5 5 6 6 z") == (
        MoveTo((1, 2)),
        LineTo((3, 4)),
        LineTo((5, 4)),
        LineTo((5, 6)),
        QuadTo((7, 8), (9, 10)),
        QuadTo((11, 12), (11, 12)),
        CubicTo((1, 1), (2, 2), (3, 3)),
        CubicTo((4, 4), (5, 5), (6, 6)),
        Close(),
    )


def test_relative_moves_after_a_close_count_from_the_subpath_start() -> None:
    assert outline("m10 10h5v5z m1 1h2v2z l3 0 0 3z l1 1 1 0z") == (
        MoveTo((10, 10)),
        LineTo((15, 10)),
        LineTo((15, 15)),
        Close(),
        MoveTo((11, 11)),
        LineTo((13, 11)),
        LineTo((13, 13)),
        Close(),
        MoveTo((11, 11)),
        LineTo((14, 11)),
        LineTo((14, 14)),
        Close(),
        MoveTo((11, 11)),
        LineTo((12, 12)),
        LineTo((13, 12)),
        Close(),
    )


def test_only_a_curve_of_the_same_kind_lends_its_control_point() -> None:
    # SVG 2, sections 9.3.6 and 9.3.7.
    assert outline("M0 0 Q1 5 9 9 S8 8 7 7")[2:] == (CubicTo((9, 9), (8, 8), (7, 7)),)
    assert outline("M0 0 C1 1 2 5 9 9 T7 7 T5 5")[2:] == (QuadTo((9, 9), (7, 7)), QuadTo((5, 5), (5, 5)))
    assert outline("M3 3 S4 4 5 5 l1 1 s1 0 2 2")[1:] == (
        CubicTo((3, 3), (4, 4), (5, 5)),
        LineTo((6, 6)),
        CubicTo((6, 6), (7, 6), (8, 8)),
    )


def test_reading_stops_at_the_budget() -> None:
    assert s.read_path("M0 0" + "h1" * 1000, most=10).segments == 11


@pytest.mark.parametrize(
    ("data", "segments"),
    [
        ("", 0),
        ("none", 0),
        ("M0 0", 1),
        ("M.5.5-1-1", 2),
        ("M0,0,1,1 2,2", 3),
        ("M0 0a1 1 0 0110 10", 2),
        ("M0 0zz", 3),
        (" \n M 1 1 \t L 2e1 2E-1 ", 2),
    ],
)
def test_sound_path_data(data: str, segments: int) -> None:
    checked = s.read_path(data)
    assert checked.error is None
    assert checked.segments == segments


@pytest.mark.parametrize(
    ("data", "kept"),
    [
        ("L1 1", 0),
        ("5 5", 0),
        ("M", 0),
        ("M,1 1", 0),
        ("M1", 0),
        ("M0 0 L1", 1),
        ("M0 0 L1 1 2", 2),
        ("M0 0 L1 1 X", 2),
        ("M0 0 L1 1,", 2),
        ("M0 0 L1 1,,2 2", 2),
        ("M0 0 a1 1 0 2 0 3 3", 1),
        ("M0 0 h1e400", 1),
        ("M0 0 C1 1 2 2", 1),
        ("M0 0 z 5", 2),
        ("M0 0 L nan 3", 1),
        ("M0 0;L1 1", 1),
        ("M0 0 L1 1 h 3 é", 3),
    ],
)
def test_broken_path_data_is_drawn_up_to_the_error(data: str, kept: int) -> None:
    checked = s.read_path(data)
    assert checked.error
    assert checked.segments == kept
    assert len(checked.commands) == kept


number = st.integers(-400, 400).map(lambda n: n / 10)


@settings(max_examples=60, deadline=None)
@given(
    number,
    number,
    st.floats(1, 60),
    st.floats(1, 60),
    st.floats(-90, 90),
    st.booleans(),
    st.booleans(),
    number,
    number,
)
def test_arcs_as_svgelements_draws_them(
    x: float,
    y: float,
    rx: float,
    ry: float,
    turn: float,
    large: bool,
    sweep: bool,
    x1: float,
    y1: float,
) -> None:
    if math.dist((x, y), (x1, y1)) < 0.5:
        return
    data = f"M{x} {y}A{rx!r} {ry!r} {turn!r} {large:d} {sweep:d} {x1} {y1}"
    commands = s.read_path(data).commands
    arc = commands[1]
    assert isinstance(arc, ArcTo)
    outside = Path(data)[1]
    for k in range(9):
        angle = arc.start + arc.sweep * k / 8
        a, b, c, d, e, f = arc.frame
        mine = (a * math.cos(angle) + c * math.sin(angle) + e, b * math.cos(angle) + d * math.sin(angle) + f)
        other = outside.point(k / 8)
        assert mine == pytest.approx((other.x, other.y), abs=1e-3)
    # SVG 2, section 9.5.1: the flag says which way round; the end is where it was asked for.
    assert (arc.sweep > 0) == sweep
    assert arc.to == (x1, y1)


def test_arc_corner_cases() -> None:
    # SVG 2, section 9.5.1: no radius is a line, no distance is nothing, too small a radius grows.
    assert outline("M0 0A0 5 0 0 1 9 9") == (MoveTo((0, 0)), LineTo((9, 9)))
    assert outline("M3 3A5 5 0 1 1 3 3") == (MoveTo((3, 3)),)
    (_, grown) = s.read_path("M0 0A1 1 0 0 1 10 0").commands
    assert isinstance(grown, ArcTo)
    assert grown.frame[0] == pytest.approx(5, abs=1e-12)


def area(commands: tuple[object, ...]) -> float:
    return resolve_fill(flatten_path(commands, 1e-4), "nonzero").area  # type: ignore[arg-type]


def test_areas_of_shapes() -> None:
    assert area(s.rectangle(1, 2, 30, 20, 0, 0)) == 600
    assert area(s.rectangle(1, 2, 30, 20, 5, 4)) == pytest.approx(600 - (4 - math.pi) * 20, rel=1e-4)
    assert area(s.ellipse(5, 5, 30, 20)) == pytest.approx(math.pi * 600, rel=1e-4)
    assert area(s.polygon([(0, 0), (4, 0), (4, 3)])) == 6
    assert s.polygon([]) == ()


def test_stroke_of_a_circle_is_a_ring() -> None:
    pen = Stroke(4.0, "butt", "miter", 4.0)
    drawn = stroke_outline(s.ellipse(50, 60, 30, 30), pen, 0.005)
    outer = resolve_fill(flatten_path(drawn, 0.005), "nonzero")
    assert outer.area == pytest.approx(math.pi * (32**2 - 28**2), rel=1e-3)
    (ring,) = outer.geoms
    assert len(ring.interiors) == 1
    for line, radius in ((ring.exterior, 32), (ring.interiors[0], 28)):
        assert max(abs(math.dist(p, (50, 60)) - radius) for p in line.segmentize(0.2).coords) <= 0.01


def test_stroke_ends_and_corners() -> None:
    corner = s.polygon([(0, 0), (20, 0), (20, 20)], closed=False)

    def covered(cap: str, join: str, limit: float = 4.0) -> float:
        return area(stroke_outline(corner, Stroke(4.0, cap, join, limit), 0.001))

    body = 2 * 20 * 4 - 4  # two bars that share a quarter of the corner's square
    assert covered("butt", "miter") == pytest.approx(body + 4, rel=1e-3)
    assert covered("butt", "miter", 1.0) == pytest.approx(body + 2, rel=1e-3)  # over the limit: cut off
    assert covered("butt", "bevel") == pytest.approx(body + 2, rel=1e-3)
    assert covered("butt", "round") == pytest.approx(body + math.pi, rel=1e-3)
    assert covered("square", "bevel") == pytest.approx(body + 2 + 16, rel=1e-3)
    assert covered("round", "bevel") == pytest.approx(body + 2 + 4 * math.pi, rel=1e-3)


def test_dashes_are_counted() -> None:
    line = s.polygon([(0, 0), (100, 0)], closed=False)
    dashed = Stroke(2.0, "butt", "miter", 4.0, (6.0, 4.0))
    assert dash_count(line, dashed) == pytest.approx(20)
    assert dash_count(line, Stroke(2.0, "butt", "miter", 4.0)) == 0
    pieces = resolve_fill(flatten_path(stroke_outline(line, dashed, 0.01), 0.01), "nonzero")
    assert len(pieces.geoms) == 10
    assert pieces.area == pytest.approx(10 * 6 * 2, rel=1e-4)
