"""Characters behind outlines: an embedded face without ink, in which each text is one glyph, whatever its script.

A code of the face stands for a whole text, which its map to Unicode says, so that a search, a copy and a reader's voice
find it in reading order. After ISO 32000-1, 9.3.6 (rendering mode 3: neither filled nor stroked) and 9.10.3 (from
memory).
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from io import BytesIO
from itertools import groupby
from typing import Any

__all__ = ["UnseenTexts", "runs_of_letters"]

NAME = "Sign-Text"
FIRST, COUNT = 0xE000, 6400  # the private use area of the basic plane
RIGHT = ("R", "AL")  # bidirectional classes of letters that are read from the right
ADVANCE = 1000  # of an em of as many units
_MAPPED = re.compile(rb"<([0-9A-F]{2})> <([0-9A-F]{4})>")


@cache
def _face() -> bytes:
    """Return the face: one glyph without ink under every code of the private use area."""
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    builder = FontBuilder(ADVANCE, isTTF=True)
    builder.setupGlyphOrder([".notdef", "space", "text"])
    builder.setupCharacterMap({0x20: "space", **dict.fromkeys(range(FIRST, FIRST + COUNT), "text")})
    pen = TTGlyphPen(None)  # there and back: a box for programs that ask where a text is, and no area to fill
    pen.moveTo((0, 0))
    pen.lineTo((ADVANCE, 700))
    pen.closePath()
    empty = TTGlyphPen(None).glyph()
    builder.setupGlyf({".notdef": empty, "space": empty, "text": pen.glyph()})
    builder.setupHorizontalMetrics(dict.fromkeys((".notdef", "space", "text"), (ADVANCE, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": NAME, "styleName": "Regular", "psName": NAME, "fullName": NAME})
    builder.setupOS2(sTypoAscender=800, sTypoDescender=-200, usWinAscent=800, usWinDescent=200, sCapHeight=700)
    builder.setupPost()
    builder.updateHead(created=0, modified=0)
    out = BytesIO()
    builder.font.recalcTimestamp = False
    builder.save(out)
    return out.getvalue()


class UnseenTexts:
    """The texts of one file that stand behind outlines."""

    def __init__(self) -> None:
        self.codes: dict[str, int] = {}

    def write(
        self, canvas: Any, text: str, box: tuple[float, float, float, float], turned: bool, apart: bool = False
    ) -> None:
        """Write a text unseen. ``box``: in points, the start of its baseline, its width, and its font size.

        ``turned`` runs up the page. What is read from the right is written from there, mirrored: so programs take its
        characters for what they are, in the order of reading. Of mixed directions each has a share of the width.
        ``apart``: the line is read from the left as a whole, so that programs leave its words in the order in which
        they are written; else they turn the order of words read from the right over, and such words are written as one.
        """
        x, y, width, size = box
        stretches = _stretches(text, apart)
        done = 0
        for part, leftwards in stretches:
            code = self.codes.setdefault(part, len(self.codes))
            wide = width * len(part) / len(text)
            if code >= COUNT or wide <= 0:  # more texts than codes: those behind are seen only
                return
            along, way = width * done / len(text) + (wide if leftwards else 0.0), -1.0 if leftwards else 1.0
            written = canvas.beginText()
            if turned:
                written.setTextTransform(0, way, -1, 0, x, y + along)
            else:
                written.setTextTransform(way, 0, 0, 1, x + along, y)
            written.setTextRenderMode(3)
            written.setFont(_font(), size)
            written.setHorizScale(100 * wide / size)
            written.textOut(chr(FIRST + code))
            canvas.saveState()  # how text is drawn outlasts the text
            canvas.drawText(written)
            canvas.restoreState()
            done += len(part)

    def name_in(self, document: Any) -> None:
        """Put the texts themselves into the maps to Unicode of an opened file."""
        if not self.codes:
            return
        from pikepdf import Dictionary

        texts = list(self.codes)

        def said(match: re.Match[bytes]) -> bytes:
            at = int(match[2], 16) - FIRST
            if not 0 <= at < len(texts):
                return match[0]
            return b"<%s> <%s>" % (match[1], texts[at].encode("utf-16-be").hex().upper().encode())

        for thing in document.objects:
            if isinstance(thing, Dictionary) and str(thing.get("/BaseFont", "")).endswith(NAME):
                found = thing.ToUnicode
                found.write(_MAPPED.sub(said, found.read_bytes()))


def runs_of_letters(text: str) -> tuple[int, int]:
    """Return how many runs of letters a text has that are read from the left, and from the right."""
    kinds = ["R" if kind in RIGHT else "L" if kind == "L" else "" for kind in map(unicodedata.bidirectional, text)]
    starts = [kind for kind, _ in groupby(kinds)]
    return starts.count("L"), starts.count("R")


def _stretches(text: str, apart: bool) -> list[tuple[str, bool]]:
    """Return a text's stretches of one direction, and whether each is read from the right.

    Figures are read from the left. ``apart``: each word that is read from the right is a stretch.
    """
    out: list[tuple[str, bool]] = []
    for char in text:
        kind = unicodedata.bidirectional(char)
        if kind in ("L", "EN", "AN") or char.isspace() or not out:
            leftwards = kind in RIGHT
        else:  # what has no direction of its own goes with what stands before it
            leftwards = kind in RIGHT or out[-1][1]
        if out and out[-1][1] == leftwards:
            out[-1] = (out[-1][0] + char, leftwards)
        else:
            out.append((char, leftwards))
    if apart:
        return out
    whole: list[tuple[str, bool]] = []
    for part, leftwards in out:
        if leftwards and len(whole) > 1 and whole[-1][0].isspace() and whole[-2][1]:
            space, before = whole.pop()[0], whole.pop()[0]
            part = before + space + part
        whole.append((part, leftwards))
    return whole


def _font() -> str:
    """Return the face's name in the file; it is made on first use."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    if NAME not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(NAME, BytesIO(_face())))
    return NAME
