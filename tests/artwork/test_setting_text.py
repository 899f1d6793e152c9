"""What counts as one character, and in which order characters stand: clusters, ligatures, directions."""

from __future__ import annotations

import pytest

from bigsign.artwork.setting import SetLine, set_lettering
from tests.artwork.lettering_samples import block, box_font, font


def boxed(text: str) -> SetLine:
    """Set ``text`` in boxes, one font unit a millimetre."""
    (line,) = set_lettering(block(text, font=box_font(), cap_height=700.0)).lines
    return line


def starts(line: SetLine) -> dict[str, float]:
    return {glyph.text: glyph.outline.bounds[0] for glyph in line.glyphs}


def test_a_kerned_pair_is_tighter() -> None:
    """Arithmetic on the box font: sides of 50 leave gaps of 100, and a-b is kerned by 100."""
    line = boxed("aba")
    a, b, c = (glyph.outline.bounds for glyph in line.glyphs)
    assert (b[0] - a[2], c[0] - b[2]) == pytest.approx((0.0, 100.0))


def test_av_is_kerned() -> None:
    """A real face: the pair stands closer than the same letters set one by one."""
    made = set_lettering(block("AV HV", font=font("Lato"))).lines[0].glyphs
    gap = [made[i + 1].outline.bounds[0] - made[i].outline.bounds[2] for i in (0, 2)]
    assert gap[0] < 0 < gap[1]


def test_a_ligature_is_one_glyph_with_its_text() -> None:
    line = boxed("acob")
    assert [glyph.text for glyph in line.glyphs] == ["a", "co", "b"]
    x0, _, x1, _ = line.glyphs[1].outline.bounds
    assert x1 - x0 == pytest.approx(1000.0)
    (real,) = set_lettering(block("office", font=font("Lobster"))).lines
    assert [glyph.text for glyph in real.glyphs] == ["o", "ffi", "c", "e"]


def test_composed_and_combining_accents_are_the_same_glyph() -> None:
    composed = set_lettering(block("caf\u00e9")).lines[0].glyphs
    combining = set_lettering(block("cafe\u0301")).lines[0].glyphs
    assert len(composed) == len(combining) == 4
    assert combining[3].text == "e\u0301"
    assert combining[3].outline.equals(composed[3].outline)


def test_a_letter_with_two_marks_that_no_font_composes_is_one_glyph() -> None:
    bare = set_lettering(block("m")).lines[0].glyphs
    marked = set_lettering(block("m\u0303\u0323s")).lines[0].glyphs
    assert [glyph.text for glyph in marked] == ["m\u0303\u0323", "s"]
    assert len(marked[0].outline.geoms) == len(bare[0].outline.geoms) + 2


def test_hebrew_stands_from_right_to_left_and_reads_in_logical_order() -> None:
    line = boxed("\u05d0\u05d1 \u05d2")
    assert line.rtl
    assert [(glyph.text, glyph.word) for glyph in line.glyphs] == [("\u05d0", 0), ("\u05d1", 0), ("\u05d2", 1)]
    alef, bet, gimel = (glyph.outline.bounds for glyph in line.glyphs)
    assert (alef[0] - bet[2], bet[0] - gimel[2]) == pytest.approx((100.0, 400.0))  # a space is 300 wide
    assert line.baseline[0][0] < line.baseline[1][0]


def test_arabic_letters_join() -> None:
    """Beh before seen takes its initial form, 800 wide in the box font; alone it is 420 wide."""
    joined, alone = boxed("\u0628\u0633").glyphs[0], boxed("\u0628").glyphs[0]
    assert joined.outline.bounds[2] - joined.outline.bounds[0] == pytest.approx(800.0)
    assert alone.outline.bounds[2] - alone.outline.bounds[0] == pytest.approx(420.0)


def test_two_scripts_of_one_direction_are_shaped_each_as_its_own() -> None:
    line = boxed("\u05d0 \u0628\u0633")
    alef, beh, seen = (glyph.outline.bounds for glyph in line.glyphs)
    assert beh[2] - beh[0] == pytest.approx(800.0)
    assert seen[2] < beh[0] < beh[2] < alef[0]


def test_a_line_of_two_directions_stands_in_visual_order() -> None:
    left = starts(boxed("a \u05d0\u05d1 b"))
    assert sorted(left, key=left.__getitem__) == ["a", "\u05d1", "\u05d0", "b"]
    right = starts(boxed("\u05d0\u05d1 12 b"))
    assert sorted(right, key=right.__getitem__) == ["b", "1", "2", "\u05d1", "\u05d0"]
    assert not boxed("a \u05d0\u05d1").rtl
    assert boxed("\u05d0 ab").rtl
