"""The project file to begin from."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from bigsign.errors import OutputError
from bigsign.project_check import check_project
from bigsign.project_file import load_project
from bigsign.project_start import START_FILE, start_project


def test_it_is_written_once_and_never_over_another(tmp_path: Path) -> None:
    file = start_project(tmp_path / "new")
    assert file == tmp_path / "new" / START_FILE
    file.write_text("mine")
    with pytest.raises(OutputError, match="is there already"):
        start_project(tmp_path / "new")
    assert file.read_text() == "mine"


@pytest.mark.parametrize("name", ["no/such/place", "file", "a\0b"])
def test_a_folder_that_cannot_be_is_one_fault(tmp_path: Path, name: str) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError) as caught:
        start_project(tmp_path / name)
    assert len(caught.value.faults) == 1


def test_it_plans_as_it_is_without_a_finding(tmp_path: Path) -> None:
    project = load_project(start_project(tmp_path))
    check = check_project(project)
    assert [line.text for line in check.lettering.lines] == ["FRESH EGGS", "& HONEY"]
    assert check.findings == ()


def test_every_note_taken_in_is_a_setting_that_is_read(tmp_path: Path) -> None:
    """The commented settings must be right too: each is switched on and the whole read again."""
    file = start_project(tmp_path)
    (tmp_path / "leaf.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"/>')
    own = ('name = "my cutter"', 'width = "11 1/2 in"', "length", "border")
    lines = []
    for line in file.read_text().splitlines():
        bare = re.sub(r"^# (?=\[|[a-z_]+ = )", "", line)
        lines.append(line if bare.startswith(own) else bare)
    text = "\n".join(lines)
    assert len(tomllib.loads(text)["plan"]) == 15
    file.write_text(text)
    project = load_project(file)
    assert len(project.blocks) == 2
    assert len(project.plan.wishes) == 3
