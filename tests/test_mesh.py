"""Triangles of clear room as a graph, and short trees in it."""

from __future__ import annotations

import math
import random
from itertools import combinations

import networkx as nx
import pytest
from shapely.geometry import Polygon, box

from bigsign.mesh import short_tree, triangulate, walk_of


def cheapest(graph: nx.Graph[int], ends: list[int]) -> float:
    """Return the length of the shortest tree that joins nodes, over every set of nodes besides."""
    best = float("inf")
    others = [node for node in graph if node not in ends]
    for count in range(len(others) + 1):
        for more in combinations(others, count):
            part = graph.subgraph([*ends, *more])
            if nx.is_connected(part):
                best = min(best, nx.minimum_spanning_tree(part).size("weight"))
    return best


def test_a_short_tree_joins_all_and_is_at_most_twice_as_long_as_the_shortest() -> None:
    rng = random.Random(5)
    longer = 0
    for seed in range(60):
        graph = nx.connected_watts_strogatz_graph(8, 3, 0.5, seed=seed)
        for a, b in graph.edges:
            graph[a][b]["weight"] = rng.uniform(1.0, 9.0)
        ends = rng.sample(range(8), 4)
        tree = short_tree(graph, ends)
        assert set(ends) <= set(tree)
        assert nx.is_tree(tree)
        best = cheapest(graph, ends)
        assert best - 1e-9 <= tree.size("weight") <= 2 * best
        longer += tree.size("weight") > best + 1e-9
    assert longer < 60  # it is often the shortest, not always


def test_what_does_not_hang_together_with_the_first_is_left_out() -> None:
    graph: nx.Graph[int] = nx.Graph()
    graph.add_weighted_edges_from([(0, 1, 1.0), (1, 2, 1.0), (5, 6, 1.0)])
    assert set(short_tree(graph, [0, 2, 6])) == {0, 1, 2}
    assert not set(short_tree(graph, [9, 0, 2]))
    assert not set(short_tree(graph, [0, 6]))


def test_a_walk_leads_from_island_to_island_through_the_doors_of_the_room() -> None:
    islands = [box(0, 0, 2, 4), box(8, 0, 10, 4)]
    room = Polygon([(2, 0), (8, 0), (8, 4), (2, 4)])
    corners = {(float(x), float(y)): n for n, one in enumerate(islands) for x, y in one.exterior.coords}
    walk = walk_of(triangulate(room), corners)
    assert set(walk) == {0, 1, ~0, ~1}
    assert walk[0][1]["weight"] == pytest.approx(math.hypot(2, 4 / 3))  # between the middles of two halves of 6 by 4
    assert {walk[~0][at]["weight"] for at in walk[~0]} == {0.0}
    tight = walk_of(triangulate(room), corners, narrow=4.0)
    assert [tight[~0][at]["weight"] for at in tight[~0]] == [1.0]  # a door of 4 mm
