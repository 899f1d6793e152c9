"""Partings by lines along one axis only, through the whole of a film: the best choice of places, found by a table.

Between two lines stands a slab; slabs that fit may follow one another. The least cost of all lines up to a place is
that of the best line before it whose slab fits, and its own: so the table finds the best choice among the places
given. Long lettering in a row is mostly parted so.
"""

from __future__ import annotations

from itertools import pairwise

import shapely
from shapely.geometry import Polygon

from bigsign.splitting.limits import box_fits
from bigsign.splitting.seam_cuts import Cutting, Group, Node, gathered
from bigsign.splitting.seam_places import Place, cheapest_of_each_stretch
from bigsign.splitting.seam_records import Total

__all__ = ["parallel"]

MOST = 160  # places of an axis: the cheapest, and the cheapest of each stretch
NOTHING = Total(0, 0, 0, 0.0)


def parallel(cutting: Cutting, whole: Group, axis: int) -> Node | None:
    """Return the best parting of a film by lines along one axis; None if there is none."""
    places = _chosen([place for place in cutting.moves(whole) if place.axis == axis])
    if not places:
        return None
    x0, y0, x1, y1 = whole.shape.bounds
    ends = [(x0, y0)[axis], *(place.at for place in places), (x1, y1)[axis]]
    reach: list[tuple[float, float]] = []
    for low, high in pairwise(ends):
        window = (low, y0 - 1, high, y1 + 1) if axis == 0 else (x0 - 1, low, x1 + 1, high)
        part = shapely.clip_by_rect(whole.shape, *window) if low < high else Polygon()
        box = part.bounds
        reach.append((float("inf"), float("-inf")) if part.is_empty else (box[1 - axis], box[3 - axis]))
    cutting.work += len(reach) // 8
    best: list[tuple[Total, int] | None] = [(NOTHING, -1)]
    for end in range(1, len(ends)):
        own = places[end - 1].cost if end <= len(places) else NOTHING
        found: tuple[Total, int] | None = None
        low, high = float("inf"), float("-inf")
        for start in range(end - 1, -1, -1):
            low, high = min(low, reach[start][0]), max(high, reach[start][1])
            before = best[start]
            # the part right of a plumb line, and the part above a level one, carries the overlap
            lap = cutting.rules.overlap
            a = ends[start] - (lap if axis == 0 and start > 0 else 0.0)
            b = ends[end] + (lap if axis == 1 and end < len(ends) - 1 else 0.0)
            slab = (a, low, b, high) if axis == 0 else (low, a, high, b)
            if low <= high and not box_fits(slab, cutting.rules.limits):
                break
            if before is not None and (found is None or before[0].plus(own) < found[0]):
                found = (before[0].plus(own), start)
        best.append(found)
    if best[-1] is None:
        return None
    chosen = []
    at = best[-1][1]
    while at > 0:
        chosen.append(places[at - 1].at)
        here = best[at]
        assert here is not None
        at = here[1]
    return _carried_out(cutting, whole, axis, sorted(chosen))


def _carried_out(cutting: Cutting, group: Group, axis: int, places: list[float]) -> Node | None:
    """Return the parting by lines at some places, the first first."""
    if cutting.fits(group):
        return Node(group, NOTHING)
    low, high = group.shape.bounds[axis], group.shape.bounds[axis + 2]
    inside = [at for at in places if low < at < high]
    for at in inside[:1]:
        made = cutting.make(group, axis, at)
        if made is None:
            return None
        children = [_carried_out(cutting, part, axis, inside[1:]) for part in made.groups]
        if all(child is not None for child in children):
            return gathered(group, made, [child for child in children if child is not None])
    return None


def _chosen(places: list[Place]) -> list[Place]:
    """Return places in order: the cheapest of all, and the cheapest of each stretch."""
    if len(places) > MOST:
        kept = dict.fromkeys([*places[: MOST // 2], *cheapest_of_each_stretch(places, MOST // 2)])
        places = list(kept)
    return sorted(places, key=lambda place: (place.at, place.cost))
