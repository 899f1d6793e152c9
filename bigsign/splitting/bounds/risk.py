"""A bound of the risk.

Lemma. Let units of one line of lettering be such that one straight line, the *skewer*, meets the hull of each, and let
none of them hook with anything. A cut that leaves its straight line only at hooks has each of these hulls clear of its
line, on its own side, and its line meets the skewer once at most. So it parts them, in their order along the skewer,
into those before and those behind one place between two neighbours; two cuts of a tree part them at two places. Where
two neighbours are joined by an edge, the cut between them parts it, whatever was cut before, and costs its risk at
least. (Edges by way of a third unit say nothing: a cut may have taken that away.) So the risk of a parting is at least
the least sum of such costs over places that leave no two units together that can't share a panel.

The assumption is guarded: units that may hook are left out of a chain, and the bound is switched off (`holds` False)
once a set had to be opened by a cut that winds freely. Of several chains the best counts: one cut may part many lines.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from bigsign.splitting.bits import set_of
from bigsign.splitting.graph import FloatArray

__all__ = ["Chain", "RiskBound", "find_chains"]


@dataclass(frozen=True, slots=True)
class Chain:
    """Units in their order along a skewer, and between each two what parting them costs; 0 where no edge joins them."""

    units: tuple[int, ...]
    costs: tuple[int, ...]


class RiskBound:
    """The bound for one family of units.

    Parameters
    ----------
    chains : from `find_chains`.
    apart : for each unit, the bits of the units that can't share a panel with it.
    """

    def __init__(self, chains: Sequence[Chain], apart: Sequence[int]) -> None:
        self._chains, self._apart = chains, apart
        self._masks = [set_of(chain.units) for chain in chains]
        self.holds = True

    def least(self, units: int) -> int:
        """Return a risk in thousandths that no parting of ``units`` goes below; 0 where the lemma does not hold."""
        if not self.holds:
            return 0
        best = 0
        for chain, mask in zip(self._chains, self._masks, strict=True):
            here = mask & units
            if here & (here - 1):
                best = max(best, self._least(chain, units))
        return best

    def _least(self, chain: Chain, units: int) -> int:
        """Return the least sum over the places of a chain at which its units in the set have to be parted."""
        here = [n for n, unit in enumerate(chain.units) if units >> unit & 1]
        costs = [0]
        for before, n in pairwise(here):
            costs.append(chain.costs[before] if n == before + 1 else 0)
        first, best = 0, [0]  # best[k]: the least for the first k units
        for end, n in enumerate(here):
            for at in range(end - 1, first - 1, -1):
                if self._apart[chain.units[n]] >> chain.units[here[at]] & 1:
                    first = at + 1
                    break
            best.append(min(best[at] + costs[at] for at in range(first, end + 1)))
        return best[-1]


def find_chains(
    rows: Sequence[Sequence[int]], hulls: Sequence[FloatArray], hookable: int, risks: Mapping[int, int]
) -> list[Chain]:
    """Return a chain for each row of units.

    Parameters
    ----------
    rows : the units of each line of lettering in reading order.
    hulls : of each unit, k × 2 points, mm.
    hookable : bits of the units that may hook with something.
    risks : the risk of each pair of units joined by an edge (bits of both), in thousandths.
    """
    out = []
    for row in rows:
        free = [unit for unit in row if not hookable >> unit & 1]
        if len(free) > 1:
            chain = _chain(free, hulls, risks)
            if chain is not None:
                out.append(chain)
    return out


def _chain(free: Sequence[int], hulls: Sequence[FloatArray], risks: Mapping[int, int]) -> Chain | None:
    middles = np.array([hulls[unit].mean(axis=0) for unit in free])
    away = middles[-1] - middles[0]
    size = float(np.hypot(*away))
    if size == 0.0:
        return None
    along = away / size
    across = np.array([-along[1], along[0]])
    spans = [(float((hulls[unit] @ across).min()), float((hulls[unit] @ across).max())) for unit in free]
    # the skewer runs along the line at the height that meets most hulls
    places = [(low + high) / 2 for low, high in spans] + [end for span in spans for end in span]
    at = max(places, key=lambda place: (sum(low <= place <= high for low, high in spans), -abs(place)))
    met = [unit for unit, (low, high) in zip(free, spans, strict=True) if low <= at <= high]
    met.sort(key=lambda unit: _place_on(hulls[unit], along, across, at))
    if len(met) < 2:
        return None
    return Chain(tuple(met), tuple(risks.get(1 << one | 1 << two, 0) for one, two in pairwise(met)))


def _place_on(hull: FloatArray, along: FloatArray, across: FloatArray, at: float) -> float:
    """Return where a hull begins on the skewer: hulls that are apart meet it one after the other."""
    u, v = hull @ along, hull @ across - at
    places = [float(u[n]) for n in range(len(u)) if v[n] == 0.0]
    for n in range(len(u)):
        if v[n - 1] * v[n] < 0:
            places.append(float(u[n - 1] + (u[n] - u[n - 1]) * v[n - 1] / (v[n - 1] - v[n])))
    return min(places, default=float(u.min()))
