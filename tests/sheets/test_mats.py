"""The mats' pages: the arrows to each panel's top."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from shapely.geometry import Polygon

from bigsign.plan_records import Plan
from bigsign.sheets.items import Area
from bigsign.sheets.mats import mat_pages
from bigsign.sheets.style import BLACK, film_tint
from tests.placing.test_marks import one_colour, two_colours


@pytest.mark.parametrize(("make", "use"), [(one_colour, "on"), (one_colour, "off"), (two_colours, "on")])
def test_the_arrow_to_a_panels_top_lies_on_no_register_mark(make: Callable[[str], Plan], use: str) -> None:
    plan = make(use)
    heads = 0
    for mat in plan.mats:
        areas = [item for item in mat_pages(plan, mat, "letter", None)[0].items if isinstance(item, Area)]
        cut = [Polygon(area.rings[0]) for area in areas if area.fill == film_tint(mat.colour) and area.stroke]
        assert cut
        for area in areas:
            if area.fill == BLACK and len(area.rings[0]) == 3:
                heads += 1
                small = [shape for shape in cut if shape.area < 10]
                assert bool(small) == (use == "on")
                assert all(Polygon(area.rings[0]).disjoint(shape) for shape in small)
    assert heads == len(plan.panels)
