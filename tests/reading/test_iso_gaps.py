"""Drafting letters at the gaps drawing standards set: the reader parts just the words.

Gaps between letters of 2/10 and between words of 6/10 of the height h are from a drafting text; that they are those of
ISO 3098 lettering type B, and that type A has 2/14 and 6/14, strokes of 1/10 and 1/14, is from memory.
"""

from __future__ import annotations

from itertools import pairwise, zip_longest

import pytest
import shapely
import shapely.affinity
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import Polygon, box

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.reading import read_lettering

TYPES = {"A": 14, "B": 10}  # the height is so many strokes
HALVED = ("LT",)  # pairs with much white between them may stand half as far apart (from memory of the same standard)
WORDS = st.lists(st.lists(st.sampled_from("IOLTEH"), min_size=2, max_size=6), min_size=2, max_size=5).filter(
    lambda row: len({kind for word in row for kind in word}) > 1  # one shape over and over is an ornament
)


def letter(kind: str, strokes: int) -> Polygon:
    """Return a letter ``strokes`` high in strokes of 1, its top left corner at the origin: stems, rings and arms."""
    high, wide = strokes, strokes * (0.6 if kind in "OH" else 0.5 if kind in "TE" else 0.45)
    stem, right = box(0, 0, 1, high), box(wide - 1, 0, wide, high)
    top, middle, foot = (box(0, at, wide, at + 1) for at in (0, (high - 1) / 2, high - 1))
    shapes = {
        "I": [stem], "O": [stem, right, top, foot], "L": [stem, foot], "E": [stem, top, middle, foot],
        "T": [top, translate(stem, (wide - 1) / 2)], "H": [stem, right, middle],
    }  # fmt: skip
    shape = shapely.union_all(shapes[kind])
    assert isinstance(shape, Polygon)
    return shape


def set_row(words: list[list[str]], strokes: int, letter_gap: float, word_gap: float, foot: float) -> list[Polygon]:
    out, x = [], 0.0
    for word in words:
        for kind, following in zip_longest(word, word[1:]):
            shape = letter(kind, strokes)
            out.append(translate(shape, x, foot - strokes))
            gap = word_gap if following is None else letter_gap / 2 if kind + following in HALVED else letter_gap
            x += shape.bounds[2] + gap
    return out


def read_words(rows: list[list[Polygon]], scale: float) -> tuple[list[list[int]], int]:
    """Return, for each line read, how many letters each of its words has, and the number of doubts."""
    shapes = [shapely.affinity.scale(shape, scale, scale, origin=(0, 0)) for row in rows for shape in row]
    found = read_lettering(Artwork(tuple(Piece(f"p{n:03d}", "#000000", shape) for n, shape in enumerate(shapes))))
    length = {word.id: len(word.glyphs) for word in found.words}
    return [[length[word] for word in line.words] for line in found.lines], len(found.findings)


@pytest.mark.parametrize("kind", ["A", "B"])
@given(rows=st.lists(WORDS, min_size=1, max_size=3), height=st.sampled_from([25.0, 60.0, 140.0]))
@settings(max_examples=30, deadline=None)
def test_words_of_drafting_letters_are_parted_where_they_were_set(
    kind: str, rows: list[list[list[str]]], height: float
) -> None:
    # the same row over again is letters in columns as well as in lines: nothing in it says which
    assume(len({str(row) for row in rows}) == len(rows))
    strokes = TYPES[kind]
    set_rows = [set_row(row, strokes, 2, 6, strokes * (1 + 1.6 * n)) for n, row in enumerate(rows)]
    for row in set_rows:  # the gaps are what they should be, of the height
        gaps = {round((b.bounds[0] - a.bounds[2]) / strokes, 9) for a, b in pairwise(row)}
        assert gaps - {round(1 / strokes, 9)} == {round(2 / strokes, 9), round(6 / strokes, 9)}
    lengths, _ = read_words(set_rows, height / strokes)
    assert lengths == [[len(word) for word in row] for row in rows]


@pytest.mark.parametrize("kind", ["A", "B"])
def test_a_phrase_of_even_stems_is_read_without_a_doubt(kind: str) -> None:
    strokes = TYPES[kind]
    row = set_row([list("HEIL"), list("HIE"), list("LIEEH")], strokes, 2, 6, strokes)
    assert read_words([row], 5.0) == ([[4, 3, 5]], 0)


@pytest.mark.parametrize("kind", ["A", "B"])
def test_letter_gaps_alone_make_one_word(kind: str) -> None:
    strokes = TYPES[kind]
    assert read_words([set_row([list("HIEHEI")], strokes, 2, 6, strokes)], 5.0)[0] == [[6]]
