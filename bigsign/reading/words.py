"""Gaps into words: letter gaps and word gaps are told apart by where all gaps of like lines fall into two heaps.

The heaps are O'Gorman's (PAMI 15(11), 1993). Where they lie was measured over 26 upright faces and 1,075 phrases,
as shares of the letters' height above the median letter gap: letter gaps reach 0.17 (99 of 100 lines: 0.11),
word gaps start at 0.11 (99 of 100: 0.19).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol, TypeVar

import numpy as np

from bigsign.reading.connected import connected_cut
from bigsign.reading.gaps import Floats, look_of_gaps
from bigsign.reading.glyphs import Part

__all__ = ["split_words"]

LETTER_REACH = 0.13  # letter gaps mostly end this share of the height above their median
WORD_START = 0.20  # word gaps mostly start this share above it
BETWEEN = 0.15  # a widest gap below this share above the median parts no words
SPREAD = 0.08  # how fast a cut outside the usual loses worth
NEAR = 0.09  # letter gaps reaching farther above their median leave a doubt
SURE = 1.75  # unless word gaps are this many times as wide
RIVAL = 0.12  # a second-best cut worth nearly as much as the best is a doubt
CLEAR = 1.35  # the narrowest word gap is this many times the widest letter gap, or it is in doubt
WIDE = 0.36  # 99 of 100 phrases hold no letter gap as wide
HAIR = 0.04  # gaps below this share are all alike to the eye
TRACKED = 5  # a row of this many gaps or more that would fall apart into letters is judged by itself


class RowLike(Protocol):
    """What is needed of a row: its top and foot line, mm."""

    @property
    def top(self) -> float:
        """Top line, mm."""

    @property
    def foot(self) -> float:
        """Foot line, mm."""


Row = TypeVar("Row", bound=RowLike)


def split_words(
    rows: Sequence[tuple[Row, list[list[Part]]]], connected: Sequence[float] | None = None
) -> Iterator[tuple[Row, list[list[list[Part]]], str]]:
    """Yield each row with its glyphs in words, and a doubt in plain words ("" for none).

    Evidence is pooled over rows of like height (within a quarter), as lines of a block are. A spaced-out row among
    others is judged by itself; ``connected`` rows are pooled among themselves.
    """
    if not rows:
        return
    gaps = [look_of_gaps(glyphs, row.top, row.foot) for row, glyphs in rows]
    heights = np.array([row.foot - row.top for row, _ in rows])
    usual = np.array(connected if connected is not None else [0.0] * len(rows))
    script = usual > 0
    order = np.array([n for n in np.argsort(heights, kind="stable") if not script[n]], dtype=int)
    ranked = heights[order]
    cuts: dict[tuple[int, int], tuple[float, str]] = {}
    for index, (row, glyphs) in enumerate(rows):
        if script[index]:
            like = script & (heights > 0.75 * heights[index]) & (heights < 1.34 * heights[index])
            threshold, doubt = connected_cut(np.concatenate([gaps[n] for n in np.flatnonzero(like)]), usual[index])
            yield row, _parted(glyphs, gaps[index], threshold), doubt
            continue
        first = int(np.searchsorted(ranked, 0.75 * heights[index]))
        last = int(np.searchsorted(ranked, 1.34 * heights[index]))
        if (first, last) not in cuts:
            cuts[first, last] = _cut(np.concatenate([gaps[n] for n in order[first:last]]))
        threshold, doubt = cuts[first, last]
        # a row spaced out among others would fall into single letters
        if len(gaps[index]) >= TRACKED and np.mean(gaps[index] > threshold) > 0.6:
            threshold, doubt = _cut(gaps[index])
        if not doubt and _bridged(gaps[index]):
            doubt = BRIDGED
        yield row, _parted(glyphs, gaps[index], threshold), doubt


def _parted(glyphs: list[list[Part]], gaps: Floats, threshold: float) -> list[list[list[Part]]]:
    """Return glyphs in words: a gap above the threshold parts them."""
    words: list[list[list[Part]]] = [[glyphs[0]]]
    for glyph, gap in zip(glyphs[1:], gaps.tolist(), strict=True):
        if gap > threshold:
            words.append([glyph])
        else:
            words[-1].append(glyph)
    return words


def _bridged(gaps: Floats) -> bool:
    """Whether many gaps are far narrower than the usual one: bridges within stencil letters, perhaps."""
    return len(gaps) >= 4 and bool(np.mean(gaps < 0.35 * min(np.quantile(gaps, 0.6), 0.22)) >= 0.2)


def _cut(pool: Floats) -> tuple[float, str]:
    """Return the look above which a gap parts words (infinite for none), and a doubt.

    Of all places to cut the sorted gaps, the best has the widest step by ratio, less what speaks against it: word
    gaps too near the median letter gap, or letter gaps too far above it. At least a third of the gaps part letters.
    """
    gaps = np.sort(pool)
    count = len(gaps)
    if not count:
        return np.inf, ""
    if gaps[-1] - _median(gaps, count) < BETWEEN and (count == 1 or gaps[-1] - gaps[0] < BETWEEN):
        # one heap: letters of one word, unless they stand so far apart that each might be a word
        return np.inf, SPACED if gaps[0] > WIDE else ""
    below = np.arange(max(1, -(-count // 3)), count)
    low, high = np.maximum(gaps[below - 1], HAIR), np.maximum(gaps[below], HAIR)
    median = (gaps[(below - 1) // 2] + gaps[below // 2]) / 2
    against = np.maximum(WORD_START - (high - median), 0) ** 2 + np.maximum(low - median - LETTER_REACH, 0) ** 2
    worth = np.log(high / low) - against / (2 * SPREAD**2)
    worth[high - median < BETWEEN] = -np.inf
    if not np.isfinite(worth).any():
        return np.inf, ""
    best = int(np.argmax(worth))
    ratio = float(high[best] / low[best])
    doubt = ""
    if ratio < CLEAR:
        doubt = f"the narrowest word gap looks only {ratio:.2f} times as wide as the widest letter gap."
    elif len(worth) > 1 and worth[best] - np.sort(worth)[-2] < RIVAL:
        doubt = "its gaps could be parted into words in two ways that are nearly as good."
    elif high[best] - median[best] < 0.5 * (BETWEEN + WORD_START) or (
        low[best] - median[best] > NEAR and ratio < SURE
    ):
        doubt = "a letter gap and a word gap are nearly alike."
    return float((low[best] * high[best]) ** 0.5), doubt


def _median(gaps: Floats, count: int) -> float:
    return float((gaps[(count - 1) // 2] + gaps[count // 2]) / 2)


BRIDGED = "parts of it stand very close, as in stencil letters; one letter may be read as several."
SPACED = "its letters stand far apart, all alike, and are read as one word."
