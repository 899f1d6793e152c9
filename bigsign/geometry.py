"""Small helpers on shapely's shapes that several rooms need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

__all__ = ["Indexes", "components", "least_links", "made_valid", "meeting", "polygons_of"]

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


def least_links(shapes: Sequence[BaseGeometry]) -> list[tuple[int, int, float]]:
    """Return the links (index, greater index, distance) of least total length that join all shapes, in order.

    Only pairs within some reach of one another are looked at, and the reach is doubled until they hang together. Lemma:
    the longest of the least links is no longer than the shortest reach at which all hang together (a longer one could
    be replaced by a link within reach across the same two sides), so no other pair counts.
    """
    if len(shapes) < 2:
        return []
    import networkx as nx  # here: slow to load, and much that uses this module needs none

    all_of = np.array(shapes, dtype=object)
    tree = shapely.STRtree(all_of)
    x0, y0, x1, y1 = shapely.total_bounds(all_of)
    across = float(np.hypot(x1 - x0, y1 - y0))
    reach = across / len(shapes)
    while True:
        first, second = tree.query(all_of, predicate="dwithin", distance=reach)
        if reach >= across or len(components(len(shapes), iter([(first, second)]))) == 1:
            break
        reach *= 2
    pairs = np.unique(np.column_stack([first, second])[first < second], axis=0)
    lengths = shapely.distance(all_of[pairs[:, 0]], all_of[pairs[:, 1]])
    graph: nx.Graph[int] = nx.Graph()
    graph.add_weighted_edges_from(zip(*pairs.T.tolist(), lengths.tolist(), strict=True))
    return sorted((min(a, b), max(a, b), data["weight"]) for a, b, data in nx.minimum_spanning_edges(graph, data=True))
