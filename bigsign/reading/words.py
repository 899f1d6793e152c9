"""Gaps into words: letter gaps and word gaps are told apart by where all gaps of like lines fall into two heaps."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import Protocol, TypeVar

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from bigsign.reading.glyphs import Part

__all__ = ["split_words"]

LEAST = 0.13  # a word gap is at least this share of the line's height
SPACE = 0.13  # and stands this much above the usual letter gap: a space a fifth of an em wide
CLEAR = 1.45  # the smallest word gap is this many times the largest letter gap, or it is in doubt


class RowLike(Protocol):
    """What is needed of a row: its height in mm."""

    @property
    def height(self) -> float:
        """Height of the row's letters, mm."""


Row = TypeVar("Row", bound=RowLike)


def split_words(
    rows: Sequence[tuple[Row, list[list[Part]]]],
) -> Iterator[tuple[Row, list[list[list[Part]]], str]]:
    """Yield each row with its glyphs in words, and a doubt in plain words ("" for none).

    Evidence is pooled over rows of like height (within a quarter), as lines of a block are.
    """
    gaps = [_gaps(glyphs, row.height) for row, glyphs in rows]
    heights = [row.height for row, _ in rows]
    for index, (row, glyphs) in enumerate(rows):
        pool = np.concatenate([g for g, h in zip(gaps, heights, strict=True) if 0.75 < h / heights[index] < 1.34])
        threshold, doubt = _threshold(np.sort(pool))
        words: list[list[list[Part]]] = [[glyphs[0]]]
        for glyph, gap in zip(glyphs[1:], gaps[index], strict=True):
            if gap > threshold:
                words.append([glyph])
            else:
                words[-1].append(glyph)
        yield row, words, doubt


def _gaps(glyphs: Sequence[Sequence[Part]], height: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return, as shares of the height, the gap before each glyph but the first.

    Films of a kerned pair stand as far apart as others though their boxes overlap; films of open shapes (L, r, T)
    stand nearer in width than they look. The mean of the two measures serves both.
    """
    films = [MultiPolygon([part.shape for part in glyph]) for glyph in glyphs]
    apart = shapely.distance(films[:-1], films[1:]) if len(films) > 1 else np.zeros(0)
    boxes = np.array([film.bounds for film in films])
    level = boxes[1:, 0] - boxes[:-1, 2]
    return np.asarray((0.65 * np.asarray(apart) + 0.35 * np.maximum(level, 0.0)) / height, dtype=float)


def _threshold(gaps: np.ndarray[tuple[int], np.dtype[np.float64]]) -> tuple[float, str]:
    """Return the share of the height above which a gap parts words, and a doubt.

    The split is the one with the widest step relative to where it lies, among steps in the upper half of the gaps
    that leave the word gaps above ``LEAST``; without a clear step everything is one word.
    """
    if not len(gaps):
        return np.inf, ""
    best: tuple[float, float, float, float] | None = None
    for below, (low, high) in enumerate(itertools.pairwise(gaps.tolist()), 1):
        # most gaps part letters; with few gaps nothing can be said of most
        if high < LEAST or (len(gaps) >= 4 and below < len(gaps) / 2):
            continue
        if high - float(np.median(gaps[:below])) < SPACE:
            continue
        floor = max(low, 0.04)
        ratio = high / floor
        worth = float(np.log(ratio))
        if best is None or worth > best[0]:
            best = (worth, (floor * high) ** 0.5, ratio, high)
    if best is None:
        return np.inf, ""
    _, middle, ratio, high = best
    if ratio < 1.25:
        return np.inf, "no gap stands out, so it is read as one word."
    doubt = ""
    if ratio < CLEAR:
        doubt = f"the narrowest word gap is only {ratio:.2f} times the widest letter gap."
    return middle, doubt
