"""Which way lines run: a few cases of each kind; what reads well level stays level."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from bigsign.artwork.pieces import Artwork
from bigsign.reading.lettering import Lettering
from bigsign.reading.read import read_lettering
from tests.bench.reading.measure import phrase_artwork, read_one
from tests.bench.reading.shapes import arched, outlined, slanted

PHRASES = ("FRESH EGGS|& HONEY", "Seed Library", "Marrow Lane|Farm Stand")


def _read(artwork: Artwork) -> Lettering:
    return read_lettering(replace(artwork, known=()))


@pytest.mark.parametrize("phrase", PHRASES)
@pytest.mark.parametrize("turn", [-30.0, -12.0, 8.0, 90.0, 270.0])
def test_turned_lines_are_read_with_their_angle(phrase: str, turn: float) -> None:
    artwork = phrase_artwork("Lato", phrase, turn=turn)
    assert read_one(artwork).f1 == 1.0
    for line in _read(artwork).lines:
        assert min((line.angle - turn) % 180, (turn - line.angle) % 180) < 0.3


def test_small_letters_tell_which_way_up_a_line_stands() -> None:
    for turn in (90.0, 180.0, 270.0):
        found = _read(phrase_artwork("Lato", "Wildflower Honey", turn=turn))
        assert [line.angle for line in found.lines] == [turn]
    assert "upside down" in _read(phrase_artwork("Lato", "Wildflower Honey", turn=180.0)).findings[0].message


def test_capitals_turned_by_a_quarter_leave_a_doubt_which_way_they_read() -> None:
    findings = _read(phrase_artwork("Anton", "HIM HEN", turn=90.0)).findings
    assert ["up or down" in finding.message for finding in findings] == [True]


@pytest.mark.parametrize("seed", range(6))
def test_lines_on_arcs_are_read_with_their_circle(seed: int) -> None:
    artwork = phrase_artwork("Lato", "Wildflower Honey Today", shape=arched, rng=Random(seed))
    assert read_one(artwork).f1 == 1.0
    (line,) = _read(artwork).lines
    assert line.arc is not None
    points = line.foot_points()
    away = [((x - line.arc[0]) ** 2 + (y - line.arc[1]) ** 2) ** 0.5 for x, y in points]
    assert max(away) - min(away) < 0.1 * line.cap_height
    assert len(points) > 5


@pytest.mark.parametrize("phrase", PHRASES)
def test_stacked_lines_are_columns(phrase: str) -> None:
    artwork = phrase_artwork("Lato", phrase, stacked=True)
    assert read_one(artwork).f1 == 1.0
    found = _read(artwork)
    assert [line.stacked for line in found.lines] == [True] * (phrase.count("|") + 1)
    assert [len(word.glyphs) for word in found.words] == [len(word) for word in phrase.replace("|", " ").split()]


@pytest.mark.parametrize("phrase", PHRASES)
def test_slanted_letters_are_parted_along_their_slant(phrase: str) -> None:
    assert read_one(phrase_artwork("Archivo Black", phrase, shape=slanted, rng=Random(2))).f1 == 1.0


def test_outlined_letters_hold_their_counters() -> None:
    artwork = phrase_artwork("Anton", "BOB & ABBA", shape=outlined)
    assert read_one(artwork).f1 == 1.0
    assert len(_read(artwork).glyphs) == 8


@pytest.mark.parametrize("font", ["Luckiest Guy", "Permanent Marker", "Anton", "Lato Thin"])
def test_level_lettering_is_left_level(font: str) -> None:
    for phrase in (*PHRASES, "WAIT FOR MAY", "Jam: 3 jars left"):
        assert {line.angle for line in _read(phrase_artwork(font, phrase)).lines} == {0.0}


def test_a_title_over_an_arc_is_read_beside_it() -> None:
    arc = phrase_artwork("Lato", "Wildflower Honey Today", shape=arched, rng=Random(3))
    title = phrase_artwork("Lato", "Farm Stand", 50.0)
    from shapely.affinity import translate

    low = max(piece.shape.bounds[3] for piece in arc.pieces) - min(piece.shape.bounds[1] for piece in title.pieces)
    moved = [replace(p, id=f"t{p.id}", shape=translate(p.shape, 0, low + 40)) for p in title.pieces]
    found = read_lettering(Artwork((*arc.pieces, *moved)))
    assert sorted(len([w for w in found.words if w.line == line.id]) for line in found.lines) == [2, 3]
