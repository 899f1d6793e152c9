"""Signs of very many shapes: parted by rule into areas that can each be searched, then searched one by one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from bigsign.splitting.cost import Family, Policy
from bigsign.splitting.search_records import Found, Parting, units_of
from bigsign.tolerances import TOLERANCES

__all__ = ["LARGE", "LARGE_PIECES", "LARGE_WORDS", "area_size", "search_areas"]

LARGE = 400  # letters, or other units, that a search takes at once
LARGE_WORDS = 700  # whole words
LARGE_PIECES = 250  # units where hardly a word can be kept whole: a search would come to no end
AREA = 160  # units of an area
MANY = 2_500  # units above which areas are half as large
SHARE = 0.2  # least share of the units on either side of a rough cut


def search_areas(
    family: Family, search_some: Callable[[Sequence[int]], Found], policy: Policy
) -> Found:
    """Return a good parting of very many units, with what is proved of all partings.

    Parameters
    ----------
    search_some : the search over some of the units (ranks), whose partings number them from 0 in that order.
    """
    units = list(range(len(family.boxes)))
    areas = _areas(family, units, area_size(len(units)))
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


def area_size(units: int) -> int:
    """Return how many units an area has at most: the lines between them grow with the cube of it."""
    return AREA if units <= MANY else AREA // 2


def _areas(family: Family, units: list[int], most: int) -> _Area:
    """Return the units in areas, cut apart by plumb and level lines between them."""
    if len(units) <= most:
        return units
    boxes = np.asarray([family.boxes[unit] for unit in units])
    held = {unit: n for n, unit in enumerate(units)}
    pairs = [(*_ends(pair.both), pair.joins) for pair in family.pairs if pair.joins]
    joined = np.array(
        [(held[a], held[b], joins) for a, b, joins in pairs if a in held and b in held], dtype=np.int64
    ).reshape(-1, 3)
    best: tuple[tuple[int, int], list[int], list[int]] | None = None
    for axis in (1, 0):
        order = np.argsort(boxes[:, axis], kind="stable")
        reach = np.maximum.accumulate(boxes[order, axis + 2])
        clear = boxes[order[1:], axis] - reach[:-1] > TOLERANCES.touch
        place = np.empty(len(units), dtype=np.int64)
        place[order] = np.arange(len(units))
        ends = np.sort(place[joined[:, :2]], axis=1)
        # In-word joins that a cut before each place parts: those that began before it and end there or after.
        parted = np.zeros(len(units) + 1, dtype=np.int64)
        np.add.at(parted, ends[:, 0] + 1, joined[:, 2])
        np.add.at(parted, ends[:, 1] + 1, -joined[:, 2])
        breaks = np.cumsum(parted)
        for at in np.flatnonzero(clear).tolist():
            count = at + 1
            if not SHARE * len(units) <= count <= (1 - SHARE) * len(units):
                continue
            key = (int(breaks[count]), abs(len(units) - 2 * count))
            if best is None or key < best[0]:
                first, second = (sorted(units[n] for n in some.tolist()) for some in (order[:count], order[count:]))
                best = (key, first, second)
    if best is None:
        return units
    return _areas(family, best[1], most), _areas(family, best[2], most)


def _ends(both: int) -> tuple[int, int]:
    """Return the two units of a pair."""
    return (both & -both).bit_length() - 1, both.bit_length() - 1


def _bits(units: Sequence[int]) -> int:
    out = 0
    for unit in units:
        out |= 1 << unit
    return out


def _renumbered(parting: Parting, area: Sequence[int]) -> Parting:
    if isinstance(parting, int):
        return _bits([area[n] for n in range(parting.bit_length()) if parting >> n & 1])
    return _renumbered(parting[0], area), _renumbered(parting[1], area)
