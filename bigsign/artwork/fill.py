"""What a fill rule fills: closed rings, crossing as they may, to a valid MultiPolygon.

The rings' lines are noded, the faces between them found, and each face's winding number counted on the rings
as they came; nothing depends on ring direction conventions or on repairing invalid polygons. All in doubles,
no unit assumed. Source of the rules: SVG 2, property fill-rule (nonzero, evenodd), clause from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.flatten import Point
from bigsign.budgets import BUDGETS
from bigsign.geometry import components, made_valid, meeting, polygons_of

__all__ = ["Crossings", "resolve_fill"]

DUST = 1e-12
"""Faces and holes smaller than this share of the rings' squared extent are rounding, not artwork."""

BLOCK = 64  # points whose winding numbers are counted together

@dataclass(slots=True)
class Crossings:
    """How often the outlines filled so far cross, and edges looked at to fill them, for budgets that several share."""

    count: int = 0
    looks: int = 0


def resolve_fill(rings: Sequence[Sequence[Point]], rule: str, met: Crossings | None = None) -> MultiPolygon:
    """Return the region that ``rings`` fill under ``rule``, as a valid MultiPolygon (empty if nothing).

    Parameters
    ----------
    rings : closed rings, first point repeated at the end or not; they may cross themselves and each other.
    rule : "nonzero" or "evenodd".
    met : crossings of what was filled before, which count as well; those of these rings are added.

    Raises
    ------
    ValueError
        If the rule is another, a coordinate is not finite, or the rings cross more than
        ``BUDGETS.crossings`` times.

    Examples
    --------
    >>> square = [(0, 0), (4, 0), (4, 4), (0, 4)]
    >>> inner = [(1, 1), (3, 1), (3, 3), (1, 3)]
    >>> resolve_fill([square, inner], "nonzero").area, resolve_fill([square, inner], "evenodd").area
    (16.0, 12.0)
    """
    if rule not in ("nonzero", "evenodd"):
        raise ValueError(f"fill rule must be 'nonzero' or 'evenodd', not {rule!r}")
    met = met or Crossings()
    closed = [array for ring in rings if (array := _closed(ring)) is not None]
    parts: list[Polygon] = []
    for cluster in _clusters(closed):
        parts.extend(_fill_cluster([closed[k] for k in cluster], rule, met))
    return MultiPolygon(parts)


def _closed(ring: Sequence[Point]) -> NDArray[np.float64] | None:
    points = np.asarray(ring, dtype=float).reshape(-1, 2)
    if len(points) < 3:
        return None
    if not np.isfinite(points).all():
        raise ValueError("a ring has a coordinate that is not a finite number")
    points = np.vstack([points, points[:1]])
    points = points[np.concatenate([[True], (np.diff(points, axis=0) != 0).any(axis=1)])]
    return points if len(points) >= 4 else None


def _clusters(rings: list[NDArray[np.float64]]) -> list[list[int]]:
    """Group rings whose boxes hang together; others cannot influence one another. In order of first ring."""
    if len(rings) < 2:
        return [[k] for k in range(len(rings))]
    lows = np.array([ring.min(axis=0) for ring in rings])
    highs = np.array([ring.max(axis=0) for ring in rings])
    boxes = shapely.box(lows[:, 0], lows[:, 1], highs[:, 0], highs[:, 1])
    return components(len(rings), meeting(boxes))


def _fill_cluster(rings: list[NDArray[np.float64]], rule: str, met: Crossings) -> list[Polygon]:
    if len(rings) == 1:
        simple = Polygon(rings[0])
        if simple.is_valid:  # one ring that doesn't cross itself fills the same under both rules
            return [simple]
    lows = np.min([ring.min(axis=0) for ring in rings], axis=0)
    highs = np.max([ring.max(axis=0) for ring in rings], axis=0)
    dust = DUST * float(((highs - lows) ** 2).sum())
    # Far from the origin doubles thin out: nodes are placed best near it.
    middle = (lows + highs) / 2
    local = [ring - middle for ring in rings]
    _count_crossings(local, met)
    noded = _noded([LineString(ring) for ring in local])
    faces = [face for face in polygons_of(_faces(noded)) if face.area > dust]
    if not faces:
        return []
    inside = shapely.get_coordinates(shapely.point_on_surface(faces))
    winding = _winding(local, inside, met)
    filled = winding != 0 if rule == "nonzero" else winding % 2 != 0
    kept = [face for face, keep in zip(faces, filled, strict=True) if keep]
    if not kept:
        return []
    united = shapely.union_all(kept)
    moved = shapely.transform(united, lambda points: points + middle)
    return [_without_dust(polygon, dust) for polygon in made_valid(moved).geoms if polygon.area > dust]


def _count_crossings(rings: list[NDArray[np.float64]], met: Crossings) -> None:
    """Count how often rings cross, and refuse those that cross too often, before noding them would fill the memory."""
    ends = np.vstack([np.hstack([ring[:-1], ring[1:]]) for ring in rings])
    segments = np.asarray(shapely.linestrings(ends.reshape(-1, 2, 2)))
    tree = shapely.STRtree(segments)
    twice = -3 * len(ends)  # each segment meets itself and its two neighbours, each crossing is met from both sides
    block = max(16, 2_000_000 // len(ends))  # few enough at a time that all their meetings fit the memory
    for at in range(0, len(ends), block):
        twice += tree.query(segments[at : at + block], predicate="intersects").shape[1]
        if met.count + twice // 2 > BUDGETS.crossings:
            raise ValueError(f"outlines cross themselves more than {BUDGETS.crossings:,} times")
    met.count += max(0, twice // 2)


def _noded(lines: list[LineString]) -> BaseGeometry:
    try:
        return shapely.union_all(lines)
    except shapely.errors.GEOSException:
        # Plain noding can fail on near-coincident lines; snap rounding on a grid far below any film cannot.
        extent = float(np.ptp(shapely.get_coordinates(lines), axis=0).max())
        return shapely.union_all(lines, grid_size=extent * 1e-10)


def _faces(noded: BaseGeometry) -> BaseGeometry:
    faces: BaseGeometry = shapely.polygonize(list(shapely.get_parts(noded)))
    return faces


def _without_dust(polygon: Polygon, dust: float) -> Polygon:
    holes = [ring for ring in polygon.interiors if Polygon(ring).area > dust]
    return polygon if len(holes) == len(polygon.interiors) else Polygon(polygon.exterior, holes)


def _winding(rings: list[NDArray[np.float64]], points: NDArray[np.float64], met: Crossings) -> NDArray[np.int64]:
    """Winding number of ``rings`` about each of ``points``: signed crossings of a ray to the right."""
    count = np.zeros(len(points), dtype=np.int64)
    for ring in rings:
        low, high = ring.min(axis=0), ring.max(axis=0)
        near = np.flatnonzero(((points >= low) & (points <= high)).all(axis=1))
        if not len(near):
            continue
        near = near[np.argsort(points[near, 1], kind="stable")]
        lowest, highest = np.minimum(ring[:-1, 1], ring[1:, 1]), np.maximum(ring[:-1, 1], ring[1:, 1])
        # Blocks keep the table of points times edges small, and of points of about one height few edges are at it.
        for at in range(0, len(near), BLOCK):
            some = near[at : at + BLOCK]
            x, y = points[some, 0][:, None], points[some, 1][:, None]
            passing = np.flatnonzero((lowest <= y[-1]) & (highest >= y[0]))
            met.looks += len(some) * len(passing)
            if met.looks > BUDGETS.fill_looks:
                raise ValueError(f"what outlines fill takes more than {BUDGETS.fill_looks:,} looks at their edges")
            start, end = ring[:-1][passing], ring[1:][passing]
            run, rise = (end - start).T
            up = (start[:, 1] <= y) & (end[:, 1] > y)
            down = (start[:, 1] > y) & (end[:, 1] <= y)
            side = run * (y - start[:, 1]) - (x - start[:, 0]) * rise
            count[some] += (up & (side > 0)).sum(axis=1) - (down & (side < 0)).sum(axis=1)
    return count
