"""A bound of the panels.

Lemma. Call two units apart if their boxes together fit no way up, or a wish parts them. No panel holds two units that
are apart. So a parting of a set has at least as many panels as there are units in any part of it of which each two are
apart.

It holds whatever the cuts are. Which part is taken only decides how good the bound is: it is found greedily, from
either end of the reading order, and starting with each line.
"""

from __future__ import annotations

from collections.abc import Sequence

from bigsign.splitting.bits import bits_of

__all__ = ["PanelBound"]


class PanelBound:
    """The bound for one family of units.

    Parameters
    ----------
    apart : for each unit, the bits of the units that can't share a panel with it.
    rows : bits of the units of each line.
    """

    def __init__(self, apart: Sequence[int], rows: Sequence[int]) -> None:
        self._apart, self._rows = apart, rows

    def least(self, units: int) -> int:
        """Return a number of panels that no parting of ``units`` goes below."""
        return len(self.witness(units)) if units else 0

    def witness(self, units: int) -> list[int]:
        """Return units of which no two can share a panel, as many as were found."""
        best = max((self._greedy(units), self._greedy(units, forward=False)), key=len)
        for row in self._rows:
            here = units & row
            if here and here != units:
                chosen = self._greedy(here)
                left = units
                for unit in chosen:
                    left &= self._apart[unit]
                found = chosen + self._greedy(left)
                if len(found) > len(best):
                    best = found
        return best

    def clique(self, units: int) -> list[int]:
        """Return units of which no two can share a panel, found in reading order."""
        return self._greedy(units)

    def _greedy(self, units: int, forward: bool = True) -> list[int]:
        out = []
        while units:
            unit = ((units & -units) if forward else units).bit_length() - 1
            out.append(unit)
            units &= self._apart[unit]
        return out

    def holds(self, witness: Sequence[int]) -> bool:
        """Whether no two of these units can share a panel."""
        return all(
            self._apart[a] >> b & 1 for at, a in enumerate(witness) for b in witness[at + 1 :]
        )

    def any_apart(self, units: int) -> bool:
        """Whether some two of these units can't share a panel."""
        return any(self._apart[unit] & units for unit in bits_of(units))
