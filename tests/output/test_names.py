"""Names that no folder can have; those of Windows are asked for only there."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from bigsign.errors import OutputError
from bigsign.output import folder, names
from bigsign.output.folder import check_folder
from bigsign.output.names import wrong_name

HERE = (
    "out", "my plan", "Schild für Käse", "看板", "🐔 plan", "it's \"new\"", "-o", "out.v2", "console", "com", "x" * 200,
)  # fmt: skip
WINDOWS = ("CON", "nul", "Aux.plan", "com1", "LPT9.txt", "con .x", "out.", "out ", "a:b", 'a"b', "what?", "a|b", "a\tb")


@pytest.mark.parametrize("name", HERE)
def test_names_that_people_give_are_fine_everywhere(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    assert wrong_name(name) is None
    monkeypatch.setattr(names, "WINDOWS", True)
    assert (wrong_name(name) is None) == ('"' not in name)


@pytest.mark.parametrize("name", WINDOWS)
def test_names_that_windows_can_not_have_are_refused_there(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(names, "WINDOWS", False)
    assert wrong_name(name) is None
    monkeypatch.setattr(names, "WINDOWS", True)
    wrong = wrong_name(name)
    assert wrong is not None
    assert wrong[1]


@pytest.mark.parametrize("name", ["x" * 245, "é" * 125, "🐔" * 62])
def test_a_name_too_long_for_what_is_written_beside_it_is_refused_before_the_work(name: str, tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="too long"):
        check_folder(tmp_path / name)


def test_a_folder_that_another_program_holds_open_on_windows_is_tried_again_and_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tries: list[str] = []

    def refused(self: Path, to: Path) -> Path:
        tries.append(self.name)
        raise PermissionError(13, "Access is denied")

    monkeypatch.setattr(folder, "WINDOWS", True)
    monkeypatch.setattr(folder, "contents", lambda *_: {"plan.json": b"{}"})
    monkeypatch.setattr(time, "sleep", lambda _: None)
    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(OutputError, match="close what is open of it in other programs"):
        folder.write_all(None, tmp_path / "out")  # type: ignore[arg-type]
    assert len(tries) == 5
    assert list(tmp_path.iterdir()) == []
