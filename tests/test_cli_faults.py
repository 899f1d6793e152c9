"""What the commands say of bad usage, bad input, bugs and interrupts: a line a fault, exit codes, nothing written."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import bigsign
from bigsign.cli_terminal import plain
from bigsign.errors import Fault, InputError, OutputError
from bigsign.plan_records import Plan
from tests.cli_place import PROJECT, Run

pytestmark = pytest.mark.usefixtures("shed")


def test_timings_that_cannot_be_written_stop_before_the_work(run: Run, written: list[tuple[Plan, Path]]) -> None:
    code, out, err = run("plan", "shed.toml", "--timings", "no/such/t.json")
    assert (code, out, written) == (2, "", [])
    assert err.startswith("error: ")


def test_a_plan_that_fails_its_check_is_a_bug_and_writes_nothing(
    run: Run, written: list[tuple[Plan, Path]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bigsign, "check_plan", lambda plan: ["panel 2 is lost"], raising=False)
    code, out, err = run("plan", "shed.toml")
    assert (code, out, written) == (70, "", [])
    assert "panel 2 is lost" in err
    assert "Traceback" not in err


def test_a_strangers_file_in_the_folder_stops_before_the_work(
    run: Run, written: list[tuple[Plan, Path]], tmp_path: Path
) -> None:
    (tmp_path / "shed-plan").mkdir()
    (tmp_path / "shed-plan" / "notes.txt").write_text("mine")
    code, out, err = run("plan", "shed.toml")
    assert (code, out, written) == (2, "", [])
    assert "notes.txt" in err
    assert len(err.splitlines()) == 1
    assert run("plan", "shed.toml", "-o", "no/such/place")[0] == 2


def test_an_output_folder_that_is_refused_is_exit_2(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(plan: Plan, folder: Path, progress: object = None) -> tuple[str, ...]:
        raise OutputError(Fault("the folder holds a stranger's file", "notes.txt", "another folder"))

    monkeypatch.setattr(bigsign, "write_all", refuse, raising=False)
    code, out, err = run("plan", "shed.toml")
    assert (code, out) == (2, "")
    assert err == "error: the folder holds a stranger's file, notes.txt, another folder\n"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["plan", "gone.toml"], "the project file is not there, gone.toml"),
        (["plan", "."], "no plain file"),
        (["plan"], "PROJECT.toml"),
        ([], "COMMAND"),
        (["plann", "x"], "invalid choice: 'plann'"),
        (["plan", "shed.toml", "--unit", "mm"], "--unit"),
        (["plan", "shed.toml", "--units", "yards"], "yards"),
        (["check", "gone.toml"], "is not there"),
        (["fit", "A"], "no size is given"),
        (["fit", "--cap-height", "4in"], "there is no TEXT"),
        (["fit", "A", "--cap-height", "4"], "43 1/2 in"),
        (["fit", "A", "--cap-height", "0 in"], "a length above nought"),
        (["fit", "A", "--cap-height", "4in", "--mat", "12x24"], "--mat goes with --cutter"),
        (["fit", "A", "--cap-height", "4in", "--cutter", "x"], "one of: desktop-4"),
        (["fit", "A", "--cap-height", "4in", "--cutter", "roll-24"], "not built yet"),
        (["fit", "A", "--cap-height", "4in", "--ladder"], "not built yet"),
        (["fit", "A", "--cap-height", "4in", "--font", "gone.ttf"], "no font file"),
        (["fit", "A", "--svg", "x.svg", "--width", "4in"], "both TEXT and --svg"),
        (["fit", "--svg", "x.svg", "--width", "4in"], "the drawing is not there, x.svg"),
        (["fit", "", "--cap-height", "4in"], "the phrase is empty"),
        (["fit", "A\x1b[2J", "--cap-height", "4in"], "control character"),
        (["start", "no/such/place"], "there is no folder"),
    ],
)
def test_bad_usage_is_one_line_and_exit_2(run: Run, words: list[str], said: str) -> None:
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    (line,) = err.splitlines()
    assert line.startswith("error: ")
    assert len(line) <= 300
    assert said in line


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('height = "8 in"', 'height = "3 in"', "larger than the board"),
        ('cap_height = "4 in"', 'cap_height = "4 in"\ncentre = ["3 in", "4 in"]', "over the board's left edge"),
        ('height = "8 in"', 'height = "8 in"\nmargin = "3 in"', "larger than the board inside its margin"),
        ('height = "8 in"', 'height = "0 in"', "a length above nought"),
        ('["SEED LIBRARY"]', '[""]', "the phrase is empty"),
        ('use = "desktop-12"\nmat = "12x24"', 'width = "20 mm"\nlength = "9 in"', "under 25 mm"),
        ("[cutter]", "[cutter", "other brackets"),
        ("[[lettering]]", '[[artwork]]\nfile = "no-size.svg"\n[[lettering]]', "no-size.svg"),
        ("[[lettering]]", '[[artwork]]\nfile = "no-fill.svg"\n[[lettering]]', "no-fill.svg"),
        ("[[lettering]]", '[[artwork]]\nfile = "broken.svg"\n[[lettering]]', "broken.svg"),
    ],
)
@pytest.mark.parametrize("command", ["plan", "check"])
def test_bad_projects_are_faults_and_nothing_is_written(
    run: Run, tmp_path: Path, command: str, old: str, new: str, said: str
) -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg"'
    (tmp_path / "no-size.svg").write_text(f'{svg}><path d="M0 0H9V9Z"/></svg>')
    (tmp_path / "no-fill.svg").write_text(f'{svg} width="1in" height="1in"><path fill="none" d="M0 0H9V9Z"/></svg>')
    (tmp_path / "broken.svg").write_text(f"{svg}><path")
    assert old in PROJECT
    (tmp_path / "shed.toml").write_text(PROJECT.replace(old, new))
    before = sorted(tmp_path.iterdir())
    code, out, err = run(command, "shed.toml")
    assert (code, out) == (2, "")
    assert said in err
    assert all(line.startswith("error: ") and len(line) <= 300 for line in err.splitlines())
    assert sorted(tmp_path.iterdir()) == before


def test_many_faults_are_a_line_each(run: Run, tmp_path: Path) -> None:
    (tmp_path / "shed.toml").write_text(PROJECT.replace("36 in", "36").replace("12x24", "x").replace("4 in", "4"))
    code, _, err = run("plan", "shed.toml")
    assert code == 2
    assert len(err.splitlines()) == 3


def test_a_long_fault_keeps_its_place_and_its_remedy(run: Run, tmp_path: Path) -> None:
    (tmp_path / "shed.toml").write_text(PROJECT + f'font = "{"a" * 4000}.ttf"\n')
    _, _, err = run("plan", "shed.toml")
    assert len(err.rstrip("\n")) <= 300
    assert "shed.toml line 12" in err
    assert "full path" in err


def test_a_long_list_ends_with_how_many_more(run: Run, tmp_path: Path) -> None:
    many = "".join(chr(0x4E00 + i) for i in range(26))
    (tmp_path / "shed.toml").write_text(PROJECT.replace("SEED LIBRARY", many), "utf-8")
    assert "and 14 more" in run("plan", "shed.toml")[2]


def test_a_length_too_long_to_read_is_one_fault(run: Run) -> None:
    code, _, err = run("fit", "A", "--cap-height", "9" * 5000 + "in")
    assert code == 2
    assert re.fullmatch(r"error: '9+…' is not a length, --cap-height, .*\n", err)


@pytest.mark.parametrize(
    ("raised", "code"), [(KeyboardInterrupt(), 130), (RuntimeError("oh"), 70), (MemoryError(), 70)]
)
def test_interrupts_and_bugs_have_codes_and_no_traceback(
    run: Run, monkeypatch: pytest.MonkeyPatch, raised: BaseException, code: int
) -> None:
    def fail(path: Path) -> None:
        raise raised

    monkeypatch.setattr(bigsign, "load_project", fail, raising=False)
    got, out, err = run("plan", "shed.toml")
    assert (got, out) == (code, "")
    assert "Traceback" not in err
    assert len(err.splitlines()) == (1 if code == 70 else 0)


def test_text_for_the_terminal_cannot_steer_it(run: Run, tmp_path: Path) -> None:
    assert plain("a\x1b[31mb\n\tc\u202e") == "a�[31mb c�"
    (tmp_path / "shed.toml").write_text(PROJECT.replace("Seed library", "Seed\u202e library"))
    assert "\u202e" not in run("check", "shed.toml")[1]


def test_faults_never_hold_more_than_a_line(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(path: Path) -> None:
        raise InputError([Fault("a\nb" * 400, "c\r\nd" * 400, "e" * 400), Fault("x", "", "y")])

    monkeypatch.setattr(bigsign, "load_project", fail, raising=False)
    first, second = run("plan", "shed.toml")[2].splitlines()
    assert len(first) <= 300
    assert all(part in first for part in ("a b", "c d", "eee"))
    assert second == "error: x, y"
