"""The triangles of clear room: which corners they have, and which lie side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

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
    doors = list(mesh.beside)
    ends = np.array(doors, dtype=np.float64).reshape(-1, 2, 2)
    wide = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    tight = (narrow / np.maximum(wide, LEAST_DOOR)).tolist()
    first = np.array([beside[0] for beside in mesh.beside.values()], dtype=np.intp)
    last = np.array([beside[-1] for beside in mesh.beside.values()], dtype=np.intp)
    far_apart = np.hypot(*(middles[first] - middles[last]).T).tolist()
    graph: nx.Graph[int] = nx.Graph()
    for n, beside in enumerate(mesh.beside.values()):
        door = doors[n]
        if len(beside) == 2:
            graph.add_edge(beside[0], beside[1], weight=far_apart[n] + tight[n], door=door)
        elif door[0] in island and island[door[0]] == island.get(door[1]):
            graph.add_edge(beside[0], ~island[door[0]], weight=tight[n], door=door)
    return graph


def short_tree(graph: nx.Graph[int], ends: Sequence[int]) -> nx.Graph[int]:
    """Return a short tree that joins nodes of a graph: those that hang together with the first; empty: none does.

    At most twice as long as the shortest (Mehlhorn's way); edges carry their `weight`.
    """
    if ends[0] not in graph:
        return graph.subgraph(())
    near = nx.node_connected_component(graph, ends[0])
    roots = [end for end in ends if end in near]
    before, length = _from_nearest(graph, roots)
    # where two ends' surroundings meet a way leads from the one to the other
    meetings: nx.Graph[int] = nx.Graph()
    meetings.add_nodes_from(roots)
    edges: Iterable[tuple[int, int, float]] = graph.edges(near, data="weight")
    for one, two, weight in edges:
        (from_one, far), (from_two, there) = length[one], length[two]
        whole = far + weight + there
        if from_one != from_two and whole < meetings.get_edge_data(from_one, from_two, {}).get("weight", np.inf):
            meetings.add_edge(from_one, from_two, weight=whole, through=(one, two))
    tree: nx.Graph[int] = nx.Graph()
    joined = nx.minimum_spanning_tree(meetings)
    crossings: list[tuple[int, int]] = [way["through"] for _, _, way in joined.edges(data=True)]
    for crossing in crossings:
        tree.add_edge(*crossing, weight=graph[crossing[0]][crossing[1]]["weight"])
        for node in crossing:
            while (back := before[node]) is not None:
                tree.add_edge(node, back, weight=graph[node][back]["weight"])
                node = back
    return tree


def _from_nearest(
    graph: nx.Graph[int], roots: Sequence[int]
) -> tuple[dict[int, int | None], dict[int, tuple[int, float]]]:
    """Return, of each node, the one before it on the way from its nearest root, and that root and how far it is."""
    before: dict[int, int | None] = {}
    length: dict[int, tuple[int, float]] = {}
    waiting: list[tuple[float, int, int, int | None]] = [(0.0, n, root, None) for n, root in enumerate(roots)]
    while waiting:
        far, n, node, back = heappop(waiting)
        if node in length:
            continue
        before[node], length[node] = back, (roots[n], far)
        for other, edge in graph[node].items():
            if other not in length:
                heappush(waiting, (far + edge["weight"], n, other, node))
    return before, length
