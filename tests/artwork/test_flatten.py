"""Flattening against the true curves."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from bigsign.artwork import flatten as f

coordinate = st.integers(-500_000, 500_000).map(lambda n: n / 1000)
point = st.tuples(coordinate, coordinate)
tolerance = st.sampled_from([0.5, 0.1, 0.02])


def farthest(curve: list[f.Point], ring: f.Ring) -> float:
    line = LineString(ring) if len(ring) > 1 else Point(ring[0])
    return max(line.distance(Point(p)) for p in curve)


@settings(max_examples=80, deadline=None)
@given(point, point, point, point, tolerance)
def test_cubic_stays_within_tolerance(p: f.Point, q: f.Point, r: f.Point, s: f.Point, tol: float) -> None:
    (path,) = f.flatten_subpaths([f.MoveTo(p), f.CubicTo(q, r, s)], tol)
    t = np.linspace(0, 1, 400)[:, None]
    u = 1 - t
    curve = u**3 * p + 3 * u**2 * t * np.array(q) + 3 * u * t**2 * np.array(r) + t**3 * s
    assert farthest([tuple(c) for c in curve.tolist()], path.points) <= tol * (1 + 1e-6)


@settings(max_examples=80, deadline=None)
@given(point, point, point, tolerance)
def test_quadratic_stays_within_tolerance(p: f.Point, q: f.Point, r: f.Point, tol: float) -> None:
    (path,) = f.flatten_subpaths([f.MoveTo(p), f.QuadTo(q, r)], tol)
    t = np.linspace(0, 1, 400)[:, None]
    curve = (1 - t) ** 2 * p + 2 * (1 - t) * t * np.array(q) + t**2 * np.array(r)
    assert farthest([tuple(c) for c in curve.tolist()], path.points) <= tol * (1 + 1e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.5, 400), st.floats(0.5, 400), st.floats(-3, 3), st.floats(0.1, 6.2), tolerance)
def test_arc_points_lie_on_the_ellipse(rx: float, ry: float, turn: float, sweep: float, tol: float) -> None:
    frame = (rx * math.cos(turn), rx * math.sin(turn), -ry * math.sin(turn), ry * math.cos(turn), 7.0, -3.0)
    start = f.map_point(frame, (1.0, 0.0))
    end = f.map_point(frame, (math.cos(sweep), math.sin(sweep)))
    (path,) = f.flatten_subpaths([f.MoveTo(start), f.ArcTo(frame, 0.0, sweep, end)], tol)
    for x, y in path.points:
        along = ((x - 7) * math.cos(turn) + (y + 3) * math.sin(turn)) / rx
        across = (-(x - 7) * math.sin(turn) + (y + 3) * math.cos(turn)) / ry
        assert math.hypot(along, across) == pytest.approx(1, abs=1e-9)
    angles = np.linspace(0, sweep, 400)
    curve = [f.map_point(frame, (math.cos(a), math.sin(a))) for a in angles.tolist()]
    assert farthest(curve, path.points) <= tol * (1 + 1e-6)


def test_circle_area_converges_from_within() -> None:
    frame = (100.0, 0.0, 0.0, 100.0, 0.0, 0.0)
    start = (100.0, 0.0)
    circle: list[f.Command] = [f.MoveTo(start), f.ArcTo(frame, 0.0, 2 * math.pi, start), f.Close()]
    areas = []
    for tol in (1.0, 0.1, 0.01):
        (ring,) = f.flatten_path(circle, tol)
        x, y = np.array(ring).T
        areas.append(0.5 * abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))))
    assert areas == sorted(areas)
    assert 0 < math.pi * 1e4 - areas[-1] < 2 * math.pi * 100 * 0.01


@settings(max_examples=50, deadline=None)
@given(point, point, point, st.tuples(*[st.floats(-3, 3)] * 4))
def test_transform_then_flatten_is_flatten_then_transform(
    p: f.Point,
    q: f.Point,
    r: f.Point,
    linear: tuple[float, float, float, float],
) -> None:
    matrix = (*linear, 5.0, -8.0)
    commands: list[f.Command] = [f.MoveTo(p), f.QuadTo(q, r), f.Close()]
    moved = f.transform(commands, matrix)
    assert isinstance(moved[1], f.QuadTo)
    assert moved[1].control == f.map_point(matrix, q)
    stretch = f.largest_stretch(matrix)
    length = math.dist(f.map_point(matrix, p), f.map_point(matrix, q))
    assert length <= stretch * math.dist(p, q) * (1 + 1e-9) + 1e-9


def test_compose_applies_the_inner_first() -> None:
    turn = (0.0, 1.0, -1.0, 0.0, 0.0, 0.0)
    shift = (1.0, 0.0, 0.0, 1.0, 10.0, 0.0)
    assert f.map_point(f.compose(turn, shift), (0.0, 0.0)) == (0.0, 10.0)
    assert f.map_point(f.compose(shift, turn), (1.0, 0.0)) == (10.0, 1.0)


def test_rings_and_subpaths() -> None:
    commands: list[f.Command] = [
        f.MoveTo((9, 9)),
        f.MoveTo((0, 0)),
        f.LineTo((4, 0)),
        f.LineTo((4, 0)),
        f.LineTo((4, 4)),
        f.Close(),
        f.LineTo((1, 5)),
        f.LineTo((2, 2)),
    ]
    assert f.flatten_path(commands, 0.1) == (((0, 0), (4, 0), (4, 4)), ((0, 0), (1, 5), (2, 2)))
    assert [path.closed for path in f.flatten_subpaths(commands, 0.1)] == [True, False]


def test_faults() -> None:
    with pytest.raises(ValueError, match="positive"):
        f.flatten_path([f.MoveTo((0, 0))], 0.0)
    with pytest.raises(ValueError, match="MoveTo"):
        f.flatten_path([f.LineTo((0, 0))], 0.1)
