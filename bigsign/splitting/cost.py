"""What a parting costs: the tiers of a plan as whole numbers that add up over the cuts of its tree.

Tiers 2 to 4 (in-word breaks, panels, risk) are packed into one whole number whose order is the policy's order, so
that costs add, subtract and compare at once; tier 5 (the largest panel) is a maximum and stands beside it.
Tier 1 (seams) is settled before the search, piece by piece; a cut that follows a seam counts 1 in the risk.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from bigsign.project import PlanSettings, Weights
from bigsign.splitting.bits import bits_of
from bigsign.splitting.bounds import BreakBound, Chain, PanelBound, RiskBound
from bigsign.splitting.limits import size_fits

__all__ = ["Family", "Pair", "Policy", "apart_masks", "risk_of"]

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


def apart_masks(
    boxes: Sequence[tuple[float, float, float, float]], limits: Sequence[tuple[float, float]]
) -> list[int]:
    """Return, for each box, the bits of the boxes that fit no way up together with it."""
    if not boxes:
        return []
    held = np.asarray(boxes, dtype=float)
    out = []
    for index, box in enumerate(held):
        width = np.maximum(held[:, 2], box[2]) - np.minimum(held[:, 0], box[0])
        height = np.maximum(held[:, 3], box[3]) - np.minimum(held[:, 1], box[1])
        fit = np.zeros(len(held), dtype=bool)
        for w, h in limits:
            fit |= (width <= w) & (height <= h)
        fit[index] = True
        out.append(int.from_bytes(np.packbits(~fit, bitorder="little").tobytes(), "little"))
    return out


@dataclass(frozen=True)
class Family:
    """The units a search groups, numbered in reading order, and everything a cost needs to know of them.

    Parameters
    ----------
    boxes : (x0, y0, x1, y1) of each unit's film, mm.
    limits : allowed (width, height) of a panel's film, mm, tolerance included.
    pairs : edges between units.
    wished : for each unit, the bits of units that a wish puts in another panel.
    rows : bits of the units of each line, for bounds.
    words : for each word the pairs of units that follow one another in it, for bounds.
    chains : lines of units that a skewer meets, for bounds.
    """

    boxes: Sequence[tuple[float, float, float, float]]
    limits: Sequence[tuple[float, float]]
    pairs: Sequence[Pair]
    wished: Sequence[int]
    rows: Sequence[int]
    words: Sequence[Sequence[int]]
    chains: Sequence[Chain]

    apart: tuple[int, ...] = field(init=False)
    near: tuple[int, ...] = field(init=False)
    edges: tuple[dict[int, Pair], ...] = field(init=False)
    panel_bound: PanelBound = field(init=False)
    break_bound: BreakBound = field(init=False)
    risk_bound: RiskBound = field(init=False)

    def __post_init__(self) -> None:
        apart = tuple(
            bits | wished for bits, wished in zip(apart_masks(self.boxes, self.limits), self.wished, strict=True)
        )
        panels = PanelBound(apart, self.rows)
        near = [0] * len(self.boxes)
        edges: list[dict[int, Pair]] = [{} for _ in self.boxes]
        for pair in self.pairs:
            a, b = bits_of(pair.both)
            near[a] |= 1 << b
            near[b] |= 1 << a
            edges[a][b] = edges[b][a] = pair
        made = {
            "apart": apart, "near": tuple(near), "edges": tuple(edges), "panel_bound": panels,
            "break_bound": BreakBound(self.words, panels), "risk_bound": RiskBound(self.chains, apart),
        }  # fmt: skip
        for name, value in made.items():
            object.__setattr__(self, name, value)

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
            if a < x0:
                x0 = a
            if b < y0:
                y0 = b
            if c > x1:
                x1 = c
            if d > y1:
                y1 = d
            units ^= low
        return x1 - x0, y1 - y0

    def area(self, units: int) -> int:
        """Return the box area of a panel of ``units``, in whole cm²."""
        width, height = self.box(units)
        return round(width * height / 100)

    def fits(self, units: int) -> bool:
        """Whether ``units`` can be one panel: within the usable area, and parted as no wish asks."""
        rest = units
        while rest:  # two that are apart: no need to measure
            low = rest & -rest
            if self.apart[low.bit_length() - 1] & units:
                return False
            rest ^= low
        width, height = self.box(units)
        return size_fits(width, height, self.limits)

    def cut(self, first: int, second: int) -> tuple[int, int]:
        """Return (in-word breaks, risk) of a cut with ``first`` on one side and ``second`` on the other."""
        if first.bit_count() > second.bit_count():
            first, second = second, first
        risk = breaks = 0
        while first:
            low = first & -first
            first ^= low
            unit = low.bit_length() - 1
            across = self.near[unit] & second
            while across:
                other = across & -across
                across ^= other
                pair = self.edges[unit][other.bit_length() - 1]
                breaks += pair.joins
                if pair.risk > risk:
                    risk = pair.risk
        return breaks, risk

    def least_panels(self, units: int) -> int:
        """Return a number of panels that no parting of ``units`` goes below."""
        return self.panel_bound.least(units)

    def least_breaks(self, units: int) -> int:
        """Return a number of in-word breaks that no parting of ``units`` goes below."""
        return self.break_bound.least(units)

    def least_risk(self, units: int) -> int:
        """Return a risk in thousandths that no parting of ``units`` goes below."""
        return self.risk_bound.least(units)
