"""The laid-out template: its cells cover all film once, marks have one name and place, labels are clear."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from math import dist
from pathlib import Path

import pytest
import shapely
from shapely.affinity import translate

from bigsign.budgets import BUDGETS
from bigsign.errors import InputError
from bigsign.plan import make_plan
from bigsign.plan_records import Plan
from bigsign.project_file import load_project
from bigsign.sheets.grid import page_size
from bigsign.sheets.items import Area, Circle, Entry, Stroke, Text
from bigsign.sheets.labels import clashes
from bigsign.sheets.lay_template import lay_template
from bigsign.sheets.style import SMALL_CAP
from bigsign.sheets.template import OVERLAP, Template, make_grid, row_name
from bigsign.wording import languages
from tests.demos import DEMOS, demo_plan

PAPERS = ("letter", "a4", "tabloid", "a3")
SOME = [("farm_stand", "letter"), ("seed_library", "a4"), ("boat_shed", "tabloid"), ("one_mat", "a3")]


@cache
def laid(name: str, paper: str) -> tuple[Plan, Template]:
    plan = demo_plan(name)
    return plan, lay_template(plan, paper)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", DEMOS)
def test_sheets_cover_all_film_and_tape_marks_and_none_is_empty(name: str, paper: str) -> None:
    plan = demo_plan(name)
    grid = make_grid(plan, paper)
    film = shapely.union_all([piece.shape for piece in plan.pieces])
    cells = [shapely.box(*tile.cell) for tile in grid.tiles]
    seen = shapely.union_all([shapely.box(*tile.sign_box) for tile in grid.tiles])
    assert film.difference(seen).area == pytest.approx(0, abs=1e-6)
    assert film.difference(shapely.union_all(cells)).area < 1e-3 * film.area
    marks = [shapely.Point(mark.at) for mark in plan.tape_marks]
    assert all(seen.covers(mark) for mark in marks)
    for cell in cells:
        assert cell.intersects(film) or any(cell.intersects(mark) for mark in marks)
    assert sum(cell.area for cell in cells) == pytest.approx(shapely.union_all(cells).area)


@pytest.mark.parametrize(("name", "paper"), SOME)
def test_neighbours_share_the_overlap_and_their_marks(name: str, paper: str) -> None:
    grid = laid(name, paper)[1].grid
    width, height = page_size(paper, grid.landscape)
    at = {mark.id: mark.at for mark in grid.marks}
    assert len(at) == len(grid.marks) == len(set(at.values()))
    for tile in grid.tiles:
        x0, y0, x1, y1 = tile.cell
        corners = [(x0, y0), (x1, y0), (x0, y1), (x1, y1)]
        assert all(dist(at[name], point) < 1e-6 for name, point in zip(tile.corners, corners, strict=True))
        left, top = tile.paper_origin
        assert left >= 10
        assert top >= 10
        assert left + tile.sign_box[2] - tile.sign_box[0] <= width - 10
        assert top + tile.sign_box[3] - tile.sign_box[1] <= height - 10
        for (row, column), side in (((0, 1), 2), ((1, 0), 3)):
            other = grid.by_place.get((tile.row + row, tile.column + column))
            if other is not None:
                assert tile.sign_box[side] - other.sign_box[side - 2] == pytest.approx(OVERLAP)
                shared = (tile.corners[1], tile.corners[3]) if side == 2 else (tile.corners[2], tile.corners[3])
                assert shared == ((other.corners[0], other.corners[2]) if side == 2 else other.corners[:2])


@pytest.mark.parametrize(("name", "paper"), SOME)
def test_every_sheet_names_itself_its_marks_and_its_neighbours(name: str, paper: str) -> None:
    plan, template = laid(name, paper)
    labels = [tile.label for tile in template.grid.tiles]
    assert len(set(labels)) == len(labels)
    assert not set(labels) & {mark.id for mark in template.grid.marks}
    for tile in template.grid.tiles:
        page = template.sheets.pages[tile.page - 1]
        said = Counter(item.string for item in page.items if isinstance(item, Text))
        assert said[tile.label] == 1
        assert said["FULL SIZE"] >= 1
        assert all(said[mark] == 1 for mark in tile.corners)
        crosses = [item for item in page.items if isinstance(item, Circle) and item.radius == 1.8]
        assert len(crosses) == 4
        assert plan.project.sha256[:8] in said
        for row, column in ((0, -1), (-1, 0), (0, 1), (1, 0)):
            other = template.grid.by_place.get((tile.row + row, tile.column + column))
            if other is not None:
                assert any(other.label in text for text in said if text.startswith(("cut off", other.label)))


@pytest.mark.parametrize(("name", "paper"), SOME)
def test_each_panel_s_number_stands_on_a_sheet_that_shows_its_film(name: str, paper: str) -> None:
    plan, template = laid(name, paper)
    shown = set()
    for tile in template.grid.tiles:
        page = template.sheets.pages[tile.page - 1]
        circles = [item.centre for item in page.items if isinstance(item, Circle) and item.radius > 3]
        x, y = tile.paper_origin[0] - tile.sign_box[0], tile.paper_origin[1] - tile.sign_box[1]
        texts = [item for item in page.items if isinstance(item, Text)]
        for centre in circles:
            text = min(texts, key=lambda item: abs(item.at[0] - centre[0]) + abs(item.at[1] - centre[1]))
            panel = next(panel for panel in plan.panels if str(panel.number) == text.string)
            assert panel.trim.contains(shapely.Point(centre[0] - x, centre[1] - y))
            shown.add(panel.number)
    assert shown == {panel.number for panel in plan.panels}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", DEMOS)
def test_no_words_overlap_and_ink_stays_on_the_paper(name: str, paper: str) -> None:
    for page in laid(name, paper)[1].sheets.pages:
        frame = (12.0, 12.0, page.width - 12.0, page.height - 12.0)
        assert clashes(page.items, frame) == [], page.title
        for item in page.items:
            if isinstance(item, Text):
                assert min(run.cap for run in item.runs) >= SMALL_CAP - 1e-9
                continue
            points = item.points if isinstance(item, Stroke) else ()
            if isinstance(item, Area):
                points = tuple(point for ring in item.rings for point in ring)
            for x, y in points:
                assert 11.9 <= x <= page.width - 11.9
                assert 11.9 <= y <= page.height - 11.9


def test_the_map_names_the_sheets_and_crosses_out_the_rest() -> None:
    template = laid("seed_library", "a4")[1]
    grid = template.grid
    assert len(grid.tiles) < grid.rows * grid.columns
    said = [item.string for item in template.sheets.pages[0].items if isinstance(item, Text)]
    assert all(said.count(tile.label) == 1 for tile in grid.tiles)
    assert any("crossed out" in text for text in said)
    assert {"100 mm", "1 in", "FULL SIZE"} <= set(said)


def test_sheets_between_lines_far_apart_are_left_out() -> None:
    plan = demo_plan("one_mat")
    far = [replace(p, id=f"q{p.id}", shape=translate(p.shape, 0, 900)) for p in plan.pieces]
    grid = make_grid(replace(plan, pieces=(*plan.pieces, *far)), "letter")
    rows = {tile.row for tile in grid.tiles}
    assert 0 in rows
    assert len(rows) < grid.rows


def test_rows_are_named_without_letters_that_read_as_figures() -> None:
    names = [row_name(row) for row in range(60)]
    assert names[:9] == ["A", "B", "C", "D", "E", "F", "G", "H", "J"]
    assert len(set(names)) == 60
    assert not set("IMO") & set("".join(names))


def test_a_template_of_chosen_panels_shows_them_whole_on_fewer_sheets() -> None:
    plan = demo_plan("boat_shed")
    settings = replace(plan.project.plan, template_panels=(3, 10))
    chosen = replace(plan, project=replace(plan.project, plan=settings))
    few, all_sheets = make_grid(chosen, "letter"), make_grid(plan, "letter")
    assert 0 < len(few.tiles) < len(all_sheets.tiles)
    seen = shapely.union_all([shapely.box(*tile.sign_box) for tile in few.tiles])
    for panel in plan.panels:
        whole = panel.film.difference(seen).area < 1e-6
        assert whole or panel.number not in (3, 10)
    assert not all(panel.film.difference(seen).area < 1e-6 for panel in plan.panels)


def test_a_template_of_a_panel_that_there_is_not_is_an_error() -> None:
    project = load_project(Path(__file__).parents[2] / "demo_projects" / "one_mat" / "one_mat.toml")
    with pytest.raises(InputError, match="numbers from 1 to 1, the panels of this plan"):
        make_plan(replace(project, plan=replace(project.plan, template_panels=(2,))))


def test_of_a_template_too_large_to_be_joined_only_the_map_is_drawn_and_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    plan = demo_plan("farm_stand")
    count = len(make_grid(plan, "letter").tiles)
    monkeypatch.setattr("bigsign.sheets.template.BUDGETS", replace(BUDGETS, template_sheets=count - 1))
    monkeypatch.setattr("bigsign.sheets.template_map.BUDGETS", replace(BUDGETS, template_sheets=count - 1))
    template = lay_template(plan, "letter")
    assert [page.kind for page in template.sheets.pages] == ["template-map"]
    assert template.record["pages"] == template.record["marks"] == []
    said = [item.string for item in template.sheets.pages[0].items if isinstance(item, Text)]
    assert any(f"({count})" in text and "template_panels" in text for text in said)
    page = template.sheets.pages[0]
    assert clashes(page.items, (12.0, 12.0, page.width - 12.0, page.height - 12.0)) == []


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", languages())
def test_the_words_of_the_map_end_above_its_ruler_in_every_language(language: str, paper: str) -> None:
    plan = demo_plan("seed_library")
    settings = replace(plan.project.plan, language=language)
    plan = replace(plan, project=replace(plan.project, plan=settings))
    page = lay_template(plan, paper).sheets.pages[0]
    assert clashes(page.items, (12.0, 12.0, page.width - 12.0, page.height - 12.0)) == []
    texts = [item for item in page.items if isinstance(item, Text)]
    (unit,) = (item for item in texts if item.string == "in")
    steps = [item for item in texts if isinstance(item.role, Entry) and item.role.of == "steps"]
    assert steps
    assert all(item.at[1] < unit.at[1] - SMALL_CAP for item in steps)
