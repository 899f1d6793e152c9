"""What a check reports."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bigsign.errors import InputError
from bigsign.project_check import check_project, check_to_dict
from bigsign.project_file import load_project

HEAD = '[sign]\nwidth = "40 in"\nheight = "30 in"\n[cutter]\nuse = "desktop-4"\n'
WORDS = '[[lettering]]\nlines = ["SEED LIBRARY", "OPEN"]\ncap_height = "%s"\n'


def project(folder: Path, text: str) -> Path:
    (folder / "a.toml").write_text(text)
    return folder / "a.toml"


def test_ids_and_texts_are_those_a_wish_can_name(tmp_path: Path) -> None:
    made: dict[str, Any] = check_to_dict(check_project(load_project(project(tmp_path, HEAD + WORDS % "2 in"))))
    lines, words, glyphs = made["lines"], made["words"], made["glyphs"]
    assert isinstance(lines, list)
    assert isinstance(words, list)
    assert isinstance(glyphs, list)
    assert [line["text"] for line in lines] == ["SEED LIBRARY", "OPEN"]
    assert [word["text"] for word in words] == ["SEED", "LIBRARY", "OPEN"]
    assert "".join(glyph["text"] for glyph in glyphs) == "SEEDLIBRARYOPEN"
    by_id = {glyph["id"]: glyph for glyph in glyphs}
    for word in words:
        assert "".join(by_id[name]["text"] for name in word["glyphs"]) == word["text"]
    wish = f'[plan]\nkeep = [["{words[2]["id"]}"]]\nno_break_after = ["{glyphs[0]["id"]}"]\n'
    assert not check_project(load_project(project(tmp_path, HEAD + WORDS % "1 in" + wish))).findings


def test_a_piece_too_big_is_a_finding(tmp_path: Path) -> None:
    text = HEAD + '[[lettering]]\nlines = ["O"]\ncap_height = "20 in"\n'
    check = check_project(load_project(project(tmp_path, text)))
    (finding,) = (one for one in check.findings if one.code == "fit-seam")
    assert "larger than the usable area" in finding.message
    assert "%" in finding.remedy


def test_small_lettering_is_a_finding(tmp_path: Path) -> None:
    check = check_project(load_project(project(tmp_path, HEAD + WORDS % "5 mm")))
    assert "film-small" in {finding.code for finding in check.findings}


def test_film_over_the_board_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="larger than the board"):
        check_project(load_project(project(tmp_path, HEAD + WORDS % "20 in")))
