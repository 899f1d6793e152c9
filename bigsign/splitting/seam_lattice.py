"""The places at which the seams of film with plumb and level edges alone can all lie.

Lemma. Keep to one tree of cuts, with every cut between the same two neighbouring vertices of the film along its axis.
Then every chord that ends on film has one length, every other chord's length changes evenly with the seam it ends
on, and parts fit as long as differences of places of one axis, or of a place and a vertex, are no more than a limit's.
So the total is linear over a region of such differences and takes its least value in a corner, where every place is
tied, through others or by itself, to a vertex: it is a vertex's coordinate give or take sums of limits' sizes (less
the overlap). Where the limits are two pairs, widths and lengths mix in these sums. As a corner may lie at the end
of where a cut has its neighbouring vertices, places are looked at from both sides. The rules on slivers and on
distance from edges along the line are let go, which only adds partings.
"""


from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from bigsign.splitting.seam_records import SeamRules

__all__ = ["is_rectilinear", "lattice"]

PLACES = 90  # of an axis; with more of them the lattice is let go
STRAIGHT = 1e-6  # mm

Places = list[tuple[float, float]]


def is_rectilinear(film: MultiPolygon) -> bool:
    """Whether all edges of a film are plumb or level: what the lemma assumes."""
    for part in film.geoms:
        for ring in (part.exterior, *part.interiors):
            step = np.abs(np.diff(shapely.get_coordinates(ring), axis=0))
            if (step.min(axis=1) > STRAIGHT).any():
                return False
    return True


def lattice(film: MultiPolygon, rules: SeamRules) -> tuple[Places, Places] | None:
    """Return the places of both axes as strips of no width, in order; None where there are too many, or edges slant."""
    if not is_rectilinear(film):
        return None
    points = shapely.get_coordinates(film)
    out: list[Places] = []
    for axis in (0, 1):
        vertices = np.unique(np.round(points[:, axis], 6)).tolist()
        found = _closed(vertices, sorted({pair[axis] for pair in rules.limits}), rules.overlap, axis)
        if found is None:
            return None
        out.append([(at, at) for at in found])
    return out[0], out[1]


def _closed(vertices: list[float], sizes: list[float], overlap: float, axis: int) -> list[float] | None:
    """Return all places that ties lead to from the vertices; a part has its overlap at its left or its lower side."""
    low, high = vertices[0], vertices[-1]
    seen: dict[float, None] = dict.fromkeys(vertices)
    # from a film's own end a part reaches a whole size, from a seam at which it carries the overlap that much less
    first = [at + step for at in vertices for size in sizes for step in _from_end(size, overlap, axis)]
    queue = [*vertices, *first]
    pitches = [size - overlap for size in sizes]
    while queue:
        at = round(queue.pop(), 6)
        if not low < at < high:
            continue
        known = at in seen
        if known and at not in vertices:
            continue
        seen[at] = None
        if len(seen) > PLACES + 2:
            return None
        queue.extend(
            at + sign * pitch for pitch in pitches for sign in (1, -1)
            if low < at + sign * pitch < high and round(at + sign * pitch, 6) not in seen
        )  # fmt: skip
    return sorted(at for at in seen if low < at < high)


def _from_end(size: float, overlap: float, axis: int) -> tuple[float, float]:
    """Return the reach of a part from a film's end, onwards and back, up to the seam on its other side."""
    return (size, overlap - size) if axis == 0 else (size - overlap, -size)
