"""What a parting costs: the tiers of a plan as whole numbers that add up over the cuts of its tree.

Tiers 2 to 4 (in-word breaks, panels, risk) are packed into one whole number whose order is the policy's order, so
that costs add, subtract and compare at once; tier 5 (the largest panel) is a maximum and stands beside it.
Tier 1 (seams) is settled before the search, piece by piece; a cut that follows a seam counts 1 in the risk.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bigsign.project import PlanSettings, Weights
from bigsign.splitting.limits import size_fits

__all__ = ["Family", "Pair", "Policy", "risk_of"]

RISK_BITS = 40
COUNT_BITS = 24
WEIGHT_SHIFT = RISK_BITS + 2 * COUNT_BITS


def risk_of(gap_mm: float, tolerance_mm: float) -> int:
    """Return the risk of a cut whose smallest parted gap is ``gap_mm``, in thousandths, rounded half to even."""
    return round(1000 * tolerance_mm / max(gap_mm, tolerance_mm))


@dataclass(frozen=True, slots=True)
class Policy:
    """The order of tiers 2 to 4, or weights by hand.

    ``words`` puts in-word breaks first, ``panels`` puts panels first. With weights their sum comes first and the order
    of ``words`` decides between equal sums.
    """

    name: str
    weights: Weights | None = None

    @classmethod
    def of(cls, settings: PlanSettings) -> Policy:
        """Return the policy of a project."""
        if settings.weights is not None:
            return cls("weights", settings.weights)
        return cls("words" if settings.policy == "mats" else settings.policy)

    def pack(self, breaks: int, panels: int, risk: int) -> int:
        """Return the cost as one whole number that adds, subtracts and compares as the policy asks."""
        first, second = (panels, breaks) if self.name == "panels" else (breaks, panels)
        cost = (((first << COUNT_BITS) + second) << RISK_BITS) + risk
        if self.weights is None:
            return cost
        w = self.weights
        weighed = 1000 * (round(1000 * w.in_word_breaks) * breaks + round(1000 * w.panels) * panels)
        return ((weighed + round(1000 * w.risk) * risk) << WEIGHT_SHIFT) + cost

    def unpack(self, cost: int) -> tuple[int, int, int]:
        """Return (breaks, panels, risk) of a packed cost."""
        cost &= (1 << WEIGHT_SHIFT) - 1
        risk = cost & ((1 << RISK_BITS) - 1)
        second = (cost >> RISK_BITS) & ((1 << COUNT_BITS) - 1)
        first = cost >> (RISK_BITS + COUNT_BITS)
        return (second, first, risk) if self.name == "panels" else (first, second, risk)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two units joined by edges: both as bits, the risk of parting the tightest, and how many in-word joins."""

    both: int
    risk: int
    joins: int


@dataclass(frozen=True)
class Family:
    """The units a search groups, numbered in reading order, and everything a cost needs to know of them.

    Parameters
    ----------
    boxes : (x0, y0, x1, y1) of each unit's film, mm.
    limits : allowed (width, height) of a panel's film, mm, tolerance included.
    pairs : edges between units, the riskiest first.
    apart : for each unit, the bits of units that a wish puts in another panel.
    rows : bits of the units of each line, for bounds.
    words : bits of the units of each word that must break or may break.
    """

    boxes: Sequence[tuple[float, float, float, float]]
    limits: Sequence[tuple[float, float]]
    pairs: Sequence[Pair]
    apart: Sequence[int]
    rows: Sequence[int]
    words: Sequence[int]

    def __post_init__(self) -> None:
        object.__setattr__(self, "joined", tuple(pair for pair in self.pairs if pair.joins))
        object.__setattr__(self, "incompatible", self._incompatible())
        near = [0] * len(self.boxes)
        for pair in self.pairs:
            low = pair.both & -pair.both
            a, b = low.bit_length() - 1, pair.both.bit_length() - 1
            near[a] |= 1 << b
            near[b] |= 1 << a
        object.__setattr__(self, "near", tuple(near))

    joined: tuple[Pair, ...] = ()
    incompatible: tuple[int, ...] = ()
    near: tuple[int, ...] = ()

    @property
    def everything(self) -> int:
        """All units."""
        return (1 << len(self.boxes)) - 1

    def box(self, units: int) -> tuple[float, float]:
        """Return the width and height of the film box of ``units``, mm."""
        inf = float("inf")
        x0, y0, x1, y1 = inf, inf, -inf, -inf
        while units:
            low = units & -units
            a, b, c, d = self.boxes[low.bit_length() - 1]
            x0, y0, x1, y1 = min(x0, a), min(y0, b), max(x1, c), max(y1, d)
            units ^= low
        return x1 - x0, y1 - y0

    def area(self, units: int) -> int:
        """Return the box area of a panel of ``units``, in whole cm²."""
        width, height = self.box(units)
        return round(width * height / 100)

    def fits(self, units: int) -> bool:
        """Whether ``units`` can be one panel: within the usable area, and parted as no wish asks."""
        width, height = self.box(units)
        if not size_fits(width, height, self.limits):
            return False
        rest = units
        while rest:
            low = rest & -rest
            if self.apart[low.bit_length() - 1] & units:
                return False
            rest ^= low
        return True

    def _incompatible(self) -> tuple[int, ...]:
        """Bits of the units that can't share a panel with each unit."""
        if not self.boxes:
            return ()
        boxes = np.asarray(self.boxes, dtype=float)
        out = []
        for index, box in enumerate(boxes):
            width = np.maximum(boxes[:, 2], box[2]) - np.minimum(boxes[:, 0], box[0])
            height = np.maximum(boxes[:, 3], box[3]) - np.minimum(boxes[:, 1], box[1])
            fit = np.zeros(len(boxes), dtype=bool)
            for w, h in self.limits:
                fit |= (width <= w) & (height <= h)
            fit[index] = True
            bits = int.from_bytes(np.packbits(~fit, bitorder="little").tobytes(), "little")
            out.append(bits | self.apart[index])
        return tuple(out)

    def cut(self, first: int, second: int) -> tuple[int, int]:
        """Return (in-word breaks, risk) of a cut with ``first`` on one side and ``second`` on the other."""
        risk = 0
        for pair in self.pairs:
            if pair.both & first and pair.both & second:
                risk = pair.risk
                break
        breaks = 0
        for pair in self.joined:
            if pair.both & first and pair.both & second:
                breaks += pair.joins
        return breaks, risk

    def clique(self, units: int, forward: bool = True) -> int:
        """Return the size of a set of units, found greedily, of which no two can share a panel."""
        count = 0
        if forward:
            while units:
                count += 1
                units &= self.incompatible[(units & -units).bit_length() - 1]
        else:
            while units:
                count += 1
                units &= self.incompatible[units.bit_length() - 1]
        return count

    def least_panels(self, units: int) -> int:
        """Return a number of panels that no parting of ``units`` goes below."""
        if not units:
            return 0
        best = max(self.clique(units), self.clique(units, forward=False))
        for row in self.rows:
            here = units & row
            if here and here != units:
                count, rest = 0, here
                chosen = units
                while rest:
                    low = rest & -rest
                    count += 1
                    chosen &= self.incompatible[low.bit_length() - 1]
                    rest &= self.incompatible[low.bit_length() - 1]
                best = max(best, count + self.clique(chosen))
        return best

    def least_breaks(self, units: int) -> int:
        """Return a number of in-word breaks that no parting of ``units`` goes below."""
        total = 0
        for word in self.words:
            here = units & word
            if here & (here - 1):
                total += self.clique(here) - 1
        return total

    def least_risk(self, units: int, panels: int) -> int:
        """Return a risk that no parting of ``units`` into at least ``panels`` goes below.

        A cut that parts no edge has none, and there can be one fewer of those than connected parts.
        """
        if panels < 2:
            return 0
        gentlest = None
        for pair in reversed(self.pairs):
            if pair.both & units == pair.both:
                gentlest = pair.risk
                break
        if gentlest is None:
            return 0
        return max(0, panels - self._parts(units)) * gentlest

    def _parts(self, units: int) -> int:
        count = 0
        while units:
            count += 1
            grown = units & -units
            part = 0
            while grown:
                low = grown & -grown
                grown ^= low
                part |= low
                grown |= self.near[low.bit_length() - 1] & units & ~part
            units &= ~part
        return count
