"""Connected lettering: seen by its long pieces, parted at wide gaps, dots kept with the piece under them."""

from __future__ import annotations

import numpy as np
import pytest

from bigsign.reading.connected import CUT, connected_cut, connected_rows
from bigsign.reading.glyphs import Part
from bigsign.reading.rows import rows_of
from tests.bench.reading.measure import phrase_artwork, read_one


def _connected(font: str, phrase: str) -> bool:
    pieces = phrase_artwork(font, phrase).pieces
    return any(connected_rows(rows_of([Part(p.id, p.shape, p.shape.bounds) for p in pieces])[0]))


@pytest.mark.parametrize("font", ["Pacifico", "Dancing Script", "Lobster"])
def test_scripts_are_connected(font: str) -> None:
    assert _connected(font, "Seed Library|Open daily")


@pytest.mark.parametrize("font", ["Anton", "Alfa Slab One", "Archivo Black", "Lato Thin", "Luckiest Guy"])
@pytest.mark.parametrize("phrase", ["WILLOW MEADOW", "mummy & william", "Übung Äpfel Öl", "naïve ÄÖÜ"])
def test_letters_that_stand_apart_are_not(font: str, phrase: str) -> None:
    assert not _connected(font, phrase)


@pytest.mark.parametrize("font", ["Pacifico", "Dancing Script", "Lobster"])
@pytest.mark.parametrize("phrase", ["Seed Library", "Boat shed", "Pickles and jam|Marrow Lane"])
def test_words_in_script_are_read(font: str, phrase: str) -> None:
    assert read_one(phrase_artwork(font, phrase, leading=1.9)).f1 == 1.0


def test_a_line_of_word_gaps_alone_or_of_letter_gaps_alone_is_told_by_their_usual_looks() -> None:
    assert connected_cut(np.array([0.38, 0.41, 0.4]), CUT)[0] < 0.38
    assert connected_cut(np.array([0.08, 0.1, 0.12]), CUT)[0] > 0.12


def test_a_gap_near_the_cut_is_a_doubt() -> None:
    assert connected_cut(np.array([0.1, 0.24, 0.27, 0.4]), CUT)[1] != ""
    assert connected_cut(np.array([0.1, 0.11, 0.4]), CUT)[1] == ""
