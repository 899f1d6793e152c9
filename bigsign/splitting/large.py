"""Signs of very many shapes: parted by rule into areas that can each be searched, then searched one by one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from bigsign.splitting.cost import Family, Policy
from bigsign.splitting.search_records import Found, Parting, units_of
from bigsign.tolerances import TOLERANCES

__all__ = ["LARGE", "LARGE_WORDS", "search_areas"]

LARGE = 400  # letters, or other units, that a search takes at once
LARGE_WORDS = 700  # whole words
AREA = 160  # units of an area
SHARE = 0.2  # least share of the units on either side of a rough cut


def search_areas(
    family: Family, search_some: Callable[[Sequence[int]], Found], policy: Policy
) -> Found:
    """Return a good parting of very many units, with what is proved of all partings.

    Parameters
    ----------
    search_some : the search over some of the units (ranks), whose partings number them from 0 in that order.
    """
    areas = _areas(family, list(range(len(family.boxes))))
    states = 0

    def part(area: _Area) -> tuple[Parting | None, int, int]:
        nonlocal states
        if isinstance(area, list):
            found = search_some(area)
            states += found.states
            return (None if found.parting is None else _renumbered(found.parting, area)), found.cost, found.area
        first, second = part(area[0]), part(area[1])
        if first[0] is None or second[0] is None:
            return None, 0, 0
        breaks, risk = family.cut(units_of(first[0]), units_of(second[0]))
        cost = policy.pack(breaks, 0, risk) + first[1] + second[1]
        return (first[0], second[0]), cost, max(first[2], second[2])

    parting, cost, area = part(areas)
    everything = family.everything
    bound = (family.least_breaks(everything), family.least_panels(everything), None)
    return Found(parting, cost, area, False, states, bound)


_Area = list[int] | tuple["_Area", "_Area"]


def _areas(family: Family, units: list[int]) -> _Area:
    """Return the units in areas, cut apart by plumb and level lines between them."""
    if len(units) <= AREA:
        return units
    boxes = np.asarray([family.boxes[unit] for unit in units])
    best: tuple[tuple[int, int], list[int], list[int]] | None = None
    for axis in (1, 0):
        order = np.argsort(boxes[:, axis], kind="stable")
        reach = np.maximum.accumulate(boxes[order, axis + 2])
        clear = boxes[order[1:], axis] - reach[:-1] > TOLERANCES.touch
        for at in np.flatnonzero(clear).tolist():
            count = at + 1
            if not SHARE * len(units) <= count <= (1 - SHARE) * len(units):
                continue
            first = [units[n] for n in order[:count].tolist()]
            inside = _bits(first)
            breaks = sum(
                pair.joins for pair in family.pairs if pair.both & inside and pair.both & ~inside & _bits(units)
            )
            key = (breaks, abs(len(units) - 2 * count))
            if best is None or key < best[0]:
                best = (key, sorted(first), sorted(units[n] for n in order[count:].tolist()))
    if best is None:
        return units
    return _areas(family, best[1]), _areas(family, best[2])


def _bits(units: Sequence[int]) -> int:
    out = 0
    for unit in units:
        out |= 1 << unit
    return out


def _renumbered(parting: Parting, area: Sequence[int]) -> Parting:
    if isinstance(parting, int):
        return _bits([area[n] for n in range(parting.bit_length()) if parting >> n & 1])
    return _renumbered(parting[0], area), _renumbered(parting[1], area)
