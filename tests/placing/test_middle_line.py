"""Lines through the middle of the clear room: films in parts on both sides, and within what cuts above have left."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.ops import split

from bigsign.geometry import polygons_of
from bigsign.placing.bent_lines import choose_within
from bigsign.placing.clear_room import ClearRoom
from bigsign.placing.middle_line import linked_middle, middle_line, middle_within
from bigsign.splitting.territory import territory_within

#: Parts of one film on both sides of the other: a line between them winds up, over, and down again.
ONE = MultiPolygon([box(0, 0, 10, 40), box(40, 0, 50, 40)])
TWO = MultiPolygon([box(20, 0, 30, 40)])
ROUGH = np.array([(15.0, -30.0), (15.0, 45.0), (35.0, 45.0), (35.0, -30.0)])


def test_a_line_between_films_in_parts_winds_as_the_rough_one_does() -> None:
    line = linked_middle(ONE, TWO, ROUGH)
    assert line is not None
    assert ClearRoom(ONE, TWO, ()).parted(line, 0.0)
    drawn = LineString(line)
    assert drawn.distance(ONE) > 3.0
    assert drawn.distance(TWO) > 3.0


def test_parts_that_stand_together_need_no_links() -> None:
    one, two = MultiPolygon([box(0, 0, 10, 40)]), MultiPolygon([box(12, 0, 22, 40)])
    line = middle_line(one, two, np.array([(10.5, -30.0), (10.5, 70.0)]))
    assert line is not None
    between = [(x, y) for x, y in line.tolist() if 2 < y < 38]
    assert between
    assert [x for x, _ in between] == pytest.approx([11.0] * len(between), abs=0.2)


REGION = Polygon([(0, 0), (100, 0), (100, 100), (60, 100), (60, 40), (40, 40), (40, 100), (0, 100)])


CELLS = st.tuples(st.integers(0, 9), st.integers(0, 9), st.booleans())


@settings(deadline=None, max_examples=40)
@given(st.lists(CELLS, min_size=2, max_size=14, unique_by=lambda cell: cell[:2]))
def test_films_of_a_region_can_always_be_parted_within_it(cells: list[tuple[int, int, bool]]) -> None:
    """Squares on a grid, each of one side or the other: no film shuts in another, so a line winds between them."""
    boxes = {(c, r): box(10 * c + 2, 10 * r + 2, 10 * c + 8, 10 * r + 8) for c, r, _ in cells}
    sides = [
        MultiPolygon([boxes[c, r] for c, r, which in cells if which is side and boxes[c, r].within(REGION)])
        for side in (True, False)
    ]
    if any(side.is_empty for side in sides):
        return
    one, two = sides
    own = territory_within(REGION, one, two)
    assert own is not None
    assert own.buffer(1e-6).covers(one)
    assert own.intersection(two).area == 0
    assert len([part for part in polygons_of(REGION.difference(own)) if part.area > 1e-6]) == 1
    chosen = choose_within(REGION, own, one, two, 2.0)
    assert chosen is not None
    line = LineString(chosen.points)
    assert line.is_simple
    assert chosen.clearance == pytest.approx(min(line.distance(one), line.distance(two)), abs=0.05)
    assert chosen.clearance > 0.1
    ends = _on(chosen.points[1], chosen.points[0]), _on(chosen.points[-2], chosen.points[-1])
    drawn = LineString([*ends[0], *chosen.points, *ends[1]])
    parts = [part for part in polygons_of(split(REGION, drawn)) if part.area > 1e-6]
    assert len(parts) == 2
    assert all(not (part.intersects(one) and part.intersects(two)) for part in parts)


def _on(a: tuple[float, float], b: tuple[float, float]) -> list[tuple[float, float]]:
    size = float(np.hypot(b[0] - a[0], b[1] - a[1]))
    return [(b[0] + (b[0] - a[0]) / size * 1e-3, b[1] + (b[1] - a[1]) / size * 1e-3)]


def test_a_film_that_is_shut_in_has_no_territory() -> None:
    ring = MultiPolygon(polygons_of(box(10, 10, 90, 38) - box(20, 15, 80, 33)))
    assert territory_within(REGION, MultiPolygon([box(40, 20, 50, 30)]), ring) is None


def test_a_line_may_end_where_the_films_are_as_near() -> None:
    one, two = MultiPolygon([box(10, 5, 20, 35)]), MultiPolygon([box(24, 5, 34, 35)])
    own = territory_within(REGION, one, two)
    assert own is not None
    line = middle_within(REGION, own, one, two)
    assert line is not None
    assert line[0][0] == pytest.approx(22.0, abs=6.0)
