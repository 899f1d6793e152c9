"""Another reading of a word in a font: placed by HarfBuzz, drawn by fontTools, united by skia-pathops (nonzero)."""

from __future__ import annotations

import io
from typing import Any

import pathops
import uharfbuzz as hb
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont

from bigsign.project import FontFile

__all__ = ["area_by_others"]


def area_by_others(font: FontFile, text: str) -> float:
    """Return the area of a word's film where it is 1 wide."""
    face = hb.Font(hb.Face(font.data, font.index))
    if font.axes:
        face.set_variations(dict(font.axes))
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    buffer.language = "und"
    hb.shape(face, buffer)
    tables = TTFont(io.BytesIO(font.data), fontNumber=font.index)
    glyphs, names = tables.getGlyphSet(location=dict(font.axes)), tables.getGlyphOrder()
    drawn, x = pathops.Path(), 0.0
    for info, at in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        one = pathops.Path()
        pen: Any = TransformPen(one.getPen(glyphSet=glyphs), (1, 0, 0, 1, x + at.x_offset, at.y_offset))
        glyphs[names[info.codepoint]].draw(pen)
        drawn.addPath(pathops.simplify(one, fix_winding=True))
        x += at.x_advance
    whole = pathops.simplify(drawn, fix_winding=True)
    left, _, right, _ = whole.bounds
    area = abs(float(whole.area))
    return area / float(right - left) ** 2
