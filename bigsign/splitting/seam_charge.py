"""What a line through a part costs at least, wherever in a strip it runs."""

from __future__ import annotations

import math
from enum import Enum

import numpy as np
import numpy.typing as npt

from bigsign.splitting.sweep import Sweep

__all__ = ["Charges", "Measure", "pack", "unpack"]

FloatArray = npt.NDArray[np.float64]

UNIT = 10_000  # units of length in a mm: lengths are whole units, rounded down, so that sums are exact
CHORDS = 1 << 20  # more than there are chords
SIDE = 1e-9  # mm


class Measure(Enum):
    """How chords are counted: true length, whole millimetres a chord, or whole ones but for those that end on seams.

    Where two chords end on one seam from either side, their rounded lengths may add up to less than their sum: the
    third way takes half a millimetre off each chord that ends on a seam, so that it is linear in the seams' places.
    """

    TRUE = 0
    WHOLE = 1
    WHOLE_BUT_ON_SEAMS = 2


def pack(length: float, chords: int) -> int:
    """Return a total as one whole number: lengths first, then chords."""
    return math.floor(length * UNIT + 1e-6) * CHORDS + chords


def unpack(total: int) -> tuple[float, int]:
    """Return (length in mm, chords) of a total."""
    return total // CHORDS / UNIT, total % CHORDS


class Charges:
    """The least costs of lines through parts of a film.

    Parameters
    ----------
    measure : how chords are counted.
    along_edges : whether a line may run right along an edge: then only what both sides share is cut there.
    """

    def __init__(self, measure: Measure, along_edges: bool) -> None:
        self.measure, self.along_edges = measure, along_edges
        self.off = 0.0 if measure is Measure.TRUE else 0.5

    def quick(self, sweep: Sweep, rows: FloatArray) -> FloatArray:
        """Return a length that the chords of no line in each strip add up to less than: half a mm off each chord."""
        breaks = sweep.breaks
        if not len(rows):
            return np.zeros(0)
        low, high = np.maximum(rows[:, 0], sweep.low), np.minimum(rows[:, 1], sweep.high)
        points = np.unique(np.concatenate([breaks, low, high]))
        index = np.clip(np.searchsorted(breaks, points[:-1], side="right") - 1, 0, len(breaks) - 2)
        ends = np.minimum(sweep.totals(index, points[:-1]), sweep.totals(index, points[1:]))
        value = np.where(sweep.barred[index], np.inf, ends - self.off * sweep.counts[index])
        if self.along_edges:
            # a line may run right along an edge: only what both sides share is cut there
            for rank in sweep.steps():
                here = int(np.searchsorted(points, breaks[rank]))
                met = sweep.meeting(rank)
                least = sum(b - a for a, b in met) - self.off * len(met)
                for piece in (here - 1, here):
                    value[piece] = min(value[piece], least)
        first, last = np.searchsorted(points, low), np.searchsorted(points, high)
        out = np.empty(len(rows))
        wide = first < last
        pairs = np.column_stack([first[wide], last[wide]]).ravel()
        out[wide] = np.minimum.reduceat(np.append(value, np.inf), pairs)[::2] if len(pairs) else 0.0
        for n in np.flatnonzero(~wide).tolist():
            out[n] = self._quick_place(sweep, float(points[first[n]]))
        return out

    def _quick_place(self, sweep: Sweep, at: float) -> float:
        best = math.inf
        for rank in _beside(sweep, at):
            if not sweep.barred[rank]:
                index = np.asarray([rank])
                best = min(best, float(sweep.totals(index, np.asarray([at]))[0]) - self.off * int(sweep.counts[rank]))
        if self.along_edges:
            for rank in sweep.steps():
                if abs(float(sweep.breaks[rank]) - at) < SIDE:
                    met = sweep.meeting(rank)
                    best = min(best, sum(b - a for a, b in met) - self.off * len(met))
        return best

    def least(self, sweep: Sweep, strip: tuple[float, float], across: tuple[float, float], best: int) -> int:
        """Return the least that the chords of a line in the strip cost, packed; ``best`` where it is that or more.

        Parameters
        ----------
        across : where the part's box ends along the line, mm.
        """
        low, high = max(strip[0], sweep.low), min(strip[1], sweep.high)
        found = best
        if high - low < SIDE:
            pieces = [(rank, low, low) for rank in _beside(sweep, low)]
        else:
            start = max(0, int(np.searchsorted(sweep.breaks, low, side="right")) - 1)
            end = min(len(sweep.breaks) - 2, int(np.searchsorted(sweep.breaks, high, side="left")) - 1)
            pieces = [
                (rank, max(low, float(sweep.breaks[rank])), min(high, float(sweep.breaks[rank + 1])))
                for rank in range(start, end + 1)
            ]
        ranks = np.asarray([piece[0] for piece in pieces], dtype=np.intp)
        ends = [sweep.totals(ranks, np.asarray([piece[n] for piece in pieces])) for n in (1, 2)]
        quick = np.minimum(ends[0], ends[1]) - self.off * sweep.counts[ranks]
        for n in np.argsort(quick, kind="stable").tolist():
            if pack(max(0.0, float(quick[n])), 1) >= found:
                break
            rank, a, b = pieces[n]
            if sweep.barred[rank]:
                continue
            rows = sweep.chords_in(rank, a, b)
            found = min(found, self._weigh(np.minimum(rows[:, 1] - rows[:, 0], rows[:, 3] - rows[:, 2]), rows, across))
        if self.along_edges:
            for rank in sweep.steps():
                if low - SIDE <= float(sweep.breaks[rank]) <= high + SIDE:
                    rows = np.asarray(sweep.meeting(rank), dtype=float).reshape(-1, 2)
                    found = min(found, self._weigh(rows[:, 1] - rows[:, 0], np.column_stack([rows, rows]), across))
        return found

    def _weigh(self, widths: FloatArray, rows: FloatArray, across: tuple[float, float]) -> int:
        """Return the packed cost of chords; ``across``: where the part's box ends along the line."""
        lengths = np.maximum(widths, 0.0)
        if self.measure is Measure.TRUE:
            counted = lengths
        else:
            # a hair below a half is taken for less, so that no rounding of coordinates makes it more
            counted = np.floor(lengths + 0.5 - 1e-6)
            if self.measure is Measure.WHOLE_BUT_ON_SEAMS:
                on_seam = (np.abs(rows[:, [0, 2]] - across[0]) < SIDE) | (np.abs(rows[:, [1, 3]] - across[1]) < SIDE)
                counted = np.where(on_seam.any(axis=1), np.maximum(0.0, lengths - 0.5), counted)
        return int(np.floor(counted * UNIT + 1e-6).sum()) * CHORDS + len(lengths)


def _beside(sweep: Sweep, at: float) -> list[int]:
    """Return the intervals between breaks that end, begin or hold a place."""
    before = int(np.searchsorted(sweep.breaks, at - SIDE, side="left")) - 1
    after = int(np.searchsorted(sweep.breaks, at + SIDE, side="right")) - 1
    return [rank for rank in dict.fromkeys((before, after)) if 0 <= rank < len(sweep.breaks) - 1]
