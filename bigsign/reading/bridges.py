"""Stencil letters in parts side by side: their bridges are all alike and far narrower than any letter gap."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from bigsign.reading.glyphs import Part
from bigsign.reading.rows import Row

__all__ = ["join_bridged"]

ALIKE = 1.4  # bridges differ in width by this factor at most
FEWEST, SHARE = 3, 0.15  # so many gaps, and this share of all, are bridges
MOST = 0.65  # but no more than this share: else they are the letter gaps themselves
WIDEST = 0.09  # of the letters' height
APART = 1.35  # the next wider gap is this many times as wide
LETTERS = 4.0  # and two others are no more than this many times as wide: letter gaps there must be, not words alone
NARROW = 0.5  # and a bridge at most this share of the usual other gap


def join_bridged(rows: Sequence[tuple[Row, list[list[Part]]]]) -> list[list[list[Part]]]:
    """Return the glyphs of rows with those joined that only a bridge parts, judged over all rows together."""
    gaps = [_film_gaps(row, glyphs) for row, glyphs in rows]
    bridge = _bridge(np.sort(np.concatenate(gaps))) if gaps else 0.0
    if not bridge:
        return [glyphs for _, glyphs in rows]
    out = []
    for (_, glyphs), own in zip(rows, gaps, strict=True):
        joined = [list(glyphs[0])]
        for glyph, gap in zip(glyphs[1:], own.tolist(), strict=True):
            if gap <= bridge:
                joined[-1].extend(glyph)
            else:
                joined.append(list(glyph))
        out.append(joined)
    return out


def _film_gaps(row: Row, glyphs: Sequence[Sequence[Part]]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return the distances of neighbouring glyphs' films as shares of the row's height."""
    films = np.array([MultiPolygon([part.shape for part in glyph]) for glyph in glyphs], dtype=object)
    return np.asarray(shapely.distance(films[:-1], films[1:]), dtype=np.float64) / row.height


def _bridge(gaps: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    """Return the widest gap that is a bridge, 0 where there are none."""
    for n, gap in enumerate(gaps[gaps <= WIDEST].tolist()):
        end = int(np.searchsorted(gaps, ALIKE * gap + 0.002, side="right"))
        if end - n < max(FEWEST, SHARE * len(gaps)) or end > MOST * len(gaps):
            continue
        widest = float(gaps[end - 1])
        between = np.count_nonzero(gaps[end:] <= LETTERS * widest) >= 2
        if between and gaps[end] >= APART * widest and widest <= NARROW * float(np.median(gaps[end:])):
            return widest
    return 0.0
