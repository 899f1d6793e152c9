"""The tables of a project that only some signs have: slip, template, given words, site."""

from __future__ import annotations

from pathlib import Path

import pytest

from bigsign.errors import InputError
from bigsign.project import Site, SlipSettings
from tests.test_project_file import SMALL, faults, load


@pytest.fixture(autouse=True)
def _no_own_cutters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def test_slip_limits_are_read_and_have_defaults(tmp_path: Path) -> None:
    assert load(tmp_path, SMALL).slip == SlipSettings(1.0, 1.0)
    assert load(tmp_path, SMALL + '[slip]\noffset = "2 mm"\ntilt = "0 mm"\n').slip == SlipSettings(2.0, 0.0)
    with pytest.raises(InputError, match="offset"):
        load(tmp_path, SMALL + "[slip]\noffset = 2\n")
    with pytest.raises(InputError, match="did you mean 'tilt'"):
        load(tmp_path, SMALL + '[slip]\ntlt = "2 mm"\n')


def test_the_template_has_its_own_paper(tmp_path: Path) -> None:
    assert load(tmp_path, SMALL + '[plan]\npaper = "a4"\n').plan.template_paper == "a4"
    assert load(tmp_path, SMALL + '[plan]\ntemplate_paper = "tabloid"\n').plan.template_paper == "tabloid"
    with pytest.raises(InputError, match="template_paper"):
        load(tmp_path, SMALL + '[plan]\ntemplate_paper = "a5"\n')


def test_the_panels_of_the_template_are_numbers(tmp_path: Path) -> None:
    assert load(tmp_path, SMALL).plan.template_panels == ()
    assert load(tmp_path, SMALL + "[plan]\ntemplate_panels = [3, 1, 3]\n").plan.template_panels == (3, 1)
    for wrong in ("[0]", "[true]", '["A"]', "2"):
        with pytest.raises(InputError, match="template_panels"):
            load(tmp_path, SMALL + f"[plan]\ntemplate_panels = {wrong}\n")


def test_given_words_are_read_with_a_drawing(tmp_path: Path) -> None:
    (tmp_path / "leaf.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"/>')
    drawing = '[[artwork]]\nfile = "leaf.svg"\n[reading]\nwords = ["FRESH EGGS", "& HONEY"]\n'
    given = load(tmp_path, SMALL + drawing).given
    assert given is not None
    assert given.words == ("FRESH EGGS", "& HONEY")
    assert "[reading] words" in given.where


@pytest.mark.parametrize("words", ["[]", '["  "]', '"FRESH"', '["FRESH"]', "[1]"])
def test_given_words_are_texts_and_need_a_drawing(tmp_path: Path, words: str) -> None:
    with pytest.raises(InputError) as caught:
        load(tmp_path, SMALL + f"[reading]\nwords = {words}\n")
    assert "[reading] words" in str(caught.value.faults[0])


def test_the_site_is_read_and_not_known_by_default(tmp_path: Path) -> None:
    assert load(tmp_path, SMALL).site == Site("painted", None, None, True, None, None, None)
    told = "[site]\nold_paint = true\nfresh_paint = false\nsolvent = false\nfoot = '6 ft'\nhung = true\nstreet = false"
    assert load(tmp_path, SMALL + told).site == Site("painted", True, False, False, 1828.8, True, False)
    assert load(tmp_path, SMALL + "[site]\nsurface = 'glass'\nfoot = '0 in'\nold_paint = false").site == Site(
        "glass", False, foot=0.0
    )


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("surface = 'wood'", "surface is 'wood', stand.toml line 11 [site] surface, one of: painted, bare, glass"),
        ("surface = 'glas'", "did you mean 'glass'?"),
        ("old_paint = 'yes'", "true or false; leave it out if you don't know"),
        ("hung = 1", "hung is 1"),
        ("foot = '-1 in'", "a length of nought or more"),
        ("foot = 6", "has no unit"),
        ("floor = '6 ft'", "unknown key 'floor'"),
        ("surface = 'glass'\nold_paint = true", "old_paint is true, but the surface is glass"),
        ("surface = 'bare'\nfresh_paint = true", "fresh_paint is true, but the surface is bare"),
    ],
)
def test_wrong_values_of_the_site_are_faults(tmp_path: Path, table: str, said: str) -> None:
    found = faults(tmp_path, SMALL + "[site]\n" + table)
    assert len(found) == 1
    assert said in found[0]


def test_a_path_with_backslashes_is_shown_with_slashes(tmp_path: Path) -> None:
    text = SMALL + "[[artwork]]\nfile = 'art\\leaf.svg'\n"
    (only,) = faults(tmp_path, text)
    assert only.endswith('slashes, as file = "art/leaf.svg"')
