"""Alternative texts: every drawing is said, with figures of the plan, and sides and tops as the shapes have them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.affinity import affine_transform
from shapely.geometry import Point, box

from bigsign.sheets import lay_out
from bigsign.sheets.alt import side_of
from bigsign.sheets.items import Drawing, Page
from bigsign.sheets.lay_template import lay_template
from tests.demos import DEMOS, demo_plan
from tests.output.test_guide import LENGTH, lengths_of

OPPOSITE = {"left": "right", "right": "left", "above": "below", "below": "above"}


def said(pages: tuple[Page, ...], kind: str) -> list[Drawing]:
    return [drawing for page in pages if page.kind == kind for drawing in page.drawings]


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", DEMOS)
def test_every_drawing_is_said_with_lengths_of_the_plan(name: str, language: str) -> None:
    plan = demo_plan(name)
    settings = replace(plan.project.plan, language=language)
    plan = replace(plan, project=replace(plan.project, plan=settings))
    known = lengths_of((plan.sign, plan.panels, plan.breaks, plan.mats))
    for sheets in (lay_out(plan, "letter"), lay_template(plan, "letter").sheets):
        alts = [drawing.alt for page in sheets.pages for drawing in page.drawings]
        assert len(set(alts)) == len(alts)  # no two drawings are said alike
        for alt in alts:
            assert len(alt) > 30
            assert alt.endswith(".")
            assert "{" not in alt
            assert set(LENGTH.findall(alt)) <= known, alt


def test_a_panel_s_drawing_says_where_it_hangs_and_what_joins_it() -> None:
    pages = lay_out(demo_plan("farm_stand"), "letter").pages
    assert said(pages, "panel")[0].alt == (
        "Panel 1, “end of Marrow Lane”, as it will hang. Left trim edge 1 1/2 in from the left edge. "
        "Top trim edge 19 7/8 in from the top edge. Hinge line 1 1/2 in from the left edge. "
        "Plumb line 1 11/16 in from the left edge. Join B–B: on its right panel 2, to come. Drawn at 1:4."
    )
    assert said(pages, "overview")[0].alt == (
        "The sign as it will look, on a board 14 in wide and 60 in high. Line 1: SWEET CORN & HONEY. "
        "Line 2: FRESH EGGS. Line 3: end of Marrow Lane. Circles with the numbers 1 to 3 point at its panels. "
        "Drawn at 1:10."
    )
    assert said(pages, "setout")[0].alt.count("Tape marks: 6.") == 1
    joins = [drawing.alt for drawing in said(pages, "joins")]
    assert joins[0] == "Join B–B between panels 1 and 2, at full size. The gap is 1 3/8 in where it is narrowest."


@pytest.mark.parametrize("name", DEMOS)
def test_a_neighbour_is_on_the_side_that_a_step_across_the_join_leads_to(name: str) -> None:
    """Film of the neighbour is met by going that way from the panel's film, and not by going the other way."""
    plan = demo_plan(name)
    steps = {"left": (-1, 0), "right": (1, 0), "above": (0, -1), "below": (0, 1)}
    far = plan.sign.width.mm + plan.sign.height.mm
    for part in plan.breaks:
        a, b = (plan.panel(panel) for panel in part.panels)
        side = side_of(a, b, part)
        assert side_of(b, a, part) == OPPOSITE[side]
        x0, y0, x1, y1 = a.bounds
        met = {}
        for way, (dx, dy) in steps.items():
            swept = box(min(x0, x0 + dx * far), min(y0, y0 + dy * far), max(x1, x1 + dx * far), max(y1, y1 + dy * far))
            met[way] = b.film.intersection(swept.difference(box(x0, y0, x1, y1))).area
        assert met[side] > met[OPPOSITE[side]], (part.id, met)


@pytest.mark.parametrize("name", DEMOS)
def test_a_panel_s_top_is_said_to_lie_where_it_lies_on_the_mat(name: str) -> None:
    plan = demo_plan(name)
    for mat, drawing in zip(plan.mats, said(lay_out(plan, "letter").pages, "mat"), strict=True):
        for panel in (plan.panel(panel_id) for panel_id in mat.panels):
            a, b, c, d, e, f = panel.to_mat
            top = affine_transform(Point(0, 0), [a, c, b, d, e, f])
            foot = affine_transform(Point(0, 1), [a, c, b, d, e, f])
            across, down = top.x - foot.x, top.y - foot.y
            words = {(0, -1): "up", (0, 1): "down", (-1, 0): "to the left", (1, 0): "to the right"}
            assert f"Panel {panel.number} lies with its top {words[round(across), round(down)]}." in drawing.alt


@pytest.mark.parametrize("name", DEMOS)
def test_the_template_s_map_names_each_sheet_once(name: str) -> None:
    template = lay_template(demo_plan(name), "letter")
    (picture,) = template.sheets.pages[0].pictures
    named = [label.strip(" .") for row in picture.alt.split("Row ")[1:] for label in row.split(":")[1].split(",")]
    assert named == [tile.label for tile in template.grid.tiles]
    assert f"Sheets: {len(named)}." in picture.alt


def test_a_sheet_of_the_template_says_its_panels_marks_and_neighbours() -> None:
    plan = demo_plan("farm_stand")
    template = lay_template(plan, "letter")
    for tile, drawing in zip(template.grid.tiles, said(template.sheets.pages, "template"), strict=True):
        window = box(*tile.sign_box)
        numbers = [panel.number for panel in plan.panels if panel.film.intersection(window).area > 0]
        assert all(str(number) in drawing.alt.split("On it: ")[1].split(".")[0] for number in numbers)
        for mark in plan.tape_marks:
            assert (f"{mark.id}," in drawing.alt or f"{mark.id}." in drawing.alt) == window.covers(Point(mark.at))
        assert f"corners: {', '.join(tile.corners)}." in drawing.alt
        for side, down, right in (("on its left", 0, -1), ("above", -1, 0)):
            beside = template.grid.by_place.get((tile.row + down, tile.column + right))
            assert (f"joins {side}." in drawing.alt) == (beside is not None)
