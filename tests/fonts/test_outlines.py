"""What film letters are: every script HarfBuzz shapes, and outlines that overlap themselves, against other programs."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pathops
import pytest
import resvg_py
import shapely
import uharfbuzz as hb
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from PIL import Image

from bigsign.artwork.fill import resolve_fill
from bigsign.artwork.flatten import Command, flatten_path
from bigsign.artwork.setting import SetBlock, set_lettering
from bigsign.artwork.shaping import Face
from bigsign.fonts import find_font
from bigsign.fonts.sample import drawn
from bigsign.project import FontFile
from bigsign.tolerances import TOLERANCES
from tests.artwork.lettering_samples import block
from tests.bench.fonts.others import area_by_others

WIDE = 254.0  # mm
WORDS = [
    ("Anton", "FRESH EGGS"), ("Lobster", "Fresh eggs"), ("Arimo", "ΦΡΈΣΚΑ ΑΥΓΆ"), ("Arimo", "Свежие яйца"),
    ("Arimo", "Trứng tươi"), ("Heebo", "ביצים טריות"), ("Arimo", "בֵּיצִים"), ("Amiri", "بيض طازج"),
    ("Amiri", "بَيْضٌ"), ("Amiri", "تازہ انڈے"), ("Kanit", "ไข่สดที่นี่"), ("Noto Sans Devanagari", "ताज़े अंडे"),
    ("Noto Sans Devanagari", "क्षत्रिय"), ("Noto Sans Khmer", "ស៊ុតស្រស់"), ("Noto Sans Tamil", "புதிய முட்டை"),
]  # fmt: skip


@cache
def font(name: str) -> FontFile:
    return find_font(name, Path())


def film(made: SetBlock) -> Any:
    return shapely.union_all([glyph.outline for line in made.lines for glyph in line.glyphs])


@pytest.mark.parametrize(("name", "text"), WORDS)
def test_a_word_of_every_script_has_the_film_that_other_programs_give(name: str, text: str) -> None:
    """Placed by HarfBuzz alone, drawn by fontTools, united by skia-pathops."""
    made = set_lettering(block(text, font=font(name), width=WIDE))
    assert film(made).area / WIDE**2 == pytest.approx(area_by_others(font(name), text), rel=0.005)
    assert made.findings == ()
    assert "".join(glyph.text for line in made.lines for glyph in line.glyphs) == text.replace(" ", "")


@pytest.mark.parametrize(
    ("name", "text"),
    [("Amiri", "بيض"), ("Noto Sans Devanagari", "क्षत्रिय"), ("Noto Sans Khmer", "ស្រស់"), ("Noto Sans Tamil", "முட்டை")],
)
def test_letters_that_join_or_change_places_are_not_those_of_the_characters_one_by_one(name: str, text: str) -> None:
    face = Face(font(name), {})
    plain = [face.nominal(char) for char in text]
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(hb.Font(hb.Face(font(name).data)), buffer)
    assert {info.codepoint for info in buffer.glyph_infos} != set(plain)
    whole = tuple(command for glyph in face.shape(text) for command in glyph.outline)
    alone = tuple(command for char in text for glyph in face.shape(char) for command in glyph.outline)
    assert whole != alone


def test_a_vowel_sign_written_after_its_letter_stands_before_it() -> None:
    """The letter's own outline is the last of the syllable's, moved right by what the sign takes."""
    face = Face(font("Noto Sans Devanagari"), {})
    (syllable,), (letter,) = face.shape("कि"), face.shape("क")
    last = flatten_path(syllable.outline[-len(letter.outline) :], 0.5)
    moved = [
        np.asarray(one) - np.asarray(other) for one, other in zip(last, flatten_path(letter.outline, 0.5), strict=True)
    ]
    steps = np.vstack(moved)
    assert np.ptp(steps, axis=0) == pytest.approx((0, 0), abs=1e-6)
    assert steps[0][0] > 100


def test_arabic_letters_join_in_one_piece_of_film() -> None:
    (line,) = set_lettering(block("سسس", font=font("Amiri"), cap_height=100.0)).lines
    assert len(line.glyphs) == 3
    assert film(set_lettering(block("سسس", font=font("Amiri"), cap_height=100.0))).geom_type == "Polygon"


# Overlapping outlines. OpenType fills glyphs by the nonzero rule (ISO/IEC 14496-22, "glyf": overlapping contours), so
# where two strokes of a letter cross there is film; by the even-odd rule there would be a hole.


def areas(outline: Sequence[Command]) -> dict[str, float]:
    """Return a glyph's area by bigsign's fill, skia-pathops and resvg (pixels), under both rules."""
    rings = flatten_path(outline, 0.05)
    points = np.vstack([np.asarray(ring) for ring in rings])
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    path = " ".join(letter + " ".join(f"{x:.3f} {y:.3f}" for x, y in to) for letter, to in drawn(outline))
    out = {}
    for rule, kind in (("nonzero", pathops.FillType.WINDING), ("evenodd", pathops.FillType.EVEN_ODD)):
        out[f"bigsign {rule}"] = resolve_fill(rings, rule).area
        skia = pathops.Path(fillType=kind)
        pen = skia.getPen()
        draw = {"M": pen.moveTo, "L": pen.lineTo, "C": pen.curveTo, "Z": pen.closePath}
        for letter, to in drawn(outline):
            draw[letter](*to)
        out[f"skia {rule}"] = abs(float(pathops.simplify(skia, fix_winding=True).area))
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x0} {y0} {x1 - x0} {y1 - y0}" width="1600" '
            f'height="{1600 * (y1 - y0) / (x1 - x0)}"><path fill-rule="{rule}" d="{path}"/></svg>'
        )
        with Image.open(BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg)))) as picture:
            cover = np.asarray(picture.convert("RGBA"))[:, :, 3].mean() / 255
        out[f"resvg {rule}"] = float(cover * (x1 - x0) * (y1 - y0))
    return out


def glyph_outline(face: FontFile, char: str) -> tuple[Command, ...]:
    shaper = Face(face, {})
    glyph = shaper.nominal(char)
    assert glyph is not None
    return shaper.glyph_outline(glyph)


@pytest.mark.parametrize(("name", "char", "share"), [("Heebo", "B", 0.097), ("Heebo", "g", 0.094)])
def test_a_variable_face_that_overlaps_itself_is_filled_by_the_nonzero_rule(name: str, char: str, share: float) -> None:
    """Heebo's B as it comes is 9.7 % less by the even-odd rule; three programs agree on both figures."""
    outline = glyph_outline(font(name), char)
    found = areas(outline)
    for rule in ("nonzero", "evenodd"):
        for program in ("skia", "resvg"):
            assert found[f"{program} {rule}"] == pytest.approx(found[f"bigsign {rule}"], rel=0.003)
    assert 1 - found["bigsign evenodd"] / found["bigsign nonzero"] == pytest.approx(share, abs=0.002)
    made = set_lettering(block(char, font=font(name), width=WIDE))
    box = film(made).bounds
    height = box[3] - box[1]
    points = np.vstack([np.asarray(ring) for ring in flatten_path(outline, 0.05)])
    scale = height / float(np.ptp(points[:, 1]))
    assert film(made).area / scale**2 == pytest.approx(found["bigsign nonzero"], rel=0.002)


def ringed(*contours: Sequence[tuple[int, int]], advance: int = 1000) -> FontFile:
    """Return a font whose A has these contours, and whose B the first the other way round; of Devanagari too."""
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "A", "B"])
    builder.setupCharacterMap({0x41: "A", 0x42: "B", 0x915: "A", 0x93E: "B"})
    glyphs = {}
    for name, rings in ((".notdef", contours[:1]), ("A", contours), ("B", [contours[0][::-1]])):
        pen = TTGlyphPen(None)
        for ring in rings:
            pen.moveTo(ring[0])
            for point in ring[1:]:
                pen.lineTo(point)
            pen.closePath()
        glyphs[name] = pen.glyph()
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics(dict.fromkeys(glyphs, (advance, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupOS2()
    builder.setupNameTable({"familyName": "Marrow Lane Rings", "styleName": "Regular"})
    builder.setupPost()
    out = BytesIO()
    builder.save(out)
    return FontFile("rings", out.getvalue())


OUTER = [(0, 0), (0, 700), (700, 700), (700, 0)]
INNER = [(100, 100), (600, 100), (600, 600), (100, 600)]


@pytest.mark.parametrize(
    ("contours", "share"),
    [
        ((OUTER, INNER), 1 - 25 / 49),  # an outline face: the inner ring runs the other way
        ((OUTER, INNER[::-1]), 1.0),  # both run one way: filled, as every program that sets type fills it
        ((OUTER[::-1], INNER[::-1]), 1 - 25 / 49),  # both turned round: the rule knows no right direction
        ((OUTER, INNER, [(200, 200), (200, 500), (500, 500), (500, 200)]), 1 - 16 / 49),  # inline
        ((OUTER, OUTER), 1.0),  # drawn twice
        ((OUTER, OUTER[::-1], INNER), 25 / 49),  # cancelled, and only the inner ring left
    ],
)
def test_which_way_contours_run_decides_what_is_film(contours: Sequence[list[tuple[int, int]]], share: float) -> None:
    """Arithmetic on squares of 700, 500 and 300."""
    face = ringed(*contours)
    found = areas(glyph_outline(face, "A"))
    assert found["bigsign nonzero"] / 490_000 == pytest.approx(share)
    assert found["skia nonzero"] == pytest.approx(found["bigsign nonzero"])
    assert found["resvg nonzero"] == pytest.approx(found["bigsign nonzero"], rel=0.01)


def test_letters_that_overlap_are_filled_each_by_itself() -> None:
    """Two letters whose contours run in opposite directions would cancel each other were they filled as one path."""
    face = ringed(OUTER, advance=350)
    outline = tuple(command for glyph in Face(face, {}).shape("AB") for command in glyph.outline)
    assert resolve_fill(flatten_path(outline, 0.05), "nonzero").area == pytest.approx(490_000)
    made = set_lettering(block("AB", font=face, height=700.0))
    assert film(made).area == pytest.approx(700 * 1050)


@pytest.mark.parametrize("stacked", [False, True])
def test_a_letter_and_its_mark_are_filled_each_by_itself(stacked: bool) -> None:
    """As one path the mark, which runs the other way, would cut a hole where it overlaps its letter."""
    face = ringed(OUTER, advance=350)
    made = set_lettering(block("\u0915\u093e", font=face, height=700.0, stacked=stacked))
    ((glyph,),) = (line.glyphs for line in made.lines)
    assert glyph.text == "\u0915\u093e"
    x0, _, x1, _ = glyph.outline.bounds
    assert x1 - x0 > 1000
    assert glyph.outline.area == pytest.approx(700 * (x1 - x0))


@pytest.mark.parametrize("width", [600.0, 60.0, 6.0])
def test_fine_curves_lose_only_what_lies_between_them_and_their_chords(width: float) -> None:
    """A face of dots or of thin lines comes out small in area at a small size: by its tolerance, never by its fill.

    Chords lie inside a round dot, at most the tolerance deep, so the film is at most its length times that too small;
    the share grows as the size falls, and the exact area is the other reading's.
    """
    dots = "....."
    made = film(set_lettering(block(dots, font=font("Lobster"), width=width)))
    exact = area_by_others(font("Lobster"), dots) * width**2
    assert 0 <= exact - made.area <= TOLERANCES.flatten * made.length
    assert (exact - made.area) / exact < {600.0: 0.001, 60.0: 0.01, 6.0: 0.1}[width]
