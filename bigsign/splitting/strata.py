"""Which film of a colour goes up before which: strata, so that no panel lies both over and under another.

Pieces are laid in the order of the drawing. Film of one colour that lies over film of another, under which film of the
first colour lies, can't share a panel with that: it belongs to a later stratum of its colour. Lemma: let colours be
ranked as they first appear from the bottom up, and let a piece be in the stratum of the piece beneath it if that one's
colour ranks lower, else in the next. Then laying (stratum, rank) in order lays every piece after all that is beneath
it, whatever panels the film of one colour and stratum is parted into; and no two pieces of one colour and stratum
overlap.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from bigsign.artwork.pieces import Piece

__all__ = ["strata_of"]


def strata_of(pieces: Sequence[Piece]) -> dict[str, int]:
    """Return the stratum of each piece by its id, 0 where it needs no later one; ``pieces`` from the bottom up."""
    rank: dict[str, int] = {}
    for piece in pieces:
        rank.setdefault(piece.colour, len(rank))
    out = [0] * len(pieces)
    for lower, upper in overlaps(pieces):
        later = rank[pieces[lower].colour] >= rank[pieces[upper].colour]
        out[upper] = max(out[upper], out[lower] + later)
    return {piece.id: stratum for piece, stratum in zip(pieces, out, strict=True)}


def overlaps(pieces: Sequence[Piece]) -> list[tuple[int, int]]:
    """Return the pairs of pieces that overlap, the lower first, sorted by the upper one."""
    shapes = np.array([piece.shape for piece in pieces], dtype=object)
    first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    keep = first < second
    first, second = first[keep], second[keep]
    over = ~shapely.touches(shapes[first], shapes[second]) if len(first) else np.zeros(0, dtype=bool)
    return sorted(zip(first[over].tolist(), second[over].tolist(), strict=True), key=lambda pair: (pair[1], pair[0]))
