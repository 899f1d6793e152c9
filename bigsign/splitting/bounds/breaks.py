"""A bound of the in-word breaks.

Lemma. Take the units of a word and, between them, the pairs that follow one another in it (each counts one break or
more if it is parted). Of a set of units that hang together by such pairs, and of which k can't share panels pairwise,
at least k - 1 pairs are parted: taking away the parted pairs leaves at least k sets that hang together, and each pair
taken away adds one set at most.

It holds whatever the cuts are. A letter that a seam parts may leave its word in sets that do not hang together: each
is bounded by itself, never the word as if it were whole.
"""

from __future__ import annotations

from collections.abc import Sequence

from bigsign.splitting.bits import bits_of
from bigsign.splitting.bounds.panels import PanelBound

__all__ = ["BreakBound"]


class BreakBound:
    """The bound for one family of units.

    Parameters
    ----------
    words : for each word, the pairs (bits of both) that follow one another in it.
    panels : tells which units can't share a panel.
    """

    def __init__(self, words: Sequence[Sequence[int]], panels: PanelBound) -> None:
        self._panels = panels
        self._words: list[tuple[int, dict[int, int]]] = []
        for pairs in words:
            near: dict[int, int] = {}
            for pair in pairs:
                a, b = bits_of(pair)
                near[a] = near.get(a, 0) | 1 << b
                near[b] = near.get(b, 0) | 1 << a
            everything = 0
            for pair in pairs:
                everything |= pair
            if self._panels.any_apart(everything):
                self._words.append((everything, near))

    def least(self, units: int) -> int:
        """Return a number of in-word breaks that no parting of ``units`` goes below."""
        return sum(len(found) - 1 for found in self.witness(units))

    def witness(self, units: int) -> list[list[int]]:
        """Return, for each set of a word that hangs together, units of which no two can share a panel."""
        out = []
        for word, near in self._words:
            here = units & word
            while here:
                part, here = _part(here, near)
                if part & (part - 1):
                    out.append(self._panels.clique(part))
        return out


def _part(units: int, near: dict[int, int]) -> tuple[int, int]:
    """Return the units that hang together with the lowest one, and the rest."""
    grown, part = units & -units, 0
    while grown:
        low = grown & -grown
        part |= low
        grown = (grown | near.get(low.bit_length() - 1, 0) & units) & ~part
    return part, units & ~part
