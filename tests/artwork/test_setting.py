"""Set lettering: sizes, places and turns, against arithmetic, fontTools and HarfBuzz asked directly."""

from __future__ import annotations

import math
from io import BytesIO
from typing import Any

import pytest
import uharfbuzz as hb
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity, union_all

from bigsign.artwork.setting import SetBlock, SetLine, set_lettering
from bigsign.errors import InputError
from bigsign.project import FontFile
from tests.artwork.lettering_samples import block, box_font, font

FACES = ["Anton", "Alfa Slab One", "Archivo Black", "Lobster", "Pacifico", "Great Vibes", "Lato"]
Box = tuple[float, float, float, float]


def film(made: SetBlock) -> Box:
    bounds: Box = union_all([glyph.outline for line in made.lines for glyph in line.glyphs]).bounds
    return bounds


def line_film(line: SetLine) -> Box:
    bounds: Box = union_all([glyph.outline for glyph in line.glyphs]).bounds
    return bounds


def wanted_boxes(file: FontFile, text: str, cap_height: float) -> list[Box]:
    """Return each cluster's box, y down, from HarfBuzz's own numbers and fontTools' bounds; the first starts at 0."""
    face = hb.Face(file.data)
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(hb.Font(face), buffer)
    tables = TTFont(BytesIO(file.data))
    glyphs, names = tables.getGlyphSet(), tables.getGlyphOrder()

    def bounds(name: str) -> Box | None:
        pen = BoundsPen(glyphs)
        glyphs[name].draw(pen)
        found: Box | None = pen.bounds
        return found

    boxes: dict[int, Box] = {}
    x = 0
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        own = bounds(names[info.codepoint])
        if own is not None:
            dx, dy = x + position.x_offset, position.y_offset
            box = (own[0] + dx, -own[3] - dy, own[2] + dx, -own[1] - dy)
            old = boxes.get(info.cluster, box)
            boxes[info.cluster] = (
                min(old[0], box[0]), min(old[1], box[1]), max(old[2], box[2]), max(old[3], box[3])
            )  # fmt: skip
        x += position.x_advance
    tall = bounds(tables.getBestCmap()[ord("H")])
    assert tall is not None
    scale = cap_height / (tall[3] - tall[1])
    start = min(box[0] for box in boxes.values())
    return [
        ((b[0] - start) * scale, b[1] * scale, (b[2] - start) * scale, b[3] * scale) for _, b in sorted(boxes.items())
    ]


@pytest.mark.parametrize("name", FACES)
@pytest.mark.parametrize("text", ["HAVE FRESH EGGS", "Seed Library, office & café", "Wavy To-day \u201cTypes\u201d"])
def test_positions_agree_with_harfbuzz_and_fonttools(name: str, text: str) -> None:
    """Outside check: HarfBuzz's advances and fontTools' bounds; film may lie inside by the flattening's 0.02 mm."""
    made = set_lettering(block(text, font=font(name), cap_height=60.0))
    (line,) = made.lines
    start, baseline = line.baseline[0]
    wanted = wanted_boxes(font(name), text, 60.0)
    assert len(line.glyphs) == len(wanted)
    for glyph, box in zip(line.glyphs, wanted, strict=True):
        x0, y0, x1, y1 = glyph.outline.bounds
        assert (x0 - start, y0 - baseline, x1 - start, y1 - baseline) == pytest.approx(box, abs=0.02)
        assert glyph.outline.is_valid


def test_a_variable_face_follows_its_axes() -> None:
    """Outside check: fontTools' instance of the same axes; it rounds points to the em's units (0.05 mm here)."""
    from fontTools.varLib.instancer import instantiateVariableFont

    file = font("Dancing Script")
    heavy = instantiateVariableFont(TTFont(BytesIO(file.data)), {"wght": 700})
    out = BytesIO()
    heavy.save(out)
    made = set_lettering(block("Eggs", font=file, axes={"wght": 700.0}, cap_height=60.0))
    static = set_lettering(block("Eggs", font=FontFile("static", out.getvalue()), cap_height=60.0))
    light = set_lettering(block("Eggs", font=file, axes={"wght": 400.0}, cap_height=60.0))
    for one, other in zip(made.lines[0].glyphs, static.lines[0].glyphs, strict=True):
        assert one.outline.bounds == pytest.approx(other.outline.bounds, abs=0.15)
        assert one.outline.area == pytest.approx(other.outline.area, rel=0.005)
    assert sum(g.outline.area for g in made.lines[0].glyphs) > 1.1 * sum(g.outline.area for g in light.lines[0].glyphs)


@pytest.mark.parametrize("name", FACES)
def test_cap_height_is_the_drawn_h(name: str) -> None:
    made = set_lettering(block("H", font=font(name), cap_height=101.6))
    _, y0, _, y1 = film(made)
    assert y1 - y0 == pytest.approx(101.6, abs=0.02)
    assert made.cap_height == pytest.approx(101.6)


def test_a_font_without_h_takes_its_own_figure_else_its_tallest_letter() -> None:
    stated = set_lettering(block("ab", font=box_font(1400), cap_height=100.0))
    unstated = set_lettering(block("ab", font=box_font(), cap_height=100.0))
    assert film(stated)[3] - film(stated)[1] == pytest.approx(50.0)  # 700 of a stated 1400
    assert film(unstated)[3] - film(unstated)[1] == pytest.approx(100.0)


@pytest.mark.parametrize("turn", [0.0, 90.0, 30.0])
@pytest.mark.parametrize("size", [{"width": 300.0}, {"height": 222.0}])
def test_width_and_height_are_of_the_film_before_the_turn(turn: float, size: dict[str, float]) -> None:
    """Turned back by shapely, the film has the extent that was asked for, and its middle is where it was asked."""
    made = set_lettering(block("OYSTER", "Shed", turn=turn, centre=(150.0, 700.0), **size))
    whole = union_all([glyph.outline for line in made.lines for glyph in line.glyphs])
    x0, y0, x1, y1 = whole.bounds
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((150.0, 700.0), abs=0.02)
    back = affinity.rotate(whole, -turn, origin=(0, 0)).bounds
    extent = back[2] - back[0] if "width" in size else back[3] - back[1]
    assert extent == pytest.approx(next(iter(size.values())), abs=0.04)


def test_a_quarter_turn_reads_downwards() -> None:
    """Clockwise as seen: what stood left stands on top, heads to the right."""
    level = set_lettering(block("EGGS", "& HONEY"))
    turned = set_lettering(block("EGGS", "& HONEY", turn=90.0))
    assert turned.angle == 90.0
    assert turned.lines[0].baseline[0][1] == pytest.approx(level.lines[0].baseline[0][0])
    for one, other in zip(level.lines, turned.lines, strict=True):
        for a, b in zip(one.glyphs, other.glyphs, strict=True):
            wanted = affinity.affine_transform(a.outline, [0, -1, 1, 0, 0, 0])  # (x, y) to (-y, x)
            assert wanted.symmetric_difference(b.outline).area < 1e-6 * b.outline.area
    assert turned.lines[0].glyphs[0].outline.bounds[1] < turned.lines[0].glyphs[1].outline.bounds[1]
    assert line_film(turned.lines[0])[0] > line_film(turned.lines[1])[0]


@settings(max_examples=15, deadline=None)
@given(
    st.text("ABEHYaegno &", min_size=1, max_size=9).filter(lambda text: bool(text.strip(" "))),
    st.floats(20, 200),
    st.floats(0.3, 5),
)
def test_size_scales_everything(text: str, cap: float, factor: float) -> None:
    small = set_lettering(block(text, cap_height=cap))
    large = set_lettering(block(text, cap_height=cap * factor))
    assert film(large) == pytest.approx([factor * value for value in film(small)], abs=0.03 * (1 + factor))
    for a, b in zip(small.lines[0].glyphs, large.lines[0].glyphs, strict=True):
        assert (a.text, a.word) == (b.text, b.word)
        slack = 0.02 * (a.outline.length * factor**2 + b.outline.length)
        assert b.outline.area == pytest.approx(a.outline.area * factor**2, abs=slack)


@pytest.mark.parametrize(("align", "edge"), [("left", 0), ("right", 2)])
def test_lines_align_by_their_films(align: str, edge: int) -> None:
    made = set_lettering(block("JAM", "OYSTERS", "V", align=align))
    edges = [line_film(line)[edge] for line in made.lines]
    assert edges == pytest.approx([edges[0]] * 3, abs=0.02)


def test_lines_centre_on_one_another_and_keep_the_pitch() -> None:
    made = set_lettering(block("JAM", "", "OYSTERS", leading=1.5, cap_height=80.0))
    middles = [(line_film(line)[0] + line_film(line)[2]) / 2 for line in made.lines]
    assert middles == pytest.approx([0.0, 0.0], abs=0.02)
    assert [line.text for line in made.lines] == ["JAM", "OYSTERS"]
    assert made.lines[1].baseline[0][1] - made.lines[0].baseline[0][1] == pytest.approx(2 * 1.5 * 80.0)


def test_stacked_letters_stand_on_one_middle_line() -> None:
    """Letters at leading × cap height, a word space takes one pitch, a column a line; no ligature among them."""
    made = set_lettering(block("fi no", "WE", stacked=True, leading=1.25, cap_height=40.0))
    first, second = made.lines
    assert [glyph.text for glyph in first.glyphs] == ["f", "i", "n", "o"]
    assert [glyph.word for glyph in first.glyphs] == [0, 0, 1, 1]
    for line in made.lines:
        (x, top), (x_end, bottom) = line.baseline
        assert x == pytest.approx(x_end)
        assert top < bottom
        for glyph in line.glyphs:
            assert (glyph.outline.bounds[0] + glyph.outline.bounds[2]) / 2 == pytest.approx(x, abs=0.02)
    feet = [glyph.outline.bounds[3] for glyph in first.glyphs[:3]]
    assert [feet[1] - feet[0], feet[2] - feet[1]] == pytest.approx([50.0, 100.0], abs=0.02)
    assert line_film(first)[2] < line_film(second)[0]
    assert not first.rtl


def test_words_end_at_white_space() -> None:
    made = set_lettering(block("  EGGS  & HONEY "))
    words: dict[int, str] = {}
    for glyph in made.lines[0].glyphs:
        words[glyph.word] = words.get(glyph.word, "") + glyph.text
    assert words == {0: "EGGS", 1: "&", 2: "HONEY"}


def test_turn_beyond_a_circle_is_the_same_turn() -> None:
    assert set_lettering(block("JAM", turn=-270.0)) == set_lettering(block("JAM", turn=90.0))


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"lines": ("EGGS \u0416\u5b57",)}, ["U+0416", "U+5B57"]),
        ({"lines": ("q\u0303",), "font": "Archivo Black"}, ["U+0303"]),
        ({"lines": ("a\u202bb",)}, ["right-to-left embedding (U+202B)"]),
        ({"lines": ("JAM",), "axes": {"wdth": 75.0}}, ["no axis 'wdth'"]),
        ({"lines": ("JAM",), "font": "Dancing Script", "axes": {"wdth": 75.0}}, ["wght"]),
        ({"lines": ("JAM",), "font": "Dancing Script", "axes": {"wght": 5000.0}}, ["wght is 5000", "400 to 700"]),
        ({"lines": ("JAM",), "font": "Dancing Script", "axes": {"wght": math.nan}}, ["wght is nan", "400 to 700"]),
        ({"lines": ("  ", "")}, ["visible"]),
    ],
)
def test_what_cannot_be_set_is_named(changes: dict[str, Any], what: list[str]) -> None:
    if isinstance(changes.get("font"), str):
        changes = {**changes, "font": font(changes["font"])}
    with pytest.raises(InputError) as caught:
        set_lettering(block(**changes))
    (fault,) = caught.value.faults
    assert fault.where == "[[lettering]] 1"
    for part in what:
        assert part in str(fault)
    assert "EGGS" not in str(fault)


def test_a_glyph_that_draws_nothing_is_no_letter() -> None:
    """A colour or bitmap font has a glyph but no outline: left out in silence, a letter would be missing."""
    with pytest.raises(InputError, match=r"no outline for 'z' \(U\+007A\)"):
        set_lettering(block("az", font=box_font(), cap_height=70.0))


def test_baselines_run_along_the_turned_line() -> None:
    made = set_lettering(block("HONEY", turn=30.0))
    (x0, y0), (x1, y1) = made.lines[0].baseline
    assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(30.0)


@pytest.mark.parametrize("kept", [40, 400, 4000])
def test_a_damaged_font_is_a_fault(kept: int) -> None:
    with pytest.raises(InputError) as caught:
        set_lettering(block("HONEY", font=FontFile("torn", font("Anton").data[:kept])))
    assert all("torn" in fault.what for fault in caught.value.faults)


@pytest.mark.parametrize("name", ["Dancing Script", "Anton", "Permanent Marker"])
def test_areas_agree_with_another_fill(name: str) -> None:
    """Outside check: the areas skia-pathops gives for fontTools' outlines under the nonzero rule."""
    import pathops

    file = font(name)
    tables = TTFont(BytesIO(file.data))
    location = {"wght": 700.0} if "fvar" in tables else {}
    glyphs, names = tables.getGlyphSet(location=location), tables.getBestCmap()
    (line,) = set_lettering(block("e k t R 8 &", font=file, axes=location, cap_height=80.0)).lines
    tall = BoundsPen(glyphs)
    glyphs[names[ord("H")]].draw(tall)
    assert tall.bounds is not None
    scale = 80.0 / (tall.bounds[3] - tall.bounds[1])
    assert len(line.glyphs) == 6
    for glyph in line.glyphs:
        path = pathops.Path()
        glyphs[names[ord(glyph.text)]].draw(path.getPen(glyphSet=glyphs))
        path.simplify(fix_winding=True, keep_starting_points=False)
        assert glyph.outline.area == pytest.approx(abs(path.area) * scale**2, abs=0.02 * glyph.outline.length)
