"""Faces without the rules that a script needs: warned of, or refused where their rules can't be read."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables.DefaultTable import DefaultTable

from bigsign.artwork.scripts import JOINING, REORDERING, scripts_in
from bigsign.artwork.setting import set_lettering
from bigsign.errors import InputError
from bigsign.findings import Finding
from bigsign.project import FontFile
from tests.artwork.lettering_samples import block, box_font, font

BEH, SEEN = "\u0628", "\u0633"


def boxes(*tables: str, rules: bool = False, letters: str = "") -> FontFile:
    """Return the boxes with more tables (empty) and letters, without their rules unless wanted."""
    with TTFont(BytesIO(box_font().data)) as made:
        if not rules:
            del made["GSUB"]
        for char in letters:
            for table in made["cmap"].tables:
                table.cmap[ord(char)] = "u0061"
        for tag in tables:
            made[tag] = held = DefaultTable(tag)
            held.data = b"\0" * 4
        out = BytesIO()
        made.save(out)
    return FontFile("boxes", out.getvalue())


def scripts_warned(face: FontFile, text: str, **changes: Any) -> list[Finding]:
    found = set_lettering(block(text, font=face, **changes)).findings
    return [finding for finding in found if finding.code == "font-script"]


def test_arabic_without_rules_is_warned_of() -> None:
    (finding,) = scripts_warned(boxes(), BEH + SEEN)
    assert "no rules for Arabic" in finding.message
    assert finding.remedy
    (vocalised,) = scripts_warned(boxes(letters="\u064e"), BEH + "\u064e" + SEEN)
    assert vocalised == finding


def test_a_letter_alone_other_scripts_and_faces_with_rules_are_not() -> None:
    assert scripts_warned(boxes(), BEH) == []
    assert scripts_warned(boxes(), f"{BEH} {SEEN}") == []
    assert scripts_warned(boxes(), "abc") == []
    assert scripts_warned(boxes(), "\u05d0\u05d1\u05d2") == []
    assert scripts_warned(box_font(), BEH + SEEN) == []
    assert scripts_warned(font("Amiri"), "بيض طازج") == []


def test_letters_that_are_there_as_they_join_are_rules_enough() -> None:
    """HarfBuzz takes them: the first of two letters is another glyph than the letter alone."""
    face = boxes(letters="\ufe91")
    assert scripts_warned(face, BEH + SEEN) == []
    joined, alone = (set_lettering(block(text, font=face, cap_height=700.0)) for text in (BEH + SEEN, BEH))
    widths = [glyph.outline.bounds[2] - glyph.outline.bounds[0] for glyph in joined.lines[0].glyphs]
    first = alone.lines[0].glyphs[0].outline.bounds
    assert widths[0] == pytest.approx(400.0)  # the box of "a" that stands for the letter at a beginning
    assert first[2] - first[0] == pytest.approx(420.0)


def test_devanagari_without_rules_is_warned_of_and_with_them_is_not() -> None:
    text = "\u0915\u093f"
    (finding,) = scripts_warned(boxes(letters=text), text)
    assert "no rules for Devanagari" in finding.message
    (other,) = scripts_warned(boxes(letters=text, rules=True), text)  # rules of other scripts alone
    assert other == finding


def test_rules_of_graphite_alone_are_refused() -> None:
    with pytest.raises(InputError, match=r"has its rules for Arabic as Graphite only.*OpenType rules for Arabic"):
        set_lettering(block(BEH + SEEN, font=boxes("Silf", "Glat")))
    assert set_lettering(block("abc", font=boxes("Silf", "Glat"))).findings == ()
    assert set_lettering(block(BEH + SEEN, font=boxes("Silf", "Glat", rules=True))).findings == ()


def test_letters_that_join_are_not_stacked_without_a_word() -> None:
    (finding,) = scripts_warned(font("Amiri"), "بيض", stacked=True)
    assert "Stacked letters do not join" in finding.message


@pytest.mark.parametrize(("turn", "warned"), [(0.0, 1), (90.0, 0), (-270.0, 0), (100.0, 0), (270.0, 1)])
def test_a_script_that_runs_down_the_page_is_turned(turn: float, warned: int) -> None:
    text = "\u182e\u1823"
    with TTFont(BytesIO(boxes(letters=text).data)) as made:
        made["morx"] = table = DefaultTable("morx")  # rules, though of none of its letters
        table.data = bytes.fromhex("00020000" "00000000")
        out = BytesIO()
        made.save(out)
    found = scripts_warned(FontFile("boxes", out.getvalue()), text, turn=turn)
    assert len(found) == warned
    assert all("from the top down" in finding.message for finding in found)


def test_codes_of_scripts_are_codes() -> None:
    from fontTools.unicodedata import script_name

    assert all(script_name(code) for code in JOINING | REORDERING)
    assert not JOINING & REORDERING
    assert scripts_in(["\ufe91\ufee6", "12 & 3", ""]) == []
