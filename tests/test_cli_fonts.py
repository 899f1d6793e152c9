"""`bigsign fonts`: what it lists, what it says of words that fit nothing, and the sheet it writes."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest
from lxml import etree

from bigsign.cli import main
from bigsign.fonts.folders import INSTEAD
from tests.artwork.lettering_samples import box_font
from tests.fonts.test_tables import without

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    fonts = tmp_path / "fonts"
    fonts.mkdir()
    for family, style in (("Shed", "Bold"), ("Shed", "Regular"), ("Shed Serif", "Italic"), ("Barn", "Regular")):
        (fonts / f"{family}-{style}.ttf").write_bytes(box_font(family=family, style=style).data)
    (fonts / "again.ttf").write_bytes(box_font(family="Shed").data)
    (fonts / "short.ttf").write_bytes(box_font(family="Half").data[:-40])
    (fonts / "words.ttf").write_bytes(b"words")
    monkeypatch.setenv(INSTEAD, str(fonts))
    monkeypatch.chdir(tmp_path)

    def go(*words: str) -> tuple[int, str, str]:
        code = main(words)
        out, err = capsys.readouterr()
        return code, out, err

    return go


def lines(out: str) -> dict[str, str]:
    return dict(re.split(r" {2,}", line, maxsplit=1) for line in out.splitlines() if "  " in line)


def test_families_are_listed_with_their_styles_the_plainest_first(run: Run) -> None:
    code, out, err = run("fonts")
    assert (code, err) == (0, "")
    found = lines(out)
    assert found["Shed"] == "Regular, Bold"
    assert found["Shed Serif"] == "Italic"
    assert found["Half"] == "Regular (is cut short)"
    assert {"Anton", "Lato", "Lobster"} <= set(found)
    assert list(found) == sorted(found, key=str.casefold)


@pytest.mark.parametrize("word", [("shed",), ("SHED",), ("sh", "ed"), ("s-h_e d",)])
def test_a_word_is_looked_for_in_the_names_whatever_its_case_and_spaces(run: Run, word: tuple[str, ...]) -> None:
    code, out, _ = run("fonts", *word)
    assert code == 0
    assert list(lines(out)) == ["Shed", "Shed Serif"]


def test_a_style_is_part_of_the_name(run: Run) -> None:
    assert lines(run("fonts", "shed bold")[1]) == {"Shed": "Bold"}
    assert "Dancing Script" in lines(run("fonts", "semibold")[1])


def test_what_no_face_is_called_is_said_with_the_nearest(run: Run) -> None:
    code, out, err = run("fonts", "Shedd Sreif")
    assert (code, err) == (1, "")
    assert out.startswith("No installed font has 'Shedd Sreif' in its name. The nearest: Shed Serif")
    code, out, _ = run("fonts", "qqqqqq", "--sample", "a.pdf")
    assert (code, out) == (1, "No installed font has 'qqqqqq' in its name.\n")
    assert not Path("a.pdf").exists()


@pytest.mark.parametrize("name", ["shed.pdf", "shed.PDF", "shed.svg"])
def test_a_sheet_is_written_with_the_same_bytes_each_time(run: Run, name: str) -> None:
    code, out, err = run("fonts", "shed", "--sample", name)
    assert (code, err) == (0, "")
    assert out.endswith(f"\nWrote {name}.\n")
    first = Path(name).read_bytes()
    assert run("fonts", "shed", "--sample", name)[0] == 0
    assert Path(name).read_bytes() == first
    assert sorted(file.name for file in Path().iterdir()) == ["fonts", name]
    names = ["Shed", "Shed Bold", "Shed Serif Italic"]
    if name.endswith("svg"):
        root = etree.fromstring(first)
        assert [group[0].text for group in root.findall("{http://www.w3.org/2000/svg}g")] == names
    else:
        with pdfplumber.open(BytesIO(first)) as pdf:
            assert [page.extract_text().splitlines() for page in pdf.pages] == [names]


def test_the_paper_follows_the_units(run: Run) -> None:
    sizes = []
    for units in ("in", "mm"):
        run("--units", units, "fonts", "shed", "--sample", "a.pdf")
        with pdfplumber.open("a.pdf") as pdf:
            sizes.append(round(float(pdf.pages[0].height)))
    assert sizes == [792, 842]


def test_a_face_that_cannot_be_drawn_has_its_reason_on_the_sheet(run: Run, tmp_path: Path) -> None:
    (tmp_path / "fonts" / "emoji.ttf").write_bytes(without("glyf", "loca", picture=True))
    assert run("fonts", "half", "--sample", "a.pdf")[0] == 0
    with pdfplumber.open("a.pdf") as pdf:
        assert pdf.pages[0].extract_text() == "Half: is cut short"
    assert "Anton" in run("fonts", "anton")[1]  # the package's, which can be cut, not the one of pictures
    assert "pictures" not in run("fonts", "anton")[1]


@pytest.mark.parametrize(
    ("name", "code", "said"),
    [
        ("a.png", 2, "--sample 'a.png' is neither"), ("a", 2, "--sample 'a' is neither"),
        ("none/a.pdf", 2, "'none/a.pdf' can't be written"), ("fonts.pdf", 2, "'fonts.pdf' can't be written"),
        ("a" * 300 + ".svg", 2, "aaa.svg' can't be written"),
    ],
)  # fmt: skip
def test_a_sheet_that_cannot_be_written_is_one_line(run: Run, name: str, code: int, said: str) -> None:
    Path("fonts.pdf").mkdir()
    given, out, err = run("fonts", "shed", "--sample", name)
    assert given == code, err
    assert said in err
    assert len(err.splitlines()) == 1
    assert "Wrote" not in out
    assert sorted(file.name for file in Path().iterdir()) == ["fonts", "fonts.pdf"]


@pytest.mark.skipif(os.name == "nt" or getattr(os, "geteuid", lambda: 0)() == 0, reason="the superuser may write all")
def test_a_folder_that_may_not_be_written_to_is_one_line(run: Run, tmp_path: Path) -> None:
    (tmp_path / "locked").mkdir(mode=0o500)
    code, _, err = run("fonts", "shed", "--sample", "locked/a.pdf")
    assert code == 2
    assert "permission denied" in err


def test_names_cannot_steer_the_terminal(run: Run, tmp_path: Path) -> None:
    (tmp_path / "fonts" / "bell.ttf").write_bytes(box_font(family="Be\x1b[31mll").data)
    _, out, _ = run("fonts", "ll")
    assert "\x1b" not in out
