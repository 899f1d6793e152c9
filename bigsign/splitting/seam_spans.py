"""A bound from rows and columns of film: what is too long for any panel is cut, wherever that may be.

Lemma. Take a level row of film, unbroken from end to end. Level seams cut it at no more than a few heights, plumb seams
cut it into lengths that each lie in one part. Of n lengths the first is no longer than the widest panel, and each
other, having a seam at its left, no longer than that less the overlap: so n is known, and n - 1 plumb seams cross the
row. The rows' heights with these counts add up to no more than the total length of plumb seams. Columns give the
same for level seams, and no seam is both.
"""

from __future__ import annotations

import math

import numpy as np

from bigsign.splitting.seam_records import SeamRules
from bigsign.splitting.sweep import Sweep

__all__ = ["row_bound"]

DETAILED = 400  # intervals between vertices: of more the smallest are passed over, which lessens the bound
FINE = 1e-6  # mm: rows no longer than this beyond what fits count as fitting


def row_bound(sweeps: tuple[Sweep, Sweep], rules: SeamRules) -> float:
    """Return a total seam length in mm below which no parting is; 0 where overlaps fill whole panels.

    Parameters
    ----------
    sweeps : of the film, along both axes.
    """
    total = 0.0
    for axis in (0, 1):
        # lines along the rows of an axis are those of a sweep along the other one
        size = max(pair[axis] for pair in rules.limits)
        if size - rules.overlap > FINE:
            total += _crossings(sweeps[1 - axis], size, rules.overlap)
    return total


def _crossings(sweep: Sweep, size: float, overlap: float) -> float:
    """Return the summed heights of rows, each by the seams that cross it."""
    starts, ends = sweep.breaks[:-1], sweep.breaks[1:]
    index = np.arange(len(starts))
    longest = np.maximum(sweep.totals(index, starts), sweep.totals(index, ends))
    if len(starts) > DETAILED:
        longest[ends - starts < (sweep.high - sweep.low) / DETAILED] = 0.0
    ranks, chords = sweep.chords_of(np.flatnonzero(longest > size))
    one, other = chords[:, 1] - chords[:, 0], chords[:, 3] - chords[:, 2]
    long = np.maximum(one, other) > size
    heights = (ends - starts)[ranks[long]]
    crossings = (
        _counted(begin, end, size, overlap) * height
        for begin, end, height in zip(one[long].tolist(), other[long].tolist(), heights.tolist(), strict=True)
    )
    return math.fsum(crossings)


def _counted(one: float, other: float, size: float, overlap: float) -> float:
    """Return the mean count of seams across rows whose length goes evenly from one value to another."""
    low, high = sorted((one, other))
    first, last = _seams(low, size, overlap), _seams(high, size, overlap)
    if first == last or high - low < FINE:
        return float(first)
    # each count begins where the row outgrows what fewer seams allow
    grown = (size + n * (size - overlap) for n in range(first, last))
    return first + sum(min(1.0, max(0.0, (high - length - FINE) / (high - low))) for length in grown)


def _seams(length: float, size: float, overlap: float) -> int:
    return max(0, math.ceil((length - size - FINE) / (size - overlap)))
