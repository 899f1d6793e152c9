"""Film colours. Names and values: CSS Color Module Level 4, named colours."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bigsign.colours import parse_colour


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
