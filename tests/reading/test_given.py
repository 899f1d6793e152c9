"""Words given as text: letter by letter where they can be counted, by the widest gaps where only words can."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bigsign.artwork.pieces import Artwork
from bigsign.errors import InputError
from bigsign.project import Given
from bigsign.reading.lettering import Lettering
from bigsign.reading.read import read_lettering
from tests.bench.reading.measure import phrase_artwork, word_pieces
from tests.bench.reading.shapes import tracked


def _bare(font: str, phrase: str) -> Artwork:
    return replace(phrase_artwork(font, phrase), known=())


def _read(artwork: Artwork, *words: str) -> Lettering:
    return read_lettering(artwork, Given(words, "sign.toml line 9, [reading] words"))


def test_one_text_a_line_gives_every_glyph_its_letter() -> None:
    found = _read(_bare("Anton", "FRESH EGGS|& HONEY"), "FRESH EGGS", "& HONEY")
    assert [word.text for word in found.words] == ["FRESH", "EGGS", "&", "HONEY"]
    assert "".join(glyph.text or "?" for glyph in found.glyphs) == "FRESHEGGS&HONEY"
    assert [line.text for line in found.lines] == ["FRESH EGGS", "& HONEY"]


def test_words_run_on_over_lines_where_their_letters_add_up() -> None:
    found = _read(_bare("Anton", "FRESH EGGS|& HONEY|MILK"), "FRESH EGGS & HONEY", "MILK")
    assert [line.text for line in found.lines] == ["FRESH EGGS", "& HONEY", "MILK"]


def test_given_words_overrule_gaps_and_settle_the_doubt() -> None:
    artwork = phrase_artwork("Lato", "TO SEE", shape=tracked)
    plain = read_lettering(replace(artwork, known=()))
    assert plain.lines[0].text is None
    found = _read(replace(artwork, known=()), "TOS EE")
    assert [word.text for word in found.words] == ["TOS", "EE"]
    assert found.findings == ()


def test_where_only_words_count_the_widest_gaps_part_them() -> None:
    artwork = phrase_artwork("Pacifico", "Boat shed")
    found = _read(replace(artwork, known=()), "Boat shed")
    assert [word.text for word in found.words] == ["Boat", "shed"]
    pieces = {glyph.id: glyph.pieces for glyph in found.glyphs}
    read = [frozenset(p for glyph in word.glyphs for p in pieces[glyph]) for word in found.words]
    assert read == word_pieces(artwork)


def test_right_to_left_texts_run_from_the_right() -> None:
    found = _read(_bare("Anton", "ABC DE"), "אב גדה")
    assert [word.text for word in found.words] == ["אב", "גדה"]
    assert found.lines[0].rtl
    first = min(found.glyphs, key=lambda glyph: glyph.bounds[0])
    assert first.text == "ה"


@pytest.mark.parametrize(
    "words", [("FRESH", "EGGS", "HONEY"), ("A", "B C D E F G H I J K"), ("FRESH EGGS HONEY JAM X",)]
)
def test_words_that_fit_in_no_way_are_an_error_that_says_what_was_found(words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as caught:
        _read(_bare("Anton", "FRESH EGGS|& HONEY"), *words)
    text = str(caught.value.faults[0])
    assert "[reading] words" in text
    assert "line" in text


def test_words_without_lettering_from_outlines_are_an_error() -> None:
    with pytest.raises(InputError, match="no lettering was found"):
        _read(phrase_artwork("Anton", "FRESH EGGS"), "FRESH EGGS")
