"""Joins at full size: windows at 1:1 that show film of both panels, inside the field, none over another."""

from __future__ import annotations

import itertools

import pytest
from shapely.geometry import box

from bigsign.sheets import lay_out
from bigsign.sheets.grid import page_field
from bigsign.sheets.items import Text
from bigsign.sheets.join_page import LEAST_SEEN, full_size_joins
from tests.demos import DEMOS, demo_plan


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", DEMOS)
def test_each_join_to_a_panel_already_up_is_shown_once_at_full_size(name: str, paper: str) -> None:
    plan = demo_plan(name)
    field = page_field(paper)
    pages = lay_out(plan, paper).pages
    shown = 0
    for panel in plan.panels:
        own = [page for page in pages if page.panel == panel.id]
        windows = [drawing for page in own for drawing in page.drawings[page is own[0] :]]
        assert len(windows) == len(full_size_joins(plan, panel, paper))
        for drawing in windows:
            frame = box(*drawing.sign_box)
            x0, y0, x1, y1 = drawing.paper_box_mm
            assert drawing.scale == 1
            left, top, right, bottom = frame.bounds
            assert (x1 - x0, y1 - y0) == pytest.approx((right - left, bottom - top))
            assert x0 >= field.left - 1e-6
            assert x1 <= field.right + 1e-6
            assert y1 <= field.bottom + 1e-6
            assert panel.film.intersection(frame).area > LEAST_SEEN
        for page in own:
            boxes = [box(*drawing.paper_box_mm) for drawing in page.drawings]
            assert not any(a.intersects(b) for a, b in itertools.combinations(boxes, 2))
            if any(drawing.scale == 1 for drawing in page.drawings):
                assert "FULL SIZE" in [item.string for item in page.items if isinstance(item, Text)]
        shown += len(windows)
    assert shown > 0 or name not in ("farm_stand", "boat_shed")
