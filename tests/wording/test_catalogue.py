"""The catalogue: keys used in the source exist, sentences fill in, the guide's font can print every word."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import bigsign
from bigsign.sheets.metrics import can_show
from bigsign.wording import languages, panels_said, phrase, place_said
from bigsign.wording.english import ENGLISH

SOURCE = Path(bigsign.__file__).parent
GAP = re.compile(r"\{(\w+)\}")
KEY = re.compile(r'phrase\(\s*"([a-z_.]+)"')


def test_every_key_that_the_source_names_is_in_the_catalogue() -> None:
    used = {key for file in SOURCE.rglob("*.py") for key in KEY.findall(file.read_text("utf-8"))}
    assert len(used) > 40
    assert used <= set(ENGLISH)


def test_every_word_can_be_printed() -> None:
    for language in languages():
        for key in ENGLISH:
            assert can_show(phrase(key, language, **dict.fromkeys(GAP.findall(ENGLISH[key]), "1"))), (language, key)


def test_an_unknown_phrase_is_an_error() -> None:
    with pytest.raises(KeyError):
        phrase("no.such.key")
    assert languages() == ["de", "en"]


@pytest.mark.parametrize(
    ("edge", "tape", "axis", "said"),
    [
        ("left", "3 1/4 in", "x", "3 1/4 in from the left edge"),
        ("middle", "-3 1/4 in", "x", "3 1/4 in left of the middle line"),
        ("middle", "3 1/4 in", "y", "3 1/4 in below the middle line"),
        ("middle", "-2 in (-51 mm)", "y", "2 in (51 mm) above the middle line"),
        ("middle", "0 in", "x", "on the middle line"),
    ],
)
def test_distances_say_from_where(edge: str, tape: str, axis: str, said: str) -> None:
    assert place_said(edge, tape, axis) == said


def test_panels_are_listed_in_words() -> None:
    assert panels_said([3]) == "panel 3"
    assert panels_said([1, 2, 5]) == "panels 1, 2 and 5"


def test_no_sentence_is_longer_than_two_lines_of_the_order_of_work() -> None:
    from bigsign.sheets.writing import wrap
    from bigsign.wording.english import STEPS

    for key, text in STEPS.items():
        assert len(wrap(text, 2.5, 132.0)) <= 2, key
