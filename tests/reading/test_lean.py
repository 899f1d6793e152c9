"""Lean: letters that lean together are seen to; upright ones and diagonals are not."""

from __future__ import annotations

import pytest
from shapely.affinity import skew
from shapely.geometry import Polygon, box

from bigsign.reading.glyphs import Part
from bigsign.reading.lean import lean_of

VEE = Polygon([(0, 0), (15, 0), (35, 80), (55, 0), (70, 0), (42, 100), (28, 100)])


def _lean(*shapes: Polygon) -> float:
    return lean_of([Part(f"p{n}", shape, shape.bounds) for n, shape in enumerate(shapes)], 100.0)


@pytest.mark.parametrize("degrees", [-12.0, 8.0, 15.0, 20.0])
def test_stems_that_lean_alike_give_the_lean(degrees: float) -> None:
    stems = [skew(box(x, 0, x + 15, 100), -degrees, 0, origin=(0, 100)) for x in (0, 40, 80)]
    assert _lean(*stems) == pytest.approx(degrees, abs=0.5)


def test_upright_stems_and_the_two_sides_of_a_vee_do_not_lean() -> None:
    assert _lean(box(0, 0, 15, 100), VEE) == 0.0
    assert _lean(VEE) == 0.0
