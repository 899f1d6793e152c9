"""The sheet of samples as a file: SVG (all outlines), or PDF (names as text). The same rows give the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from bigsign.artwork.flatten import Command, transform
from bigsign.artwork.shaping import Face
from bigsign.fonts.sample import ROW, WIDTH, SampleRow, drawn
from bigsign.output.paths import number
from bigsign.project import FontFile
from bigsign.sheets.metrics import em_of, font_file, run_width, segments, showable

__all__ = ["sample_pdf", "sample_svg"]

MARGIN = 15.0  # mm
PAPERS = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
LABEL_CAP, LABEL_BASE = 2.2, 4.0  # mm
GREY, BLACK = "#666666", "#000000"


def sample_svg(rows: Sequence[SampleRow]) -> bytes:
    """Return the sheet as one drawing, all outlines; each row is a group with the face's name as its title."""
    wide, high = WIDTH + 2 * MARGIN, len(rows) * ROW + 2 * MARGIN
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(wide)}mm" height="{number(high)}mm" '
        f'viewBox="0 0 {number(wide)} {number(high)}">',
        "<title>Installed faces</title>",
    ]
    for n, row in enumerate(rows):
        parts.append(f'<g transform="translate({number(MARGIN)} {number(MARGIN + n * ROW)})">')
        parts.append(f"<title>{escape(_clean(row.name))}</title>")
        for colour, paths in ((GREY, [_written(row.label)]), (BLACK, row.glyphs)):
            parts.extend(f'<path fill="{colour}" d="{_data(path)}"/>' for path in paths if path)
        parts.append("</g>")
    return "\n".join([*parts, "</svg>", ""]).encode("utf-8")


def sample_pdf(rows: Sequence[SampleRow], paper: str) -> bytes:
    """Return the sheet as pages of ``letter`` or ``a4``."""
    from reportlab.lib.units import mm
    from reportlab.pdfgen.canvas import Canvas

    wide, high = PAPERS[paper]
    a_page = int((high - 2 * MARGIN) // ROW)
    out = BytesIO()
    canvas = Canvas(out, pagesize=(wide * mm, high * mm), invariant=1, pageCompression=1, lang="en")
    canvas.setTitle("Installed faces")
    canvas.setCreator("bigsign")
    canvas.setAuthor("")
    left = (wide - WIDTH) / 2
    for start in range(0, len(rows), a_page):
        for n, row in enumerate(rows[start : start + a_page]):
            top = high - MARGIN - n * ROW
            _write(canvas, row.label, left * mm, (top - LABEL_BASE) * mm, mm)
            canvas.saveState()
            canvas.transform(mm, 0, 0, -mm, left * mm, top * mm)
            canvas.setFillColor(BLACK)
            for glyph in row.glyphs:
                _fill(canvas, glyph)
            canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _written(text: str) -> tuple[Command, ...]:
    """Return a label as outlines, in the paper's own faces."""
    out: list[Command] = []
    pen = 0.0
    for index, part in segments(showable(text)):
        face = _own_face(index)
        scale = em_of(LABEL_CAP, False, index) / face.upem
        for glyph in face.shape(part):
            out.extend(transform(glyph.outline, (scale, 0.0, 0.0, -scale, pen, LABEL_BASE)))
        pen += run_width(part, LABEL_CAP)
    return tuple(out)


@cache
def _own_face(index: int) -> Face:
    return Face(FontFile("label", font_file(False, index).read_bytes()), {})


def _write(canvas: Any, text: str, x: float, y: float, unit: float) -> None:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    written = canvas.beginText(x, y)
    written.setFillColor(GREY)
    for index, part in segments(showable(text)):
        name = f"Label-{index}"
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, str(font_file(False, index))))
        written.setFont(name, em_of(LABEL_CAP, False, index) * unit)
        written.textOut(part)
    canvas.drawText(written)


def _data(path: Sequence[Command]) -> str:
    return " ".join(
        letter + " ".join(f"{number(x, 3)} {number(y, 3)}" for x, y in points) for letter, points in drawn(path)
    )


def _fill(canvas: Any, path: Sequence[Command]) -> None:
    made = canvas.beginPath()
    draw = {"M": made.moveTo, "L": made.lineTo, "C": made.curveTo, "Z": made.close}
    for letter, points in drawn(path):
        draw[letter](*(value for point in points for value in point))
    canvas.drawPath(made, stroke=0, fill=1, fillMode=1)  # nonzero, as fonts fill


def _clean(text: str) -> str:
    """Return a name without what XML does not allow."""
    return "".join(char for char in text if char.isprintable())
