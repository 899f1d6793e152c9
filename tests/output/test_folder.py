"""The folder appears whole or not at all; strangers' files stay; the bytes are the same; the schema holds."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from bigsign.errors import OutputError
from bigsign.output import folder
from bigsign.output.folder import check_folder, write_all
from bigsign.output.keeping import listed_files
from tests.demos import DEMOS, demo_plan

SCHEMA = json.loads((Path(__file__).parents[2] / "docs" / "plan.schema.json").read_text("utf-8"))


def tree(path: Path) -> dict[str, bytes]:
    return {p.relative_to(path).as_posix(): p.read_bytes() for p in path.rglob("*") if p.is_file()}


@pytest.mark.parametrize("name", DEMOS)
def test_two_runs_give_the_same_bytes_and_the_schema_holds(name: str, tmp_path: Path) -> None:
    plan = demo_plan(name)
    names = write_all(plan, tmp_path / "a")
    write_all(plan, tmp_path / "b")
    first, second = tree(tmp_path / "a"), tree(tmp_path / "b")
    assert first == second
    assert tuple(sorted(first)) == names
    data = json.loads(first["plan.json"])
    jsonschema.validate(data, SCHEMA)
    assert data["files"] == sorted(first)
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


def test_the_schema_refuses_a_plan_without_its_panels(tmp_path: Path) -> None:
    write_all(demo_plan("one_mat"), tmp_path / "a")
    data = json.loads((tmp_path / "a" / "plan.json").read_text("utf-8"))
    del data["panels"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, SCHEMA)


def test_a_folder_of_its_own_is_replaced_and_a_stranger_s_file_is_not(tmp_path: Path) -> None:
    target = tmp_path / "out"
    write_all(demo_plan("boat_shed"), target)
    write_all(demo_plan("one_mat"), target)
    assert len(list((target / "mats").iterdir())) == 1
    (target / "notes.txt").write_text("mine")
    before = tree(target)
    with pytest.raises(OutputError, match=r"notes\.txt"):
        write_all(demo_plan("boat_shed"), target)
    assert tree(target) == before


def test_a_folder_without_a_plan_is_a_stranger_s(tmp_path: Path) -> None:
    target = tmp_path / "out"
    target.mkdir()
    (target / "letter.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"letter\.txt"):
        write_all(demo_plan("one_mat"), target)


def test_a_run_that_fails_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "out"
    write_all(demo_plan("one_mat"), target)
    before = tree(target)

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "write_bytes", stop)
    with pytest.raises(KeyboardInterrupt):
        write_all(demo_plan("one_mat"), target)
    monkeypatch.undo()
    assert tree(target) == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out"]


def test_leftovers_of_a_killed_run_are_removed(tmp_path: Path) -> None:
    (tmp_path / ".out.new-abc").mkdir()
    write_all(demo_plan("one_mat"), tmp_path / "out")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out"]


def test_a_missing_parent_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="parent"):
        write_all(demo_plan("one_mat"), tmp_path / "no" / "out")


def test_a_run_that_is_refused_leaves_the_lock_to_who_holds_it(tmp_path: Path) -> None:
    target = tmp_path / "out"
    with folder._alone(target):
        for _ in range(3):
            with pytest.raises(OutputError, match="in use"), folder._alone(target):
                pass
    with folder._alone(target):
        pass
    assert list(tmp_path.iterdir()) == []


def test_ctrl_c_between_the_two_renames_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out"
    write_all(demo_plan("one_mat"), target)
    before = tree(target)
    rename = Path.rename

    def stop_after(self: Path, to: Path) -> Path:
        moved = rename(self, to)
        if to.name == ".out.old":
            raise KeyboardInterrupt
        return moved

    monkeypatch.setattr(Path, "rename", stop_after)
    with pytest.raises(KeyboardInterrupt):
        write_all(demo_plan("one_mat"), target)
    monkeypatch.undo()
    assert tree(target) == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out"]


def test_leftovers_of_a_name_with_brackets_are_removed(tmp_path: Path) -> None:
    (tmp_path / ".sign[1].new-abc").mkdir()
    write_all(demo_plan("one_mat"), tmp_path / "sign[1]")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["sign[1]"]


def test_an_empty_folder_of_a_stranger_stays(tmp_path: Path) -> None:
    target = tmp_path / "out"
    write_all(demo_plan("one_mat"), target)
    (target / "photos").mkdir()
    with pytest.raises(OutputError, match="photos"):
        write_all(demo_plan("one_mat"), target)
    assert (target / "photos").is_dir()


@pytest.mark.parametrize("name", ["x" * 300, "a\0b", "/"])
def test_names_no_folder_can_have_are_an_error(name: str, tmp_path: Path) -> None:
    with pytest.raises(OutputError):
        check_folder(tmp_path / name)


def test_a_folder_that_another_run_replaces_meanwhile_holds_no_stranger(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out"
    write_all(demo_plan("boat_shed"), target)
    looks: list[int] = []

    def replaced(path: Path) -> dict[str, str]:
        found = listed_files(path)
        looks.append(len(found))
        if len(looks) == 1:  # the other run ends right after this look
            write_all(demo_plan("one_mat"), target)
            (target / "mats" / "mat-01-more.svg").write_bytes(b"")
            data = json.loads((target / "plan.json").read_text("utf-8"))
            data["files"].append("mats/mat-01-more.svg")
            (target / "plan.json").write_text(json.dumps(data))
        return found

    monkeypatch.setattr(folder, "listed_files", replaced)
    check_folder(target)
    assert len(looks) > 2


@pytest.mark.parametrize("to", ["there", "nowhere"])
def test_a_link_is_no_folder_whether_it_leads_somewhere_or_not(tmp_path: Path, to: str) -> None:
    (tmp_path / "there").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / to)
    with pytest.raises(OutputError, match="is no folder"):
        check_folder(tmp_path / "out")
