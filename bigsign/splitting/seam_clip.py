"""Carrying out one cut: the parts before and after a plumb or level line, and the chords where they meet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import GeometryCollection, MultiPolygon, Polygon, box

from bigsign.geometry import components, polygons_of
from bigsign.splitting.seam_records import Bounds, film_of

__all__ = ["chords_of", "clipped", "first_point", "halves", "shared"]

Span = tuple[float, float]

LEAST = 1e-6  # mm²: smaller parts are none


def clipped(shape: shapely.Geometry, area: Bounds, expected: float | None = None) -> list[Polygon]:
    """Return the polygons of a shape within a box; mm.

    Parameters
    ----------
    expected : their area in mm² where it is known. The quick way of clipping is checked by it.
    """
    if area[0] >= area[2] or area[1] >= area[3]:
        return []
    found = _quickly(shape, area)
    if found is None or (expected is not None and abs(_area(found) - expected) > 1e-6 * (1.0 + expected)):
        found = polygons_of(shapely.intersection(shape, box(*area)))
    return [part for part in found if part.area > LEAST]


def _quickly(shape: shapely.Geometry, area: Bounds) -> list[Polygon] | None:
    """Return what the quick way gives; None if a ring of that touches itself, which holes at an outline can leave."""
    try:
        found = polygons_of(shapely.clip_by_rect(shape, *area))
    except shapely.GEOSException:  # of a ring that would be left with three points
        return None
    holed = shapely.get_num_interior_rings(shapely.get_parts(shape)).any()
    return None if holed and not shapely.is_simple(shapely.get_rings(found)).all() else found


def _area(parts: Sequence[Polygon]) -> float:
    return sum(part.area for part in parts)


def halves(
    shape: MultiPolygon, axis: int, at: float, share: float | None = None
) -> tuple[list[MultiPolygon], list[MultiPolygon]]:
    """Return the parts of a shape before and after a line: films whose hulls interlock stay together.

    Parameters
    ----------
    share : the share of the area before the line, 0 to 1, where it is known.
    """
    x0, y0, x1, y1 = shape.bounds
    first = (x0 - 1, y0 - 1, at, y1 + 1) if axis == 0 else (x0 - 1, y0 - 1, x1 + 1, at)
    second = (at, y0 - 1, x1 + 1, y1 + 1) if axis == 0 else (x0 - 1, at, x1 + 1, y1 + 1)
    area = shape.area
    before = None if share is None else share * area
    after = None if share is None else (1 - share) * area
    return _groups(clipped(shape, first, before)), _groups(clipped(shape, second, after))


def _groups(parts: Sequence[Polygon]) -> list[MultiPolygon]:
    """Return the polygons, those whose hulls meet together."""
    sets = [[part] for part in sorted(parts, key=lambda part: part.bounds)]
    hulls = shapely.convex_hull(np.array([part for (part,) in sets], dtype=object))
    while len(sets) > 1:
        pairs = shapely.STRtree(hulls).query(hulls, predicate="dwithin", distance=1e-9)
        found = components(len(sets), iter([(pairs[0], pairs[1])]))
        if len(found) == len(sets):
            break
        sets = [[part for at in group for part in sets[at]] for group in found]
        hulls = np.array([GeometryCollection(hulls[group].tolist()).convex_hull for group in found], dtype=object)
    return [film_of(MultiPolygon(group)) for group in sets]


def chords_of(groups: Sequence[MultiPolygon], axis: int, at: float) -> tuple[Span, ...]:
    """Return where film of one side meets the line, (low, high) along it."""
    rings = shapely.get_rings(np.array([part for group in groups for part in group.geoms], dtype=object))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    on = np.abs(points[:, axis] - at) < 1e-7
    here = np.flatnonzero(on[:-1] & on[1:] & (ring[:-1] == ring[1:]))
    ends = np.sort(np.column_stack([points[here, 1 - axis], points[here + 1, 1 - axis]]), axis=1)
    return tuple(_merged(sorted((a, b) for a, b in ends.tolist() if b - a > 1e-9)))


def shared(first: Sequence[Span], second: Sequence[Span]) -> tuple[Span, ...]:
    """Return what two rows of spans have in common."""
    return tuple(
        (max(a, c), min(b, d)) for a, b in first for c, d in second if min(b, d) - max(a, c) > 1e-9
    )  # fmt: skip


def first_point(part: Polygon) -> tuple[float, float]:
    """Return the leftmost of a polygon's points, of several the first down the sheet.

    A part of some film that a box holds is known by its own bounds and this point: of the film within those bounds
    it is the one connected part that has the point.
    """
    points = shapely.get_coordinates(part.exterior)
    x = points[:, 0].min()
    return round(float(x), 6), round(float(points[points[:, 0] <= x + 1e-9, 1].min()), 6)


def _merged(spans: Sequence[Span]) -> list[Span]:
    out: list[Span] = []
    for low, high in spans:
        if out and low <= out[-1][1] + 1e-9:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out
