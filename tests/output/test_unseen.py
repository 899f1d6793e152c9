"""The sign's own letters in the file: outlines true to the plan, characters behind them as two readers find them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO

import pdfplumber
import pikepdf
import pypdfium2
import pytest

from bigsign.output.guide import guide_pdf
from bigsign.output.unseen import UnseenTexts, runs_of_letters
from bigsign.sheets import lay_out
from bigsign.sheets.items import Text
from bigsign.sheets.labels import clashes
from bigsign.sheets.own_face import sign_lines, spaced
from tests.lettering_plans import lettered_plan
from tests.sheets.test_own_face import SIGNS

MM = 72 / 25.4


def written(texts: list[str], apart: Sequence[bool] = ()) -> bytes:
    """Return a page with texts unseen, one under the other."""
    from reportlab.pdfgen.canvas import Canvas

    out, unseen = BytesIO(), UnseenTexts()
    canvas = Canvas(out, invariant=1)
    for n, text in enumerate(texts):
        unseen.write(canvas, text, (100, 700 - 40 * n, 120, 12), False, bool(apart) and apart[n])
    canvas.showPage()
    canvas.save()
    with pikepdf.open(BytesIO(out.getvalue())) as document:
        unseen.name_in(document)
        named = BytesIO()
        document.save(named, deterministic_id=True)
    return named.getvalue()


TEXTS = ["FRESH EGGS", "שלום עולם", "مكتبة البذور", "सूर्य किताब", "ผู้ใหญ่", "種子図書館", "a😀b", "Ệt ☂"]


def test_two_readers_find_every_text_in_the_order_of_reading() -> None:
    data = written(TEXTS)
    with pdfplumber.open(BytesIO(data)) as pdf:
        assert pdf.pages[0].extract_text().splitlines() == TEXTS
    found = pypdfium2.PdfDocument(data)[0].get_textpage().get_text_range()
    assert [line.strip() for line in found.splitlines()] == TEXTS


def test_what_is_written_unseen_leaves_no_ink() -> None:
    image = pypdfium2.PdfDocument(written(TEXTS))[0].render(scale=2).to_numpy()
    assert image.min() == 255


@pytest.mark.parametrize("sign", SIGNS, ids=[package for _, package in SIGNS])
def test_a_panel_s_page_shows_and_says_its_text(sign: tuple[tuple[str, ...], str]) -> None:
    plan = lettered_plan(*sign)
    sheets = lay_out(plan, "letter")
    data = guide_pdf(sheets, plan)
    assert data == guide_pdf(lay_out(plan, "letter"), plan)
    document = pypdfium2.PdfDocument(data)
    for page in sheets.pages:
        assert clashes(page.items, (12.0, 12.0, page.width - 12.0, page.height - 12.0)) == []
        assert not any("U+" in item.string for item in page.items if isinstance(item, Text))
    with pdfplumber.open(BytesIO(data)) as pdf:
        for panel in plan.panels:
            at = next(n for n, page in enumerate(sheets.pages) if page.panel == panel.id)
            rows = panel.text.split("\n")
            found = document[at].get_textpage().get_text_range()
            chars = "".join(char["text"] for char in pdf.pages[at].chars)
            words = pdf.pages[at].extract_text()
            for row in rows:
                assert row in found
                assert row in chars
                assert row in words
            assert " / ".join(rows) in chars


@pytest.mark.parametrize("sign", SIGNS, ids=[package for _, package in SIGNS])
def test_outlines_in_the_file_are_the_plan_s(sign: tuple[tuple[str, ...], str]) -> None:
    """Box by box within 0.02 mm: outlines come in hundredths of a millimetre."""
    plan = lettered_plan(*sign)
    sheets = lay_out(plan, "letter")
    with pdfplumber.open(BytesIO(guide_pdf(sheets, plan))) as pdf:
        for panel in plan.panels:
            at = next(n for n, page in enumerate(sheets.pages) if page.panel == panel.id)
            title = next(i for i in sheets.pages[at].items if isinstance(i, Text) and any(run.ink for run in i.runs))
            page = pdf.pages[at]
            drawn = [[v / MM for v in (c["x0"], c["top"], c["x1"], c["bottom"])] for c in [*page.curves, *page.rects]]
            lines = sign_lines(plan, panel)
            inked = [run for run in title.runs if run.ink is not None]
            for line, run in zip(lines, inked, strict=True):
                ink = run.ink
                assert ink is not None
                x, y = title.at[0] + run.along, title.at[1] + ink.drop
                for shape in spaced(line.letters):
                    for part in getattr(shape, "geoms", [shape]):
                        x0, y0, x1, y1 = (v * ink.size for v in part.exterior.bounds)
                        shown = (x0 + x, y0 + y, x1 + x, y1 + y)
                        assert min(max(abs(a - b) for a, b in zip(shown, box, strict=True)) for box in drawn) < 0.02


SPOKEN = [
    (("לחם וחלה",), "fontpkg_heebo", "לחם וחלה"),
    (("לחם וחלה",), "fontpkg_heebo", "מאפייה FRESH EGGS"),
    (("مكتبة البذور",), "fontpkg_amiri", "خبز طازج وعسل"),
    (("ร้านขนมปัง",), "fontpkg_kanit", "ไข่สด จาก"),
]


@pytest.mark.parametrize(("lines", "package", "name"), SPOKEN, ids=[name for _, _, name in SPOKEN])
def test_the_name_of_the_sign_is_found_in_the_order_of_reading(lines: tuple[str, ...], package: str, name: str) -> None:
    """On the cover, where a note stands beside it, and in the title block of every sheet."""
    plan = lettered_plan(lines, package)
    plan = replace(plan, sign=replace(plan.sign, name=name))
    document = pypdfium2.PdfDocument(guide_pdf(lay_out(plan, "letter"), plan))
    assert document[0].get_textpage().get_text_range().count(name) == 2
    assert all(name in page.get_textpage().get_text_range() for page in document)
    assert document.get_metadata_dict()["Title"] == f"{name}: assembly guide"


def test_words_beside_others_keep_their_order_and_figures_theirs() -> None:
    parts = [("לחם 12 טרי", True), ("ביצים FRESH 12 EGGS", False), ("שלום עולם", False)]
    data = written([text for text, _ in parts], [apart for _, apart in parts])
    with pdfplumber.open(BytesIO(data)) as pdf:
        assert [char["text"] for char in pdf.pages[0].chars] == [
            "לחם", " 12 ", "טרי", "ביצים", " FRESH 12 EGGS", "שלום עולם",
        ]  # fmt: skip


def test_a_line_s_direction_is_that_of_most_of_its_runs() -> None:
    assert runs_of_letters("Panel 1 לחם טרי / mats/mat-01.svg") == (4, 2)
    assert runs_of_letters("MAT 12") == (1, 0)
