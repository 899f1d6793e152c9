"""One beginning: plan, alternatives, check and fit read and refuse alike."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from shapely.geometry import MultiLineString

from bigsign import load_project, make_alternatives, make_plan
from bigsign.errors import InputError
from bigsign.prepare import prepare
from bigsign.project_check import check_project
from tests.bench.reading.measure import phrase_artwork

HEAD = '[sign]\nwidth = "40 in"\nheight = "30 in"\n[cutter]\nuse = "desktop-12"\n'


def project(folder: Path, more: str) -> Path:
    (folder / "lane.toml").write_text(HEAD + more)
    return folder / "lane.toml"


def drawing(phrase: str) -> str:
    """Return a drawing of a phrase's outlines."""
    rings = [ring for p in phrase_artwork("Anton", phrase).pieces for ring in (p.shape.exterior, *p.shape.interiors)]
    path = "".join("M" + " ".join(f"{x:.4f},{y:.4f}" for x, y in ring.coords[:-1]) + "Z" for ring in rings)
    x0, y0, x1, y1 = MultiLineString([list(ring.coords) for ring in rings]).bounds
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x0} {y0} {x1 - x0} {y1 - y0}">'
    return f'{head}<path fill-rule="evenodd" d="{path}"/></svg>'


def test_words_that_are_given_are_read_in_alternatives_too(tmp_path: Path) -> None:
    (tmp_path / "see.svg").write_text(drawing("TO SEE"))
    given = '[[artwork]]\nfile = "see.svg"\nwidth = "30 in"\n[reading]\nwords = ["TOS EE"]\n'
    loaded = load_project(project(tmp_path, given))
    texts = [word.text for word in prepare(loaded).lettering.words]
    assert texts == ["TOS", "EE"]
    assert [word.text for word in make_plan(loaded).words] == texts
    for one in make_alternatives(loaded, 3):
        assert [word.text for word in one.plan.words] == texts
    assert [word.text for word in check_project(loaded).lettering.words] == texts


def test_a_template_of_a_panel_that_is_not_there_is_refused_everywhere(tmp_path: Path) -> None:
    text = '[[lettering]]\nlines = ["EGGS"]\ncap_height = "3 in"\n[plan]\ntemplate_panels = [7]\n'
    loaded = load_project(project(tmp_path, text))
    for ask in (make_plan, make_alternatives, check_project):
        with pytest.raises(InputError, match="a template of panel 7"):
            ask(loaded)


def test_film_beyond_the_board_is_an_error_only_where_there_is_a_board(tmp_path: Path) -> None:
    text = '[[lettering]]\nlines = ["EGGS"]\ncap_height = "3 in"\ncentre = ["1 in", "15 in"]\n'
    loaded = load_project(project(tmp_path, text))
    for ask in (prepare, make_plan, make_alternatives, check_project):
        with pytest.raises(InputError, match="over the board's left edge"):
            ask(loaded)
    found = prepare(loaded, on_board=False)
    assert found.project is loaded
    assert [word.text for word in found.lettering.words] == ["EGGS"]


def test_nothing_to_cut_is_an_error(tmp_path: Path) -> None:
    loaded = load_project(project(tmp_path, '[[lettering]]\nlines = ["EGGS"]\ncap_height = "3 in"\n'))
    for ask in (prepare, make_plan, make_alternatives, check_project):
        with pytest.raises(InputError, match="there is nothing to cut"):
            ask(replace(loaded, blocks=()))


def test_both_stages_are_named(tmp_path: Path) -> None:
    stages: list[str] = []
    prepare(load_project(project(tmp_path, '[[lettering]]\nlines = ["EGGS"]\ncap_height = "3 in"\n')), stages.append)
    assert stages == ["setting lettering and reading drawings", "reading letters, words and lines"]
