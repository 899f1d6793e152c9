"""The guide, measured from the PDF: drawings at their stated scale, numbers on their pages, ink where it may be."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest
from pdfplumber import open as open_pdf
from pdfplumber.pdf import PDF

from bigsign.output.guide import guide_pdf
from bigsign.plan import make_plan
from bigsign.plan_records import Plan
from bigsign.sheets import lay_out
from bigsign.sheets.grid import PAPERS
from bigsign.sheets.items import Text, ink_box
from bigsign.units import TapeLength
from tests.demos import DEMOS, demo_plan

MM = 72 / 25.4


def opened(plan: Plan, paper: str) -> PDF:
    return open_pdf(io.BytesIO(guide_pdf(lay_out(plan, paper), plan)))


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_no_label_overlaps_another_or_leaves_the_page(name: str, paper: str) -> None:
    for number, page in enumerate(lay_out(demo_plan(name), paper).pages, 1):
        boxes = [(item.text, ink_box(item)) for item in page.items if isinstance(item, Text)]
        for text, (x0, y0, x1, y1) in boxes:
            assert min(x0, y0) >= 10, (number, text)
            assert max(x1 - page.width, y1 - page.height) <= -10, (number, text)
        for i, (a, p) in enumerate(boxes):
            for b, q in boxes[i + 1 :]:
                shared_x = min(p[2], q[2]) - max(p[0], q[0])
                shared_y = min(p[3], q[3]) - max(p[1], q[1])
                assert shared_x < 0.05 or shared_y < 0.05, (number, page.kind, a, b)


@pytest.mark.parametrize("name", DEMOS)
def test_the_same_plan_gives_the_same_bytes(name: str) -> None:
    plan = demo_plan(name)
    assert guide_pdf(lay_out(plan, "letter"), plan) == guide_pdf(lay_out(plan, "letter"), plan)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_pages_have_the_paper_s_size_and_no_ink_within_10_mm_of_its_edge(paper: str) -> None:
    """Sizes: ISO 216 (A4 210 × 297 mm) and 8.5 × 11 in."""
    wanted = {tuple(round(v, 1) for v in PAPERS[paper]), tuple(round(v, 1) for v in PAPERS[paper][::-1])}
    with opened(demo_plan("farm_stand"), paper) as pdf:
        for page in pdf.pages:
            assert (round(page.width / MM, 1), round(page.height / MM, 1)) in wanted
            for thing in [*page.lines, *page.rects, *page.curves, *page.chars]:
                assert thing["x0"] >= 10 * MM
                assert thing["x1"] <= page.width - 10 * MM
                assert thing["top"] >= 10 * MM
                assert thing["bottom"] <= page.height - 10 * MM


@pytest.mark.parametrize("name", DEMOS)
def test_fonts_are_embedded(name: str) -> None:
    with opened(demo_plan(name), "letter") as pdf:
        fonts = {char["fontname"] for page in pdf.pages for char in page.chars}
    assert fonts
    assert all("+" in font and "Lato" in font for font in fonts)


@pytest.mark.parametrize("name", DEMOS)
def test_each_panel_page_holds_its_own_numbers(name: str) -> None:
    plan = demo_plan(name)
    sheets = lay_out(plan, "letter")
    with opened(plan, "letter") as pdf:
        for panel in plan.panels:
            pages = [i for i, page in enumerate(sheets.pages) if page.panel == panel.id]
            text = " ".join((pdf.pages[i].extract_text() or "") for i in pages).replace("\n", " ")
            assert f"Panel {panel.number}" in text
            for length in (panel.from_reference.x.length, panel.from_reference.y.length, panel.size.width):
                assert length.tape in text
            assert "SCALE 1:" in text or "FULL SIZE" in text


@pytest.mark.parametrize("name", DEMOS)
def test_a_drawn_panel_measures_what_the_plan_says_at_the_stated_scale(name: str) -> None:
    """Trim outline, hinge and distance from the reference edge within 0.1 mm of paper."""
    plan = demo_plan(name)
    sheets = lay_out(plan, "letter")
    with opened(plan, "letter") as pdf:
        for panel in plan.panels:
            index = next(i for i, page in enumerate(sheets.pages) if page.panel == panel.id)
            drawing = sheets.guide_pages[index]["drawings"][0]
            (bx0, by0, _, _), (px0, py0, _, _), scale = drawing["sign_box"], drawing["paper_box_mm"], drawing["scale"]

            def on_paper(x: float, y: float) -> tuple[float, float]:
                return px0 + (x - bx0) / scale, py0 + (y - by0) / scale  # noqa: B023

            page = pdf.pages[index]
            drawn = [
                tuple(thing[key] / MM for key in ("x0", "top", "x1", "bottom"))
                for thing in [*page.curves, *page.rects, *page.lines]
            ]
            x0, y0, x1, y1 = panel.trim.bounds
            wanted = [(*on_paper(x0, y0), *on_paper(x1, y1))]
            for box in wanted:
                nearest = min(max(abs(a - b) for a, b in zip(box, found, strict=True)) for found in drawn)
                assert nearest < 0.1, panel.id
            if panel.hinge is not None:
                (hx0, hy0), (hx1, hy1) = (on_paper(*point) for point in panel.hinge.line)
                middle = ((hx0 + hx1) / 2, (hy0 + hy1) / 2)
                off = min(max(abs((b[0] + b[2]) / 2 - middle[0]), abs((b[1] + b[3]) / 2 - middle[1])) for b in drawn)
                assert off < 0.1


def test_both_units_stand_side_by_side_and_still_do_not_overlap() -> None:
    plan = demo_plan("seed_library")
    step = replace(plan.tape_step, both=True)
    project = replace(plan.project, plan=replace(plan.project.plan, tape_step=step, both_units=True))
    both = make_plan(project)
    pages = lay_out(both, "letter").pages
    texts = " ".join(item.text for page in pages for item in page.items if isinstance(item, Text))
    assert f"{both.sign.width.tape} ({round(both.sign.width.mm)} mm)" in texts
    for page in pages:
        boxes = [(item.text, ink_box(item)) for item in page.items if isinstance(item, Text)]
        for i, (a, p) in enumerate(boxes):
            for b, q in boxes[i + 1 :]:
                shared = (min(p[2], q[2]) - max(p[0], q[0]), min(p[3], q[3]) - max(p[1], q[1]))
                assert min(shared) < 0.05, (page.kind, a, b)


LENGTH = re.compile(r"(?<![\d/.])\d+(?: \d+/\d+)?(?:/\d+)? in\b|(?<![\d/])\d+(?:\.\d)? mm\b")
ALLOWED = {"1 in", "100 mm"}  # the check squares


def lengths_of(value: object) -> set[str]:
    """Return all that may be printed of the lengths in a record: tape texts, and mm to a tenth."""
    if isinstance(value, TapeLength):
        return {value.tape, f"{value.mm:.1f} mm"}
    if isinstance(value, tuple):
        return {text for part in value for text in lengths_of(part)}
    if hasattr(value, "__dataclass_fields__"):
        return {text for name in value.__dataclass_fields__ for text in lengths_of(getattr(value, name))}
    return set()


@pytest.mark.parametrize("name", DEMOS)
def test_every_length_printed_is_a_number_of_the_plan(name: str) -> None:
    plan = demo_plan(name)
    known = lengths_of((plan.sign, plan.panels, plan.breaks, plan.tape_marks, plan.mats)) | ALLOWED
    for page in lay_out(plan, "letter").pages:
        foot = page.height - 12 - 15
        for item in page.items:
            if isinstance(item, Text) and item.at[1] < foot:  # the bar scale stands in the title block
                assert set(LENGTH.findall(item.text)) <= known, (page.title, item.text)
