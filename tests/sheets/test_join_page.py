"""Joins at full size: where the film stands on the paper, rendered and held against the artwork."""

from __future__ import annotations

import numpy as np
import pypdfium2
import pytest
import shapely
from shapely.geometry import LineString, box
from shapely.ops import unary_union

from bigsign.output.guide import guide_pdf
from bigsign.plan import plan_lettering
from bigsign.plan_records import Plan
from bigsign.sheets import lay_out
from bigsign.sheets.join_page import _gap_ends, full_size_joins
from tests.box_lettering import letters_from, row_of_boxes
from tests.demos import demo_plan
from tests.planning import project_of

DPI = 300
NEAR = 0.45  # mm: half a firm line and the renderer's blur
LINES = 1.2  # mm round lines, arrows and letters of the drawing that are left out


def seamed() -> Plan:
    bars = row_of_boxes([[500.0, 40.0]], height=100, letter_gap=12, word_gap=40, x=30, y=40)
    return plan_lettering(project_of(700, 200, usable=(292.1, 292.1)), *letters_from([bars]))


@pytest.mark.parametrize("name", ["seed_library", "boat_shed", "seam"])
def test_full_size_joins_lie_on_the_artwork(name: str) -> None:
    plan = seamed() if name == "seam" else demo_plan(name)
    sheets = lay_out(plan, "letter")
    document = pypdfium2.PdfDocument(guide_pdf(sheets, plan))
    looked = agreed = details = 0
    for number, page in enumerate(sheets.pages):
        wide = [drawing for drawing in page.drawings if drawing.join]
        if not wide:
            continue
        picture = np.asarray(document[number].render(scale=DPI / 72).to_pil().convert("RGB")).astype(int)
        for drawing in wide:
            details += 1
            joined = next(part for part in plan.breaks if part.id == drawing.join)
            panel = max((plan.panel(name) for name in joined.panels), key=lambda panel: panel.number)
            window = box(*drawing.sign_box).buffer(-1.0)
            lines = [LineString(part.line).buffer(LINES) for part in plan.breaks]
            for part in plan.breaks:
                x0, y0, x1, y1 = drawing.sign_box
                if part.narrowest is not None:
                    (ax, ay), (bx, by) = part.narrowest.ends
                    length = max(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5, 1e-6)
                    ux, uy = 8 * (bx - ax) / length, 8 * (by - ay) / length  # an arrow's tail past each end
                    lines.append(LineString([(ax - ux, ay - uy), (bx + ux, by + uy)]).buffer(LINES))
                    lines += [LineString([(x0, at), (x1, at)]).buffer(LINES) for at in (ay, by, (ay + by) / 2)]
                for gap in part.gaps:
                    one, two = (plan.panel(name) for name in part.panels)
                    if (ends := _gap_ends(one, two, gap)) is not None:  # the line that leads to its figure
                        at = (ends[0][1] + ends[1][1]) / 2
                        lines.append(LineString([(x0, at), (x1, at)]).buffer(LINES))
                    level, plumb = ((x0, gap.at_mm), (x1, gap.at_mm)), ((gap.at_mm, y0), (gap.at_mm, y1))
                    lines.append(LineString(level if gap.along == "x" else plumb).buffer(LINES))
            clear = window.difference(unary_union(lines))
            others = [other.film for other in plan.panels if other.id != panel.id]
            inside = clear.intersection(panel.film.buffer(-NEAR))
            outside = clear.difference(unary_union([panel.film, *others]).buffer(NEAR))
            for area, filled in ((inside, True), (outside, False)):
                x0, y0, x1, y1 = drawing.sign_box
                grid = np.array(np.meshgrid(np.arange(x0, x1, 0.5), np.arange(y0, y1, 0.5))).reshape(2, -1)
                grid = grid[:, shapely.contains_xy(area, grid[0], grid[1])]
                x = (grid[0] - drawing.sign_box[0] + drawing.paper_box_mm[0]) * DPI / 25.4
                y = (grid[1] - drawing.sign_box[1] + drawing.paper_box_mm[1]) * DPI / 25.4
                tinted = picture[y.astype(int), x.astype(int)].min(axis=1) < 250
                looked += len(tinted)
                agreed += int((tinted == filled).sum())
    assert details >= 1
    assert looked > 3000
    assert agreed >= 0.999 * looked


def test_a_join_is_shown_once_with_the_panel_that_comes_later() -> None:
    plan = demo_plan("boat_shed")
    shown = [part.id for panel in plan.panels for part in full_size_joins(plan, panel, "letter")]
    assert len(set(shown)) == len(shown)
    letters = {part.id for part in plan.breaks if part.kind == "letter"}
    assert letters <= set(shown)
