"""Where two sides can be cut apart: every way a straight line, or one that bends at hooks, parts a set of units.

A line that parts convex hulls into two sides can be moved, without changing the sides, until it is an inner tangent of
one hull on each side. So the inner tangents of all pairs give every straight separation of every subset, and those of
the pairs within a subset give all of that subset (the argument is in docs/reasoning.md). Tangents of a pair are the
extreme directions of the pairwise differences of their points as seen from the origin, exact for polygons. A tangent
that touches a third hull may part nothing, so what only such lines part is looked at again.

A cut that bends at hooks (`hooks`) has such a line too: an inner tangent of two units, or of a core. What hooks with
nothing across lies clear of the line on its own side; a neighbour that the line crosses, or that lies on both sides of
it, may go to either. Whether a way runs between the two sides is looked at when a cut is chosen (`passages`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import numpy.typing as npt

from bigsign.splitting.bits import bits_of, subsets_of
from bigsign.splitting.hooks import Hooks
from bigsign.splitting.passages import Passages
from bigsign.splitting.tangents import inner_tangents

__all__ = ["WEARY", "Separations", "inner_tangents", "masks_to_ints"]

FloatArray = npt.NDArray[np.float64]
WordArray = npt.NDArray[np.uint64]

CHUNK = 100_000  # projections held at once: 0.8 MB, which the processor's nearer memory holds
MOST_SHAPES = 710  # hulls and cores whose tangents are listed: half a million lines
SIDES_A_STATE = 20  # sides of lines that may bend that take as long to look at as a state
SIDES_A_SET = 20_000  # sides of lines that may bend that are looked at of one set
WEARY = 6_000  # effort on ways that don't run, after which a set is opened by lines that wind
MOST_STRAYS = 5  # neighbours that a line may leave on either side; of more each goes where the middle of its film lies


def masks_to_ints(rows: WordArray) -> list[int]:
    """Return each row of 64-bit words as one whole number, the lowest word first."""
    width = rows.shape[1] * 8
    raw = np.ascontiguousarray(rows).tobytes()
    return [int.from_bytes(raw[at : at + width], "little") for at in range(0, len(raw), width)]


class Separations:
    """All separations of a family of units, and of each of its subsets.

    Parameters
    ----------
    hulls : n arrays of k × 2 points.
    hooks : what is known of units whose hulls meet; None: the hulls are pairwise disjoint.
    """

    def __init__(self, hulls: Sequence[FloatArray], hooks: Hooks | None = None) -> None:
        self.size = len(hulls)
        self.complete = True
        self._tried = 0  # sides of lines that may bend
        self._words = max(1, -(-self.size // 64))
        self._hooks = hooks
        self.passages = Passages(hulls, hooks)
        shapes = [(1 << n, 1 << n, hull) for n, hull in enumerate(hulls)]
        if self._hooks is not None:
            shapes += self._hooks.shapes()
            self.complete = not self._hooks.nested()
        if len(shapes) > MOST_SHAPES:  # the largest are met by most lines
            self.complete = False
            shapes = sorted(shapes, key=lambda shape: -_area(shape[2]))[:MOST_SHAPES]
        needs = np.array([[need >> n & 1 for n in range(self.size)] for _, need, _ in shapes], dtype=bool)
        self._there = self._pack(needs)
        count = len(shapes)
        # the rows of the two tangents of shapes i < j are 2 (start[i] + j - i - 1) and the next
        self._start = np.cumsum([0, *range(count - 1, 0, -1)])[:count]
        lines = np.zeros((count * (count - 1), 3))
        for i, (one, _, hull) in enumerate(shapes):
            row = 2 * int(self._start[i])
            for two, _, other in shapes[i + 1 :]:
                for at, line in enumerate(inner_tangents(hull, other) if not one & two else ()):
                    # hulls that overlap have no inner tangents: what comes out of them depends on how the sign lies
                    if not self.passages.bends or float((other @ line[:2]).min()) >= line[2] - 1e-9:
                        lines[row + at] = line
                row += 2
        self._sides(lines, hulls)

    @property
    def effort(self) -> int:
        """What was spent so far on lines that bend, in states of a search without any: as much takes as long."""
        return self._tried // SIDES_A_STATE + self.passages.effort

    def _sides(self, lines: FloatArray, hulls: Sequence[FloatArray]) -> None:
        """Note, a row a line, which hulls lie wholly on its low side, which on its high side, and which need care.

        The third mask holds all hulls that touch the line where more than two do.
        """
        count = len(lines)
        low = np.zeros((count, self._words), dtype=np.uint64)
        high, care = np.zeros_like(low), np.zeros_like(low)
        slack = 1e-9 * max([1.0, *(float(np.abs(hull).max()) for hull in hulls)])
        corners = _Corners(hulls)
        real = np.abs(lines[:, :2]).sum(axis=1) > 0
        rows = np.flatnonzero(real)
        step = max(1, CHUNK // max(1, len(hulls)))
        for some in np.split(rows, range(step, len(rows), step)):
            part = lines[some]
            c = part[:, 2:3]
            least, most = corners.reach(part)
            low[some] = self._pack(most <= c + slack)
            high[some] = self._pack((least >= c - slack) & (most > c + slack))
            touch = (np.abs(most - c) <= 10 * slack) | (np.abs(least - c) <= 10 * slack)
            care[some] = self._pack(touch & (touch.sum(axis=1, keepdims=True) > 2))
        self._low, self._high, self._care = low, high, care
        self._clear = np.ascontiguousarray((low | high).T)  # what lies on either side, a row a word
        if self._hooks is not None:
            self._beyond = np.zeros((count, len(self._hooks.centres)), dtype=bool)
            for some in np.split(rows, range(step, len(rows), step)):
                self._beyond[some] = lines[some, :2] @ self._hooks.centres.T > lines[some, 2:3]
            self._real = real

    def _pack(self, flags: npt.NDArray[np.bool_]) -> WordArray:
        padded = np.zeros((len(flags), self._words * 64), dtype=bool)
        padded[:, : self.size] = flags
        return np.packbits(padded, axis=1, bitorder="little").view(np.uint64)

    def _rows(self, wanted: WordArray) -> npt.NDArray[np.intp] | slice:
        """Return the rows of the lines between shapes that lie within a subset."""
        inside = np.flatnonzero(((self._there & ~wanted) == 0).all(axis=1))
        count = len(inside)
        if 2 * count * count > len(self._there) ** 2:
            return slice(None)
        i, j = np.triu_indices(count, 1)
        first = 2 * (self._start[inside[i]] + inside[j] - inside[i] - 1)
        return np.concatenate([first, first + 1])

    def _clean(self, rows: npt.NDArray[np.intp] | slice, wanted: WordArray) -> npt.NDArray[np.intp]:
        """Return the rows of lines that leave all units of a subset on one side or the other; a word at a time."""
        left = np.arange(len(self._low))[rows]
        for word in np.flatnonzero(wanted).tolist():
            left = left[(self._clear[word, left] & wanted[word]) == wanted[word]]
        return left

    def of(self, subset: int) -> list[int]:
        """Return every separation of ``subset`` (bits of units): the side that holds its lowest unit.

        Sorted, each once; the other side is ``subset`` less it.
        """
        wanted = self._bits(subset)
        rows = self._rows(wanted)
        clean = self._clean(rows, wanted)
        low, high = self._low[clean] & wanted, self._high[clean] & wanted
        parts = low.any(axis=1) & high.any(axis=1)
        doubt = parts & (self._care[clean] & wanted).any(axis=1)
        lowest = subset & -subset
        found = self._normal(low[parts & ~doubt], subset, lowest)
        sides = self._normal(low[doubt], subset, lowest) - found
        found |= {side for side in sides if self.passages.straight(side, subset ^ side)}
        found = {side for side in found if not self.passages.is_shut(side, subset ^ side)}
        if self._hooks is not None and subset & self._hooks.hookable:
            bent = sorted(self._bent_sides(rows, wanted, subset) - found)
            bent = [side for side in bent if not self.passages.is_shut(side, subset ^ side)]
            # where no straight line parts the set it matters whether any that bends does: else lines wind freely
            if found or self._one_runs(subset, bent):
                found.update(bent)
        return sorted(side for side in found if not self.passages.is_shut(side, subset ^ side))

    def _one_runs(self, subset: int, bent: Sequence[int]) -> bool:
        """Whether some way of those that bend runs, the plainest tried first; after much work in vain none is known."""
        hooks, begun = self._hooks, self.effort
        assert hooks is not None
        for side in sorted(bent, key=lambda side: (len(hooks.hooked(side, subset ^ side)), side)):
            if self.passages.runs(side, subset ^ side):
                return True
            if self.effort - begun > WEARY:
                self.complete = False
                return False
        return False

    def free(self, subset: int) -> list[int]:
        """Return, for a set that has no separation, the sides that a line of any form may cut off.

        Each is one neighbour, and only where none of those can be cut off, one unit. Whether such a line is found is
        seen once a cut is to follow it.
        """
        if self._hooks is None:
            return []
        lowest = subset & -subset
        for sides in (self._hooks.neighbours(subset), [1 << unit for unit in bits_of(subset)]):
            normal = {side if side & lowest else subset ^ side for side in sides if side != subset}
            found = sorted(side for side in normal if self.passages.may_open(side, subset ^ side))
            if found:
                return found
        return []

    def _bent_sides(self, rows: npt.NDArray[np.intp] | slice, wanted: WordArray, subset: int) -> set[int]:
        """Return the sides of lines that leave units across or beyond them, each hooked with one of the other side."""
        hooks = self._hooks
        assert hooks is not None
        words = [group for group in hooks.groups if group & subset == group and group in hooks.partners]
        low, high = self._low[rows] & wanted, self._high[rows] & wanted
        crossed = wanted & ~(low | high)
        strays = crossed.any(axis=1)
        for word in words:
            bits = self._bits(word)
            strays |= (low & bits).any(axis=1) & (high & bits).any(axis=1)
        fit = strays & ~(crossed & ~self._bits(hooks.hookable)).any(axis=1) & self._real[rows]
        pairs = zip(masks_to_ints(low[fit]), masks_to_ints(crossed[fit]), self._beyond[rows][fit], strict=True)
        out: set[int] = set()
        seen: set[tuple[int, int]] = set()
        enough = self._tried + SIDES_A_SET
        for below, across, beyond in pairs:
            if self._tried > enough:
                self.complete = False
                break
            loose, held = [], across
            for word in words:
                if word & (below | across) and word & ~below:
                    loose.append(word)
                    held &= ~word
            loose += [1 << unit for unit in bits_of(held)]
            above = subset & ~(below | across)
            if len(loose) > MOST_STRAYS:
                sides: Iterable[int] = (self._by_middle(below, loose, beyond),)
            elif (below, across) in seen:
                continue
            else:
                sides = self._choices(below, across, above, loose)
            seen.add((below, across))
            for side in sides:
                other = subset ^ side
                normal = side if side & subset & -subset else other
                # what does not lie clear of the line on its own side has to hook with a neighbour across
                off = (side & ~below) | (other & ~above)
                if normal not in out and side and other and not off & ~hooks.licensed(side, other):
                    out.add(normal)
        return out

    def _choices(self, below: int, across: int, above: int, loose: Sequence[int]) -> Iterator[int]:
        """Yield what may lie below a line: each stray neighbour on either side, a word letter by letter as well.

        Left out is what leaves something off its side of the line that hooks with nothing across.
        """
        hooks = self._hooks
        assert hooks is not None
        strays = 0
        for neighbour in loose:
            strays |= neighbour
        waiting = [(0, below & ~strays, above & ~strays)]
        options = [self._options(neighbour, below, across) for neighbour in loose]
        while waiting:
            rank, side, other = waiting.pop()
            self._tried += 1
            if rank == len(loose):
                yield side
                continue
            later = 0
            for neighbour in loose[rank + 1 :]:
                later |= neighbour
            for part in options[rank]:
                rest = loose[rank] & ~part
                here, there = side | part, other | rest
                # letters of a word that is parted are neighbours by themselves
                ones = [part] if not rest else [1 << unit for unit in bits_of(part & ~below)]
                twos = [rest] if not part else [1 << unit for unit in bits_of(rest & ~above)]
                if all(not one & ~below or hooks.may_hook(one, there | later) for one in ones) and all(
                    not two & ~above or hooks.may_hook(two, here | later) for two in twos
                ):
                    waiting.append((rank + 1, here, there))

    @staticmethod
    def _options(neighbour: int, below: int, across: int) -> list[int]:
        """Return what of a stray neighbour may lie below a line."""
        own = {0, neighbour}
        letters = across & neighbour
        if neighbour & (neighbour - 1) and letters.bit_count() <= MOST_STRAYS:
            own |= {below & neighbour | part for part in subsets_of(letters)}
        return sorted(own)

    def _by_middle(self, below: int, loose: Iterable[int], beyond: npt.NDArray[np.bool_]) -> int:
        """Return the side below a line, each stray neighbour where the middle of its film lies."""
        assert self._hooks is not None
        for neighbour in loose:
            below = below & ~neighbour if beyond[self._hooks.rank[neighbour]] else below | neighbour
        return below

    def _bits(self, units: int) -> WordArray:
        return np.frombuffer(units.to_bytes(self._words * 8, "little"), dtype=np.uint64)

    def _normal(self, rows: WordArray, subset: int, lowest: int) -> set[int]:
        if not len(rows):
            return set()
        return {side if side & lowest else subset ^ side for side in set(masks_to_ints(rows))}


def _area(hull: FloatArray) -> float:
    x, y = hull.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


class _Corners:
    """The corners of hulls, in the order of their numbers: the first of each, the second of each that has one, ..."""

    def __init__(self, hulls: Sequence[FloatArray]) -> None:
        order = sorted(range(len(hulls)), key=lambda n: -len(hulls[n]))
        self._place = np.argsort(np.array(order, dtype=np.intp))
        self._nth = [
            np.array([hulls[n][k] for n in order if len(hulls[n]) > k])
            for k in range(max((len(hull) for hull in hulls), default=0))
        ]

    def reach(self, lines: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return, a row a line and a column a hull, the least and the greatest n·p of its corners."""
        normals = lines[:, :2].T
        least = self._nth[0] @ normals
        most = least.copy()
        for corners in self._nth[1:]:  # the hulls with most corners stand first
            run = corners @ normals
            np.minimum(least[: len(run)], run, out=least[: len(run)])
            np.maximum(most[: len(run)], run, out=most[: len(run)])
        return least[self._place].T, most[self._place].T
