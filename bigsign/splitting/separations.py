"""Where two sides can be cut apart: every way a straight line parts a set of convex hulls.

A line that parts hulls into two sides can be moved, without changing the sides, until it is an inner tangent of
one hull on each side. So the inner tangents of all pairs give every separation of every subset (the argument is
in docs/reasoning.md). Tangents of a pair are the extreme directions of the pairwise differences of their points
as seen from the origin, exact for polygons.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

__all__ = ["Separations", "inner_tangents", "masks_to_ints"]

FloatArray = npt.NDArray[np.float64]
WordArray = npt.NDArray[np.uint64]

CHUNK = 4_000_000  # projections held at once: 32 MB


def inner_tangents(first: FloatArray, second: FloatArray) -> list[tuple[float, float, float]]:
    """Return the inner tangents of two disjoint convex polygons as (nx, ny, c).

    ``first`` lies at n·p ≤ c and ``second`` at n·p ≥ c, each touching the line; |n| = 1. At most two.
    """
    difference = (second[None, :, :] - first[:, None, :]).reshape(-1, 2)
    middle = second.mean(axis=0) - first.mean(axis=0)
    # angles from the middle direction: all within half a turn of each other, as the hulls are disjoint
    along = difference @ middle
    across = difference[:, 1] * middle[0] - difference[:, 0] * middle[1]
    angles = np.arctan2(across, along)
    out = []
    for index, turn in ((int(np.argmin(angles)), 1.0), (int(np.argmax(angles)), -1.0)):
        dx, dy = difference[index]
        length = float(np.hypot(dx, dy))
        if length == 0.0:
            continue
        nx, ny = -dy / length * turn, dx / length * turn
        c = float((first @ (nx, ny)).max())
        out.append((float(nx), float(ny), c))
    return out


def masks_to_ints(rows: WordArray) -> list[int]:
    """Return each row of 64-bit words as one whole number, the lowest word first."""
    width = rows.shape[1] * 8
    raw = np.ascontiguousarray(rows).tobytes()
    return [int.from_bytes(raw[at : at + width], "little") for at in range(0, len(raw), width)]


class Separations:
    """All straight separations of a family of convex hulls, and of each of its subsets.

    Parameters
    ----------
    hulls : n arrays of k × 2 points, pairwise disjoint.
    """

    def __init__(self, hulls: Sequence[FloatArray]) -> None:
        self.size = len(hulls)
        self._words = max(1, -(-self.size // 64))
        lines = [
            tangent
            for i in range(self.size)
            for j in range(i + 1, self.size)
            for tangent in inner_tangents(hulls[i], hulls[j])
        ]
        self._low, self._high = self._sides(np.array(lines).reshape(-1, 3), hulls)

    def _sides(self, lines: FloatArray, hulls: Sequence[FloatArray]) -> tuple[WordArray, WordArray]:
        """Return, a row a line, which hulls lie wholly on its low side, and which on its high side."""
        low = np.zeros((len(lines), self._words), dtype=np.uint64)
        high = np.zeros_like(low)
        if not len(lines):
            return low, high
        points = np.concatenate(hulls)
        starts = np.cumsum([0, *(len(hull) for hull in hulls[:-1])])
        slack = 1e-9 * max(1.0, float(np.abs(points).max()))
        step = max(1, CHUNK // len(points))
        for at in range(0, len(lines), step):
            part = lines[at : at + step]
            run = part[:, :2] @ points.T
            most = np.maximum.reduceat(run, starts, axis=1)
            least = np.minimum.reduceat(run, starts, axis=1)
            c = part[:, 2:3]
            low[at : at + step] = self._pack(most <= c + slack)
            high[at : at + step] = self._pack((least >= c - slack) & (most > c + slack))
        both = np.unique(np.concatenate([low, high], axis=1), axis=0)
        return both[:, : self._words].copy(), both[:, self._words :].copy()

    def _pack(self, flags: npt.NDArray[np.bool_]) -> WordArray:
        padded = np.zeros((len(flags), self._words * 64), dtype=bool)
        padded[:, : self.size] = flags
        return np.packbits(padded, axis=1, bitorder="little").view(np.uint64)

    def of(self, subset: int) -> list[int]:
        """Return every separation of ``subset`` (bits of hulls): the side that holds its lowest hull.

        Sorted, each once; the other side is ``subset`` less it.
        """
        wanted = np.frombuffer(subset.to_bytes(self._words * 8, "little"), dtype=np.uint64)
        low, high = self._low & wanted, self._high & wanted
        clean = ((low | high) == wanted).all(axis=1) & low.any(axis=1) & high.any(axis=1)
        lowest = subset & -subset
        found = set()
        for side in masks_to_ints(np.unique(low[clean], axis=0)) if clean.any() else []:
            found.add(side if side & lowest else subset ^ side)
        return sorted(found)
