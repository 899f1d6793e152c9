"""What a search knows and finds: partings, their costs, and what stays true when it begins anew with fewer cuts."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

__all__ = ["Best", "Found", "Known", "Other", "Parting", "units_of"]

# A parting is a set of units that stay together, or two partings.
Parting = int | tuple["Parting", "Parting"]

@dataclass(frozen=True, slots=True)
class Found:
    """What a search found: the best parting (None: there is none), its cost, and what is proved.

    ``bound`` is (breaks, panels, risk) below which nothing is possible, risk None where it was not settled. ``others``
    holds, for each set of units that the parting cuts, the next best cut of it (None: no other leads to a parting);
    sets for which it was not settled are absent. ``freed``: some set had to be opened by a line that winds freely.
    """

    parting: Parting | None
    cost: int
    area: int
    proved: bool
    states: int
    bound: tuple[int, int, int | None]
    others: Mapping[int, Other | None] = field(default_factory=dict)
    freed: bool = False


@dataclass(frozen=True, slots=True)
class Other:
    """The best cut of a set of units but for the one chosen: one side of it, and what it costs more in all."""

    side: int
    breaks: int
    panels: int
    risk: int
    area: int


@dataclass(slots=True)
class Best:
    """The best parting of a set: its packed cost, its largest panel in cm², and its first cut; None: one panel."""

    cost: int
    area: int
    cut: tuple[int, int] | None


@dataclass(slots=True)
class Known:
    """What is known of sets of units; most of it stays true when a search begins anew with fewer cuts.

    Parameters
    ----------
    exact : the best parting of a set.
    above : a cost such that no parting of the set costs this or less.
    moves : the cuts of a set, as `_Search.cuts` returns them.
    rough : a parting of all by cuts along which lines run.
    """

    exact: dict[int, Best | None] = field(default_factory=dict)
    above: dict[int, int] = field(default_factory=dict)
    floors: dict[int, int] = field(default_factory=dict)
    moves: dict[int, list[tuple[int, int, int, int]]] = field(default_factory=dict)
    rough: Parting | None = None

    def forget(self, shut: Collection[tuple[int, int]]) -> None:
        """Forget what relies on cuts that are not to be made: a parting without them stays the best of its set."""
        for side, other in shut:
            self.moves.pop(side | other, None)
        relies: dict[int, bool] = {}
        for units in sorted(self.exact, key=int.bit_count):  # parts before wholes
            best = self.exact[units]
            cut = None if best is None else best.cut
            relies[units] = cut is not None and (
                cut in shut or cut[::-1] in shut or any(relies.get(side, True) for side in cut)
            )
        for units in [units for units, relying in relies.items() if relying]:
            del self.exact[units]


def units_of(parting: Parting) -> int:
    """Return all units of a parting."""
    return parting if isinstance(parting, int) else units_of(parting[0]) | units_of(parting[1])
