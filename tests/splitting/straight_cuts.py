"""Can straight cuts part these groups? Written apart from the library, and by another way: a sweep of directions.

Two convex sets can be parted by lines across the direction u exactly while u lies in an open arc of directions.
Between two neighbouring arc ends (over all pairs) no pair of shadows on u changes its order, so one direction each
tells whether some line across it parts the groups in two. A set of groups that straight cuts part can be parted from
any first cut on (a cut tree, with groups left out, still is one), so nothing has to be tried twice.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from shapely.geometry import MultiPoint, Polygon

__all__ = ["Points", "core_that_cannot_be_cut", "hull_of", "stuck_groups"]

Points = npt.NDArray[np.float64]

LEAST_ARC = 1e-9  # radians: the hulls touch


def hull_of(parts: Sequence[Points]) -> Points:
    """Return the corners of the convex hull of some point sets, k × 2."""
    points = np.concatenate(parts)
    if len(parts) == 1 or len(points) < 3:
        return points
    hull = MultiPoint(points).convex_hull
    return np.asarray(hull.exterior.coords)[:-1] if isinstance(hull, Polygon) else np.asarray(hull.coords)


def arc_between(first: Points, second: Points) -> tuple[float, float] | None:
    """Return the open arc (from, to; radians) of directions in which all of ``first`` comes before ``second``."""
    ways = (second[None, :, :] - first[:, None, :]).reshape(-1, 2)
    middle = second.mean(axis=0) - first.mean(axis=0)
    base = float(np.arctan2(middle[1], middle[0]))
    turn = np.arctan2(middle[0] * ways[:, 1] - middle[1] * ways[:, 0], ways @ middle)
    low, high = float(turn.max()) - np.pi / 2, float(turn.min()) + np.pi / 2
    return (base + low, base + high) if high - low > LEAST_ARC else None


def stuck_groups(hulls: Sequence[Points]) -> list[int]:
    """Return the first set of groups met that no straight line parts in two; none: straight cuts part them all."""
    arcs: dict[tuple[int, int], tuple[float, float]] = {}
    for i in range(len(hulls)):
        for j in range(i + 1, len(hulls)):
            arc = arc_between(hulls[i], hulls[j])
            if arc is None:
                return [i, j]
            arcs[i, j] = arc
    waiting = [list(range(len(hulls)))]
    while waiting:
        groups = waiting.pop()
        if len(groups) < 2:
            continue
        sides = _cut(groups, hulls, arcs)
        if sides is None:
            return groups
        waiting.extend(sides)
    return []


def _cut(
    groups: Sequence[int], hulls: Sequence[Points], arcs: dict[tuple[int, int], tuple[float, float]]
) -> tuple[list[int], list[int]] | None:
    """Return the two sides of some straight line that parts ``groups``."""
    ends = {end % np.pi for i in groups for j in groups if i < j for end in arcs[i, j]}
    marks = np.array(sorted(ends))
    middles = (marks + np.append(marks[1:], marks[0] + np.pi)) / 2
    # plumb and level first: most lettering is parted there
    for angle in (0.0, np.pi / 2, *middles.tolist()):
        u = np.array([np.cos(angle), np.sin(angle)])
        shadows = sorted((float((hulls[g] @ u).min()), float((hulls[g] @ u).max()), g) for g in groups)
        reach = shadows[0][1]
        for at in range(1, len(shadows)):
            if shadows[at][0] > reach:
                return [g for _, _, g in shadows[:at]], [g for _, _, g in shadows[at:]]
            reach = max(reach, shadows[at][1])
    return None


def core_that_cannot_be_cut(groups: Sequence[Sequence[int]], hulls: Sequence[Points]) -> list[list[int]]:
    """Return a smallest part of these groups of shapes that straight cuts can't part; none: they part the whole.

    Smallest: take any shape out and the rest can be cut. ``hulls`` are of the shapes, ``groups`` hold their indices.
    """
    stuck = stuck_groups([hull_of([hulls[i] for i in group]) for group in groups])
    core = [list(groups[at]) for at in stuck]
    for at in range(len(core)):
        for shape in list(core[at]):
            trial = [[i for i in group if not (k == at and i == shape)] for k, group in enumerate(core)]
            left = [group for group in trial if group]
            if stuck_groups([hull_of([hulls[i] for i in group]) for group in left]):
                core = trial
    return [group for group in core if group]
