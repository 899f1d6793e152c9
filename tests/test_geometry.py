"""Shapes made valid, what meets, what hangs together: each held against the plain definition."""

from __future__ import annotations

import math

import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import GeometryCollection, LineString, MultiPolygon, Point, Polygon, box

from bigsign.artwork.fill import resolve_fill
from bigsign.geometry import components, least_links, made_valid, meeting, polygons_of

COORDINATE = st.integers(0, 12).map(float) | st.floats(0, 12, allow_nan=False)
RING = st.lists(st.tuples(COORDINATE, COORDINATE), min_size=4, max_size=9)


def test_polygons_of_nested_collections_in_order() -> None:
    one, two, three = box(0, 0, 1, 1), box(2, 0, 3, 1), box(4, 0, 5, 1)
    shape = GeometryCollection([one, GeometryCollection([LineString([(0, 0), (1, 1)]), two]), MultiPolygon([three])])
    assert polygons_of(shape) == [one, two, three]
    assert polygons_of(Point(0, 0)) == polygons_of(Polygon()) == []


@given(RING)
def test_what_is_made_valid_is_film_within_its_outline(ring: list[tuple[float, float]]) -> None:
    outline = Polygon(ring)
    valid = made_valid(outline)
    assert valid.is_valid
    assert all(isinstance(part, Polygon) and part.area > 0 for part in valid.geoms)
    # nothing is put where the outline winds round nothing, and of what it winds round once all stays
    filled = resolve_fill([ring], "nonzero")
    least = resolve_fill([ring], "evenodd")
    assert valid.difference(filled.buffer(1e-6)).area < 1e-6
    if outline.is_valid:
        assert valid.equals(outline)
        assert math.isclose(valid.area, least.area, rel_tol=1e-9, abs_tol=1e-9)


@given(RING)
def test_made_valid_twice_is_made_valid_once(ring: list[tuple[float, float]]) -> None:
    once = made_valid(Polygon(ring))
    assert made_valid(once).equals_exact(once, 0.0)


def test_a_pinched_outline_keeps_both_its_lobes() -> None:
    pinched = Polygon([(0, 0), (4, 4), (4, 0), (0, 4)])  # by ring direction alone one lobe would go
    assert made_valid(pinched).area == pytest.approx(8.0)


@given(st.lists(st.tuples(COORDINATE, COORDINATE), min_size=1, max_size=40))
def test_components_are_those_of_the_graph_of_what_meets(corners: list[tuple[float, float]]) -> None:
    boxes = np.array([box(x, y, x + 1, y + 1) for x, y in corners], dtype=object)
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(len(boxes)))
    graph.add_edges_from(
        (i, j) for i in range(len(boxes)) for j in range(i) if shapely.intersects(boxes[i], boxes[j])
    )
    wanted = sorted(sorted(group) for group in nx.connected_components(graph))
    assert components(len(boxes), meeting(boxes)) == wanted


def test_meeting_asks_some_at_a_time_and_names_all() -> None:
    boxes = np.array([box(n, 0, n + 1.5, 1) for n in range(1200)], dtype=object)
    found = list(meeting(boxes))
    assert len(found) > 1
    pairs = {(i, j) for first, second in found for i, j in zip(first.tolist(), second.tolist(), strict=True)}
    assert pairs == {(i, j) for i in range(1200) for j in (i - 1, i, i + 1) if 0 <= j < 1200}


BOXES = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40), st.integers(1, 6)), max_size=14)


@given(BOXES)
def test_least_links_are_those_of_all_pairs(found: list[tuple[int, int, int]]) -> None:
    shapes = [box(x, y, x + size, y + size) for x, y, size in found]
    links = least_links(shapes)
    every: nx.Graph[int] = nx.Graph()
    every.add_nodes_from(range(len(shapes)))
    for a, one in enumerate(shapes):
        for b in range(a):
            every.add_edge(b, a, weight=one.distance(shapes[b]))
    tree = nx.minimum_spanning_tree(every)
    assert sum(gap for _, _, gap in links) == pytest.approx(tree.size("weight"))
    assert nx.is_tree(nx.Graph([(a, b) for a, b, _ in links])) if links else len(shapes) < 2
    assert all(a < b and gap == shapes[a].distance(shapes[b]) for a, b, gap in links)
