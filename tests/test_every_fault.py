"""However many faults a project has, and whichever: all are told at once, each on a line of its own."""

from __future__ import annotations

import random
import re
from collections import defaultdict
from pathlib import Path

import pytest

from bigsign.cli import main
from bigsign.cli_terminal import LONGEST
from bigsign.errors import InputError
from bigsign.project_file import load_project
from tests.planted_faults import FAULTS, NATURAL, Planted, write_project

SLOTS: dict[str, list[Planted]] = defaultdict(list)
for _one in FAULTS:
    SLOTS[_one.slot].append(_one)


@pytest.fixture(autouse=True)
def _no_own_cutters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def told(folder: Path, planted: list[Planted]) -> list[str]:
    with pytest.raises(InputError) as caught:
        load_project(write_project(folder, planted))
    return [str(fault) for fault in caught.value.faults]


def drawn(seed: int) -> list[Planted]:
    """Return two to sixteen faults by chance, one a slot."""
    chance = random.Random(seed)
    return [chance.choice(SLOTS[slot]) for slot in chance.sample(sorted(SLOTS), chance.randint(2, 16))]


def test_without_faults_the_project_is_read(tmp_path: Path) -> None:
    assert len(load_project(write_project(tmp_path)).blocks) == 4


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.line[:40])
def test_each_fault_by_itself_is_told(tmp_path: Path, fault: Planted) -> None:
    said = told(tmp_path, [fault])
    assert [line for line in said if re.search(fault.said, line)], said
    assert len(said) <= 2


@pytest.mark.parametrize("seed", range(100))
def test_no_fault_hides_another(tmp_path: Path, seed: int) -> None:
    planted = drawn(seed)
    said = told(tmp_path, planted)
    slots = {fault.slot for fault in planted}
    for fault in planted:
        if not any((slot, fault.slot) in NATURAL for slot in slots):
            assert [line for line in said if re.search(fault.said, line)], (fault, said)


def test_the_commands_print_a_line_a_fault(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    planted = drawn(7)
    assert main(["check", str(write_project(tmp_path, planted))]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) >= len(planted)
    assert all(line.startswith("error: ") and len(line) <= LONGEST for line in lines)
