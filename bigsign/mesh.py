"""The triangles of clear room: which corners they have, and which lie side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import networkx as nx
import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

__all__ = ["Corner", "Mesh", "short_tree", "triangulate", "walk_of"]

Corner = tuple[float, float]
Edge = tuple[Corner, Corner]

LEAST_DOOR = 1e-7  # mm: a door counts as at least so wide


@dataclass(frozen=True)
class Mesh:
    """Triangles by their corners (mm), and for each edge the one or two triangles beside it."""

    triangles: tuple[tuple[Corner, Corner, Corner], ...]
    beside: dict[Edge, list[int]]

    def neighbours(self, at: int) -> Iterator[tuple[int, Edge]]:
        """Yield the triangles that share an edge with one, with that edge."""
        for edge in edges_of(self.triangles[at]):
            for other in self.beside[edge]:
                if other != at:
                    yield other, edge

    def middles(self) -> npt.NDArray[np.float64]:
        """Return the middle of each triangle, n × 2."""
        corners = np.asarray(self.triangles, dtype=np.float64).reshape(-1, 3, 2)
        return np.asarray(corners.mean(axis=1))


def edges_of(triangle: tuple[Corner, Corner, Corner]) -> tuple[Edge, Edge, Edge]:
    """Return the edges of a triangle, each from its lower corner."""
    a, b, c = sorted(triangle)
    return (a, b), (a, c), (b, c)


def triangulate(room: BaseGeometry) -> Mesh:
    """Return the constrained Delaunay triangles of a region: no edge of its outline is crossed."""
    parts = shapely.get_parts(shapely.constrained_delaunay_triangles(room))
    corners = shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3]
    triangles = tuple(
        ((float(a[0]), float(a[1])), (float(b[0]), float(b[1])), (float(c[0]), float(c[1]))) for a, b, c in corners
    )
    beside: dict[Edge, list[int]] = {}
    for at, triangle in enumerate(triangles):
        for edge in edges_of(triangle):
            beside.setdefault(edge, []).append(at)
    return Mesh(triangles, beside)


def walk_of(mesh: Mesh, island: Mapping[Corner, int], narrow: float = 0.0) -> nx.Graph[int]:
    """Return the triangles that lie side by side as a graph, numbered as in the mesh, and the islands beside them.

    Edges carry the way between the middles of two triangles as `weight` (mm; 0 to an island) and the edge of the mesh
    through which it leads as `door`.

    Parameters
    ----------
    island : by corner, the number of the island that has it: island n is node ~n.
    narrow : mm²: a way counts as so many mm longer, over the width of a door.
    """
    middles = mesh.middles()
    graph: nx.Graph[int] = nx.Graph()
    for door, beside in mesh.beside.items():
        (ax, ay), (bx, by) = door
        tight = narrow / max(float(np.hypot(bx - ax, by - ay)), LEAST_DOOR)
        if len(beside) == 2:
            far_apart = float(np.hypot(*(middles[beside[0]] - middles[beside[1]])))
            graph.add_edge(beside[0], beside[1], weight=far_apart + tight, door=door)
        elif door[0] in island and island[door[0]] == island.get(door[1]):
            graph.add_edge(beside[0], ~island[door[0]], weight=tight, door=door)
    return graph


def short_tree(graph: nx.Graph[int], ends: Sequence[int]) -> nx.Graph[int]:
    """Return a short tree that joins nodes of a graph: those that hang together with the first; empty: none does.

    At most twice as long as the shortest (Mehlhorn's way); edges carry their `weight`.
    """
    if ends[0] not in graph:
        return graph.subgraph(())
    near = nx.node_connected_component(graph, ends[0])
    return nx.approximation.steiner_tree(
        graph.subgraph(near).copy(), [end for end in ends if end in near], weight="weight", method="mehlhorn"
    )
