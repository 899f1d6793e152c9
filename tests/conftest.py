"""What holds for every test: no font of the machine and no file of its user's has a say; and how commands are run."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import bigsign
from bigsign.cli import main
from bigsign.fonts.folders import INSTEAD
from bigsign.plan_records import Plan
from tests.cli_place import FILES, PROJECT, Run


@pytest.fixture(scope="session", autouse=True)
def _nobodys_machine(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(INSTEAD, "")
        cache = str(tmp_path_factory.mktemp("cache"))
        patch.setenv("XDG_CACHE_HOME", cache)
        patch.setenv("LOCALAPPDATA", cache)
        yield


@pytest.fixture
def shed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Work in a folder of its own that holds a project."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.delenv("NO_COLOR", raising=False)
    (tmp_path / "shed.toml").write_text(PROJECT)


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command; return its exit code, output and errors."""

    def go(*words: str) -> tuple[int, str, str]:
        code = main(words)
        out, err = capsys.readouterr()
        return code, out, err

    return go


@pytest.fixture
def written(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Plan, Path]]:
    """Note plans instead of writing their files: what the files hold is tested where they are made."""
    out: list[tuple[Plan, Path]] = []

    def write(plan: Plan, folder: Path, progress: object = None) -> tuple[str, ...]:
        out.append((plan, folder))
        return FILES

    monkeypatch.setattr(bigsign, "write_all", write, raising=False)
    return out
