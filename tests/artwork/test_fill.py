"""Fill rules. Outside check: areas against skia-pathops, which shares none of the code."""

from __future__ import annotations

import math

import pathops
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.fill import resolve_fill
from bigsign.artwork.flatten import Point as Spot
from bigsign.budgets import BUDGETS
from bigsign.geometry import polygons_of

SQUARE = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]
grid = st.integers(0, 60).map(lambda n: n / 2)
ring = st.lists(st.tuples(grid, grid), min_size=3, max_size=9)
rings = st.lists(ring, min_size=1, max_size=4)


def skia_area(shapes: list[list[Spot]], rule: str) -> float:
    path = pathops.Path(fillType=pathops.FillType.EVEN_ODD if rule == "evenodd" else pathops.FillType.WINDING)
    for points in shapes:
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        path.close()
    path.simplify(fix_winding=False)
    result: BaseGeometry = MultiPolygon()
    for points in (list(contour.points) for contour in path.contours):  # even-odd of rings that don't cross
        if len(points) >= 3:
            result = result.symmetric_difference(Polygon(points).buffer(0))
    return float(result.area)


@pytest.mark.parametrize("rule", ["nonzero", "evenodd"])
@settings(max_examples=120, deadline=None)
@given(shapes=rings)
def test_area_as_skia(rule: str, shapes: list[list[Spot]]) -> None:
    ours = resolve_fill(shapes, rule)
    assert ours.is_valid
    assert ours.area == pytest.approx(skia_area(shapes, rule), abs=2e-2, rel=1e-4)


@settings(max_examples=80, deadline=None)
@given(shapes=rings, at=st.tuples(st.floats(0.1, 29.9), st.floats(0.1, 29.9)))
def test_each_point_by_its_winding(shapes: list[list[Spot]], at: Spot) -> None:
    edges = [edge for points in shapes for edge in zip(points, points[1:] + points[:1], strict=True)]
    if min(_distance(at, a, b) for a, b in edges) < 1e-6:
        return
    angle = 0.0
    for a, b in edges:
        one, other = math.atan2(a[1] - at[1], a[0] - at[0]), math.atan2(b[1] - at[1], b[0] - at[0])
        angle += math.remainder(other - one, 2 * math.pi)
    turns = round(angle / (2 * math.pi))
    assert resolve_fill(shapes, "nonzero").contains(Point(at)) == (turns != 0)
    assert resolve_fill(shapes, "evenodd").contains(Point(at)) == (turns % 2 == 1)


def _distance(p: Spot, a: Spot, b: Spot) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = dx * dx + dy * dy
    t = 0.0 if size == 0 else max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / size))
    return math.dist(p, (a[0] + t * dx, a[1] + t * dy))


def test_known_areas() -> None:
    # The traps of repairing instead of filling: two overlapping squares of one direction, a bow tie.
    other = [(2.0, 2.0), (6.0, 2.0), (6.0, 6.0), (2.0, 6.0)]
    assert resolve_fill([SQUARE, other], "nonzero").area == pytest.approx(28)
    assert resolve_fill([SQUARE, other], "evenodd").area == pytest.approx(24)
    tie = [(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]
    assert resolve_fill([tie], "nonzero").area == pytest.approx(2)
    counter = [(1.0, 1.0), (1.0, 3.0), (3.0, 3.0), (3.0, 1.0)]
    assert resolve_fill([SQUARE, counter], "nonzero").area == pytest.approx(12)
    assert resolve_fill([SQUARE, counter[::-1]], "nonzero").area == pytest.approx(16)


def test_far_from_the_origin_and_small() -> None:
    far = [[(x + 3e6, y - 3e6) for x, y in SQUARE], [(x + 3e6 + 1, y - 3e6 + 1) for x, y in SQUARE]]
    assert resolve_fill(far, "nonzero").area == pytest.approx(23, rel=1e-6)
    small = [[(x * 1e-4, y * 1e-4) for x, y in SQUARE]]
    assert resolve_fill(small, "nonzero").area == pytest.approx(16e-8)


def test_nothing_and_faults() -> None:
    assert resolve_fill([], "nonzero").is_empty
    assert resolve_fill([[(0, 0), (1, 1)], [(2, 2), (2, 2), (2, 2)]], "evenodd").is_empty
    with pytest.raises(ValueError, match="fill rule"):
        resolve_fill([SQUARE], "winding")
    with pytest.raises(ValueError, match="finite"):
        resolve_fill([[(0, 0), (math.inf, 1), (2, 2)]], "nonzero")


def test_a_zigzag_bomb_is_refused() -> None:
    count = 2 * int(math.sqrt(BUDGETS.crossings)) + 400
    bomb = [(math.cos(k * 2.5), math.sin(k * 2.5) * (1 + k * 1e-6)) for k in range(count)]
    with pytest.raises(ValueError, match="cross themselves"):
        resolve_fill([bomb], "nonzero")


def test_same_input_same_output() -> None:
    shapes = [[(k % 7 * 3.0, k % 5 * 2.0) for k in range(9)], SQUARE]
    assert resolve_fill(shapes, "evenodd").wkb == resolve_fill(shapes, "evenodd").wkb


def test_polygons_of_drops_lines() -> None:
    touch = Polygon(SQUARE).intersection(Polygon([(4, 0), (8, 0), (8, 4), (4, 4)]))
    assert not touch.is_empty
    assert polygons_of(touch) == []
