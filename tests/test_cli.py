"""The commands through their front door: text, exit codes, faults, signals."""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

import bigsign
from bigsign.plan_records import Plan
from tests.cli_place import FILES, PROJECT, Run

pytestmark = pytest.mark.usefixtures("shed")


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


def test_help_and_version(run: Run) -> None:
    code, out, _ = run("--help")
    assert code == 0
    for word in ("plan", "fit", "check", "start", "cutters", "--units", "--timings"):
        assert word in out
    assert run("--version") == (0, f"bigsign {bigsign.__version__}\n", "")


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
