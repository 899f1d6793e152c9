"""Stacked lettering: letters one under the other, their films on a common middle line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from bigsign.reading.glyphs import Part
from bigsign.reading.views import Floats

__all__ = ["Column", "find_columns"]

OFF_MIDDLE = 0.03  # of the letters' height: how far a film's middle may lie from its column's
ON_MIDDLE = 0.75  # share of letters that must lie on it: parts of a letter in pieces need not
WIDEST = 1.45  # of the letters' height: a stacked letter is no wider
FLUSH = 0.6  # share of letters as wide as the column and flush with it on both sides: a turned line, not a stack
LEAST = 3  # letters in a column
ON_PITCH = 0.04  # of the pitch: a foot this near a step of the pitch is on it
PITCHED = 0.6  # share of feet on the pitch's steps, for the column to have a pitch
WORD = 0.8  # of the letters' height: in a column without a pitch, a gap this much over the usual one parts words


@dataclass(frozen=True, slots=True)
class Column:
    """Letters from top to bottom, each with its parts and the number of its word; the letters' height, mm."""

    glyphs: tuple[tuple[Part, ...], ...]
    words: tuple[int, ...]
    height: float


def find_columns(parts: Sequence[Part]) -> list[Column]:
    """Return the columns all of ``parts`` make, left to right; none if they are not stacked."""
    if len(parts) < LEAST:
        return []
    boxes = np.array([part.box for part in parts])
    heights = boxes[:, 3] - boxes[:, 1]
    height = float(np.quantile(heights[heights >= 0.5 * heights.max()], 0.8))
    groups, centred, letters, most = [], 0, 0, 0
    for group in _apart(boxes[:, 0], boxes[:, 2]):
        own = boxes[group]
        tall = [n for n in _apart(own[:, 1], own[:, 3]) if np.ptp(own[n][:, [1, 3]]) >= 0.4 * height]
        if not tall:
            return []
        lefts = np.array([own[n, 0].min() for n in tall])
        rights = np.array([own[n, 2].max() for n in tall])
        if (rights - lefts).max() > WIDEST * height:
            return []
        near = OFF_MIDDLE * height
        flush = (np.abs(lefts - np.median(lefts)) <= near) & (np.abs(rights - np.median(rights)) <= near)
        feet = np.sort([own[n, 3].max() for n in tall])
        if flush.mean() > FLUSH and _pitch(feet, height)[2] < max(3, PITCHED * len(feet)):
            return []  # capitals of a turned line: heads along one edge, feet along the other
        middles = (lefts + rights) / 2
        middle = float(np.median(middles))
        centred += int((np.abs(middles - middle) <= near).sum())
        letters += len(tall)
        most = max(most, len(tall))
        groups.append([parts[n] for n in group])
    widths = np.array([box[2] - box[0] for box in boxes[heights >= 0.4 * height]])
    if most < LEAST or centred < ON_MIDDLE * letters or np.ptp(widths) < 0.02 * height:
        return []
    return [_column(group, height) for group in groups]


def _apart(low: Floats, high: Floats) -> list[list[int]]:
    """Return groups of intervals that overlap, in order."""
    out: list[list[int]] = []
    end = -np.inf
    for n in np.argsort(low, kind="stable").tolist():
        if low[n] > end:
            out.append([])
        out[-1].append(n)
        end = max(end, high[n])
    return out


def _column(parts: Sequence[Part], height: float) -> Column:
    boxes = np.array([part.box for part in parts])
    tall = boxes[boxes[:, 3] - boxes[:, 1] >= 0.4 * height]
    feet = np.sort(tall[:, 3])
    pitch, phase, on = _pitch(feet, height) if len(feet) else (height, 0.0, 0)
    if on >= PITCHED * len(feet) and on >= 2:
        middles = (boxes[:, 1] + boxes[:, 3]) / 2
        steps = np.round((middles + height / 2 - phase) / pitch).astype(int)
        # a hanging foot or a high head can pull a tall letter's middle over to the next step; its foot tells then
        for n in range(len(parts)):
            nearest = round((boxes[n, 3] - phase) / pitch)
            if abs((boxes[n, 3] - phase) / pitch - nearest) <= ON_PITCH:
                steps[n] = nearest
        names = sorted(set(steps.tolist()))
        glyphs = [tuple(part for part, step in zip(parts, steps, strict=True) if step == name) for name in names]
        words = np.cumsum([0, *(b - a > 1 for a, b in pairwise(names))])
        return Column(tuple(glyphs), tuple(words.tolist()), height)
    groups = _apart(boxes[:, 1], boxes[:, 3])
    ends = [(boxes[g, 1].min(), boxes[g, 3].max()) for g in groups]
    gaps = np.array([b[0] - a[1] for a, b in pairwise(ends)])
    usual = float(np.median(gaps)) if len(gaps) else 0.0
    words = np.cumsum([0, *(gaps > usual + WORD * height)])
    return Column(tuple(tuple(parts[n] for n in g) for g in groups), tuple(words.tolist()), height)


def _pitch(feet: Floats, height: float) -> tuple[float, float, int]:
    """Return the pitch that most feet stand on, where its steps begin, and how many feet do."""
    best = (height, float(feet[0]), 1)
    for n, first in enumerate(feet.tolist()):
        for second in feet[n + 1 : n + 4].tolist():
            for steps in (1, 2):
                pitch = (second - first) / steps
                if not 0.9 * height <= pitch <= 3 * height:
                    continue
                off = (feet - first) / pitch
                on = int((np.abs(off - np.round(off)) <= ON_PITCH).sum())
                if on > best[2]:
                    best = (pitch, first, on)
    return best
