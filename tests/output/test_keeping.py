"""What systems drop into a plan's folder stays there; what a person changed is kept beside it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bigsign.errors import OutputError
from bigsign.output.folder import write_all
from bigsign.output.keeping import digest, is_dropping
from tests.demos import demo_plan

DROPPED = (".DS_Store", "._guide.pdf", "Thumbs.db", "desktop.ini", "mats/.DS_Store", "mats/.cut.svg.swp", "plan.json~")


@pytest.mark.parametrize("name", DROPPED)
def test_what_systems_drop_is_told_from_files_of_people(name: str) -> None:
    assert is_dropping(name)
    assert not is_dropping("mats/mat-01-black.svg")
    assert not is_dropping("notes.txt")


def test_droppings_do_not_block_a_folder_and_stay_in_it(tmp_path: Path) -> None:
    target = tmp_path / "out"
    write_all(demo_plan("one_mat"), target)
    for name in DROPPED:
        (target / name).write_bytes(b"x")
    names = write_all(demo_plan("one_mat"), target)
    assert all((target / name).read_bytes() == b"x" for name in DROPPED)
    assert not set(DROPPED) & set(names)
    (target / "notes.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"notes\.txt"):
        write_all(demo_plan("one_mat"), target)


def test_a_cut_file_changed_by_hand_is_kept_beside_the_new_folder(tmp_path: Path) -> None:
    target = tmp_path / "out"
    write_all(demo_plan("one_mat"), target)
    (cut,) = sorted((target / "mats").iterdir())
    cut.write_bytes(cut.read_bytes() + b"<!-- moved by hand -->")
    mine = cut.read_bytes()
    said: list[str] = []
    write_all(demo_plan("one_mat"), target, said.append)
    assert any("kept in out-kept" in line for line in said)
    assert (tmp_path / "out-kept" / "mats" / cut.name).read_bytes() == mine
    assert cut.read_bytes() != mine
    cut.write_bytes(mine)
    write_all(demo_plan("one_mat"), target, said.append)
    assert (tmp_path / "out-kept-2" / "mats" / cut.name).read_bytes() == mine


def test_nothing_is_kept_of_a_folder_as_it_was_written(tmp_path: Path) -> None:
    target = tmp_path / "out"
    write_all(demo_plan("one_mat"), target)
    write_all(demo_plan("boat_shed"), target)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    data = json.loads((target / "plan.json").read_text("utf-8"))
    assert sorted([*data["digests"], "plan.json"]) == data["files"]
    assert all(digest((target / name).read_bytes()) == known for name, known in data["digests"].items())
