"""Small helpers on shapely's shapes that several rooms need."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

__all__ = ["Indexes", "components", "made_valid", "meeting", "polygons_of"]

Indexes = NDArray[np.int64]
AT_ONCE = 500  # shapes asked after at once: what meets them all is held in memory


def polygons_of(shape: shapely.Geometry) -> list[Polygon]:
    """Return the polygons of a shape in order, those of nested collections too; lines and points are dropped."""
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    return [polygon for part in getattr(shape, "geoms", ()) for polygon in polygons_of(part)]


def made_valid(shape: BaseGeometry) -> MultiPolygon:
    """Return the film of a shape as valid polygons that overlap nowhere; a valid one comes back as it is.

    What rounding pinched or crossed is taken apart by the rule of the outline's structure (OGC Simple Features: rings
    that overlap are united, holes cut), never by chance of ring direction; spikes and lines without area go.
    """
    if not shape.is_valid:
        shape = shapely.union_all(polygons_of(shapely.make_valid(shape, method="structure", keep_collapsed=False)))
    return MultiPolygon(polygons_of(shape))


def meeting(
    shapes: NDArray[np.object_], others: NDArray[np.object_] | None = None
) -> Iterator[tuple[Indexes, Indexes]]:
    """Yield pairs of indexes, of ``others`` (default: the shapes themselves) and of the shapes whose boxes meet theirs.

    Some at a time, so that many shapes that all meet each other do not fill the memory.
    """
    tree = shapely.STRtree(shapes)
    asked = shapes if others is None else others
    for at in range(0, len(asked), AT_ONCE):
        first, second = tree.query(asked[at : at + AT_ONCE])
        yield first + at, second


def components(count: int, pairs: Iterator[tuple[Indexes, Indexes]]) -> list[list[int]]:
    """Return the indexes below ``count`` in groups that hang together by ``pairs``; groups and members ascend."""
    label = np.arange(count)
    for first, second in pairs:
        while len(first):
            one, other = label[first], label[second]
            apart = one != other
            if not apart.any():
                break
            first, second = first[apart], second[apart]
            # The greater label's group takes the lesser's, then every label is followed to its end.
            np.minimum.at(label, np.maximum(one[apart], other[apart]), np.minimum(one[apart], other[apart]))
            while not np.array_equal(label, label[label]):
                label = label[label]
    groups: dict[int, list[int]] = {}
    for index, own in enumerate(label.tolist()):
        groups.setdefault(own, []).append(index)
    return list(groups.values())
