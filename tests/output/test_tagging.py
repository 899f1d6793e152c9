"""Tags: PDFium says the file is tagged, every marked content has its element, paragraphs read in order.

What an element is and where it may stand: ISO 32000-1, 14.7 and 14.8 (from memory).
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pdfplumber
import pikepdf
import pypdfium2
import pypdfium2.raw
import pytest

from bigsign.output.guide import guide_pdf
from bigsign.output.tagging import page_tags
from bigsign.output.template import template_pdf
from bigsign.sheets import lay_out
from bigsign.sheets.items import Cell, Page, Run, Text
from bigsign.sheets.lay_template import lay_template
from bigsign.sheets.panel_drawing import join_letters
from tests.demos import DEMOS, demo_plan


@pytest.mark.parametrize("kind", ["guide", "template"])
def test_the_file_is_tagged_and_its_tree_holds_every_marked_content(kind: str) -> None:
    plan = demo_plan("farm_stand")
    if kind == "guide":
        data = guide_pdf(lay_out(plan, "letter"), plan)
    else:
        data = template_pdf(lay_template(plan, "letter"), plan)
    document = pypdfium2.PdfDocument(data)
    assert pypdfium2.raw.FPDFCatalog_IsTagged(document.raw)
    with pikepdf.open(BytesIO(data)) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert pdf.Root.MarkInfo.Marked
        nums = list(pdf.Root.StructTreeRoot.ParentTree.Nums)
        parents = [list(one) for one in nums[1::2]]
        assert [int(number) for number in nums[::2]] == list(range(len(parents)))
        for number, page in enumerate(pdf.pages):
            assert page.obj.StructParents == number
            opened, marked = 0, []
            for instruction in pikepdf.parse_content_stream(page):
                assert isinstance(instruction, pikepdf.ContentStreamInstruction)
                operands, operator = instruction.operands, instruction.operator
                if str(operator) in ("BDC", "BMC"):
                    assert opened == 0  # marked contents don't nest
                    opened = 1
                    if str(operator) == "BDC":
                        marked.append((str(operands[0]), int(operands[1].MCID)))
                elif str(operator) == "EMC":
                    opened = 0
                elif str(operator) in ("Tj", "f", "S", "B", "f*", "B*"):
                    assert opened == 1  # nothing is drawn outside a tag or an artifact
            assert [mcid for _, mcid in marked] == list(range(len(parents[number])))
            for tag, mcid in marked:
                assert str(parents[number][mcid].S) == tag


def _elements(element: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """Yield an element and all below it."""
    yield element
    for child in element.K:
        if isinstance(child, pikepdf.Dictionary):
            yield from _elements(child)


@pytest.mark.parametrize("name", DEMOS)
def test_the_tree_holds_what_the_standard_asks_for(name: str) -> None:
    """Rows of one table have as many cells as each other, heads a scope, list items stand in lists, figures speak."""
    plan = demo_plan(name)
    inside = {"TR": "Table", "TH": "TR", "TD": "TR", "LI": "L", "Lbl": "LI", "LBody": "LI"}
    for data in (guide_pdf(lay_out(plan, "a4"), plan), template_pdf(lay_template(plan, "a4"), plan)):
        with pikepdf.open(BytesIO(data)) as pdf:
            assert pdf.check_pdf_syntax() == []
            found = list(_elements(pdf.Root.StructTreeRoot.K))
            kinds = {str(element.S)[1:] for element in found}
            assert {"Document", "Sect", "H1", "H2", "P", "Figure", "L", "LI"} <= kinds
            for element in found:
                kind = str(element.S)[1:]
                if kind in inside:
                    assert str(element.P.S)[1:] == inside[kind]
                if kind == "Figure":
                    assert str(element.Alt).strip()
                    x0, y0, x1, y1 = (float(value) for value in element.A.BBox)
                    assert 0 <= x0 < x1 <= float(element.Pg.MediaBox[2])
                    assert 0 <= y0 < y1 <= float(element.Pg.MediaBox[3])
                if kind == "TH":
                    assert str(element.A.O) == "/Table"
                    assert str(element.A.Scope) == "/Column"
                if kind == "Table":
                    assert len({len(row.K) for row in element.K}) == 1
                    for index, row in enumerate(element.K):
                        assert {str(cell.S) for cell in row.K} == {"/TD" if index else "/TH"}


def _read(data: bytes, page: int) -> tuple[list[dict[str, Any]], dict[int, str]]:
    """Return a page's tree as pdfplumber reads it, and the characters of each marked content."""
    with pdfplumber.open(BytesIO(data)) as pdf:
        sheet = pdf.pages[page]
        texts: dict[int, str] = {}
        for char in sheet.chars:
            if char.get("mcid") is not None:
                texts[char["mcid"]] = texts.get(char["mcid"], "") + char["text"]
        return list(sheet.structure_tree), texts


def _said(element: dict[str, Any], texts: dict[int, str]) -> str:
    own = "".join(texts.get(number, "") for number in element.get("mcids", []))
    return " ".join([*own.split(), *(_said(child, texts) for child in element.get("children", []))])


def _all(tree: list[dict[str, Any]], kind: str) -> list[dict[str, Any]]:
    return [e for top in tree for e in [*([top] if top["type"] == kind else []), *_all(top.get("children", []), kind)]]


def _tables(data: bytes, page: int) -> list[list[list[str]]]:
    tree, texts = _read(data, page)
    return [
        [[_said(cell, texts) for cell in row.get("children", [])] for row in table["children"]]
        for table in _all(tree, "Table")
    ]


@pytest.mark.parametrize("name", DEMOS)
def test_tables_read_row_by_row(name: str) -> None:
    plan = demo_plan(name)
    sheets = lay_out(plan, "letter")
    data = guide_pdf(sheets, plan)
    read: dict[str, list[list[list[str]]]] = {}
    for index, page in enumerate(sheets.pages):
        read.setdefault(page.kind, []).extend(_tables(data, index))
    panels = [row for table in read["panels"] for row in table[1:]]
    assert [row[0] for row in panels] == [str(panel.number) for panel in plan.panels]
    for row, panel in zip(panels, plan.panels, strict=True):
        text = " ".join(panel.text.split())
        size = f"{panel.size.width.shown} × {panel.size.height.shown}"
        assert row[1:-3] == [*([text] if text else []), size]  # pdfplumber passes over cells without words
        assert panel.from_reference.x.length.tape in row[-2]
    marks = [row[0] for table in read["setout"] for row in table if row[0].startswith("T")]
    assert marks == [mark.id for mark in plan.tape_marks]  # also where they stand in two columns
    trouble = [row for table in read["trouble"] for row in table[1:]]
    assert [row[-1] for row in trouble] == [f"panel-{panel.number}" for panel in plan.panels]
    joins = [row for table in read.get("slip", []) for row in table[1:]]
    assert sorted(row[0] for row in joins) == sorted(join_letters(plan).values())


def test_a_table_in_two_columns_is_one_table_read_down_the_first_then_the_second() -> None:
    plan = demo_plan("seed_library")
    sheets = lay_out(plan, "letter")
    pages = [n for n, page in enumerate(sheets.pages) if page.kind == "setout"]
    shown = {n: [i for i in sheets.pages[n].items if isinstance(i, Text)] for n in pages}
    index = next(n for n in pages if any(item.string == "T1" and item.role != "drawn" for item in shown[n]))
    heads = [item for item in shown[index] if item.string == "From left"]
    assert len(heads) > 1  # the eye sees its heads over both columns
    assert sum(item.role == "again" for item in heads) == 1
    tables = _tables(guide_pdf(sheets, plan), index)
    marks = next(table for table in tables if table[0][0] == "Mark")
    assert [row[0] for row in marks[1:]] == [mark.id for mark in plan.tape_marks]


def test_steps_are_list_items_with_their_number_and_all_their_lines() -> None:
    plan = demo_plan("farm_stand")
    sheets = lay_out(plan, "letter")
    panel = plan.panels[0]
    step = next(step for step in plan.steps if step.panel == panel.id)
    index = next(n for n, page in enumerate(sheets.pages) if page.panel == panel.id)
    tree, texts = _read(guide_pdf(sheets, plan), index)
    items = [_said(item, texts) for item in _all(tree, "LI")]
    wanted = [f"{step.n}{'abcdefghijklmnop'[n]} {action}" for n, action in enumerate(step.actions)]
    at = items.index(wanted[0])
    assert items[at : at + len(wanted)] == wanted
    named = [(element.get("actual_text"), _said(element, texts)) for element in _all(tree, "Lbl")]
    assert ("Film:", "Film") in named
    film = next(item for item in _all(tree, "LI") if _said(item["children"][0], texts) == "Film")
    assert _said(film["children"][1], texts) == plan.colour_name(panel.colour)
    order = [element["type"] for element in tree[0]["children"][0]["children"]]
    assert order[0] == "H1"
    assert order[-2:] == ["L", "L"]  # the key to the lines, and last of all the title block


def test_a_table_that_ends_and_one_that_begins_are_two_and_a_cell_may_have_no_words() -> None:
    def text(words: str, role: Cell) -> Text:
        return Text((10, 10), (Run(words, 0, 0, 2.5, False),), role=role)

    items = (
        text("a", Cell(0, 0)), text("b", Cell(0, 1)), text("c", Cell(0, 2)), text("1", Cell(1, 0)),
        text("3", Cell(1, 2)), text("3, more", Cell(1, 2)), text("d", Cell(0, 0)), text("4", Cell(1, 0)),
    )  # fmt: skip
    tags = page_tags(Page("x", "x", 100, 100, items))
    first, second = tags.elements
    assert [[cell.kind for cell in row.children] for row in first.children] == [["TH"] * 3, ["TD"] * 3]
    assert first.children[1].children[1].contents == []
    assert len(first.children[1].children[2].contents) == 1  # both lines
    assert [len(row.children) for row in second.children] == [1, 1]


def test_every_page_has_one_heading_and_its_steps_are_paragraphs() -> None:
    plan = demo_plan("seed_library")
    sheets = lay_out(plan, "a4")
    for page in sheets.pages:
        tags = page_tags(page)
        headings = [element for element in tags.elements if element.kind == "H1"]
        assert len(headings) == 1
        assert len([e for e in tags.elements if e.kind == "Figure"]) <= len(page.drawings)
        said = [item for _, _, items in tags.runs for item in items if isinstance(item, Text)]
        assert said == [item for item in page.items if isinstance(item, Text)]  # nothing moves, nothing is left out


def test_pdfium_reads_the_structure_of_a_panels_page() -> None:
    plan = demo_plan("farm_stand")
    sheets = lay_out(plan, "letter")
    at = next(n for n, page in enumerate(sheets.pages) if page.kind == "panel")
    document = pypdfium2.PdfDocument(guide_pdf(sheets, plan))
    page = document[at]  # held: its tree goes with it
    tree = pypdfium2.raw.FPDF_StructTree_GetForPage(page.raw)
    kinds: list[str] = []

    def walk(element: object) -> None:
        size = pypdfium2.raw.FPDF_StructElement_GetType(element, None, 0)
        buffer = ctypes.create_string_buffer(size)
        pypdfium2.raw.FPDF_StructElement_GetType(element, buffer, size)
        kinds.append(buffer.raw.decode("utf-16-le").rstrip("\0"))
        for n in range(max(0, pypdfium2.raw.FPDF_StructElement_CountChildren(element))):
            child = pypdfium2.raw.FPDF_StructElement_GetChildAtIndex(element, n)
            if child:
                walk(child)

    for n in range(pypdfium2.raw.FPDF_StructTree_CountChildren(tree)):
        walk(pypdfium2.raw.FPDF_StructTree_GetChildAtIndex(tree, n))
    pypdfium2.raw.FPDF_StructTree_Close(tree)
    assert {"Document", "Sect", "H1", "P", "Figure"} <= set(kinds)
