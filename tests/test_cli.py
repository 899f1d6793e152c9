"""The commands through their front door: text, exit codes, faults, signals."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import bigsign
from bigsign.cli import main
from bigsign.cli_terminal import plain
from bigsign.errors import Fault, InputError, OutputError
from bigsign.plan_records import Plan

PROJECT = """
[sign]
name = "Seed library"
width = "36 in"
height = "8 in"
[cutter]
use = "desktop-12"
mat = "12x24"
[[lettering]]
lines = ["SEED LIBRARY"]
cap_height = "4 in"
"""
FILES = ("plan.json", "guide.pdf", "template.pdf", "preview.svg", "preview.png", "mats/mat-01-black.svg")

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(autouse=True)
def _place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.delenv("NO_COLOR", raising=False)
    (tmp_path / "shed.toml").write_text(PROJECT)


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
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


def test_plan_ends_with_what_came_out_and_which_files_to_open(
    run: Run, written: list[tuple[Plan, Path]], tmp_path: Path
) -> None:
    (tmp_path / "shed.toml").write_text(PROJECT.replace('"4 in"', '"6 in"'))
    code, out, err = run("plan", "shed.toml")
    assert (code, err) == (0, "")
    ((plan, folder),) = written
    assert folder == Path("shed-plan")
    assert sorted(panel.text for panel in plan.panels) == ["LIBRARY", "SEED"]
    assert f"Seed library, 36 in × 8 in: 2 panels on {len(plan.mats)} mat" in out
    assert "no breaks inside words" in out
    assert "proved the best" in out
    assert "guide.pdf" in out
    assert "mats/mat-01-black.svg" in out


def test_plan_goes_where_it_is_told_and_says_nothing_when_quiet(run: Run, written: list[tuple[Plan, Path]]) -> None:
    assert run("-q", "plan", "shed.toml", "-o", "there") == (0, "", "")
    assert run("plan", "shed.toml", "-o", "there", "--quiet") == (0, "", "")
    assert [folder for _, folder in written] == [Path("there")] * 2


def test_units_may_stand_before_or_after_the_command(run: Run, written: list[tuple[Plan, Path]]) -> None:
    assert "914 mm × 203 mm" in run("--units", "mm", "plan", "shed.toml")[1]
    assert "914 mm × 203 mm" in run("plan", "shed.toml", "--units", "mm")[1]


def test_timings_are_written_as_json(run: Run, written: list[tuple[Plan, Path]], tmp_path: Path) -> None:
    assert run("plan", "shed.toml", "--timings", "t.json")[0] == 0
    times = json.loads((tmp_path / "t.json").read_text())
    assert {"reading the project", "checking the plan", "writing files"} <= set(times)
    assert all(isinstance(value, float) and value >= 0 for value in times.values())


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


def test_a_piece_too_big_is_parted_by_seams_and_the_plan_says_so(run: Run, tmp_path: Path) -> None:
    small = PROJECT.replace('use = "desktop-12"\nmat = "12x24"', 'width = "2 in"\nlength = "2 in"')
    (tmp_path / "shed.toml").write_text(small)
    code, out, err = run("plan", "shed.toml")
    assert (code, err) == (0, "")
    assert "fit-seam" in out
    assert "%" in out
    plan = json.loads((tmp_path / "shed-plan" / "plan.json").read_text())
    seams = [part for part in plan["breaks"] if part["kind"] == "seam"]
    assert seams
    assert all(part["seam_length"] > 0 and part["upper"] in part["panels"] for part in seams)


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


def test_check_prints_the_ids_that_wishes_name(run: Run) -> None:
    code, out, err = run("check", "shed.toml")
    assert (code, err) == (0, "")
    assert re.search(r'w\d+  "SEED"', out)
    assert re.search(r"g0*1 S  g0*2 E", out)
    assert "capitals 4 in" in out


def test_check_as_json_has_the_keys_of_the_plan(run: Run) -> None:
    code, out, _ = run("check", "shed.toml", "--json", "-q")
    made: dict[str, Any] = json.loads(out)
    assert code == 0
    assert {"glyphs", "words", "lines", "warnings"} <= set(made)
    assert made["warnings"] == []


def test_check_and_plan_say_the_same_of_the_lettering(run: Run) -> None:
    from bigsign.output.plan_json import plan_to_dict

    made = json.loads(run("check", "shed.toml", "--json")[1])
    plan = json.loads(json.dumps(plan_to_dict(bigsign.make_plan(bigsign.load_project("shed.toml")), FILES)))
    for key in ("glyphs", "words", "lines", "warnings"):
        assert made[key] == plan[key]
    assert made["project"] == plan["project"]


def test_check_with_findings_is_exit_1(run: Run, tmp_path: Path) -> None:
    (tmp_path / "shed.toml").write_text(PROJECT.replace('"4 in"', '"5 mm"'))
    code, out, err = run("check", "shed.toml")
    assert (code, err) == (1, "")
    assert "film-small" in out
    (tmp_path / "shed.toml").write_text(PROJECT.replace('mat = "12x24"', "").replace("desktop-12", "tiny"))
    (tmp_path / "cutters.toml").write_text('[tiny]\nmats.a = { width = "2 in", length = "2 in" }\n')
    code, out, _ = run("check", "shed.toml")
    assert code == 1
    assert "fit-seam" in out


def test_fit_answers_by_its_exit_code(run: Run) -> None:
    size = ("--cap-height", "2in", "--cutter", "desktop-12")
    code, out, _ = run("fit", "EGGS", *size)
    assert code == 0
    assert "in one panel" in out
    code, out, _ = run("fit", "EGGS AND HONEY FROM THE LANE", *size)
    assert code == 1
    assert "Largest in one panel: cap height" in out
    code, out, _ = run("fit", "O", "--cap-height", "30in", "--cutter", "desktop-12")
    assert code == 1
    assert "6 panels" in out
    code, out, _ = run("fit", "O", "--cap-height", "30in")
    assert code == 0
    assert "desktop-15" in out


def test_fit_as_json(run: Run) -> None:
    code, out, _ = run("fit", "EGGS", "HONEY", "--width", "9in", "--cutter", "desktop-12", "--json")
    made = json.loads(out)
    assert code == 0
    assert (made["text"], made["fits"], made["cutters"]) == ("EGGS\nHONEY", True, None)
    assert made["size"] == {"mm": 228.6, "tape": "9 in", "error_mm": 0.0}
    assert [panel["text"] for panel in made["panels"]] == ["EGGS\nHONEY"]
    assert made["measures"]["panels"] == 1
    assert made["largest_one_panel"]["mm"] > 228.6
    code, out, _ = run("fit", "EGGS", "--cap-height", "2in", "--json")
    table = json.loads(out)
    assert code == 0
    assert table["fits"] is None
    assert [row["cutter"] for row in table["cutters"]][-1] == "roll-24"


def test_fit_of_a_drawing(run: Run, tmp_path: Path) -> None:
    box = '<svg xmlns="http://www.w3.org/2000/svg" width="4in" height="1in"><path d="M0 0H384V96H0Z"/></svg>'
    (tmp_path / "box.svg").write_text(box)
    code, out, _ = run("fit", "--svg", "box.svg", "--cutter", "desktop-8", "--json")
    made = json.loads(out)
    assert code == 0
    assert made["size"]["tape"] == "4 in"
    assert made["largest_one_panel"]["tape"] == "11 1/2 in"
    assert run("fit", "--svg", "box.svg", "--width", "12in", "--cutter", "desktop-8")[0] == 1


def test_start_then_check(run: Run) -> None:
    assert run("start", "new")[0] == 0
    assert run("check", "new/sign.toml")[0] == 0
    code, _, err = run("start", "new")
    assert code == 2
    assert "is there already" in err


def test_cutters_are_listed_with_a_users_own(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cutters.toml").write_text('[shed]\nmats.long = { width = "10 in", length = "20 in" }\n')
    code, out, _ = run("cutters")
    assert code == 0
    assert "11 1/2 in × 23 1/2 in" in out
    assert re.search(r"shed +long +10 in × 20 in", out)
    assert "101.6 mm × 292.1 mm" in run("--units", "mm", "cutters")[1]


def test_a_usable_area_is_listed_no_larger_than_it_is(run: Run, tmp_path: Path) -> None:
    mats = 'mats.a = { width = "302 mm", length = "302.99 mm" }'  # 302.99 mm is 11.929 in, nearest to 11 15/16
    (tmp_path / "cutters.toml").write_text(f"[shed]\n{mats}\n")
    assert "11 7/8 in × 11 7/8 in" in run("cutters")[1]
    assert "302 mm × 302.9 mm" in run("--units", "mm", "cutters")[1]


def test_a_length_too_long_to_read_is_one_fault(run: Run) -> None:
    code, _, err = run("fit", "A", "--cap-height", "9" * 5000 + "in")
    assert code == 2
    assert re.fullmatch(r"error: '9+…' is not a length, --cap-height, .*\n", err)


def test_help_and_version(run: Run) -> None:
    code, out, _ = run("--help")
    assert code == 0
    for word in ("plan", "fit", "check", "start", "cutters", "--units", "--timings"):
        assert word in out
    assert run("--version") == (0, f"bigsign {bigsign.__version__}\n", "")


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


def test_of_many_warnings_of_a_kind_a_few_are_printed_and_the_others_counted(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    dots = "".join(f'<circle cx="{30 * n + 15}" cy="15" r="{4 + n}"/>' for n in range(9))
    (tmp_path / "many.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" width="300" height="30">{dots}</svg>')
    (tmp_path / "many.toml").write_text(
        '[sign]\nwidth = "99 in"\nheight = "20 in"\n[cutter]\nuse = "desktop-12"\nmat = "12x12"\n'
        '[[artwork]]\nfile = "many.svg"\nwidth = "98 in"\n'
    )
    monkeypatch.setattr("bigsign.cli_text.MOST_OF_A_CODE", 0)
    _, out, _ = run("plan", str(tmp_path / "many.toml"))
    made = json.loads((tmp_path / "many-plan/plan.json").read_text())
    codes = Counter(warning["code"] for warning in made["warnings"])
    assert codes
    for code, number in codes.items():
        assert f"{code}: {number} more of them, all in plan.json" in out
    monkeypatch.undo()
    _, out, _ = run("plan", str(tmp_path / "many.toml"))
    printed = sum(out.count(f"  {code}: ") for code in codes)
    assert printed == sum(min(number, 6) + (number > 6) for number in codes.values())
