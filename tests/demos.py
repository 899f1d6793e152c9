"""The demo projects, planned once a test run."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from bigsign.plan import make_plan
from bigsign.plan_records import Plan
from bigsign.project_file import load_project

__all__ = ["DEMOS", "demo_plan"]

ROOT = Path(__file__).parent.parent / "demo_projects"
DEMOS = tuple(sorted(folder.name for folder in ROOT.iterdir() if folder.is_dir()))


@cache
def demo_plan(name: str) -> Plan:
    """Return the plan of a demo."""
    return make_plan(load_project(ROOT / name / f"{name}.toml"))
