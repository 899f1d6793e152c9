"""The guide as PDF: draws what the sheets say where they say it. Points exist only here."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from bigsign.plan_records import Plan
from bigsign.sheets.items import Area, Circle, Item, Page, Sheets, Stroke, Text
from bigsign.sheets.metrics import CAP_SHARE, can_show, font_file

__all__ = ["guide_pdf"]

MM = 72 / 25.4
FONTS = {False: "Lato", True: "Lato-Bold"}


def guide_pdf(sheets: Sheets, plan: Plan) -> bytes:
    """Return the guide; the same sheets give the same bytes. Fonts are embedded, pages are bookmarked.

    Raises
    ------
    ValueError
        If a text holds a character the guide's font lacks: it would vanish from the page without a word.
    """
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    for bold, name in FONTS.items():
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, str(font_file(bold))))
    out = BytesIO()
    # else reportlab begins each page with a font that is not embedded; its stubs call this name a number
    first_font: Any = FONTS[False]
    canvas = Canvas(out, invariant=1, pageCompression=1, lang="en", initialFontName=first_font)
    canvas.setTitle(f"{plan.sign.name}: assembly guide")
    canvas.setSubject(f"Plan {plan.project.sha256[:8]}")
    canvas.setCreator("bigsign")
    canvas.setAuthor("")
    for number, page in enumerate(sheets.pages, 1):
        _draw_page(canvas, page, number)
    canvas.showOutline()
    canvas.save()
    return out.getvalue()


def _draw_page(canvas: Any, page: Page, number: int) -> None:
    canvas.setPageSize((page.width * MM, page.height * MM))
    key = f"page-{number}"
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(page.title, key, 0)
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for item in page.items:
        _draw(canvas, item, page.height)
    canvas.showPage()


def _draw(canvas: Any, item: Item, height: float) -> None:
    if isinstance(item, Stroke):
        _pen(canvas, item.colour, item.width, item.dash)
        path = canvas.beginPath()
        _trace(path, item.points, height)
        canvas.drawPath(path, stroke=1, fill=0)
    elif isinstance(item, Area):
        if item.fill is not None:
            canvas.setFillColor(item.fill)
        if item.stroke is not None:
            _pen(canvas, item.stroke, item.width, item.dash)
        path = canvas.beginPath()
        for ring in item.rings:
            _trace(path, ring, height)
            path.close()
        canvas.drawPath(path, stroke=int(item.stroke is not None), fill=int(item.fill is not None), fillMode=0)
    elif isinstance(item, Circle):
        if item.fill is not None:
            canvas.setFillColor(item.fill)
        if item.stroke is not None:
            _pen(canvas, item.stroke, item.width, ())
        x, y = item.centre[0] * MM, (height - item.centre[1]) * MM
        canvas.circle(x, y, item.radius * MM, stroke=int(item.stroke is not None), fill=int(item.fill is not None))
    else:
        _write(canvas, item, height)


def _pen(canvas: Any, colour: str, width: float, dash: tuple[float, ...]) -> None:
    canvas.setStrokeColor(colour)
    canvas.setLineWidth(width * MM)
    canvas.setDash([part * MM for part in dash] if dash else [])


def _trace(path: Any, points: tuple[tuple[float, float], ...], height: float) -> None:
    path.moveTo(points[0][0] * MM, (height - points[0][1]) * MM)
    for x, y in points[1:]:
        path.lineTo(x * MM, (height - y) * MM)


def _write(canvas: Any, text: Text, height: float) -> None:
    if not can_show(text.text, text.bold):
        raise ValueError(f"the guide's font lacks a character of {text.text!r}")
    canvas.setFillColor(text.colour)
    canvas.setFont(FONTS[text.bold], text.cap / CAP_SHARE * MM)
    x, y = text.at[0] * MM, (height - text.at[1]) * MM
    draw = {"l": "drawString", "c": "drawCentredString", "r": "drawRightString"}[text.align]
    if text.turned:
        canvas.saveState()
        canvas.translate(x, y)
        canvas.rotate(90)
        getattr(canvas, draw)(0, 0, text.text)
        canvas.restoreState()
    else:
        getattr(canvas, draw)(x, y, text.text)
