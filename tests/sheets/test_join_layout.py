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

PAPERS = ["letter", "a4"]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", DEMOS)
def test_each_join_to_a_panel_already_up_is_shown_once_at_full_size(name: str, paper: str) -> None:
    plan = demo_plan(name)
    field = page_field(paper)
    wanted = [part.id for panel in plan.panels for part in full_size_joins(plan, panel, paper)]
    shown = []
    for page in lay_out(plan, paper).pages:
        windows = [drawing for drawing in page.drawings if drawing.join]
        for drawing in windows:
            part = next(part for part in plan.breaks if part.id == drawing.join)
            later = max((plan.panel(name) for name in part.panels), key=lambda panel: panel.number)
            frame = box(*drawing.sign_box)
            x0, y0, x1, y1 = drawing.paper_box_mm
            assert page.panel in (None, later.id)
            assert drawing.scale == 1
            left, top, right, bottom = frame.bounds
            assert (x1 - x0, y1 - y0) == pytest.approx((right - left, bottom - top))
            assert x0 >= field.left - 1e-6
            assert x1 <= field.right + 1e-6
            assert y1 <= field.bottom + 1e-6
            assert all(plan.panel(name).film.intersection(frame).area > LEAST_SEEN for name in part.panels)
            shown.append(part.id)
        boxes = [box(*drawing.paper_box_mm) for drawing in page.drawings]
        assert not any(a.intersects(b) for a, b in itertools.combinations(boxes, 2))
        if windows:
            said = [item.string for item in page.items if isinstance(item, Text)]
            assert said.count("FULL SIZE") >= len(windows)
            assert said.count("10 mm") == len(windows)
    assert sorted(shown) == sorted(wanted)
    assert shown or name not in ("farm_stand", "boat_shed")


def test_a_gap_given_at_three_heights_is_shown_at_all_of_them_where_a_page_can() -> None:
    plan = demo_plan("boat_shed")
    seen = 0
    for page in lay_out(plan, "letter").pages:
        for drawing in page.drawings:
            part = next((part for part in plan.breaks if part.id == drawing.join), None)
            level = [gap for gap in part.gaps if gap.along == "x"] if part is not None else []
            heights = [gap.at_mm for gap in level]
            if len(level) == 3 and max(heights) - min(heights) < 93.5 and max(gap.gap.mm for gap in level) < 110:
                assert drawing.sign_box[1] < min(heights) < max(heights) < drawing.sign_box[3]
                seen += 1
    assert seen >= 4


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", DEMOS)
def test_no_step_of_a_panel_is_longer_than_two_lines(name: str, paper: str) -> None:
    plan = demo_plan(name)
    pages = lay_out(plan, paper).pages
    for step in plan.steps:
        if step.kind != "stick":
            continue
        said = [i.string for page in pages if page.panel == step.panel for i in page.items if isinstance(i, Text)]
        for action in step.actions:
            lines = [text for text in said if len(text) > 3 and text in action]
            assert any(action == one or action == f"{one} {two}" for one in lines for two in ["", *lines]), action
