"""Lettering for the tests: blocks with plain defaults, and a font of boxes whose letters have known sizes."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

from bigsign.fonts import find_font
from bigsign.project import FontFile, LetteringSpec

BOX_WIDTHS = {
    "a": 400, "b": 500, "c": 600, "o": 300, "x": 350,
    "\u05d0": 410, "\u05d1": 510, "\u05d2": 610,
    "\u0628": 420, "\u0633": 620, "1": 310, "2": 320, "3": 330,
}  # fmt: skip
BOX_SIDE = 50
BOX_FEATURES = """
languagesystem DFLT dflt; languagesystem arab dflt; languagesystem latn dflt; languagesystem hebr dflt;
feature init { sub u0628 by beh.init; } init;
feature kern { pos u0061 u0062 -100; } kern;
feature liga { sub u0063 u006F by c_o; } liga;
"""


def font(name: str) -> FontFile:
    return find_font(name, Path("."))


def block(*lines: str, **changes: Any) -> LetteringSpec:
    """Return a block of the lines in Anton, capitals 100 mm high, about the origin, but for the changes."""
    values: dict[str, Any] = {
        "lines": lines, "font": None, "axes": {}, "cap_height": 100.0, "width": None, "height": None,
        "leading": 1.4, "align": "centre", "turn": 0.0, "stacked": False, "colour": "#000000",
        "centre": (0.0, 0.0), "where": "[[lettering]] 1",
    }  # fmt: skip
    values.update(changes)
    if {"width", "height"} & changes.keys():
        values["cap_height"] = None
    if values["font"] is None:
        values["font"] = font("Anton")
    return LetteringSpec(**values)


@cache
def box_font(cap_height: int | None = None, family: str = "Marrow Lane Boxes", style: str = "Regular") -> FontFile:
    """Return a font whose letters are boxes 700 high, ``BOX_WIDTHS`` wide with 50 on each side; it has no H.

    a-b is kerned by -100, c-o is a ligature 1000 wide, and Arabic b is 800 wide where it joins on one side.
    ``cap_height`` is what its OS/2 table states; None states nothing.
    """
    from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    names = {f"u{ord(char):04X}": width for char, width in BOX_WIDTHS.items()}
    widths = {".notdef": 500, "space": 200, "blank": 200, **names, "beh.init": 800, "c_o": 1000}
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(list(widths))
    blank = {0x20: "space", 0x7A: "blank"}  # z has a glyph that draws nothing
    builder.setupCharacterMap({**blank, **{ord(char): f"u{ord(char):04X}" for char in BOX_WIDTHS}})
    glyphs = {}
    for name, width in widths.items():
        pen = TTGlyphPen(None)
        if name not in ("space", "blank"):
            pen.moveTo((BOX_SIDE, 0))
            for x, y in ((BOX_SIDE, 700), (width + BOX_SIDE, 700), (width + BOX_SIDE, 0)):
                pen.lineTo((x, y))
            pen.closePath()
        glyphs[name] = pen.glyph()
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics({name: (width + 2 * BOX_SIDE, BOX_SIDE) for name, width in widths.items()})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupOS2(sCapHeight=cap_height or 0, version=4)
    builder.setupNameTable({"familyName": family, "styleName": style})
    builder.setupPost()
    addOpenTypeFeaturesFromString(builder.font, BOX_FEATURES)
    out = BytesIO()
    builder.save(out)
    return FontFile("boxes", out.getvalue())
