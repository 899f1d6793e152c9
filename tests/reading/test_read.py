"""Reading: outlines alone give what shaping knows; size and place don't matter; ornaments stay out."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import scale, translate
from shapely.geometry import Point, box

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.geometry import polygons_of
from bigsign.reading.read import read_lettering
from tests.bench.reading.measure import MORE_PHRASES, PHRASES, UPRIGHT, phrase_artwork, read_all, word_score, words_of


def test_word_f1_over_ten_upright_faces_and_twenty_phrases() -> None:
    scores = word_score(UPRIGHT, PHRASES)
    total = sum(f1 * words for f1, words in scores.values()) / sum(words for _, words in scores.values())
    assert len(scores) == 10
    assert total >= 0.99


def test_harder_phrases_are_read_in_a_share_of_the_faces_and_faults_come_with_a_doubt() -> None:
    scores = [read_all(font, MORE_PHRASES, Random(7)) for font in ("Anton", "Alfa Slab One", "Lato", "Lato Light")]
    assert sum(score.f1 * score.words for score in scores) / sum(score.words for score in scores) >= 0.98
    assert sum(score.wrong for score in scores) == 0
    assert sum(score.right_in_doubt for score in scores) <= 0.1 * sum(score.right for score in scores)


@pytest.mark.parametrize("font", ["Anton", "Archivo Black", "Lato"])
@pytest.mark.parametrize(
    "phrase", ["FRESH EGGS|& HONEY", "Seed Library", "Café Tomàt", "Kiln is hot!", "naïve ÄÖÜ", 'Say "no": 5%']
)
def test_outlines_and_known_text_give_the_same_structure(font: str, phrase: str) -> None:
    artwork = phrase_artwork(font, phrase)
    known, read = read_lettering(artwork), read_lettering(replace(artwork, known=()))
    assert [len(word.glyphs) for word in known.words] == [len(word.glyphs) for word in read.words]
    assert [g.pieces for g in known.glyphs] == [tuple(sorted(g.pieces)) for g in read.glyphs] or {
        frozenset(g.pieces) for g in known.glyphs
    } == {frozenset(g.pieces) for g in read.glyphs}
    assert len(known.lines) == len(read.lines)
    assert [word.text for word in known.words] == phrase.replace("|", " ").split()
    assert all(word.text is None for word in read.words)


@given(st.floats(0.2, 5.0), st.floats(-500, 500), st.floats(-500, 500))
@settings(max_examples=15, deadline=None)
def test_size_and_place_leave_the_structure_unchanged(factor: float, dx: float, dy: float) -> None:
    artwork = replace(phrase_artwork("Archivo Black", "Jam: 3 jars left"), known=())
    moved = Artwork(
        tuple(
            replace(p, shape=translate(scale(p.shape, factor, factor, origin=(0, 0)), dx, dy)) for p in artwork.pieces
        )
    )
    assert words_of(moved) == words_of(artwork)


def test_a_frame_a_rule_and_a_row_of_leaves_stay_out_of_words() -> None:
    artwork = replace(phrase_artwork("Anton", "FRESH EGGS|& HONEY"), known=())
    x0, y0, x1, y1 = 0.0, 0.0, 2000.0, 1000.0
    frame = box(x0, y0, x1, y1) - box(x0 + 10, y0 + 10, x1 - 10, y1 - 10)
    rule = box(700, 800, 1300, 806)
    leaves = [Point(800 + 150 * n, 880).buffer(25) for n in range(4)]
    shapes = [polygon for shape in (frame, rule, *leaves) for polygon in polygons_of(shape)]
    extra = [Piece(f"x{n}", "#000000", shape) for n, shape in enumerate(shapes)]
    found = read_lettering(Artwork((*artwork.pieces, *extra)))
    assert set(found.ornaments) == {piece.id for piece in extra}
    assert len(found.words) == 4


def test_colours_are_read_each_for_itself() -> None:
    one = replace(phrase_artwork("Anton", "FRESH EGGS"), known=())
    red = [Piece(f"r{p.id}", "#cc0000", translate(p.shape, 0, 200)) for p in one.pieces]
    found = read_lettering(Artwork((*one.pieces, *red)))
    assert len(found.words) == 4
    assert {glyph.colour for glyph in found.glyphs} == {"#000000", "#cc0000"}


def test_lines_of_one_word_are_rarely_broken() -> None:
    """One word alone gives no word gap to compare with: some are undecidable; most must still come out whole."""
    words = ["HONEY", "Library", "TOMATOES", "Marrow", "STUDIO", "Lettering", "KAYAK", "Walnut", "ROWING", "Fritillary"]
    scores = word_score(UPRIGHT, words)
    assert sum(f1 * n for f1, n in scores.values()) / sum(n for _, n in scores.values()) >= 0.95
