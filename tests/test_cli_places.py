"""The commands with names and terminals as people have them: any script, any encoding, any place."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from bigsign import project_inputs
from bigsign.cli import main
from tests.cli_place import FILES, PROJECT

SHORT = PROJECT.replace("SEED LIBRARY", "É").replace('name = "Seed library"\n', "")
NAMES = (
    "a sign", "Käse – Honig", "看板", "🐔 eggs", "it's \"new\"", "-o", "[1]*?", "100%s", ".hidden", "x" * 120, "a\nb",
)  # fmt: skip


@pytest.fixture(autouse=True)
def _place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


@pytest.mark.skipif(sys.platform == "win32", reason="Windows allows some of these in no name")
@pytest.mark.parametrize("name", NAMES)
def test_a_project_may_lie_and_be_called_as_people_like(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    place = tmp_path / name
    place.mkdir()
    (place / f"{name}.toml").write_text(SHORT, "utf-8")
    assert main(["plan", str(place / f"{name}.toml"), "-o", str(place / f"{name} out")]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert len(out.splitlines()) > 3
    target = place / f"{name} out"
    found = {path.relative_to(target).as_posix() for path in target.rglob("*") if path.is_file()}
    assert found == set(FILES)
    data = json.loads((target / "plan.json").read_text("utf-8"))
    assert sorted(data["files"]) == sorted(FILES)
    assert "\\" not in "".join(data["files"])
    assert len(data["project"]["name"]) <= 60
    assert sorted(path.name for path in place.iterdir()) == sorted([f"{name}.toml", f"{name} out"])
    assert str(tmp_path).encode() not in (target / "plan.json").read_bytes()


@pytest.mark.skipif(sys.platform != "linux", reason="only there a name may be any bytes")
def test_a_name_in_another_encoding_is_no_fault(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.toml"))
    file.write_text(SHORT, "utf-8")
    assert main(["plan", str(file)]) == 0
    assert capsys.readouterr().err == ""
    (target,) = (path for path in tmp_path.iterdir() if path.is_dir())
    assert json.loads((target / "plan.json").read_text("utf-8"))["project"]["name"] == "caf�"


@pytest.mark.parametrize(
    "terminal",
    [
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}, {"PYTHONIOENCODING": "ascii"},
        {"PYTHONIOENCODING": "cp1252"}, {"PYTHONIOENCODING": "cp437"}, {"PYTHONIOENCODING": "utf-8"},
    ],
)  # fmt: skip
@pytest.mark.parametrize("words", [["check", "--json"], ["check"], ["plan"]])
def test_terminals_of_any_encoding_get_what_they_can_show(
    tmp_path: Path, terminal: dict[str, str], words: list[str]
) -> None:
    (tmp_path / "käse.toml").write_text(SHORT.replace("É", "É ½"), "utf-8")
    environment = {key: value for key, value in os.environ.items() if not key.startswith(("LC_", "LANG"))}
    run = subprocess.run(
        [sys.executable, "-m", "bigsign", *words, str(tmp_path / "käse.toml")],
        capture_output=True, check=False, cwd=Path(__file__).parents[1],
        env={**environment, "PYTHONPATH": os.pathsep.join(sys.path), **terminal},
    )  # fmt: skip
    assert (run.returncode, run.stderr) in ((0, b""), (1, b""))
    if "--json" in words:
        made = json.loads(run.stdout.decode(terminal.get("PYTHONIOENCODING", "ascii")))
        assert made["project"]["name"] == "käse"
        assert made["lines"][0]["text"] == "É ½"
    if words == ["plan"]:
        assert json.loads((tmp_path / "käse-plan" / "plan.json").read_bytes())["project"]["name"] == "käse"


def test_errors_in_a_terminal_of_ascii_are_lines_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(SHORT.replace('"36 in"', "“36 in”").replace("É", "蛋"), "utf-8")
    run = subprocess.run(
        [sys.executable, "-m", "bigsign", "check", str(tmp_path / "a.toml")],
        capture_output=True, check=False, cwd=Path(__file__).parents[1],
        env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip
    lines = run.stderr.decode("ascii").splitlines()
    assert run.returncode == 2
    assert len(lines) == 2
    assert all(line.startswith("error: ") and len(line) <= 300 for line in lines)
    assert "Traceback" not in run.stderr.decode("ascii")


def test_the_users_cutters_lie_where_windows_keeps_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "bigsign").mkdir()
    (tmp_path / "bigsign" / "cutters.toml").write_text("")
    monkeypatch.setenv("APPDATA", str(tmp_path))
    assert project_inputs.cutter_files(tmp_path / "none") == []
    monkeypatch.setattr(project_inputs, "WINDOWS", True)
    assert project_inputs.cutter_files(tmp_path / "none") == [tmp_path / "bigsign" / "cutters.toml"]
