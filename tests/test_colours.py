"""Film colours. Names and values: CSS Color Module Level 4, named colours."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bigsign.colours import hue, is_dark, lightness_chroma, parse_colour


@pytest.mark.parametrize(
    ("text", "colour"),
    [
        ("black", "#000000"), ("White", "#ffffff"), ("rebeccapurple", "#663399"), ("SeaGreen", "#2e8b57"),
        ("#ABC", "#aabbcc"), ("#aAbBcC", "#aabbcc"), (" navy ", "#000080"),
    ],
)  # fmt: skip
def test_names_and_hex_are_read(text: str, colour: str) -> None:
    assert parse_colour(text) == colour


@pytest.mark.parametrize(
    "text", ["", "blakc", "#12", "#12345", "#12345678", "rgb(1,2,3)", "transparent", "currentcolor", "none", "#gggggg"]
)
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="no colour"):
        parse_colour(text)


@given(st.integers(0, 0xFFFFFF))
def test_every_hex_colour_comes_back(value: int) -> None:
    assert parse_colour(f"#{value:06X}") == f"#{value:06x}"


@pytest.mark.parametrize(
    ("colour", "lightness", "chroma", "angle"),
    [
        ("#ff0000", 53.24, 104.55, 0),  # CIE L*a*b* of the sRGB primaries, D65: from memory
        ("#00ff00", 87.73, 119.78, 120),
        ("#0000ff", 32.30, 133.81, 240),
        ("#ffffff", 100, 0, 0),
        ("#000000", 0, 0, 0),
        ("#777777", 50.03, 0, 0),  # the middle grey
    ],
)
def test_lightness_chroma_and_hue(colour: str, lightness: float, chroma: float, angle: float) -> None:
    assert lightness_chroma(colour) == pytest.approx((lightness, chroma), abs=0.05)
    assert hue(colour) == pytest.approx(angle)


@pytest.mark.parametrize(
    ("name", "dark"), [("black", True), ("navy", True), ("green", True), ("gold", False), ("white", False)]
)
def test_what_is_dark(name: str, dark: bool) -> None:
    assert is_dark(parse_colour(name)) is dark
