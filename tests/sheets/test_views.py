"""Drawings to scale: the scale chosen, what a view maps where, tints, hatching."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPolygon, box

from bigsign.sheets.grid import scale_text
from bigsign.sheets.items import Stroke
from bigsign.sheets.style import film_fill, film_tint, is_pale
from bigsign.sheets.views import SCALES, View, areas, best_scale, hatching, open_outline, turned


@given(st.floats(10, 5000), st.floats(10, 5000))
@settings(max_examples=80, deadline=None)
def test_the_scale_is_the_largest_that_fits(width: float, height: float) -> None:
    scale = best_scale(width, height, 180.0, 200.0)
    assert width / scale <= 180 + 1e-6
    assert height / scale <= 200 + 1e-6
    assert all(width / s > 180 or height / s > 200 for s in SCALES if s < scale)


def test_scales_are_those_of_the_standard_and_some_between() -> None:
    """ISO 5455 has 1, 2 and 5 times powers of ten, and writes SCALE 1:10."""
    assert {1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0} <= set(SCALES)
    assert scale_text(10.0) == "SCALE 1:10"
    between = {2.5, 3.0, 4.0, 6.0, 8.0, 12.0, 15.0}
    assert {round(s / 10 ** (len(str(int(s))) - 1), 3) for s in SCALES if s not in between} <= {1.0, 2.0, 5.0}


def test_a_page_is_turned_only_for_a_drawing_a_good_deal_larger() -> None:
    assert not turned(10.0, 8.0)
    assert not turned(8.0, 6.0)
    assert turned(10.0, 6.0)
    assert turned(10.0, 5.0)


def test_a_view_maps_its_window_onto_its_paper_box() -> None:
    view = View((100.0, 50.0, 500.0, 250.0), (20.0, 30.0), 5.0)
    assert view.at((100, 50)) == pytest.approx((20, 30))
    assert view.at((500, 250)) == pytest.approx(view.paper_box[2:])
    assert view.shape(box(100, 50, 200, 100)).bounds == pytest.approx((20, 30, 40, 40))
    assert view.shape(box(0, 0, 1000, 1000), clip=True).bounds == pytest.approx(view.paper_box)


def test_areas_keep_holes() -> None:
    made = areas(box(0, 0, 10, 10) - box(3, 3, 7, 7), "#123456", None)
    assert [len(item.rings) for item in made if hasattr(item, "rings")] == [2]


def test_hatching_stays_inside() -> None:
    shape = box(20, 20, 40, 30) - box(25, 22, 30, 28)
    lines = [item for item in hatching(shape) if isinstance(item, Stroke)]
    assert len(lines) > 10
    assert all(shape.buffer(1e-6).contains(LineString(item.points)) for item in lines)


def test_an_outline_cut_by_the_window_stays_open() -> None:
    seen = open_outline(box(0, 0, 10, 10), (5.0, -5.0, 20.0, 20.0))
    assert seen.length == pytest.approx(5 + 10 + 5)


def test_white_film_is_tinted_and_black_keeps_its_colour_as_seen() -> None:
    assert is_pale("#ffffff")
    assert film_fill("#ffffff") != "#ffffff"
    assert film_fill("#000000") == "#000000"


@pytest.mark.parametrize("colour", ["#000000", "#1f3a5f", "#2e7d32", "#ffd200", "#ffffff", "#cc0000"])
def test_tints_are_light_but_not_white(colour: str) -> None:
    red, green, blue = (int(film_tint(colour)[i : i + 2], 16) for i in (1, 3, 5))
    light = (0.299 * red + 0.587 * green + 0.114 * blue) / 255
    assert 0.55 < light < 0.93


def test_film_of_many_pieces_is_cut_to_its_window_as_a_whole_is() -> None:
    chance = Random(3)
    for _ in range(40):
        squares = [(20 * n % 100, 20 * (n // 5), chance.uniform(2, 19)) for n in range(25)]
        film = MultiPolygon([box(x, y, x + wide, y + wide) for x, y, wide in squares])
        x, y = chance.uniform(-10, 90), chance.uniform(-10, 90)
        view = View((x, y, x + chance.uniform(5, 60), y + chance.uniform(5, 60)), (0.0, 0.0), 1.0)
        window = box(0.0, 0.0, view.box[2] - x, view.box[3] - y)
        whole = view.shape(film)
        inside = view.shape(film, clip=True)
        assert inside.is_valid
        assert inside.symmetric_difference(whole.intersection(window)).area < 1e-6
        edge = open_outline(whole, view.paper_box)
        assert edge.length == pytest.approx(whole.boundary.intersection(window).length)
        assert edge.within(window.buffer(1e-6)) or edge.is_empty
