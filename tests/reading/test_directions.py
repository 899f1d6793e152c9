"""Directions: the angle of rows of stems and the circle of letters on an arc are among the candidates."""

from __future__ import annotations

import math

import pytest
from shapely.affinity import rotate
from shapely.geometry import box

from bigsign.reading.directions import angle_candidates, arc_candidates
from bigsign.reading.glyphs import Part

LETTERS = [box(60 * n + (n % 3) * 4, -60 if n % 4 else -100, 60 * n + 40, 0) for n in range(9)]


@pytest.mark.parametrize("angle", [-80.0, -37.0, -5.0, 12.0, 63.0])
def test_the_angle_of_a_line_is_a_candidate(angle: float) -> None:
    shapes = [rotate(shape, angle, origin=(0, 0)) for shape in LETTERS]
    found = angle_candidates([Part(f"p{n}", shape, shape.bounds) for n, shape in enumerate(shapes)])
    assert min(abs((one - angle + 90) % 180 - 90) for one in found) < 1.0


def test_the_circle_of_an_arc_is_a_candidate() -> None:
    shapes = [rotate(box(-20, -60, 20, 0), 12 * n, origin=(0, 300)) for n in range(-4, 5)]
    views = arc_candidates([Part(f"p{n}", shape, shape.bounds) for n, shape in enumerate(shapes)])
    assert views
    best = views[0]
    assert best.centre is not None
    assert math.dist(best.centre, (0, 300)) < 15
    assert best.radius == pytest.approx(330, abs=15)
    assert not best.inward
