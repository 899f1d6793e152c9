"""If something went wrong: every panel is found again by its text and size, with its file and group."""

from __future__ import annotations

import pytest

from bigsign.sheets.items import Text
from bigsign.sheets.label_page import label_pages
from bigsign.sheets.trouble_page import trouble_pages
from tests.demos import DEMOS, demo_plan


@pytest.mark.parametrize("name", DEMOS)
def test_each_panel_has_a_row_with_its_file_and_group(name: str) -> None:
    plan = demo_plan(name)
    said = [i.string for page in trouble_pages(plan, "letter") for i in page.items if isinstance(i, Text)]
    for panel in plan.panels:
        at = said.index(f"panel-{panel.number}")
        mat = next(mat for mat in plan.mats if mat.id == panel.mat)
        assert said[at - 1] == mat.file
        assert said[at - 2] == f"{panel.size.width.shown} × {panel.size.height.shown}"
        assert said[at - 4] == str(panel.number)


@pytest.mark.parametrize("name", DEMOS)
def test_each_panel_has_one_label_with_its_mat(name: str) -> None:
    plan = demo_plan(name)
    said = [i.string for page in label_pages(plan, "a4") for i in page.items if isinstance(i, Text)]
    assert said.count("TOP") == len(plan.panels)
    for panel in plan.panels:
        assert said.count(str(panel.number)) == 1
        file = next(mat.file for mat in plan.mats if mat.id == panel.mat)
        assert any(text.endswith(file) for text in said)
