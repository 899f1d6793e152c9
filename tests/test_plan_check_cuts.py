"""Lines along the edge of film: one that only touches it runs not through it."""

from __future__ import annotations

import pytest
from shapely.geometry import LineString, Point, box

from bigsign.plan_check_cuts import _runs_through

ROUND = Point(50.0, 50.0).buffer(20.0, quad_segs=64)


@pytest.mark.parametrize(
    ("line", "through"),
    [
        (((0, 30.0), (100, 30.0)), False),  # touches the round end in a point
        (((0, 30.001), (100, 30.001)), True),  # a thousandth of a mm of film
        (((0, 29.0), (100, 29.0)), False),
        (((0, 50.0), (100, 50.0)), True),
        (((50.0, 50.0), (50.0, 51.0)), True),  # wholly within
    ],
)
def test_a_line_that_touches_film_runs_not_through_it(line: tuple[tuple[float, float], ...], through: bool) -> None:
    assert _runs_through(LineString(line), ROUND) == through


def test_a_line_along_an_edge_runs_not_through_and_one_step_inside_does() -> None:
    film = box(10, 10, 40, 90)
    assert not _runs_through(LineString([(10, 0), (10, 100)]), film)
    assert _runs_through(LineString([(10, 0), (10.5, 100)]), film)
    assert _runs_through(LineString([(10, 0), (10, 30), (10.1, 30.1), (10, 30.2), (10, 100)]), film)
