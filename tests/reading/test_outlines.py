"""Lines from outlines: commas under small letters, a lone sign between lines, lone shapes, many letters."""

from __future__ import annotations

from dataclasses import replace

from shapely.affinity import translate
from shapely.geometry import Point

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.reading.outlines import read_outlines
from bigsign.reading.read import read_lettering
from tests.bench.reading.measure import phrase_artwork, words_of


def test_a_capital_among_small_letters_gives_the_line_its_height() -> None:
    lines, ornaments = read_outlines(phrase_artwork("Lato", "Borrow, sow, return", 60).pieces)
    assert ornaments == []
    assert len(lines) == 1
    assert abs(lines[0].cap_height - 60) < 1.5


def test_commas_as_tall_as_half_a_small_letter_stay_in_their_line() -> None:
    artwork = phrase_artwork("Alfa Slab One", "sow, mow, us")
    assert words_of(replace(artwork, known=())) == words_of(artwork)


def test_a_lone_sign_between_lines_is_a_line_in_doubt() -> None:
    found = read_lettering(replace(phrase_artwork("Anton", "MILK|&|BREAD"), known=()))
    assert [len(line.words) for line in found.lines] == [1, 1, 1]
    assert len({line.block for line in found.lines}) == 1
    assert [finding.code for finding in found.findings] == ["reading-doubt"]
    assert "by itself" in found.findings[0].message


def test_a_shape_by_itself_away_from_lines_is_an_ornament() -> None:
    words = phrase_artwork("Anton", "FRESH EGGS").pieces
    leaf = Piece("leaf", "#000000", Point(1000, 900).buffer(30))
    lines, ornaments = read_outlines([*words, leaf])
    assert ornaments == ["leaf"]
    assert len(lines) == 1


def test_copies_of_a_phrase_over_a_large_board_are_each_read_like_the_first() -> None:
    base = phrase_artwork("Archivo Black", "Marrow Lane|Farm Stand")
    pieces = [
        replace(piece, id=f"{n:02d}{piece.id}", shape=translate(piece.shape, (n % 5) * 1500, (n // 5) * 600))
        for n in range(30)
        for piece in base.pieces
    ]
    found, one = read_lettering(Artwork(tuple(pieces))), read_lettering(replace(base, known=()))
    assert len(found.words) == 30 * len(one.words)
    assert len(found.glyphs) == 30 * len(one.glyphs)
    assert len({line.block for line in found.lines}) == 30
    assert [glyph.id for glyph in found.glyphs] == sorted(glyph.id for glyph in found.glyphs)
