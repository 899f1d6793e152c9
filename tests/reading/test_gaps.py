"""The look of a gap: its width between stems, wider for hollows, narrower for a kerned pair, the same at any size."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import scale, translate
from shapely.geometry import Polygon, box

from bigsign.reading.gaps import look_of_gaps
from bigsign.reading.glyphs import Part

SLANT = Polygon([(60, 0), (80, 0), (20, 100), (0, 100)])
STEM = box(0, 0, 20, 100)


def _look(*shapes: Polygon, top: float = 0, foot: float = 100) -> list[float]:
    glyphs = [[Part(f"p{n}", shape, shape.bounds)] for n, shape in enumerate(shapes)]
    return [float(gap) for gap in look_of_gaps(glyphs, top, foot)]


def test_the_look_of_a_gap_between_stems_is_its_width() -> None:
    assert _look(STEM, translate(STEM, 40), translate(STEM, 110)) == pytest.approx([0.2, 0.5])
    assert _look(STEM) == []


def test_a_kerned_pair_looks_nearer_than_stems_though_their_boxes_overlap() -> None:
    assert 0 < _look(SLANT, translate(SLANT, 40))[0] < _look(STEM, translate(STEM, 40))[0]


def test_hollows_beside_a_letter_widen_the_look() -> None:
    assert _look(STEM, translate(SLANT, 40))[0] > _look(STEM, translate(STEM, 40))[0]


@given(st.floats(0.1, 20.0), st.floats(0, 60))
@settings(max_examples=30, deadline=None)
def test_the_look_is_the_same_at_any_size(factor: float, apart: float) -> None:
    second = translate(SLANT, 85 + apart)
    first, other = (scale(s, factor, factor, origin=(0, 0)) for s in (STEM, second))
    assert _look(first, other, foot=100 * factor) == pytest.approx(_look(STEM, second), abs=1e-6)
