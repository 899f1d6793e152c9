"""The parts of the paper: labels spread without crowding, text wraps within its width, scales fit, capitals measure."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bigsign.sheets.dims import spread
from bigsign.sheets.flow import letter
from bigsign.sheets.metrics import CAP_SHARE, font_file, printable, text_width, wrap
from bigsign.sheets.views import SCALES, best_scale, film_tint


@given(st.lists(st.floats(0, 200), min_size=1, max_size=30), st.floats(1, 6))
@settings(max_examples=80, deadline=None)
def test_labels_keep_their_order_and_their_pitch(places: list[float], pitch: float) -> None:
    out = spread(places, pitch, 0.0, 1000.0)
    ordered = sorted(zip(places, out, strict=True))
    for (_, a), (_, b) in itertools.pairwise(ordered):
        assert b - a >= pitch - 1e-6
    assert min(out) >= -1e-9


def test_labels_with_room_stay_where_they_are() -> None:
    assert spread([10.0, 40.0, 70.0], 5.0, 0.0, 100.0) == [10.0, 40.0, 70.0]


@given(st.lists(st.sampled_from(["trim", "panel", "43 1/2 in", "gap", "1105 mm", "a"]), min_size=1, max_size=30))
@settings(max_examples=60, deadline=None)
def test_wrapped_lines_fit_and_lose_nothing(words: list[str]) -> None:
    text = " ".join(words)
    lines = wrap(text, 2.5, 40.0)
    assert " ".join(lines) == text
    assert all(text_width(line, 2.5) <= 40.0 for line in lines)
    assert not any(line.endswith(("43", "1/2", "1105")) for line in lines)


@given(st.floats(10, 5000), st.floats(10, 5000))
@settings(max_examples=80, deadline=None)
def test_the_scale_is_the_largest_that_fits(width: float, height: float) -> None:
    scale = best_scale(width, height, 180.0, 200.0)
    assert width / scale <= 180 + 1e-6
    assert height / scale <= 200 + 1e-6
    larger = [s for s in SCALES if s < scale]
    assert all(width / s > 180 or height / s > 200 for s in larger)


@pytest.mark.parametrize("bold", [False, True])
def test_capitals_are_as_high_as_asked(bold: bool) -> None:
    """The share is held against the drawn H of the font: within 1.2 %, 0.04 mm at the size of measures."""
    from fontTools.pens.boundsPen import BoundsPen
    from fontTools.ttLib import TTFont

    with TTFont(font_file(bold)) as font:
        pen = BoundsPen(font.getGlyphSet())
        font.getGlyphSet()["H"].draw(pen)
        assert pen.bounds is not None
        assert pen.bounds[3] / font["head"].unitsPerEm == pytest.approx(CAP_SHARE, rel=0.012)


def test_what_the_font_lacks_is_shown_as_missing() -> None:
    assert printable("Café 日") == "Café ?"


def test_actions_are_lettered_past_z() -> None:
    assert [letter(n) for n in (0, 25, 26, 27)] == ["a", "z", "za", "zb"]


def test_white_film_is_tinted_and_black_is_not() -> None:
    assert film_tint("#ffffff") != "#ffffff"
    assert film_tint("#000000") == "#000000"
