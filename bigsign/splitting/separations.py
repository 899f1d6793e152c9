"""Where two sides can be cut apart: every way a straight line parts a set of convex hulls.

A line that parts hulls into two sides can be moved, without changing the sides, until it is an inner tangent of
one hull on each side. So the inner tangents of all pairs give every separation of every subset (the argument is
in docs/reasoning.md). Tangents of a pair are the extreme directions of the pairwise differences of their points
as seen from the origin, exact for polygons. A tangent that touches a third hull may part nothing, so what only such
lines part is looked at again. Hulls cut back to their own side of a stepped way stand for the whole ones there: what
parts them is a cut if the whole hulls are apart too, or if a stepped way runs between the films.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import MultiPoint

from bigsign.splitting.ways import Profiles
from bigsign.tolerances import TOLERANCES

__all__ = ["Hooks", "Separations", "bits_of", "inner_tangents", "masks_to_ints"]

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


@dataclass(frozen=True)
class Hooks:
    """Hulls that leave no straight way between them, and the films to find stepped ways between.

    Parameters
    ----------
    whole : all hulls as they are; those given to `Separations` are cut back where they hook.
    pairs : bits of each two that hook.
    profiles : of the films of all hulls.
    room : mm a way keeps from film.
    """

    whole: Sequence[FloatArray]
    pairs: Sequence[int]
    profiles: Profiles
    room: float


class Separations:
    """All separations of a family of convex hulls, and of each of its subsets.

    Parameters
    ----------
    hulls : n arrays of k × 2 points, pairwise disjoint.
    hooks : what is known of those cut back.
    """

    def __init__(self, hulls: Sequence[FloatArray], hooks: Hooks | None = None) -> None:
        self.size = len(hulls)
        self._words = max(1, -(-self.size // 64))
        self._hooks = hooks
        whole = hulls if hooks is None else hooks.whole
        self._whole = [MultiPoint(hull) for hull in whole]
        self._apart: dict[tuple[int, int], bool] = {}
        changed = {n for n in range(self.size) if hulls[n] is not whole[n]}
        hooked = set() if hooks is None else set(hooks.pairs)
        lines = []
        for i in range(self.size):
            for j in range(i + 1, self.size):
                lines.extend(inner_tangents(hulls[i], hulls[j]))
                if (i in changed or j in changed) and 1 << i | 1 << j not in hooked:
                    lines.extend(inner_tangents(whole[i], whole[j]))
        self._sides(np.array(lines).reshape(-1, 3), hulls, whole)

    def _sides(self, lines: FloatArray, hulls: Sequence[FloatArray], whole: Sequence[FloatArray]) -> None:
        """Note, a row a line, which hulls lie wholly on its low side, which on its high side, and which need care.

        The third mask holds the whole hulls that the line crosses, and all that touch it where more than two do.
        """
        count = len(lines)
        low = np.zeros((count, self._words), dtype=np.uint64)
        high, care = np.zeros_like(low), np.zeros_like(low)
        slack = 1e-9 * max([1.0, *(float(np.abs(hull).max()) for hull in hulls)])
        step = max(1, CHUNK // max(1, sum(len(hull) for hull in hulls)))
        for at in range(0, count, step):
            part = lines[at : at + step]
            c = part[:, 2:3]
            least, most = _reach(part, hulls)
            low[at : at + step] = self._pack(most <= c + slack)
            high[at : at + step] = self._pack((least >= c - slack) & (most > c + slack))
            touch = (np.abs(most - c) <= 10 * slack) | (np.abs(least - c) <= 10 * slack)
            doubtful = touch & (touch.sum(axis=1, keepdims=True) > 2)
            if self._hooks is not None:
                whole_least, whole_most = _reach(part, whole)
                doubtful |= (whole_least < c - slack) & (whole_most > c + slack)
            care[at : at + step] = self._pack(doubtful)
        both = np.unique(np.concatenate([low, high, care], axis=1), axis=0)
        n = self._words
        self._low, self._high, self._care = both[:, :n].copy(), both[:, n : 2 * n].copy(), both[:, 2 * n :].copy()

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
        sure = clean & ~(self._care & wanted).any(axis=1)
        lowest = subset & -subset
        found = self._normal(low[sure], subset, lowest)
        doubtful = self._normal(low[clean & ~sure], subset, lowest) - found
        return sorted(found | {side for side in doubtful if self._parts(side, subset ^ side)})

    def _normal(self, rows: WordArray, subset: int, lowest: int) -> set[int]:
        if not len(rows):
            return set()
        return {side if side & lowest else subset ^ side for side in masks_to_ints(np.unique(rows, axis=0))}

    def _parts(self, side: int, other: int) -> bool:
        """Whether two sides can really be cut apart: their hulls are apart, or a stepped way runs between."""
        known = self._apart.get((side, other))
        if known is None:
            one, two = (shapely.union_all([self._whole[n] for n in bits_of(m)]).convex_hull for m in (side, other))
            known = one.distance(two) > TOLERANCES.way / 2
            if not known and self._hooks is not None:
                steps = sum(bool(pair & side) and bool(pair & other) for pair in self._hooks.pairs)
                known = steps > 0 and (
                    self._hooks.profiles.stairs(bits_of(side), bits_of(other), self._hooks.room, steps + 1) is not None
                )
            self._apart[side, other] = known
        return known


def bits_of(mask: int) -> list[int]:
    """Return the numbers of the bits set, the lowest first."""
    out = []
    while mask:
        low = mask & -mask
        out.append(low.bit_length() - 1)
        mask ^= low
    return out


def _reach(lines: FloatArray, hulls: Sequence[FloatArray]) -> tuple[FloatArray, FloatArray]:
    """Return, a row a line and a column a hull, the least and the greatest n·p of its points."""
    starts = np.cumsum([0, *(len(hull) for hull in hulls[:-1])])
    run = lines[:, :2] @ np.concatenate(hulls).T
    return np.minimum.reduceat(run, starts, axis=1), np.maximum.reduceat(run, starts, axis=1)
