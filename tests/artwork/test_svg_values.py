"""Numbers, lengths, view boxes, transforms; what is not understood whole is refused whole."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from svgelements import Matrix as OutsideMatrix

from bigsign.artwork import svg_values as v
from bigsign.artwork.flatten import map_point

PAGE = v.Viewport(200.0, 100.0)


@pytest.mark.parametrize(
    ("text", "px"),
    [
        ("12", 12.0),
        (" -1.5px ", -1.5),
        (".5in", 48.0),
        ("1e1mm", 10 * 96 / 25.4),
        ("2Q", 192 / 101.6),
        ("50%", 100.0),
        ("3PT", 4.0),
        ("+2pc", 32.0),
    ],
)
def test_length(text: str, px: float) -> None:
    assert v.parse_length(text, PAGE, "x") == pytest.approx(px, rel=1e-12)


@pytest.mark.parametrize("text", ["", "px", "1 0", "10vw", "auto", "1e400", "nan", "inf", "1,5", "0x10"])
def test_no_length(text: str) -> None:
    assert v.parse_length(text, PAGE, "x") is None


def test_percentages() -> None:
    assert v.parse_length("10%", PAGE, "y") == 10
    # SVG 2, section 8.9: the diagonal over the root of two.
    assert v.parse_length("100%", PAGE, "o") == pytest.approx(math.sqrt((200**2 + 100**2) / 2))
    assert v.parse_length("10%", v.Viewport(None, None), "x") is None


def test_font_relative() -> None:
    assert v.parse_length(v.absolute_units("1.5em", 20, 16), PAGE, "x") == 30
    assert v.parse_length(v.absolute_units("2rem", 20, 16), PAGE, "x") == 32
    assert v.parse_length(v.absolute_units("2ex", 20, 16), PAGE, "x") == 20
    assert v.absolute_units("1e2", 20, 16) == "1e2"


@pytest.mark.parametrize("text", ["1,,2", "1 2 x", ",1", "1 2,", "1..2 e", "--1"])
def test_no_numbers(text: str) -> None:
    assert v.parse_numbers(text) is None


@pytest.mark.parametrize("text", ["", "0 0 10", "0 0 0 5", "0 0 5 -5", "a b c d", "0 0 5 5 5"])
def test_no_view_box(text: str) -> None:
    assert v.parse_view_box(text) is None


@settings(max_examples=60, deadline=None)
@given(
    st.tuples(st.floats(-50, 50), st.floats(-50, 50), st.floats(1, 90), st.floats(1, 90)),
    st.floats(1, 400),
    st.floats(1, 400),
    st.sampled_from(["Min", "Mid", "Max"]),
    st.sampled_from(["Min", "Mid", "Max"]),
    st.booleans(),
)
def test_view_box_lies_within_or_covers(
    box: tuple[float, float, float, float],
    width: float,
    height: float,
    x: str,
    y: str,
    covers: bool,
) -> None:
    view = v.ViewBox(*box)
    matrix = v.fit_view_box(view, width, height, f"x{x}Y{y} {'slice' if covers else 'meet'}")
    assert matrix is not None
    x0, y0 = map_point(matrix, (view.x, view.y))
    x1, y1 = map_point(matrix, (view.x + view.width, view.y + view.height))
    slack = 1e-6
    if covers:
        assert max(x0, y0) <= slack
        assert min(x1 - width, y1 - height) >= -slack
    else:
        assert min(x0, y0) >= -slack
        assert max(x1 - width, y1 - height) <= slack
    assert (x1 - x0) / view.width == pytest.approx((y1 - y0) / view.height)
    assert v.fit_view_box(view, width, height, "middle") is None


number = st.integers(-300, 300).map(lambda n: n / 10)
step = st.one_of(
    st.tuples(st.just("translate"), st.lists(number, min_size=1, max_size=2)),
    st.tuples(st.just("scale"), st.lists(number, min_size=1, max_size=2)),
    st.tuples(st.just("rotate"), st.lists(number, min_size=1, max_size=1)),
    st.tuples(st.just("rotate"), st.lists(number, min_size=3, max_size=3)),
    st.tuples(st.just("matrix"), st.lists(number, min_size=6, max_size=6)),
    st.tuples(st.just("skewX"), st.lists(number, min_size=1, max_size=1)),
    st.tuples(st.just("skewY"), st.lists(number, min_size=1, max_size=1)),
)


@settings(max_examples=120, deadline=None)
@given(st.lists(step, min_size=1, max_size=4))
def test_transforms_as_svgelements_has_them(steps: list[tuple[str, list[float]]]) -> None:
    text = " ".join(f"{name}({','.join(str(value) for value in values)})" for name, values in steps)
    ours = v.parse_transform(text)
    other = OutsideMatrix(text)
    assert ours is not None
    theirs = (other.a, other.b, other.c, other.d, other.e, other.f)
    assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-6 * max(1, *map(abs, theirs)))


def test_quarter_turns_are_exact() -> None:
    assert v.parse_transform("rotate(90)") == (0.0, 1.0, -1.0, 0.0, 0.0, 0.0)
    assert v.parse_transform("rotate(-270)") == (0.0, 1.0, -1.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("text", "matrix"),
    [
        ("translate(30px, 10%)", (1, 0, 0, 1, 30, 10)),
        ("translateX(1in)", (1, 0, 0, 1, 96, 0)),
        ("rotate(0.25turn)", (0, 1, -1, 0, 0, 0)),
        ("rotate(100grad)", (0, 1, -1, 0, 0, 0)),
        ("scale(50%, 2)", (0.5, 0, 0, 2, 0, 0)),
        ("scaleY(3)", (1, 0, 0, 3, 0, 0)),
        ("skew(45deg, 0deg)", (1, 0, 1, 1, 0, 0)),
        ("none", (1, 0, 0, 1, 0, 0)),
        ("matrix(1, 2, 3, 4, 5, 6)", (1, 2, 3, 4, 5, 6)),
    ],
)
def test_style_transforms(text: str, matrix: tuple[float, ...]) -> None:
    assert v.parse_css_transform(text, PAGE) == pytest.approx(matrix)


@pytest.mark.parametrize(
    "text",
    [
        "rotate3d(1,0,0,45deg)",
        "translate(1px",
        "rotate(10deg) spin(3)",
        "translate(1px,2px,3px)",
        "scale(a)",
        "42",
        "matrix(1,2,3)",
        "perspective(5px)",
    ],
)
def test_style_transforms_not_understood(text: str) -> None:
    assert v.parse_css_transform(text, PAGE) is None


@pytest.mark.parametrize("text", ["rotate(1 2)", "scale()", "translate(1) x", "turn(5)", "matrix(1 2 3 4 5)"])
def test_attribute_transforms_not_understood(text: str) -> None:
    assert v.parse_transform(text) is None


@pytest.mark.parametrize(
    ("text", "origin"),
    [
        ("", (0, 0)),
        ("10px 20px", (10, 20)),
        ("center", (100, 50)),
        ("right bottom", (200, 100)),
        ("top left", (0, 0)),
        ("25% 10px", (50, 10)),
        ("left", (0, 50)),
        ("bottom", (100, 100)),
    ],
)
def test_origin(text: str, origin: tuple[float, float]) -> None:
    assert v.parse_origin(text, PAGE) == pytest.approx(origin)


@pytest.mark.parametrize("text", ["left left", "1px 2px 3px 4px", "somewhere", "10vw 2px"])
def test_no_origin(text: str) -> None:
    assert v.parse_origin(text, PAGE) is None
