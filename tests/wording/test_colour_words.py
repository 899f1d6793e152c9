"""Colours in words, held against the colours that CSS names (CSS Color Module Level 4, section 6.1, from memory)."""

from __future__ import annotations

import pytest

from bigsign.colours import parse_colour
from bigsign.wording import colour_said, speaking
from bigsign.wording.colour_words import colour_word

NAMED = {
    "black": "black", "white": "white", "gray": "grey", "silver": "light grey", "red": "red", "darkred": "dark red",
    "maroon": "dark red", "pink": "pink", "hotpink": "pink", "orange": "orange", "darkorange": "orange",
    "saddlebrown": "brown", "sienna": "brown", "beige": "beige", "tan": "beige", "yellow": "yellow", "gold": "yellow",
    "lightyellow": "light yellow", "olive": "olive", "green": "green", "lime": "green", "darkgreen": "dark green",
    "darkolivegreen": "dark green", "lightgreen": "light green", "turquoise": "turquoise", "teal": "dark turquoise",
    "blue": "blue", "navy": "dark blue", "midnightblue": "dark blue", "lightblue": "light blue",
    "skyblue": "light blue", "royalblue": "blue", "purple": "purple", "indigo": "dark purple", "violet": "light purple",
}  # fmt: skip


@pytest.mark.parametrize(("name", "word"), NAMED.items())
def test_a_named_colour_has_the_word_people_have_for_it(name: str, word: str) -> None:
    assert colour_word(parse_colour(name)) == word


@pytest.mark.parametrize("name", ["blue", "green", "red"])
def test_what_css_calls_dark_is_dark(name: str) -> None:
    assert colour_word(parse_colour(f"dark{name}")) == f"dark {name}"


def test_only_what_is_spelt_in_figures_is_said_in_words() -> None:
    assert colour_said("#1f3a5f", "#1f3a5f") == "dark blue (#1f3a5f)"
    assert colour_said("#7a2f12", "#7A2F12") == "dark brown (#7A2F12)"
    assert colour_said("#006400", "darkgreen") == "darkgreen"
    with speaking("de"):
        assert colour_said("#1f3a5f", "#1f3a5f") == "dunkelblau (#1f3a5f)"
        assert colour_said("#ffffff", "#fff") == "weiß (#fff)"
        assert colour_said("#006400", "darkgreen") == "dunkelgrün"
        assert colour_said("#7a2f12", "Ziegel") == "Ziegel"


def test_every_colour_has_a_word() -> None:
    steps = [f"{value:02x}" for value in range(0, 256, 17)]
    words = {colour_word(f"#{red}{green}{blue}") for red in steps for green in steps for blue in steps}
    plain = {word.removeprefix("dark ").removeprefix("light ") for word in words}
    assert {"black", "white", "grey", "red", "pink", "orange", "brown", "beige", "yellow"} <= plain
    assert {"olive", "green", "turquoise", "blue", "purple"} <= plain
