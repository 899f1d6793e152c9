"""What a check reports."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bigsign import make_plan
from bigsign.errors import Fault, InputError
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


def test_what_parting_has_to_say_stands_before_what_placing_has(tmp_path: Path) -> None:
    text = HEAD + WORDS % "8 mm" + 'centre = ["20 in", "3 in"]\n[[lettering]]\nlines = ["O"]\ncap_height = "20 in"\n'
    loaded = load_project(project(tmp_path, text + '[marks]\nuse = "on"\nsize = "25 mm"\n'))
    check, plan = check_project(loaded), make_plan(loaded)
    codes = list(dict.fromkeys(finding.code.partition("-")[0] for finding in check.findings))
    assert codes == ["film", "fit", "place"]
    assert {finding.message for finding in check.findings} == {finding.message for finding in plan.warnings}


def test_a_template_of_a_panel_that_is_not_there_stands_in_the_way(tmp_path: Path) -> None:
    loaded = load_project(project(tmp_path, HEAD + WORDS % "1 in" + "[plan]\ntemplate_panels = [90]\n"))
    with pytest.raises(InputError, match="a template of panel 90"):
        check_project(loaded)


def test_a_panel_that_goes_on_no_mat_stands_in_the_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise InputError(Fault("panel P1 fits no mat", "the mat", "a larger one"))

    monkeypatch.setattr("bigsign.nesting.nest", refuse)
    loaded = load_project(project(tmp_path, HEAD + WORDS % "1 in"))
    for ask in (make_plan, check_project):
        with pytest.raises(InputError, match="fits no mat"):
            ask(loaded)


def test_a_piece_that_no_seam_parts_is_a_finding_though_a_plan_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bigsign.splitting.too_big import PieceTooBigError

    def refuse(*_: object, **__: object) -> None:
        raise PieceTooBigError(Fault("the piece p1 is too big", "the artwork", "it fits at 50 %"))

    monkeypatch.setattr("bigsign.plan.part_lettering", refuse)
    loaded = load_project(project(tmp_path, HEAD + WORDS % "1 in"))
    (finding,) = check_project(loaded).findings
    assert (finding.code, finding.remedy) == ("fit-too-big", "It fits at 50 %.")
    with pytest.raises(InputError, match="too big"):
        make_plan(loaded)
