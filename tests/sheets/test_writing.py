"""Composing text: widths and ink from the font itself, breaking lines, measures with their fractions."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bigsign.sheets.items import Run, Text
from bigsign.sheets.metrics import can_show, em_of, font_file, ink_box, run_width, segments, showable
from bigsign.sheets.style import MEASURE_CAP, SMALL_CAP, STEP_CAP
from bigsign.sheets.writing import Column, line, runs_of, text_width, wrap

PARTS = ["trim", "panel", "43 1/2 in", "gap", "1105 mm", "a", "(3/8 in)"]
WORDS = st.lists(st.sampled_from(PARTS), min_size=1, max_size=30)


@given(WORDS)
@settings(max_examples=60, deadline=None)
def test_wrapped_lines_fit_and_lose_nothing(words: list[str]) -> None:
    text = " ".join(words)
    lines = wrap(text, STEP_CAP, 40.0)
    assert " ".join(lines) == text
    assert all(text_width(part, STEP_CAP) <= 40.0 for part in lines)
    assert not any(part.endswith(("43", "1/2", "1105", "3/8")) for part in lines)


def test_a_word_wider_than_the_line_is_broken_where_it_is_full() -> None:
    lines = wrap("W" * 60, STEP_CAP, 30.0)
    assert "".join(lines) == "W" * 60
    assert all(text_width(part, STEP_CAP) <= 30.0 for part in lines)


@pytest.mark.parametrize("cap", [STEP_CAP, MEASURE_CAP, SMALL_CAP])
def test_a_measure_keeps_its_characters_in_reading_order(cap: float) -> None:
    runs, _ = runs_of("set 43 1/2 in from", cap)
    assert "".join(run.text for run in runs) == "set 43 1/2 in from"
    starts = [run.along for run in runs]
    assert starts == sorted(starts)


@pytest.mark.parametrize("cap", [STEP_CAP, MEASURE_CAP, SMALL_CAP])
def test_no_figure_is_smaller_than_small_print(cap: float) -> None:
    runs, _ = runs_of("43 15/16 in", cap)
    assert min(run.cap for run in runs) >= SMALL_CAP - 1e-9


@pytest.mark.parametrize("bold", [False, True])
def test_capitals_are_as_high_as_asked(bold: bool) -> None:
    """The drawn H of the font, at the size chosen for 3 mm capitals, is 3 mm high."""
    from fontTools.pens.boundsPen import BoundsPen
    from fontTools.ttLib import TTFont

    with TTFont(font_file(bold)) as font:
        glyphs = font.getGlyphSet()
        pen = BoundsPen(glyphs)
        glyphs["H"].draw(pen)
        assert pen.bounds is not None
        assert pen.bounds[3] / font["head"].unitsPerEm * em_of(3.0, bold) == pytest.approx(3.0, abs=1e-6)


@pytest.mark.parametrize("bold", [False, True])
def test_figures_are_tabular(bold: bool) -> None:
    assert len({round(run_width(figure, 3.0, bold), 6) for figure in "0123456789"}) == 1


def test_ink_of_a_known_letter_stands_where_it_is_set() -> None:
    upright = ink_box(line((50.0, 80.0), "H", 3.0, True))
    assert upright is not None
    assert upright[3] == pytest.approx(80.0)
    assert upright[1] == pytest.approx(77.0)
    turned = ink_box(line((50.0, 80.0), "H", 3.0, True, turned=True))
    assert turned is not None
    assert turned[2] == pytest.approx(50.0)
    assert turned[0] == pytest.approx(47.0)
    assert 80.0 - turned[3] == pytest.approx(upright[0] - 50.0)


@pytest.mark.parametrize("align", ["l", "c", "r"])
def test_alignment_moves_the_start_by_the_width(align: str) -> None:
    share = {"l": 0.0, "c": 0.5, "r": 1.0}[align]
    made = line((100.0, 50.0), "43 1/2 in", 3.0, True, align)
    assert made.at[0] == pytest.approx(100.0 - share * text_width("43 1/2 in", 3.0, True))


def test_spaces_have_no_ink() -> None:
    assert ink_box(Text((0, 0), (Run("  ", 0, 0, 3, False),))) is None


def test_letters_that_one_face_lacks_are_taken_from_the_other() -> None:
    for word in ("Café 3", "Šípek", "Łódź", "ősz", "Κήπος", "Чай"):
        assert can_show(word)
        assert showable(word) == word
        assert "".join(part for _, part in segments(word)) == word
    assert [face for face, _ in segments("Café")] == [0]
    assert segments("Bo Чай") == ((0, "Bo "), (1, "Чай"))
    assert run_width("Bo Чай", 3.0) == pytest.approx(run_width("Bo ", 3.0) + run_width("Чай", 3.0))
    assert segments("e\u0301") == ((0, "é"),)


def test_what_no_face_has_is_written_by_its_number() -> None:
    assert not can_show("日")
    assert showable("Café 日 3") == "Café U+65E5 3"
    assert segments("日") == ((0, "U+65E5"),)
    assert run_width("日", 3.0) == pytest.approx(run_width("U+65E5", 3.0))
    assert showable("a\u202eb\x07c") == "a b c"


def test_a_column_knows_beforehand_what_a_step_takes() -> None:
    column = Column(0.0, 0.0, 60.0)
    text = "Fold the panel over to the left and peel a hand’s width of backing off, from the hinge on."
    column.tick(text, "12a")
    assert column.y == pytest.approx(column.tick_height(text, "12a"))
    assert len([item for item in column.items if isinstance(item, Text)]) > 2
