"""Fonts in colours and of pictures: plain outlines are cut with a warning; without outlines they are refused."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from fontTools.colorLib.builder import buildCOLR, buildCPAL
from fontTools.ttLib import TTFont, newTable
from fontTools.ttLib.tables.DefaultTable import DefaultTable
from fontTools.ttLib.tables.sbixGlyph import Glyph as Picture
from fontTools.ttLib.tables.sbixStrike import Strike

from bigsign.artwork.setting import set_lettering
from bigsign.errors import InputError
from bigsign.fonts import find_font
from bigsign.fonts.faces import faces_of
from bigsign.project import FontFile
from tests.artwork.lettering_samples import block, box_font

PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c4890000000d49444154789c63f8cfc0f01f0005000201"
    "5f0b1e2a0000000049454e44ae426082"
)
Change = Callable[[Any], None]


def layers(font: Any) -> None:
    """COLR version 0: a in two colours."""
    font["COLR"] = buildCOLR({"u0061": [("u0062", 0), ("u0063", 1)]}, version=0)
    font["CPAL"] = buildCPAL([[(1, 0, 0, 1), (0, 0, 1, 1)]])


def paints(font: Any) -> None:
    """COLR version 1: a as a painted shape."""
    paint = {"Format": 10, "Paint": {"Format": 2, "PaletteIndex": 0, "Alpha": 1.0}, "Glyph": "u0062"}
    font["COLR"] = buildCOLR({"u0061": paint}, version=1)
    font["CPAL"] = buildCPAL([[(1, 0, 0, 1)]])


def drawings(font: Any) -> None:
    """SVG: a as a drawing."""
    glyph = font.getGlyphID("u0061")
    font["SVG "] = table = newTable("SVG ")
    text = f'<svg xmlns="http://www.w3.org/2000/svg"><g id="glyph{glyph}"><path d="M0 0H9V9Z" fill="red"/></g></svg>'
    table.docList = [(text, glyph, glyph)]


def pictures(font: Any) -> None:
    """sbix: a as a PNG."""
    font["sbix"] = table = newTable("sbix")
    strike = Strike(ppem=64, resolution=72)
    for name in font.getGlyphOrder():
        data = PNG if name == "u0061" else None
        strike.glyphs[name] = Picture(glyphName=name, graphicType="png " if data else None, imageData=data)
    table.strikes = {64: strike}


def changed(*changes: Change) -> FontFile:
    with TTFont(BytesIO(box_font().data)) as font:
        for change in changes:
            change(font)
        out = BytesIO()
        font.save(out)
    return FontFile("colours", out.getvalue())


def hollow(font: Any) -> None:
    """Take a's outline away."""
    font["glyf"]["u0061"] = font["glyf"]["space"]


def without_outlines(*tags: str) -> Change:
    def change(font: Any) -> None:
        del font["glyf"], font["loca"]
        for tag in tags:
            font[tag] = table = DefaultTable(tag)
            table.data = b"\0\2\0\0" + bytes(28)

    return change


@pytest.mark.parametrize("colour", [layers, paints, drawings, pictures])
def test_a_plain_outline_beside_colours_is_cut_and_said(colour: Change) -> None:
    made = set_lettering(block("ab", font=changed(colour), cap_height=700.0))
    (finding,) = made.findings
    assert finding.code == "font-colour"
    assert "'a' in colours" in finding.message
    assert "'b'" not in finding.message
    x0, _, x1, _ = made.lines[0].glyphs[0].outline.bounds
    assert x1 - x0 == pytest.approx(400.0)
    assert set_lettering(block("bc", font=changed(colour))).findings == ()


@pytest.mark.parametrize("colour", [layers, paints, drawings, pictures])
def test_a_letter_in_colours_only_is_refused_by_its_name(colour: Change) -> None:
    face = changed(colour, hollow)
    with pytest.raises(InputError, match=r"colours has 'a' \(U\+0061\) in colours only.*a font with outlines for it"):
        set_lettering(block("ab", font=face))
    assert set_lettering(block("bc", font=face)).findings == ()


@pytest.mark.parametrize("tags", [("CBDT", "CBLC"), ("sbix",), ("EBDT", "EBLC"), ("SVG ",), ("bdat", "bloc")])
def test_a_font_of_pictures_alone_is_refused_and_listed_as_such(tmp_path: Path, tags: tuple[str, ...]) -> None:
    (tmp_path / "emoji.ttf").write_bytes(changed(without_outlines(*tags)).data)
    with pytest.raises(InputError, match=r"'emoji.ttf' holds pictures of letters, no outlines to cut.*a font with"):
        find_font("emoji.ttf", tmp_path)
    (face,) = faces_of(tmp_path / "emoji.ttf")
    assert (face.family, face.wrong) == ("Marrow Lane Boxes", "holds pictures of letters, no outlines to cut")


def test_a_bitmap_font_with_an_empty_table_of_outlines_is_one_of_pictures(tmp_path: Path) -> None:
    """As .otb files have it."""

    def empty(font: Any) -> None:
        without_outlines("EBDT", "EBLC")(font)
        for tag in ("glyf", "loca"):
            font[tag] = DefaultTable(tag)
            font[tag].data = b""

    (tmp_path / "small.otb").write_bytes(changed(empty).data)
    with pytest.raises(InputError, match="holds pictures of letters"):
        find_font("small.otb", tmp_path)


def test_a_font_in_the_resources_of_an_old_system_is_named(tmp_path: Path) -> None:
    inside = box_font().data
    data = (256).to_bytes(4, "big") + (260 + len(inside)).to_bytes(4, "big") + (4 + len(inside)).to_bytes(4, "big")
    data = (data + (50).to_bytes(4, "big")).ljust(256, b"\0") + len(inside).to_bytes(4, "big") + inside
    (tmp_path / "old.dfont").write_bytes(data + bytes(28) + b"sfnt" + bytes(18))
    with pytest.raises(InputError, match=r"'old.dfont' is a suitcase of fonts \(.dfont\), which is not read"):
        find_font("old.dfont", tmp_path)
