"""The mats' pages: the arrows to each panel's top."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from shapely.geometry import Polygon

from bigsign.plan_records import Plan
from bigsign.sheets.items import Area, Entry, Text
from bigsign.sheets.mats import mat_pages
from bigsign.sheets.style import BLACK, film_tint
from bigsign.wording import phrase, speaking
from tests.lettering_plans import lettered_plan
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


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_list_of_a_mats_panels_is_in_one_place_in_their_order(language: str) -> None:
    plan = lettered_plan(("FRESH EGGS", "Honey", "SEED"), "fontpkg_anton")
    for mat in plan.mats:
        with speaking(language):
            (page,) = mat_pages(plan, mat, "a4", ("caution", "Blades cut. Cut away from your body."))
            heads = [item for item in page.items if isinstance(item, Text) and item.string == phrase("mat.panels")]
        assert len(heads) == 1
        numbers = [
            item.string
            for item in page.items
            if isinstance(item, Text) and isinstance(item.role, Entry) and item.role.of == "panels" and item.role.label
        ]
        assert numbers == [str(number) for number in sorted(plan.panel(name).number for name in mat.panels)]
