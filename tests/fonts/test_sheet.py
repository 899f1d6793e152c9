"""The sheet of samples as PDF and SVG: names as text, lines as outlines, rows that do not touch, the same bytes."""

from __future__ import annotations

import re
from io import BytesIO

import pdfplumber
import pytest
from lxml import etree

from bigsign.artwork.flatten import Close, Command, LineTo, MoveTo
from bigsign.fonts.sample import ROW, TOP, WIDTH, SampleRow
from bigsign.fonts.sheet import MARGIN, PAPERS, sample_pdf, sample_svg

SVG = "{http://www.w3.org/2000/svg}"
MM = 72 / 25.4


def bar(width: float) -> tuple[Command, ...]:
    points = [(0.0, TOP), (width, TOP), (width, TOP + 12), (0.0, TOP + 12)]
    return (MoveTo(points[0]), *(LineTo(point) for point in points[1:]), Close())


ROWS = [
    SampleRow("Marrow Sans", bar(100.0)),
    SampleRow("Höfe Śród Škola", bar(WIDTH)),
    SampleRow("小屋 <Shed> & Barn", bar(20.0)),
    SampleRow("Shed Emoji", (), "holds pictures of letters, no outlines to cut"),
    SampleRow("Bell\x07\u202e", bar(5.0)),
]


def test_the_drawing_has_a_group_a_row_and_no_text() -> None:
    root = etree.fromstring(sample_svg(ROWS))
    assert float(root.get("width", "").removesuffix("mm")) == WIDTH + 2 * MARGIN
    assert float(root.get("height", "").removesuffix("mm")) == len(ROWS) * ROW + 2 * MARGIN
    groups = root.findall(f"{SVG}g")
    assert [group.findtext(f"{SVG}title") for group in groups] == [
        "Marrow Sans", "Höfe Śród Škola", "小屋 <Shed> & Barn", "Shed Emoji", "Bell",
    ]  # fmt: skip
    places = [re.findall(r"[0-9.]+", group.get("transform", "")) for group in groups]
    assert [(float(x), float(y)) for x, y in places] == [(MARGIN, MARGIN + n * ROW) for n in range(len(ROWS))]
    assert [len(group.findall(f"{SVG}path")) for group in groups] == [2, 2, 2, 1, 2]
    assert root.findall(f".//{SVG}text") == []


def test_the_same_rows_give_the_same_bytes() -> None:
    assert sample_svg(ROWS) == sample_svg(ROWS)
    for paper in PAPERS:
        assert sample_pdf(ROWS, paper) == sample_pdf(ROWS, paper)
    assert sample_pdf(ROWS, "letter") != sample_pdf(ROWS, "a4")


@pytest.mark.parametrize(("paper", "a_page"), [("letter", 13), ("a4", 14)])
def test_pages_hold_whole_rows_inside_their_margins(paper: str, a_page: int) -> None:
    """Arithmetic: 279.4 and 297 mm less two margins of 15 mm, by 19 mm a row."""
    rows = [SampleRow(f"Face {n}", bar(WIDTH)) for n in range(2 * a_page + 1)]
    with pdfplumber.open(BytesIO(sample_pdf(rows, paper))) as pdf:
        assert len(pdf.pages) == 3
        names = []
        for page in pdf.pages:
            assert (page.width / MM, page.height / MM) == pytest.approx(PAPERS[paper], abs=0.01)
            names += page.extract_text().splitlines()
            for rect in (*page.rects, *page.curves):
                assert rect["x0"] >= MARGIN * MM
                assert rect["x1"] <= page.width - MARGIN * MM
                assert rect["bottom"] <= page.height - MARGIN * MM
    assert names == [row.name for row in rows]


def test_names_stand_above_their_line_and_below_the_one_before() -> None:
    rows = [SampleRow(f"Glyph {n}", bar(WIDTH)) for n in range(5)]
    with pdfplumber.open(BytesIO(sample_pdf(rows, "letter"))) as pdf:
        (page,) = pdf.pages
        bars = sorted((one["top"], one["bottom"]) for one in (*page.rects, *page.curves))
        words = sorted({(word["top"], word["bottom"]) for word in page.extract_words() if word["text"] == "Glyph"})
    assert len(bars) == len(words) == 5
    for n, ((top, bottom), (upper, lower)) in enumerate(zip(words, bars, strict=True)):
        assert bottom <= upper
        assert lower - upper == pytest.approx(12 * MM, abs=0.1)
        assert n == 0 or top >= bars[n - 1][1]


def test_what_the_papers_faces_lack_is_written_by_number() -> None:
    with pdfplumber.open(BytesIO(sample_pdf(ROWS, "a4"))) as pdf:
        text = pdf.pages[0].extract_text()
        fonts = {char["fontname"].partition("+")[2] for char in pdf.pages[0].chars}
    assert "Höfe Śród Škola" in text
    assert "U+5C0F" in text
    assert "Shed Emoji: holds pictures of letters, no outlines to cut" in text
    assert fonts <= {"Lato-Regular", "FiraSans-Regular"}


def test_a_sheet_of_nothing_is_still_a_drawing() -> None:
    assert etree.fromstring(sample_svg([])).findall(f"{SVG}g") == []
