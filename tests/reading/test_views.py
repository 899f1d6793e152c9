"""Views: what lies level in a view goes back to where it stands on the board."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import box

from bigsign.reading.glyphs import Part
from bigsign.reading.views import LEVEL, View

VIEWS = [
    LEVEL, View(angle=-12.0), View(angle=90.0), View(angle=180.0), View(angle=33.0, lean=14.0, base=50.0),
    View(centre=(100.0, 900.0), radius=300.0, seam=math.pi / 2),
    View(centre=(100.0, -900.0), radius=300.0, inward=True, seam=-math.pi / 2),
]  # fmt: skip


@pytest.mark.parametrize("view", VIEWS)
@given(st.floats(-100, 300), st.floats(-100, 300))
def test_back_undoes_forward(view: View, x: float, y: float) -> None:
    (u, v), = view.forward(np.array([[x, y]])).tolist()
    assert view.back(u, v) == pytest.approx((x, y), abs=1e-6)


def test_letters_on_an_arc_lie_level_heads_up() -> None:
    view = View(centre=(0.0, 100.0), radius=100.0, seam=math.pi / 2)
    left, top, right = view.forward(np.array([[-100.0, 100.0], [0.0, 0.0], [100.0, 100.0]])).tolist()
    assert [left[1], top[1], right[1]] == pytest.approx([0, 0, 0])
    assert left[0] < top[0] < right[0]
    assert view.forward(np.array([[0.0, -10.0]]))[0, 1] < 0


def test_leaning_stems_stand_upright() -> None:
    leaning = np.array([[0.0, 100.0], [math.tan(math.radians(15)) * 100, 0.0]])
    seen = View(lean=15.0, base=100.0).forward(leaning)
    assert seen[0, 0] == pytest.approx(seen[1, 0])


def test_level_parts_are_left_alone() -> None:
    part = Part("p", box(0, 0, 1, 2), (0.0, 0.0, 1.0, 2.0))
    assert LEVEL.parts([part]) == [part]
    assert View(angle=90.0).parts([part])[0].box == pytest.approx((0.0, -1.0, 2.0, 0.0))
