"""The guide, measured from the PDF: drawings at their stated scale, numbers on their pages, ink where it may be."""

from __future__ import annotations

import io
import re
from io import BytesIO

import pypdfium2
import pytest
from pdfplumber import open as open_pdf
from pdfplumber.page import Page as PdfPage
from pdfplumber.pdf import PDF

from bigsign.output.guide import guide_pdf
from bigsign.plan_records import Plan
from bigsign.sheets import lay_out
from bigsign.sheets.grid import PAPERS
from bigsign.sheets.items import Area, Text
from bigsign.sheets.style import ACCENT
from bigsign.units import TapeLength
from tests.demos import DEMOS, demo_plan

MM = 72 / 25.4
Box = tuple[float, float, float, float]


def opened(plan: Plan, paper: str) -> PDF:
    return open_pdf(io.BytesIO(guide_pdf(lay_out(plan, paper), plan)))


def drawn_boxes(page: PdfPage) -> list[Box]:
    """Return the boxes of everything drawn but text, mm from the page's top-left."""
    things = [*page.curves, *page.rects, *page.lines]
    return [(t["x0"] / MM, t["top"] / MM, t["x1"] / MM, t["bottom"] / MM) for t in things]


def off(wanted: Box, found: list[Box]) -> float:
    """Return how far the nearest drawn box is from the wanted one."""
    return min(max(abs(a - b) for a, b in zip(wanted, box, strict=True)) for box in found)


@pytest.mark.parametrize("name", DEMOS)
def test_the_same_plan_gives_the_same_bytes(name: str) -> None:
    plan = demo_plan(name)
    assert guide_pdf(lay_out(plan, "letter"), plan) == guide_pdf(lay_out(plan, "letter"), plan)


@pytest.mark.parametrize(("name", "paper"), [("farm_stand", "letter"), ("one_mat", "a4")])
def test_pages_have_the_paper_s_size_and_no_ink_within_10_mm_of_its_edge(name: str, paper: str) -> None:
    """Sizes: ISO 216 (A4 210 × 297 mm) and 8.5 × 11 in."""
    wanted = {tuple(round(v, 1) for v in PAPERS[paper]), tuple(round(v, 1) for v in PAPERS[paper][::-1])}
    with opened(demo_plan(name), paper) as pdf:
        for page in pdf.pages:
            assert (round(page.width / MM, 1), round(page.height / MM, 1)) in wanted
            for thing in [*page.lines, *page.rects, *page.curves, *page.chars]:
                assert thing["x0"] >= 10 * MM
                assert thing["x1"] <= page.width - 10 * MM
                assert thing["top"] >= 10 * MM
                assert thing["bottom"] <= page.height - 10 * MM


@pytest.mark.parametrize("name", ["farm_stand", "boat_shed"])
def test_fonts_are_embedded_and_nothing_reads_as_missing(name: str) -> None:
    with opened(demo_plan(name), "letter") as pdf:
        fonts = {char["fontname"] for page in pdf.pages for char in page.chars}
        texts = "".join(page.extract_text() for page in pdf.pages)
    assert fonts
    assert all("+" in font and ("Lato" in font or font.endswith("Sign-Text")) for font in fonts)
    assert "\ufffd" not in texts
    assert "(cid:" not in texts


def test_title_language_and_bookmarks() -> None:
    plan = demo_plan("farm_stand")
    sheets = lay_out(plan, "letter")
    document = pypdfium2.PdfDocument(guide_pdf(sheets, plan))
    assert plan.sign.name in document.get_metadata_value("Title")
    assert [mark.get_title() for mark in document.get_toc()] == [page.title for page in sheets.pages]
    assert b"/Lang (en)" in guide_pdf(sheets, plan)


@pytest.mark.parametrize("name", DEMOS)
def test_each_panel_page_holds_its_own_numbers(name: str) -> None:
    plan = demo_plan(name)
    sheets = lay_out(plan, "letter")
    with opened(plan, "letter") as pdf:
        for panel in plan.panels:
            pages = [i for i, page in enumerate(sheets.pages) if page.panel == panel.id]
            text = " ".join((pdf.pages[i].extract_text() or "") for i in pages).replace("\n", " ")
            assert f"Panel {panel.number}" in text
            lengths = [panel.from_reference.x.length, panel.from_reference.y.length, *_both(panel.size)]
            for length in [*lengths, *_both(panel.trim_size), panel.check.from_reference.length]:
                assert length.tape in text
            assert "SCALE 1:" in text or "FULL SIZE" in text


def _both(size: object) -> list[TapeLength]:
    return [getattr(size, name) for name in ("width", "height")]


def test_a_fraction_reads_as_one_measure_to_other_readers_too() -> None:
    plan = demo_plan("farm_stand")
    sheets = lay_out(plan, "letter")
    document = pypdfium2.PdfDocument(guide_pdf(sheets, plan))
    for panel in plan.panels:
        index = next(i for i, page in enumerate(sheets.pages) if page.panel == panel.id)
        text = document[index].get_textpage().get_text_range().replace("\r\n", " ")
        assert panel.size.width.tape in text
        assert panel.trim_size.width.tape in text


@pytest.mark.parametrize(("name", "paper"), [*((name, "letter") for name in DEMOS), ("farm_stand", "a4")])
def test_a_drawn_panel_measures_what_the_plan_says_at_the_stated_scale(name: str, paper: str) -> None:
    """Trim outline and hinge line within 0.1 mm of paper, on the panel's page."""
    plan = demo_plan(name)
    sheets = lay_out(plan, paper)
    with opened(plan, paper) as pdf:
        for panel in plan.panels:
            index = next(i for i, page in enumerate(sheets.pages) if page.panel == panel.id)
            drawing = sheets.guide_pages[index]["drawings"][0]
            found = drawn_boxes(pdf.pages[index])
            assert off(on_paper(drawing, panel.trim.bounds), found) < 0.1, panel.id
            for piece in panel.film.geoms:
                assert off(on_paper(drawing, piece.bounds), found) < 0.1, panel.id
            if panel.hinge is not None:
                (ax, ay), (bx, by) = panel.hinge.line
                hinge = on_paper(drawing, (min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
                assert any(lies_on(hinge, box) for box in found), panel.id


@pytest.mark.parametrize("name", DEMOS)
def test_arrows_point_at_what_their_figures_measure(name: str) -> None:
    """On each panel's page an arrow stands at its trim's side, its hinge and its level line."""
    plan = demo_plan(name)
    sheets = lay_out(plan, "letter")
    for panel in plan.panels:
        index = next(i for i, page in enumerate(sheets.pages) if page.panel == panel.id)
        drawing = sheets.guide_pages[index]["drawings"][0]
        items = sheets.pages[index].items
        tips = [item.rings[0][0] for item in items if isinstance(item, Area) and item.fill == ACCENT]
        x0, y0, x1, y1 = on_paper(drawing, panel.trim.bounds)
        across, down = panel.from_reference.x.side, panel.from_reference.y.side
        wanted = [(0, {"left": x0, "right": x1}[across]), (1, {"top": y0, "bottom": y1}[down])]
        if panel.level is not None:
            axis = 0 if panel.level.axis == "x" else 1
            wanted.append((axis, on_paper(drawing, (panel.level.at, panel.level.at, 0, 0))[axis]))
        for axis, at in wanted:
            assert min(abs(tip[axis] - at) for tip in tips) < 0.1, panel.id


def lies_on(line: Box, drawn: Box) -> bool:
    """Whether a level or plumb line lies on a drawn one, which may be longer, within 0.1 mm."""
    along = 0 if line[2] - line[0] >= line[3] - line[1] else 1
    across = 1 - along
    same = abs(drawn[across] - line[across]) < 0.1 and abs(drawn[across + 2] - line[across + 2]) < 0.1
    return same and drawn[along] <= line[along] + 0.1 and drawn[along + 2] >= line[along + 2] - 0.1


@pytest.mark.parametrize("name", DEMOS)
def test_distances_from_the_board_s_edges_measure_true_on_the_set_out_sheet(name: str) -> None:
    plan = demo_plan(name)
    sheets = lay_out(plan, "letter")
    index = next(i for i, page in enumerate(sheets.pages) if page.kind == "setout")
    drawing = sheets.guide_pages[index]["drawings"][0]
    with opened(plan, "letter") as pdf:
        found = drawn_boxes(pdf.pages[index])
    board = on_paper(drawing, plan.sign.outline.bounds)
    assert off(board, found) < 0.1
    for panel in plan.panels:
        x0, y0, x1, y1 = panel.trim.bounds
        trim = min(found, key=lambda box: off(on_paper(drawing, (x0, y0, x1, y1)), [box]))
        across, down = panel.from_reference.x, panel.from_reference.y
        measured = {"left": trim[0] - board[0], "right": board[2] - trim[2]}[across.edge]
        assert measured == pytest.approx(across.length.mm / drawing["scale"], abs=0.1)
        measured = {"top": trim[1] - board[1], "bottom": board[3] - trim[3]}[down.edge]
        assert measured == pytest.approx(down.length.mm / drawing["scale"], abs=0.1)


@pytest.mark.parametrize("name", DEMOS)
def test_panels_on_a_mat_are_drawn_where_they_are_cut(name: str) -> None:
    plan = demo_plan(name)
    sheets = lay_out(plan, "a4")
    with opened(plan, "a4") as pdf:
        for mat in plan.mats:
            pages = sheets.guide_pages
            index, drawing = next(
                (i, page["drawings"][0])
                for i, page in enumerate(pages)
                if page["drawings"] and page["drawings"][0]["of"] == mat.id
            )
            found = drawn_boxes(pdf.pages[index])
            for panel in (plan.panel(name) for name in mat.panels):
                a, b, c, d, e, f = panel.to_mat
                points = [(a * x + c * y + e, b * x + d * y + f) for x, y in panel.trim.exterior.coords]
                box = (min(p[0] for p in points), min(p[1] for p in points),
                       max(p[0] for p in points), max(p[1] for p in points))  # fmt: skip
                assert off(on_paper(drawing, box), found) < 0.1


def on_paper(drawing: dict[str, object], box: Box) -> Box:
    """Return a box of the sign (or mat) on the paper, as plan.json's guide pages say."""
    sign, paper, scale = drawing["sign_box"], drawing["paper_box_mm"], drawing["scale"]
    assert isinstance(sign, list)
    assert isinstance(paper, list)
    assert isinstance(scale, float)
    x, y = paper[0] - sign[0] / scale, paper[1] - sign[1] / scale
    return x + box[0] / scale, y + box[1] / scale, x + box[2] / scale, y + box[3] / scale


def test_the_check_squares_are_true() -> None:
    plan = demo_plan("farm_stand")
    sheets = lay_out(plan, "letter")
    indices = [i for i, page in enumerate(sheets.pages) if page.kind == "begin"]
    with opened(plan, "letter") as pdf:
        found = [box for index in indices for box in drawn_boxes(pdf.pages[index])]
    for side in (100.0, 25.4):
        assert any(abs(b[2] - b[0] - side) < 0.02 and abs(b[3] - b[1] - side) < 0.02 for b in found)


LENGTH = re.compile(r"(?<![\d/.])\d+(?: \d+/\d+)?(?:/\d+)? in\b|(?<![\d/])\d+(?:\.\d)? mm\b")
ALLOWED = {"1 in", "100 mm", "10 mm"}  # the check squares


def lengths_of(value: object) -> set[str]:
    """Return all that may be printed of the lengths in a record: tape texts, and mm to a tenth."""
    if isinstance(value, TapeLength):
        return {value.tape, f"{abs(value.mm):.1f} mm"}
    if isinstance(value, tuple):
        return {text for part in value for text in lengths_of(part)}
    if hasattr(value, "__dataclass_fields__"):
        return {text for name in value.__dataclass_fields__ for text in lengths_of(getattr(value, name))}
    return set()


@pytest.mark.parametrize("name", DEMOS)
def test_every_length_printed_is_a_number_of_the_plan(name: str) -> None:
    plan = demo_plan(name)
    measured = (plan.sign, plan.panels, plan.breaks, plan.tape_marks, plan.mats, plan.slip, plan.materials)
    known = lengths_of((*measured, plan.tape_error)) | ALLOWED
    known |= {f"{limit:.1f} mm" for limit in (plan.project.slip.offset, plan.project.slip.tilt)}  # "slip_limits"
    for page in lay_out(plan, "letter").pages:
        foot = page.height - 12 - 17
        for item in page.items:
            if isinstance(item, Text) and item.at[1] < foot:  # the bar scale stands in the title block
                said = re.sub(r"exactly [\d.]+ × [\d.]+ mm", "", item.string)
                assert set(LENGTH.findall(said)) <= known, (page.title, item.string)


def test_letters_of_other_scripts_are_embedded_and_what_no_font_has_is_named() -> None:
    from dataclasses import replace

    from bigsign.sheets.items import Run

    plan = demo_plan("one_mat")
    sheets = lay_out(plan, "letter")
    strange = [Text((50, 50 + 10 * n), (Run(word, 0, 0, 3, False),)) for n, word in enumerate(("Чай", "Κήπος", "日"))]
    page = replace(sheets.pages[0], items=(*sheets.pages[0].items, *strange))
    data = guide_pdf(replace(sheets, pages=(page, *sheets.pages[1:])), plan)
    with open_pdf(BytesIO(data)) as pdf:
        text = pdf.pages[0].extract_text()
        fonts = {char["fontname"].partition("+")[2] for char in pdf.pages[0].chars}
    assert all(word in text for word in ("Чай", "Κήπος", "U+65E5"))
    assert "FiraSans-Regular" in fonts
