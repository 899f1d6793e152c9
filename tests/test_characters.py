"""Names of what can't be seen."""

from __future__ import annotations

import pytest

from bigsign.characters import name_of


@pytest.mark.parametrize(
    ("char", "name"),
    [
        ("\u202e", "a right-to-left override (U+202E)"), ("\t", "a tab (U+0009)"), ("\n", "a line break (U+000A)"),
        ("\x07", "a control character (U+0007)"), ("\u200b", "a zero width space (U+200B)"),
        ("\ud800", "a lone surrogate (U+D800)"), ("\ue000", "a private character (U+E000)"),
        ("\u2062", "an invisible times (U+2062)"),
    ],
)  # fmt: skip
def test_a_character_is_named_with_its_number(char: str, name: str) -> None:
    assert name_of(char) == name
