"""Alternatives: the plan asked for first, each other the best found in a sense, all of them sound."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bigsign import check_plan, load_project, make_alternatives, make_plan, write_all
from bigsign.errors import InputError

PROJECT = """
[sign]
width = "60 in"
height = "30 in"
[cutter]
use = "desktop-12"
[plan]
policy = "{policy}"
[[lettering]]
lines = ["FRESH EGGS & HONEY", "FROM THE FARM STAND"]
cap_height = "3 in"
"""


def project(folder: Path, policy: str = "words", more: str = "") -> Path:
    path = folder / "lane.toml"
    path.write_text(PROJECT.format(policy=policy) + more)
    return path


def test_each_alternative_is_the_best_in_its_sense(tmp_path: Path) -> None:
    found = make_alternatives(load_project(project(tmp_path)), 5)
    assert found[0].senses[0] == "asked"
    assert len({one.plan.measures for one in found}) == len(found) >= 2
    by_sense = {sense: one.plan for one in found for sense in one.senses}
    plans = [one.plan for one in found]
    assert by_sense["words"].measures.in_word_breaks == min(p.measures.in_word_breaks for p in plans)
    assert by_sense["panels"].measures.panels == min(p.measures.panels for p in plans)
    assert len(by_sense["mats"].mats) == min(len(p.mats) for p in plans)
    assert all(check_plan(plan) == [] for plan in plans)


def test_the_setting_named_gives_the_plan(tmp_path: Path) -> None:
    found = make_alternatives(load_project(project(tmp_path)), 3)
    for one in found[1:]:
        table, _, rest = one.setting.partition("] ")
        if table == "[plan":
            made = make_plan(load_project(project(tmp_path, rest.split('"')[1])))
        else:
            made = make_plan(load_project(project(tmp_path, more=f"{table}]\n" + rest.replace(", ", "\n") + "\n")))
        assert made.measures == one.plan.measures


def test_fewest_mats_needs_no_more_mats_than_the_others(tmp_path: Path) -> None:
    plans = {policy: make_plan(load_project(project(tmp_path, policy))) for policy in ("words", "panels", "mats")}
    assert len(plans["mats"].mats) == min(len(plan.mats) for plan in plans.values())
    assert {report.policy for report in plans["mats"].search} == {"mats"}


def test_weights_by_hand_decide_between_a_break_and_a_panel(tmp_path: Path) -> None:
    few, whole = (
        make_plan(load_project(project(tmp_path, more=f"[weights]\nin_word_breaks = {b}\npanels = {p}\n")))
        for b, p in ((1, 100), (100, 1))
    )
    assert few.measures.panels < whole.measures.panels
    assert few.measures.in_word_breaks > whole.measures.in_word_breaks
    assert all(report.policy == "weights" and report.proved for report in few.search)


def test_the_folder_lists_every_file_of_the_alternatives(tmp_path: Path) -> None:
    found = make_alternatives(load_project(project(tmp_path)), 2)
    files = write_all(found[0].plan, tmp_path / "out", None, found)
    plan = json.loads((tmp_path / "out" / "plan.json").read_text())
    assert sorted(plan["files"]) == sorted(files)
    folders = [one["folder"] for one in plan["alternatives"]]
    assert folders[0] is None
    assert all((tmp_path / "out" / folder / "preview.png").is_file() for folder in folders[1:])


@pytest.mark.parametrize("policy", ["words", "panels", "mats"])
def test_the_template_of_a_panel_that_is_not_there_is_refused_before_others_are_tried(
    tmp_path: Path, policy: str
) -> None:
    made = make_plan(load_project(project(tmp_path, policy)))
    beyond = load_project(project(tmp_path, f'{policy}"\ntemplate_panels = [1, {len(made.panels) + 1}] #'))
    stages: list[str] = []
    with pytest.raises(InputError, match=f"a template of panel {len(made.panels) + 1}, lane.toml"):
        make_alternatives(beyond, 3, stages.append)
    assert policy == "mats" or [stage for stage in stages if stage.startswith("trying")] == [
        "trying as the project file has it"
    ]


def test_an_alternative_of_fewer_panels_is_asked_for_the_templates_it_has(tmp_path: Path) -> None:
    weights = "[weights]\nin_word_breaks = 100\npanels = 1\n"
    most = len(make_plan(load_project(project(tmp_path, more=weights))).panels)
    own = load_project(project(tmp_path, f'words"\ntemplate_panels = [1, {most}] #', weights))
    found = make_alternatives(own, 5)
    assert found[0].plan.project == own
    fewer = [one.plan for one in found[1:] if len(one.plan.panels) < most]
    assert fewer
    assert all(plan.project.plan.template_panels == (1,) for plan in fewer)
    assert all(check_plan(plan) == [] for plan in fewer)


@pytest.mark.parametrize("kind", ["letter", "word", "line"])
def test_every_break_says_why_and_what_the_next_place_would_have_cost(tmp_path: Path, kind: str) -> None:
    plan = make_plan(load_project(project(tmp_path, "panels")))
    chosen = [part for part in plan.breaks if part.kind == kind]
    for part in chosen:
        assert part.why
        assert part.next_best is not None
        assert part.next_best.words.endswith(".")
        cost = (part.next_best.panels, part.next_best.in_word_breaks, part.next_best.risk)
        assert cost >= (0, 0, 0.0)
    assert chosen or kind == "word"
