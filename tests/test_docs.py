"""The docs say what the code does: every warning code is listed, every table of the project file is named."""

from __future__ import annotations

import re
from pathlib import Path

import bigsign
from bigsign.artwork.svg_findings import SVG_CODES
from bigsign.project_file import load_project

ROOT = Path(__file__).parent.parent
CODE = re.compile(r'"((?:reading|film|fit|place)-[a-z-]+|font-(?:colour|script))"')


def test_every_warning_code_is_listed() -> None:
    listed = set(re.findall(r"`([a-z]+-[a-z-]+)`", (ROOT / "docs" / "warnings.md").read_text("utf-8")))
    used = {code for file in (ROOT / "bigsign").rglob("*.py") for code in CODE.findall(file.read_text("utf-8"))}
    assert used
    assert used | set(SVG_CODES) <= listed


def test_links_of_readme_and_docs_lead_somewhere() -> None:
    found = 0
    for page in (ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md")):
        for target in re.findall(r"\]\(([^)#]+)\)", page.read_text("utf-8")):
            assert (page.parent / target).exists(), (page.name, target)
            found += 1
    assert found > 5


def test_every_room_of_the_guide_for_contributors_exists() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    for room in re.findall(r"^\| `([a-z]+)/` \|", text, flags=re.M):
        assert (ROOT / "bigsign" / room).is_dir(), room


def test_public_names_are_there_and_the_demos_load() -> None:
    for name in bigsign.__all__:
        assert getattr(bigsign, name) is not None
    for file in sorted((ROOT / "demo_projects").glob("*/*.toml")):
        assert load_project(file).blocks


def test_importing_bigsign_loads_nothing_heavy() -> None:
    import subprocess
    import sys

    code = "import bigsign, sys; print([m for m in ('shapely', 'reportlab', 'lxml', 'networkx') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_hard_cases_are_parted_as_the_docs_say() -> None:
    from bigsign import check_plan, make_plan

    text = (ROOT / "docs" / "hard-cases.md").read_text("utf-8")
    plans = {}
    for file in sorted((ROOT / "docs" / "hard-cases").glob("*.toml")):
        assert f"hard-cases/{file.stem}.png" in text
        plans[file.stem] = make_plan(load_project(file))
        assert check_plan(plans[file.stem]) == []
    script, arc, border = (plans[name] for name in ("script", "arc", "border"))
    assert (script.measures.seams, script.measures.in_word_breaks) == (4, 1)  # the dot of the i is by itself
    assert all("at the join of" in part.why for part in script.breaks if part.kind == "seam")
    assert ([len(line.words) for line in arc.lines], arc.measures.seams) == ([3], 1)
    frame, inside = (report.layer for report in border.search)
    assert inside == f"in-{frame}-1"
