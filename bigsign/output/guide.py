"""The guide as PDF: draws what the sheets say, where they say it. Points exist only here, and y turns over here."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from typing import Any

from bigsign.output.tagging import MM, PageTags, page_tags, tagged
from bigsign.output.unseen import UnseenTexts, runs_of_letters
from bigsign.plan_records import Plan
from bigsign.sheets.items import Area, Circle, Ink, Page, Point, Sheets, Stroke, Text
from bigsign.sheets.links import link_targets
from bigsign.sheets.metrics import em_of, font_file, ink_box, segments
from bigsign.wording import phrase, speaking

__all__ = ["guide_pdf", "sheets_pdf"]

SAME_LINE = 1.0  # mm: texts whose baselines are nearer stand in one line
FONTS = {(False, 0): "Guide", (True, 0): "Guide-Bold", (False, 1): "Guide-More", (True, 1): "Guide-More-Bold"}


def guide_pdf(sheets: Sheets, plan: Plan) -> bytes:
    """Return the guide; see :func:`sheets_pdf`."""
    with speaking(sheets.language):
        title = f"{plan.sign.name}: {phrase('title.guide')}"
    return sheets_pdf(sheets, title, plan)


def sheets_pdf(sheets: Sheets, title: str, plan: Plan) -> bytes:
    """Return sheets as a file; the same sheets give the same bytes. Fonts are embedded, pages bookmarked and tagged."""
    from reportlab.pdfgen.canvas import Canvas

    out = BytesIO()
    first: Any = _font(False, 0)  # the stubs take the name of the first font for a number
    # not compressed here: the file is written anew with its tags, and compressed then
    canvas = Canvas(out, invariant=1, pageCompression=0, lang=sheets.language, initialFontName=first)
    canvas.setTitle(title)
    canvas.setSubject(f"Plan {plan.project.sha256[:8]}")
    canvas.setCreator("bigsign")
    canvas.setAuthor("")
    with speaking(sheets.language):
        tags = [page_tags(page) for page in sheets.pages]
    targets = link_targets(sheets.pages)
    unseen = UnseenTexts()
    for number, (page, marked) in enumerate(zip(sheets.pages, tags, strict=True), 1):
        _draw_page(canvas, page, number, marked, unseen)
        _link(canvas, page, targets)
        canvas.showPage()
    canvas.showOutline()
    canvas.save()
    return tagged(out.getvalue(), tags, sheets.language, unseen)


def _draw_page(canvas: Any, page: Page, number: int, tags: PageTags, unseen: UnseenTexts) -> None:
    canvas.setPageSize((page.width * MM, page.height * MM))
    key = f"page-{number}"
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(page.title, key, 0)
    canvas.setLineCap(0)
    canvas.setLineJoin(1)
    apart = _words_apart([item for item in page.items if isinstance(item, Text)])
    for owner, content, items in tags.runs:
        # the canvas has no call for marked content: its operators go straight into the page
        canvas._code.append("/Artifact BMC" if owner is None else f"/{owner.kind} <</MCID {content}>> BDC")
        for item in items:
            if isinstance(item, Text):
                # after a text of the page's content goes a space, so that the words of two lines are not one
                _write(canvas, item, page.height, " " if owner is not None else "", unseen, id(item) in apart)
            else:
                _draw(canvas, item, page.height)
        canvas._code.append("EMC")


def _link(canvas: Any, page: Page, targets: dict[str, int]) -> None:
    """Make the words that lead to another sheet lead there on a screen too."""
    for item in page.items:
        if isinstance(item, Text) and item.link and (ink := ink_box(item)) is not None:
            x0, y0, x1, y1 = ink
            frame = ((x0 - 0.5) * MM, (page.height - y1 - 0.5) * MM, (x1 + 0.5) * MM, (page.height - y0 + 0.5) * MM)
            canvas.linkAbsolute(item.string, f"page-{targets[item.link]}", frame, Border="[0 0 0]")


def _words_apart(texts: list[Text]) -> set[int]:
    """Return which texts with unseen words stand in a line that programs read from the left as a whole.

    Such a line has no fewer runs of letters to the right than to the left; texts of a line are drawn one after another.
    """
    out: set[int] = set()
    lines: list[list[Text]] = []
    for text in texts:
        if lines and not text.turned and abs(lines[-1][-1].at[1] - text.at[1]) < SAME_LINE:
            lines[-1].append(text)
        else:
            lines.append([text])
    for line in lines:
        if any(run.ink is not None for text in line for run in text.runs):
            right, left = runs_of_letters(" ".join(text.string for text in line))
            out |= {id(text) for text in line} if right >= left else set()
    return out


def _draw(canvas: Any, item: Stroke | Area | Circle, height: float) -> None:
    fill = None if isinstance(item, Stroke) else item.fill
    colour = item.colour if isinstance(item, Stroke) else item.stroke
    if fill is not None:
        canvas.setFillColor(_colour(fill))
    if colour is not None:
        canvas.setStrokeColor(_colour(colour))
        canvas.setLineWidth(item.width * MM)
        dash = () if isinstance(item, Circle) else item.dash
        canvas.setDash([part * MM for part in dash] if dash else [])
    if isinstance(item, Circle):
        x, y = item.centre[0] * MM, (height - item.centre[1]) * MM
        canvas.circle(x, y, item.radius * MM, stroke=int(colour is not None), fill=int(fill is not None))
        return
    # written as operators, not by the canvas's path: a map has a hundred thousand points
    rings, shut = (item.rings, " h") if isinstance(item, Area) else ((item.points,), "")
    paint = {(True, True): "B*", (True, False): "f*", (False, True): "S", (False, False): "n"}
    code = [_traced(ring, height) + shut for ring in rings if ring]
    canvas._code.append("\n".join([*code, paint[fill is not None, colour is not None]]))


@cache
def _colour(name: str) -> Any:
    from reportlab.lib.colors import toColor

    return toColor(name)


def _traced(points: tuple[Point, ...], height: float) -> str:
    """Return the operators of a path along points, to a thousandth of a point."""
    steps = [f"{x * MM:.3f} {(height - y) * MM:.3f}" for x, y in points]
    return f"{steps[0]} m " + " ".join([step + " l" for step in steps[1:]])


def _write(canvas: Any, text: Text, height: float, after: str, unseen: UnseenTexts, apart: bool) -> None:
    x, y = text.at[0] * MM, (height - text.at[1]) * MM
    canvas.setFillColor(_colour(text.colour))
    for index, run in enumerate(text.runs, 1):
        along, rise = run.along * MM, run.rise * MM
        ends = after if index == len(text.runs) else ""
        if run.ink is not None:
            at = (x - rise, y + along) if text.turned else (x + along, y + rise)
            _ink(canvas, run.ink, at, text.turned)
            size = em_of(run.cap, run.bold) * MM
            unseen.write(canvas, run.text + ends, (*at, run.ink.box[2] * MM, size), text.turned, apart)
            continue
        written = canvas.beginText()
        if text.turned:
            written.setTextTransform(0, 1, -1, 0, x - rise, y + along)
        else:
            written.setTextTransform(1, 0, 0, 1, x + along, y + rise)
        for face, part in segments(run.text + ends):
            written.setFont(_font(run.bold, face), em_of(run.cap, run.bold, face) * MM)
            written.textOut(part)
        canvas.drawText(written)


def _ink(canvas: Any, ink: Ink, at: Point, turned: bool) -> None:
    """Fill outlines, in the whole steps of 1/100 mm in which they come."""
    k = MM / 100
    turn = f"0 {k:.8f} {-k:.8f} 0" if turned else f"{k:.8f} 0 0 {k:.8f}"
    code = [f"q {turn} {at[0]:.3f} {at[1]:.3f} cm"]
    for ring in ink.rings:
        steps = [f"{round(x * 100)} {round(-y * 100)}" for x, y in ring]
        code.append(f"{steps[0]} m {' '.join(step + ' l' for step in steps[1:])} h")
    canvas._code.append("\n".join([*code, "f*", "Q"]))


def _font(bold: bool, face: int) -> str:
    """Return the name of a face in the file; it is read on first use."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    name = FONTS[bold, face]
    if name not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(name, str(font_file(bold, face))))
    return name
