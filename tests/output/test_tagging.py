"""Tags: PDFium says the file is tagged, every marked content has its element, paragraphs read in order."""

from __future__ import annotations

import ctypes
from io import BytesIO

import pikepdf
import pypdfium2
import pypdfium2.raw
import pytest

from bigsign.output.guide import guide_pdf
from bigsign.output.tagging import page_tags
from bigsign.output.template import template_pdf
from bigsign.sheets import lay_out
from bigsign.sheets.items import Text
from bigsign.sheets.lay_template import lay_template
from tests.demos import demo_plan


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
