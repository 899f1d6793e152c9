"""Stencil bridges: like narrow gaps among wider ones join the parts of a letter; letter gaps never do."""

from __future__ import annotations

from random import Random

from shapely.geometry import box

from bigsign.reading.bridges import join_bridged
from bigsign.reading.glyphs import Part
from bigsign.reading.rows import Row
from tests.bench.reading.measure import phrase_artwork, read_one
from tests.bench.reading.shapes import stencilled


def _joined(*gaps: float) -> list[int]:
    glyphs, x = [], 0.0
    for n, gap in enumerate([*gaps, 0.0]):
        shape = box(x, 0, x + 30, 100)
        glyphs.append([Part(f"p{n}", shape, shape.bounds)])
        x += 30 + gap
    row = Row([part for glyph in glyphs for part in glyph], 0.0, 100.0)
    return [len(glyph) for glyph in join_bridged([(row, glyphs)])[0]]


def test_like_bridges_among_letter_gaps_join_what_they_part() -> None:
    assert _joined(6, 18, 6, 20, 6, 22, 19) == [2, 2, 2, 1, 1]


def test_letter_gaps_of_a_tight_face_join_nothing() -> None:
    assert _joined(6, 6, 6, 6, 30, 6, 6) == [1] * 8
    assert _joined(6, 7, 9, 12, 8, 30, 7) == [1] * 8


def test_letters_cut_as_stencils_are_read_whole() -> None:
    assert read_one(phrase_artwork("Archivo Black", "BOARD ROOM|OPEN DOOR", shape=stencilled, rng=Random(1))).f1 == 1.0
