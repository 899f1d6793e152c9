"""Lone shapes: one that might be a letter is said to be, a leaf or a star is not."""

from __future__ import annotations

import math
from dataclasses import replace

from shapely.affinity import translate
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.geometry import polygons_of
from bigsign.reading.read import read_lettering
from tests.bench.reading.measure import phrase_artwork

STAR = Polygon(
    [
        (r * math.sin(math.pi * n / 5), -r * math.cos(math.pi * n / 5))
        for n, r in enumerate([40.0, 15.3] * 5)
    ]
)  # fmt: skip


def _messages(*extra: BaseGeometry) -> list[str]:
    words = replace(phrase_artwork("Anton", "FRESH EGGS"), known=()).pieces
    moved = [polygons_of(translate(shape, 1000, 1500 + 300 * n))[0] for n, shape in enumerate(extra)]
    shapes = [Piece(f"x{n}", "#000000", shape) for n, shape in enumerate(moved)]
    return [finding.message for finding in read_lettering(Artwork((*words, *shapes))).findings]


def test_a_letter_alone_is_said_to_be_one_perhaps() -> None:
    letter = phrase_artwork("Anton", "E").pieces[0].shape
    assert ["might be a letter" in message for message in _messages(translate(letter, -1000, -500))] == [True]


def test_a_disc_a_leaf_and_a_star_are_ornaments_without_a_doubt() -> None:
    leaf = Point(0, 30).buffer(50).intersection(Point(0, -30).buffer(50))
    assert _messages(Point(0, 0).buffer(30), leaf, STAR) == []
