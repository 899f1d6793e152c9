"""Gaps into words: two heaps part, one heap does not, doubt is said, spaced-out rows do not fall apart."""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from bigsign.reading.glyphs import Part
from bigsign.reading.words import split_words


@dataclass(frozen=True)
class _Band:
    top: float = 0.0
    foot: float = 100.0


def _stems(gaps: list[float]) -> list[list[Part]]:
    """Return stems 30 wide and 100 tall, with gaps between them as shares of their height."""
    glyphs, x = [], 0.0
    for n, gap in enumerate([*gaps, 0.0]):
        shape = box(x, 0, x + 30, 100)
        glyphs.append([Part(f"p{n}", shape, shape.bounds)])
        x += 30 + 100 * gap
    return glyphs


def _read(*rows: list[float]) -> list[tuple[list[int], str]]:
    found = split_words([(_Band(), _stems(gaps)) for gaps in rows])
    return [([len(word) for word in words], doubt) for _, words, doubt in found]


@given(
    st.lists(st.integers(2, 6), min_size=2, max_size=5),
    st.floats(0.08, 0.3),
    st.floats(0.26, 0.6),
    st.lists(st.floats(-0.015, 0.015), min_size=30, max_size=30),
)
@settings(max_examples=60, deadline=None)
def test_two_clear_heaps_part_into_the_words_they_were_made_of(
    words: list[int], letter: float, more: float, uneven: list[float]
) -> None:
    gaps: list[float] = []
    for n, length in enumerate(words):
        if n:
            gaps.append(letter + more)
        start = len(gaps)
        gaps.extend(letter + uneven[start + k] for k in range(length - 1))
    assert _read(gaps)[0][0] == words


def test_one_heap_is_one_word_without_a_doubt() -> None:
    assert _read([0.2, 0.22, 0.19, 0.21, 0.2]) == [([6], "")]
    assert _read([0.2]) == [([2], "")]
    assert _read([]) == [([1], "")]


def test_letters_far_apart_are_one_word_and_said_to_be_in_doubt() -> None:
    words, doubt = _read([0.6, 0.6])[0]
    assert words == [3]
    assert "far apart" in doubt


def test_gaps_nearly_alike_are_said_to_be_in_doubt() -> None:
    assert _read([0.2, 0.2, 0.33, 0.2, 0.42, 0.2])[0][1] != ""
    assert _read([0.2, 0.2, 0.21, 0.2, 0.60, 0.2])[0][1] == ""


def test_single_letters_are_words_where_another_line_shows_the_letter_gap() -> None:
    plain, letters = _read([0.2, 0.2, 0.2, 0.6, 0.2, 0.2], [0.6, 0.6])
    assert plain[0] == [4, 3]
    assert letters[0] == [1, 1, 1]


def test_a_row_spaced_out_among_others_does_not_fall_into_letters() -> None:
    plain, spaced = _read([0.2, 0.2, 0.2, 0.55, 0.2, 0.2, 0.2], [0.6, 0.6, 0.6, 0.6, 0.6, 0.6])
    assert plain[0] == [4, 4]
    assert spaced[0] == [7]
    assert "far apart" in spaced[1]


def test_many_hair_gaps_are_said_to_look_like_a_stencil() -> None:
    assert "stencil" in _read([0.02, 0.2, 0.02, 0.2, 0.02, 0.2, 0.02])[0][1]
