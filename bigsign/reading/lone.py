"""Ornaments that might be letters: alone, made of strokes, and as tall as letters are."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry import Polygon

from bigsign.artwork.pieces import Piece
from bigsign.findings import Finding
from bigsign.reading.found import FoundLine

__all__ = ["like_letter", "lone_letters"]

STROKE = 0.36  # of its height: a letter's strokes are no wider, leaves and stars mostly are
THIN = 0.04  # of its height: thinner ones are rules and tendrils
ROUND = 0.62  # 4 pi area over squared length: a letter's outline is long for its area
LEAST, MOST = 0.6, 1.6  # of the height of some line, where lines were read
SLIM, WIDE = 0.15, 1.3  # width over height of letters


def like_letter(shape: Polygon) -> bool:
    """Whether a shape is made of strokes, in proportions letters have."""
    x0, y0, x1, y1 = shape.bounds
    height = y1 - y0
    if not SLIM < (x1 - x0) / height < WIDE or len(shape.interiors) > 2:
        return False
    if 4 * math.pi * shape.area > ROUND * shape.exterior.length**2:
        return False
    width = 2 * float(shapely.length(shapely.maximum_inscribed_circle(shape, tolerance=0.01 * height)))
    return THIN * height < width < STROKE * height


def lone_letters(pieces: Sequence[Piece], lines: Sequence[FoundLine]) -> Iterator[Finding]:
    """Yield a doubt for each ornament that looks like a letter beside ``lines``, or where none was read."""
    heights = [line.cap_height for line in lines]
    for piece in pieces:
        height = piece.shape.bounds[3] - piece.shape.bounds[1]
        if heights and not any(LEAST < height / other < MOST for other in heights):
            continue
        if like_letter(piece.shape):
            message = f"Piece {piece.id} stands by itself and is taken for an ornament, though it might be a letter."
            yield Finding("reading-doubt", message, (piece.id,), piece.source, REMEDY)


REMEDY = "Nothing need be done: an ornament is kept whole. Use keep to hold it and its neighbours together."
