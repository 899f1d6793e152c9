"""Projects drawn at random, from phrase to page: every plan holds, every page is laid out without a clash."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from bigsign.errors import InputError
from bigsign.fonts import find_font
from bigsign.output.guide import guide_pdf
from bigsign.plan import check_plan, make_plan
from bigsign.plan_records import Plan
from bigsign.project import LetteringSpec, Project
from bigsign.sheets import lay_out
from bigsign.sheets.items import Text
from bigsign.sheets.metrics import ink_box
from tests.planning import project_of

WORDS = [
    "FRESH",
    "EGGS",
    "HONEY",
    "Marrow",
    "Lane",
    "Seed",
    "Library",
    "Take",
    "A",
    "AVA",
    "LT.",
    "WAVY",
    "To",
    "Yield",
    "jam",
    "3",
    "jars",
    "Café",
    "&",
    "Clay",
    "Open",
    "Mud",
]
FONTS = ("Anton", "Archivo Black", "Lobster", "Lato", "Alfa Slab One", "Dancing Script")
MATS = ((101.6, 292.1), (203.2, 292.1), (292.1, 292.1), (292.1, 596.9), (368.3, 596.9))
EDGES = (("left", "top"), ("right", "bottom"), ("middle", "middle"))


def random_project(seed: int) -> Project:
    rng = random.Random(seed)
    width, height = rng.uniform(300, 3000), rng.uniform(150, 1600)
    lines = tuple(" ".join(rng.choice(WORDS) for _ in range(rng.randint(1, 4))) for _ in range(rng.randint(1, 4)))
    turn = rng.choice([0.0, 0.0, 0.0, 90.0, 270.0, 12.5])
    along = height if turn in (90.0, 270.0) else width
    spec = LetteringSpec(
        lines, find_font(rng.choice(FONTS), Path()), {}, None, rng.uniform(0.2, 0.9) * along, None, 1.4,
        rng.choice(["left", "centre", "right"]), turn, rng.random() < 0.1, "#000000", (width / 2, height / 2), "test",
    )  # fmt: skip
    project = project_of(
        width, height, rng.choice(MATS), rng.choice(["quarter", "none"]), rng.choice(EDGES),
        policy=rng.choice(["words", "panels"]), paper=rng.choice(["letter", "a4"]),
    )  # fmt: skip
    return replace(project, name="Ферма & farm" if seed % 5 == 0 else "Farm", blocks=(spec,))


def clashes(plan: Plan) -> list[tuple[str, str, str]]:
    """Return texts that overlap, or stand within 10 mm of the paper's edge, as (page's kind, text, other)."""
    out = []
    for page in lay_out(plan, plan.project.plan.paper).pages:
        inks = [(item.string, ink_box(item)) for item in page.items if isinstance(item, Text)]
        boxes = [(text, box) for text, box in inks if box is not None]
        for i, (a, p) in enumerate(boxes):
            if min(p[0], p[1]) < 10 or p[2] > page.width - 10 or p[3] > page.height - 10:
                out.append((page.kind, a, "the paper's edge"))
            for b, q in boxes[i + 1 :]:
                if min(p[2], q[2]) - max(p[0], q[0]) > 0.05 and min(p[3], q[3]) - max(p[1], q[1]) > 0.05:
                    out.append((page.kind, a, b))
    return out


def plan_or_none(project: Project) -> Plan | None:
    """Return the plan, or None for a project that is refused with a whole fault."""
    try:
        return make_plan(project)
    except InputError as error:
        found = error
    assert found.faults
    assert all(fault.what and fault.where and fault.right for fault in found.faults)
    return None


@pytest.mark.parametrize("seed", range(50))
def test_a_random_project_holds_or_says_what_is_wrong(seed: int) -> None:
    project = random_project(seed)
    plan = plan_or_none(project)
    if plan is None:
        return
    assert check_plan(plan) == []
    for report in plan.search if not plan.measures.seams else ():
        # lettering wound into each other is searched over fewer lines than could bend, and says so
        wound = report.certificate.dropped == ("lines",) and report.certificate.cuts != "straight"
        assert report.proved or wound
    assert clashes(plan) == []
    assert guide_pdf(lay_out(plan, project.plan.paper), plan)[:5] == b"%PDF-"


def test_most_random_projects_can_be_planned() -> None:
    """The test above must not pass by refusing everything."""
    assert sum(plan_or_none(random_project(seed)) is not None for seed in range(50)) >= 20
