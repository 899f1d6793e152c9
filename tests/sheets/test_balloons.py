"""Numbers round a drawing, after ISO 6433 (from memory): of one size, larger than measures, in rows, with leaders."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from shapely.geometry import LineString, Point, box

from bigsign.sheets.balloons import Numbered, balloons
from bigsign.sheets.items import Circle, Stroke, Text
from bigsign.sheets.style import FINE, MEASURE_CAP

FRAME = (40.0, 40.0, 180.0, 100.0)


def boxes(count: int, rows: int = 1) -> list[Numbered]:
    wide, high = (FRAME[2] - FRAME[0]) / count, (FRAME[3] - FRAME[1]) / rows
    out = []
    for n in range(count * rows):
        x, y = FRAME[0] + (n % count) * wide, FRAME[1] + (n // count) * high
        shape = box(x + 2, y + 2, x + wide - 2, y + high - 2)
        out.append(Numbered(n + 1, shape, shape.buffer(-1)))
    return out


@pytest.mark.parametrize(("count", "rows"), [(1, 1), (5, 1), (6, 2), (4, 3)])
def test_each_number_stands_once_in_a_circle_of_one_size_outside_the_drawing(count: int, rows: int) -> None:
    things = boxes(count, rows)
    items, sides = balloons(things, FRAME)
    circles = [item for item in items if isinstance(item, Circle) and item.radius > 1]  # not the dots of leaders
    numbers = [item for item in items if isinstance(item, Text)]
    assert sorted(int(item.string) for item in numbers) == [thing.number for thing in things]
    assert len({round(circle.radius, 6) for circle in circles}) == 1
    assert len({run.cap for item in numbers for run in item.runs}) == 1
    for circle, text in zip(circles, numbers, strict=True):
        assert 2 * circle.radius > 2 * MEASURE_CAP  # ISO 6433: larger than the figures of measures
        assert math.dist(circle.centre, text.at) < circle.radius
        assert not box(*FRAME).buffer(circle.radius - 0.01).contains(Point(circle.centre))
    for a, b in combinations(circles, 2):
        assert math.dist(a.centre, b.centre) >= a.radius + b.radius
    rows_of = {round(c.centre[1], 3) for c in circles if FRAME[0] <= c.centre[0] <= FRAME[2]}
    columns_of = {round(c.centre[0], 3) for c in circles if not FRAME[0] - 3 <= c.centre[0] <= FRAME[2] + 3}
    assert len(rows_of) <= 2  # one row above, one below
    assert len(columns_of) <= 2
    assert sides <= set("tblr")


def test_each_leader_goes_from_its_circle_to_its_own_outline_and_rows_are_in_order() -> None:
    things = boxes(5)
    items, sides = balloons(things, FRAME, "t")
    circles = [item for item in items if isinstance(item, Circle) and item.radius > 1]
    leaders = [item for item in items if isinstance(item, Stroke)]
    numbers = [int(item.string) for item in items if isinstance(item, Text)]
    assert sides == {"t"}
    assert numbers == [1, 2, 3, 4, 5]
    assert [circle.centre[0] for circle in circles] == sorted(circle.centre[0] for circle in circles)
    assert all(leader.width <= FINE for leader in leaders)
    for number, circle, leader in zip(numbers, circles, leaders, strict=True):
        assert leader.points[0] == circle.centre  # under the circle, which is white
        assert things[number - 1].outline.covers(Point(leader.points[-1]))
    assert not any(LineString(a.points).crosses(LineString(b.points)) for a, b in combinations(leaders, 2))
