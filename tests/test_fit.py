"""Does it fit: sizes, parting, and the largest size in one panel."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

import bigsign.plan
from bigsign.errors import InputError, NotYetError
from bigsign.fit import FitReport, check_fit, find_cutter
from bigsign.fonts import find_font
from bigsign.plan_records import Plan
from bigsign.presets import known_cutters, read_cutters
from bigsign.project import Cutter
from bigsign.units import TapeStep, parse_length

INCH = 25.4
MAT = Cutter("desktop-12", "12x24", 11.5 * INCH, 23.5 * INCH)


def boxes(*sizes: tuple[float, float, float, float], colours: tuple[str, ...] = ()) -> bytes:
    """Return a drawing of boxes (x, y, width, height) in mm on a page of 2 m."""
    rects = "".join(
        f'<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="{colours[at] if colours else "black"}"/>'
        for at, (x, y, w, h) in enumerate(sizes)
    )
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">'
    return f"{head}{rects}</svg>".encode()


def test_what_fits_is_one_panel() -> None:
    report = check_fit(["FRESH EGGS"], cap_height=4 * INCH, cutter=MAT)
    assert report.fits is True
    assert report.result is not None
    assert [panel.text for panel in report.result.panels] == ["FRESH EGGS"]
    assert report.result.measures is not None
    assert report.result.measures.panels == 1
    assert report.result.mats == 1


def test_the_largest_size_agrees_with_the_fonts_own_bounds() -> None:
    """One letter has no kerning: its width at a cap height follows from fontTools' bounds of E and H."""
    with TTFont(BytesIO(find_font("Anton", Path()).data)) as tables:
        glyphs, bounds = tables.getGlyphSet(), {}
        for name in ("E", "H"):
            pen = BoundsPen(glyphs)
            glyphs[name].draw(pen)
            bounds[name] = pen.bounds
    cap = bounds["H"][3]
    tall = (bounds["E"][3] - bounds["E"][1]) / cap
    wide = (bounds["E"][2] - bounds["E"][0]) / cap
    report = check_fit(["E"], cap_height=INCH, cutter=MAT)
    assert report.result is not None
    largest = report.result.largest_one_panel
    assert largest is not None
    exact = max(min(MAT.width / wide, MAT.length / tall), min(MAT.length / wide, MAT.width / tall))
    assert largest.mm == pytest.approx(exact, abs=0.05)


@settings(max_examples=8, deadline=None)
@given(st.sampled_from(["HONEY", "To Let", "&", "SEED LIBRARY", "gypsy"]), st.floats(5, 400))
def test_at_the_largest_size_it_fits_and_just_above_it_does_not(text: str, cap: float) -> None:
    report = check_fit([text], cap_height=cap, cutter=MAT)
    assert report.result is not None
    largest = report.result.largest_one_panel
    assert largest is not None
    assert (cap <= largest.mm) == bool(report.fits)
    shown = check_fit([text], cap_height=parse_length(largest.tape), cutter=MAT)
    assert shown.fits is True, "what the text says must fit"
    exact = check_fit([text], cap_height=largest.mm, cutter=MAT)
    assert exact.fits is True
    above = check_fit([text], cap_height=largest.mm * 1.002, cutter=MAT)
    assert above.fits is False
    assert above.result is not None
    assert above.result.largest_one_panel is not None
    assert above.result.largest_one_panel.mm == pytest.approx(largest.mm, abs=0.01)


def test_a_phrase_of_27_in_under_23_in_parts_in_its_word_gap() -> None:
    """Common practice, no source."""
    report = check_fit(["FRESH EGGS"], width=27 * INCH, cutter=Cutter("test", "mat", 23 * INCH, 8 * INCH))
    assert report.fits is False
    assert report.result is not None
    assert [panel.text for panel in report.result.panels] == ["FRESH", "EGGS"]
    assert report.result.measures is not None
    assert report.result.measures.in_word_breaks == 0
    assert report.film_width.mm == pytest.approx(27 * INCH, abs=0.01)
    largest = report.result.largest_one_panel
    assert largest is not None
    assert report.size_of == "width"
    assert largest.mm == pytest.approx(23 * INCH, abs=0.01)


def test_two_lines_of_19_by_13_in_part_between_the_lines() -> None:
    """Common practice, no source: the usual answer for a 12 × 24 in mat."""
    lines = [(x, y, 2.4 * INCH, 5 * INCH) for y in (0, 8 * INCH) for x in (i * 2.5 * INCH for i in range(6))]
    lines = [(x * 16.6 / 12.5, y, w, h) for x, y, w, h in lines]
    report = check_fit(svg=boxes(*lines), cutter=MAT)
    assert report.film_height.mm == pytest.approx(13 * INCH, abs=0.01)
    assert report.film_width.mm == pytest.approx(19 * INCH, abs=0.01)
    assert report.result is not None
    assert [panel.height.mm for panel in report.result.panels] == pytest.approx([5 * INCH] * 2, abs=0.01)
    assert report.result.measures is not None
    assert report.result.measures.in_word_breaks == 0


def test_film_of_23_in_fits_23_in() -> None:
    for cutter in (Cutter("t", "m", 23 * INCH, 50), Cutter("t", "m", 50, 23 * INCH)):
        assert check_fit(svg=boxes((0, 0, 23 * INCH, 40)), cutter=cutter).fits is True
    across = Cutter("t", "m", 50, 23 * INCH)
    assert check_fit(svg=boxes((0, 0, 23 * INCH, 40)), cutter=across, turning="none").fits is False


def test_a_piece_too_big_is_said_with_the_size_that_would_fit() -> None:
    report = check_fit(["O"], height=20 * INCH, cutter=Cutter("desktop-4", "4x12", 4 * INCH, 11.5 * INCH))
    assert report.fits is False
    assert report.result is not None
    assert len(report.result.panels) > 1
    assert report.result.measures is not None
    assert report.result.measures.seams > 0
    largest = report.result.largest_one_panel
    assert largest is not None
    assert 0 < largest.mm < 11.5 * INCH + 0.01


def test_two_colours_are_one_panel_each() -> None:
    drawing = boxes((0, 0, 200, 100), (300, 0, 200, 100), colours=("red", "navy"))
    report = check_fit(svg=drawing, cutter=MAT)
    assert report.fits is True
    assert report.result is not None
    assert [panel.colour for panel in report.result.panels] == ["#ff0000", "#000080"]
    assert report.size_of == "width"
    assert report.size.mm == pytest.approx(500, abs=0.01)


def test_the_table_covers_every_mat_and_says_what_is_not_built() -> None:
    report = check_fit(["EGGS"], cap_height=2 * INCH)
    assert report.fits is None
    assert report.cutters is not None
    assert [(row.cutter, row.mat) for row in report.cutters] == [
        (mat.name, mat.mat) for preset in known_cutters() for mat in preset.mats
    ]
    assert [row.cutter for row in report.cutters if "not built yet" in row.note] == ["roll-24"]
    for row in report.cutters[:-1]:
        assert row.largest_one_panel is not None
        assert row.fits == (row.largest_one_panel.mm >= 2 * INCH)


def test_sizes_for_people_follow_the_tape() -> None:
    report = check_fit(["EGGS"], cap_height=100, cutter=MAT, tape_step=TapeStep("mm", TapeStep().step * 16))
    assert report.size.tape == "100 mm"
    assert report.result is not None
    largest = report.result.largest_one_panel
    assert largest is not None
    assert largest.tape == f"{int(largest.mm)} mm"
    assert largest.error_mm == pytest.approx(int(largest.mm) - largest.mm)


def test_white_space_at_line_ends_is_dropped() -> None:
    assert check_fit(["EGGS\n", "HAY \t"], cap_height=100, cutter=MAT).text == "EGGS\nHAY"


def test_panels_come_by_number_however_their_ids_sort(monkeypatch: pytest.MonkeyPatch) -> None:
    """As text panel-100 stands before panel-11."""
    real = bigsign.plan.plan_lettering

    def hundreds(*asked: Any) -> Plan:
        plan = real(*asked)
        panels = [
            replace(panel, id=f"panel-{9 + 90 * at:02d}", number=9 + 90 * at, text=f"{at}")
            for at, panel in enumerate(plan.panels)
        ]
        return replace(plan, panels=tuple(reversed(panels)))

    monkeypatch.setattr(bigsign.plan, "plan_lettering", hundreds)
    report = check_fit(["FRESH EGGS AND HONEY"], cap_height=5 * INCH, cutter=MAT)
    assert report.result is not None
    texts = [panel.text for panel in report.result.panels]
    assert len(texts) > 2
    assert texts == [f"{at}" for at in range(len(texts))]


@pytest.mark.parametrize(
    ("lines", "sizes", "said"),
    [
        ([], {"cap_height": 10.0}, "the phrase is empty"),
        ([" "], {"cap_height": 10.0}, "the phrase is empty"),
        (["A"], {}, "no size is given"),
        (["A"], {"cap_height": 10.0, "width": 10.0}, "cap_height and width are given"),
        (["A"], {"cap_height": 0.0}, "a length above nought"),
        (["A"], {"cap_height": float("nan")}, "a length above nought"),
        (["A\tB"], {"cap_height": 10.0}, r"a tab \(U\+0009\) after 'A'"),
        (["AB\x1f"], {"cap_height": 10.0}, r"control character \(U\+001F\)"),
        (["卵"], {"cap_height": 10.0}, "has no '卵'"),
    ],
)
def test_bad_input_is_one_fault(lines: list[str], sizes: dict[str, float], said: str) -> None:
    with pytest.raises(InputError, match=said) as caught:
        check_fit(
            lines, cutter=MAT, cap_height=sizes.get("cap_height"), width=sizes.get("width"), height=sizes.get("height")
        )
    assert len(caught.value.faults) == 1


def test_cutters_are_found_by_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "none"))
    assert find_cutter("desktop-12", None, tmp_path).mat == "12x12"
    assert find_cutter("desktop-12", "12x24", tmp_path).length == pytest.approx(23.5 * INCH)
    with pytest.raises(InputError, match="one of: desktop-4"):
        find_cutter("desktop-5", None, tmp_path)
    with pytest.raises(InputError, match="one of: 12x12, 12x24"):
        find_cutter("desktop-12", "9x9", tmp_path)
    with pytest.raises(NotYetError):
        find_cutter("roll-24", None, tmp_path)
    (tmp_path / "cutters.toml").write_text('[shed]\nmats.a = { width = "10 in", length = "20 in" }\n')
    assert find_cutter("shed", None, tmp_path).width == 254


def test_each_row_of_the_table_is_told_as_it_is_found() -> None:
    told: list[FitReport] = []
    presets = [preset for preset in read_cutters(()) if preset.name in ("desktop-8", "desktop-12")]
    report = check_fit(["EGGS"], cap_height=50.0, cutters=presets, each=told.append)
    assert report.cutters is not None
    assert len(report.cutters) == 3
    assert [one.cutters for one in told] == [report.cutters[:n] for n in range(4)]
    stopped: list[FitReport] = []

    def stop(so_far: FitReport) -> None:
        stopped.append(so_far)
        if so_far.cutters:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        check_fit(["EGGS"], cap_height=50.0, cutters=presets, each=stop)
    assert [one.cutters for one in stopped] == [(), report.cutters[:1]]  # the others were not waited for
