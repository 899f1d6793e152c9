"""Where the lines through a part are looked for: at necks, and where ties to necks and ends by the usable area lead."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np

from bigsign.splitting.seam_records import Bounds, SeamRules, Shape, Total, whole_mm
from bigsign.splitting.sweep import EDGE_ROOM, Sweep

__all__ = ["Place", "Places", "Which", "cheapest_of_each_stretch", "sweeps_of"]

FEW = 24  # places kept of them in a first search
KEPT = 128  # places kept along an axis of a part: beyond that the shortest of each stretch
TIES = 160  # places that ties lead to, along an axis of a part
NECKS = 60  # necks of a part that places are tied to, the shortest
END = 4  # rank of places tied to an end by one size: those of higher ranks are thinned out where there are many
NECK, TIED = 5, 6  # ranks of places at a neck, and of those that several sums lead to
NUDGE = 1e-6  # mm: tied places stay this far inside what fits
REACH = 4.0  # mm within which a mark is taken in place of the very place


Which = Literal["all", "few", "ends"]


class Place(NamedTuple):
    """A line to try: its own cost, how it came about (the more wanted first), axis and place."""

    cost: Total
    rank: int
    axis: int
    at: float


class Places:
    """The places of lines through parts of one piece.

    Parameters
    ----------
    which : all places; a few of them, at necks and where ties to the ends lead; or only those nearest of such ties.
    hints : strips (axis, low, high) in mm: if there are any, look only about their ends and at the necks in them.
    """

    def __init__(self, rules: SeamRules, which: Which = "all", hints: Sequence[tuple[int, float, float]] = ()) -> None:
        self.rules, self.which, self.kept, self.hints = rules, which, KEPT if which == "all" else FEW, hints
        self._bodies: dict[tuple[int, float], int] = {}

    def bodies(self, axis: int, at: float) -> int:
        """Return the number of letters whose body a line cuts."""
        if self.rules.bodies is None:
            return 0
        key = (axis, round(at, 6))
        if key not in self._bodies:
            self._bodies[key] = self.rules.bodies(axis, at)
        return self._bodies[key]

    def of(self, sweeps: tuple[Sweep, Sweep], grown: Bounds, chain: int | None) -> list[Place]:
        """Return every line worth trying first through a part, the cheapest first.

        Parameters
        ----------
        grown : the part's box with the overlap it carries.
        chain : the axis along which the part was cut off before a line: it is not cut along that axis again first.
        """
        out: list[Place] = []
        for axis in (0, 1):
            if axis != chain:
                out.extend(self._kept(sweeps[axis], grown))
        # of equal lines the one that leaves least to do: the farthest from where the shape begins
        return sorted(out, key=lambda place: (place.cost, place.rank, place.axis, -place.at))

    def _kept(self, sweep: Sweep, grown: Bounds) -> list[Place]:
        found = self._along(sweep, grown)
        if not found:
            return []
        places = np.asarray([at for _, at in found])
        index = np.clip(np.searchsorted(sweep.breaks, places, side="right") - 1, 0, len(sweep.breaks) - 2)
        lengths, counts = np.round(sweep.totals(index, places), 6).tolist(), sweep.counts[index].tolist()
        rows = [(length, count, rank, at) for (rank, at), length, count in zip(found, lengths, counts, strict=True)]
        if len(rows) > self.kept:
            stretch = (sweep.high - sweep.low + 1e-9) / self.kept
            kept: dict[tuple[int, int], tuple[float, int, int, float]] = {}
            for row in sorted(rows):
                # what lies as far from an end as parts fit is never left out
                cell = int((row[3] - sweep.low) / stretch) if row[2] > END else int(row[3] * 1e4)
                kept.setdefault((row[2], cell), row)
            rows = list(kept.values())
        return [Place(self._cost(sweep, *row), row[2], sweep.axis, row[3]) for row in rows]

    def _cost(self, sweep: Sweep, length: float, count: int, rank: int, at: float) -> Total:
        """Return the cost of a line, or what it is at least: of several chords only the total is looked at."""
        if self.rules.angle == 0:
            spans = [b - a for a, b in sweep.chords_at(at, along_edges=True)]
            length, count = round(sum(spans), 6), len(spans)
        whole = whole_mm(length) if count < 2 else max(0, math.ceil(length - count / 2 - 1e-6))
        return Total(self.bodies(sweep.axis, at), whole, count, length)

    def _along(self, sweep: Sweep, grown: Bounds) -> list[tuple[int, float]]:
        """Return (rank, place): places used already, marks, necks, and places tied to them or to the ends."""
        axis, sliver = sweep.axis, self.rules.sliver
        low, high = grown[axis], grown[axis + 2]
        sizes = sorted({pair[axis] for pair in self.rules.limits})
        first, last = sweep.low + sliver - NUDGE, sweep.high - sliver + NUDGE
        ranked: list[tuple[int, float]] = [(-1, at) for used, at in self.rules.used if used == axis]
        if self.hints:
            return self._may(sweep, [*ranked, *self._hinted(sweep)], first, last)
        ties: list[tuple[float, float]] = []
        for size in sizes:
            pitch = max(size - self.rules.overlap, 1.0)
            # as many even shares as are needed
            shares = -int(-(high - low - self.rules.overlap) // pitch)
            if shares > 1:
                ranked.extend((0, at) for at in self.marks(axis, low + (high - low) / shares, REACH)[:1])
            # the right and the upper part carry the overlap
            far, near = (size, pitch) if axis == 0 else (pitch, size)
            ties += [(low + far - NUDGE, -1.0), (high - near + NUDGE, 1.0)]
        if self.which == "ends":
            return self._may(sweep, [*ranked, *((END, at) for at, _ in ties)], first, last)
        for neck in sorted(sweep.necks(), key=lambda neck: (round(neck.length, 3), neck.at))[:NECKS]:
            ranked.append((2, neck.at))
            if self.which != "few":
                ties.append((neck.at, 0.0))
            room = neck.high - neck.low
            if room > 1.0:
                ranked.extend((1, at) for at in self.marks(axis, neck.at, 0.3 * room)[:1])
                if self.which == "few":
                    continue
                ties += [(neck.low + NUDGE, 0.0), (neck.high - NUDGE, 0.0)]
                ties += [(neck.low + EDGE_ROOM + NUDGE, 0.0), (neck.high - EDGE_ROOM - NUDGE, 0.0)]
        if self.rules.angle == 0:
            ties += [(float(sweep.breaks[rank]), 0.0) for rank in sweep.steps()[:NECKS]]
        ranked += self._tied(ties, [max(size - self.rules.overlap, 1.0) for size in sizes], axis, first, last)
        return self._may(sweep, ranked, first, last)

    def _hinted(self, sweep: Sweep) -> list[tuple[int, float]]:
        """Return the places about the strips that were hinted at."""
        out: list[tuple[int, float]] = []
        necks = sweep.necks()
        for axis, low, high in self.hints:
            if axis == sweep.axis:
                out += [(2, neck.at) for neck in necks if low - EDGE_ROOM <= neck.at <= high + EDGE_ROOM]
                away = (0.0, NUDGE, EDGE_ROOM + NUDGE)
                out += [(END, end + sign * by) for end in (low, high) for by in away for sign in (1, -1)]
        return out

    def _may(
        self, sweep: Sweep, ranked: list[tuple[int, float]], first: float, last: float
    ) -> list[tuple[int, float]]:
        """Return those of the places, each once, where a line may run."""
        once: dict[float, tuple[int, float]] = {}
        for rank, at in sorted(ranked):
            if first <= at <= last:
                once.setdefault(round(at, 6), (rank, at))
        rows = list(once.values())
        may = sweep.all_allowed(np.asarray([at for _, at in rows]))
        return [row for row, allowed in zip(rows, may.tolist(), strict=True) if allowed]

    def _tied(
        self, ties: list[tuple[float, float]], pitches: list[float], axis: int, first: float, last: float
    ) -> list[tuple[int, float]]:
        """Return the places that sums of the usable sizes lead to, few sums first, and the marks just inside."""
        out: list[tuple[int, float]] = []
        seen: set[float] = set()
        steps = [sign * pitch for pitch in pitches for sign in (1, -1)]
        wave, rank = ties, END
        while wave and len(out) < TIES:
            following: list[tuple[float, float]] = []
            for at, inward in wave:
                key = round(at, 4)
                if key in seen:
                    continue
                seen.add(key)
                out.append((rank if inward or rank > END else NECK, at))
                if inward and self.rules.marks is not None:
                    ends = sorted((at, at + inward * REACH))
                    inside = self.rules.marks(axis, ends[0], ends[1])
                    if inside:
                        out.append((3, inside[-1 if inward < 0 else 0]))
                if len(following) < TIES:
                    following += [(at + step, inward) for step in steps if first < at + step < last]
            wave, rank = following, TIED
        return out

    def marks(self, axis: int, middle: float, reach: float) -> list[float]:
        """Return the tape marks within ``reach`` of a place, the nearest first; without a tape the place itself."""
        if self.rules.marks is None:
            return [middle]
        return sorted(self.rules.marks(axis, middle - reach, middle + reach), key=lambda at: (abs(at - middle), at))


def sweeps_of(shape: Shape, angle: float) -> tuple[Sweep, Sweep]:
    """Return the sweeps of a shape along both axes."""
    return Sweep(shape, 0, angle), Sweep(shape, 1, angle)


def cheapest_of_each_stretch(places: Sequence[Place], most: int) -> list[Place]:
    """Return some places of one axis, which come the cheapest first: the first of each of so many stretches."""
    if not places:
        return []
    low, high = min(place.at for place in places), max(place.at for place in places)
    seen: dict[int, Place] = {}
    for place in places:
        seen.setdefault(int((place.at - low) / (high - low + 1e-9) * most), place)
    return list(seen.values())
