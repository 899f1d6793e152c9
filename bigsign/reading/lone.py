"""Ornaments that might be letters: alone, made of strokes, and as tall as letters are."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from bigsign.artwork.pieces import Piece
from bigsign.findings import Finding
from bigsign.reading.found import FoundLine

__all__ = ["lone_letters"]

STROKE = 0.36  # of its height: a letter's strokes are no wider, leaves and stars mostly are
THIN = 0.04  # of its height: thinner ones are rules and tendrils
ROUND = 0.62  # 4 pi area over squared length: a letter's outline is long for its area
LEAST, MOST = 0.6, 1.6  # of the height of some line, where lines were read
SLIM, WIDE = 0.15, 1.3  # width over height of letters


def lone_letters(pieces: Sequence[Piece], lines: Sequence[FoundLine]) -> Iterator[Finding]:
    """Yield a doubt for each ornament that looks like a letter beside ``lines``, or where none was read."""
    heights = [line.cap_height for line in lines]
    for piece in pieces:
        x0, y0, x1, y1 = piece.shape.bounds
        height = y1 - y0
        if heights and not any(LEAST < height / other < MOST for other in heights):
            continue
        if not SLIM < (x1 - x0) / height < WIDE or len(piece.shape.interiors) > 2:
            continue
        if 4 * math.pi * piece.shape.area > ROUND * piece.shape.exterior.length**2:
            continue
        width = 2 * shapely.length(shapely.maximum_inscribed_circle(piece.shape, tolerance=0.01 * height))
        if THIN * height < width < STROKE * height:
            message = f"Piece {piece.id} stands by itself and is taken for an ornament, though it might be a letter."
            yield Finding("reading-doubt", message, (piece.id,), piece.source, REMEDY)


REMEDY = "Nothing need be done: an ornament is kept whole. Use keep to hold it and its neighbours together."
