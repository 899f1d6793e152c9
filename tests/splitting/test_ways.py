"""Stepped ways: found where there is one, clear of film, and none where there is none."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.ops import unary_union

from bigsign.placing.rulers import Rulers
from bigsign.placing.stepped_lines import choose_steps
from bigsign.project import Board
from bigsign.splitting.ways import Profiles
from bigsign.units import TapeStep

RULERS = Rulers.of(Board(400, 400, box(0, 0, 400, 400)), TapeStep())
SPAN = (-20.0, -20.0, 420.0, 420.0)


def films(*shapes: Polygon) -> list[MultiPolygon]:
    return [MultiPolygon([shape]) for shape in shapes]


def test_two_hooks_are_parted_by_three_legs() -> None:
    first = unary_union([box(0, 0, 40, 10), box(30, 0, 40, 25)])
    second = unary_union([box(10, 15, 25, 45), box(10, 35, 60, 45)])
    assert isinstance(first, Polygon)
    assert isinstance(second, Polygon)
    stairs = Profiles(films(first, second)).stairs([0], [1], 0.1, 2)
    assert stairs is not None
    assert (stairs.axis, len(stairs.treads)) == (1, 2)
    one, other = films(first, second)
    line = choose_steps(one, other, RULERS, 1.0, SPAN, 40)
    assert line is not None
    assert len(line.points) == 4
    assert line.clearance >= 1.0 - 1e-6
    assert not line.tight


def test_a_clasp_leaves_no_way() -> None:
    ring = box(0, 0, 50, 45) - box(5, 5, 45, 40) - box(20, 0, 26, 5)
    stem = unary_union([box(22, -30, 24, 20), box(15, 15, 35, 30)])
    assert Profiles([MultiPolygon([ring]), MultiPolygon([stem])]).stairs([0], [1], 0.1, 40) is None  # type: ignore[list-item]


@given(
    st.lists(st.tuples(st.integers(10, 150), st.integers(5, 25)), min_size=2, max_size=6),
    st.floats(1.0, 20.0), st.booleans(),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_a_way_between_two_combs_is_clear_and_has_as_few_treads_as_teeth(
    teeth: list[tuple[int, int]], gap: float, turned: bool
) -> None:
    """Two films that face each other in steps: the way's treads are never more than the steps."""
    left, right, y = [], [], 0.0
    for reach, tall in teeth:
        left.append(box(0, y, reach, y + tall))
        right.append(box(reach + gap, y, 200, y + tall))
        y += tall + gap
    sides = [unary_union([*side, spine]) for side, spine in ((left, box(0, 0, 2, y)), (right, box(198, 0, 200, y)))]
    if turned:
        from shapely.affinity import affine_transform

        sides = [affine_transform(side, [0, 1, 1, 0, 0, 0]) for side in sides]
    pair = [MultiPolygon([side]) for side in sides if isinstance(side, Polygon)]
    assert len(pair) == 2
    stairs = Profiles(pair).stairs([0], [1], 0.1, 40)
    assert stairs is not None
    assert len(stairs.treads) <= len(teeth)
    line = choose_steps(pair[0], pair[1], RULERS, min(1.0, gap / 4), SPAN, 40)
    assert line is not None
    drawn = LineString(line.points)
    assert drawn.is_simple
    assert min(drawn.distance(film) for film in pair) == pytest.approx(line.clearance)
    assert line.clearance >= 0.1 - 1e-6
