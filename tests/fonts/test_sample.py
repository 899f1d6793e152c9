"""Rows of the sheet of samples: what is set in a face, where it lies, and what is said where nothing can be."""

from __future__ import annotations

import re
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from bigsign.artwork.flatten import ArcTo, Close, Command, CubicTo, LineTo, MoveTo, QuadTo, control_points
from bigsign.fonts import find_font
from bigsign.fonts.faces import FaceName, faces_of
from bigsign.fonts.installed import InstalledFace
from bigsign.fonts.packages import package_fonts
from bigsign.fonts.sample import CAP, ROW, TALLEST, TOP, WIDTH, SampleRow, drawn, sample_rows, sample_texts
from tests.artwork.lettering_samples import box_font


def package_face(family: str, style: str = "Regular") -> InstalledFace:
    _, file = package_fonts()[family.casefold().replace(" ", "")]
    (face,) = [face for face in faces_of(file) if face.style == style]
    return InstalledFace(face, file)


def written(folder: Path, data: bytes, name: str = "a.ttf") -> InstalledFace:
    (folder / name).write_bytes(data)
    return InstalledFace(faces_of(data)[0], folder / name)


def row(one: InstalledFace) -> SampleRow:
    (made,) = sample_rows([one])
    return made


def box(line: Sequence[Command]) -> tuple[float, float, float, float]:
    xs, ys = zip(*(point for command in line for point in control_points(command)), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


FACES = [
    ("Anton", "Regular"), ("Lobster", "Regular"), ("Great Vibes", "Regular"), ("Amiri", "Bold Italic"),
    ("Kanit", "Thin"), ("Dancing Script", "Bold"), ("Noto Sans Khmer", "Regular"), ("Luckiest Guy", "Regular"),
]  # fmt: skip


@pytest.mark.parametrize(("family", "style"), FACES)
def test_a_line_lies_in_its_row_and_clear_of_the_name(family: str, style: str) -> None:
    if family in ("Amiri", "Kanit"):
        _, file = package_fonts()[(family + style).casefold().replace(" ", "")]
        one = InstalledFace(faces_of(file)[0], file)
    else:
        one = package_face(family, style)
    made = row(one)
    assert made.note == ""
    assert made.label == one.face.name
    x0, y0, x1, y1 = box(made.line)
    assert x0 == pytest.approx(0.0, abs=1e-6)
    assert x1 <= WIDTH + 1e-6
    assert TOP - 1e-6 <= y0 < y1 <= TOP + TALLEST + 1e-6 < ROW


def test_capitals_of_most_faces_are_of_one_height() -> None:
    """Seven tenths of the em are drawn at the capital height; Lato's capitals are 0.7165 em by its own table."""
    one = package_face("Lato")
    with TTFont(one.file) as font:
        stated, upem = font["OS/2"].sCapHeight, font["head"].unitsPerEm
    first = []
    for command in row(one).line:  # F
        first.append(command)
        if isinstance(command, Close):
            break
    _, y0, _, y1 = box(first)
    assert y1 - y0 == pytest.approx(CAP * stated / (0.7 * upem), rel=0.01)


def test_glyphs_are_to_be_filled_each_by_itself() -> None:
    """A glyph a character but for the spaces: none of Anton's is a ligature."""
    made = row(package_face("Anton"))
    assert len(made.glyphs) == len("FreshEggs&Honey1234567890")
    assert [command for glyph in made.glyphs for command in glyph] == list(made.line)
    assert SampleRow("a", (), "no").glyphs == []


def test_a_named_instance_is_drawn_at_its_own_weight() -> None:
    plain, bold = row(package_face("Dancing Script")), row(package_face("Dancing Script", "Bold"))
    assert plain.line != bold.line
    assert box(bold.line)[2] > box(plain.line)[2]


@pytest.mark.parametrize(
    ("family", "first"),
    [
        ("Anton", "Fresh Eggs & Honey 1234567890"), ("Arimo", "Fresh Eggs & Honey 1234567890"),
        ("Noto Sans Devanagari", "Fresh Eggs 123 \u0904\u0905\u0906\u0907\u0908\u0909\u090a\u090b"),
    ],
)  # fmt: skip
def test_a_face_made_for_another_script_shows_letters_of_it_too(family: str, first: str) -> None:
    assert sample_texts(find_font(family, Path()))[0] == first


def test_a_face_without_these_letters_shows_its_own(tmp_path: Path) -> None:
    made = row(written(tmp_path, box_font().data))
    assert made.note == ""
    assert sum(isinstance(command, MoveTo) for command in made.line) > 3


def test_a_font_of_signs_alone_shows_them(tmp_path: Path) -> None:
    with TTFont(BytesIO(box_font().data)) as font:
        for table in font["cmap"].tables:
            table.cmap = {0x2605: "u0061", 0xE000: "u0062"}
        out = BytesIO()
        font.save(out)
    made = row(written(tmp_path, out.getvalue()))
    assert [isinstance(command, Close) for command in made.line].count(True) == 2


def test_the_fonts_own_sample_text_is_set(tmp_path: Path) -> None:
    with TTFont(BytesIO(box_font().data)) as font:
        font["name"].setName("cab", 19, 3, 1, 0x409)
        out = BytesIO()
        font.save(out)
    made = row(written(tmp_path, out.getvalue()))
    assert [isinstance(command, Close) for command in made.line].count(True) == 3


def test_what_cannot_be_drawn_is_said(tmp_path: Path) -> None:
    whole = box_font().data
    short = InstalledFace(faces_of(whole)[0], tmp_path / "short.ttf")
    short.file.write_bytes(whole[:-200])
    gone = InstalledFace(FaceName("Gone", "Regular"), tmp_path / "gone.ttf")
    with TTFont(BytesIO(whole)) as font:
        for name in font.getGlyphOrder():
            font["glyf"][name] = font["glyf"]["space"]
        out = BytesIO()
        font.save(out)
    blank = written(tmp_path, out.getvalue(), "blank.ttf")
    rows = sample_rows([short, gone, blank, package_face("Anton")])
    assert [made.note for made in rows[:3]] == [
        "is cut short", "can't be read (no such file or directory)", "has no letters that can be drawn",
    ]  # fmt: skip
    assert rows[0].label == "Marrow Lane Boxes: is cut short"
    assert all(made.line == () for made in rows[:3])
    assert rows[3].line
    assert not re.search("Error|Exception", " ".join(made.label for made in rows))


def test_a_quadratic_curve_is_drawn_as_the_cubic_one_it_is() -> None:
    """Degree elevation: controls two thirds of the way (any textbook on Bézier curves)."""
    curves: list[Command] = [QuadTo((3, 6), (6, 0)), CubicTo((7, 0), (8, 1), (9, 1))]
    made = list(drawn([MoveTo((0, 0)), *curves, LineTo((0, 0)), Close()]))
    assert made == [
        ("M", ((0, 0),)), ("C", ((2, 4), (4, 4), (6, 0))), ("C", ((7, 0), (8, 1), (9, 1))), ("L", ((0, 0),)), ("Z", ()),
    ]  # fmt: skip


def test_a_font_has_no_arcs() -> None:
    with pytest.raises(TypeError, match="no arcs"):
        list(drawn([MoveTo((0, 0)), ArcTo((1.0, 0.0, 0.0, 1.0, 0.0, 0.0), 0.0, 1.0, (1.0, 1.0))]))
