"""Signs that were once claimed wrongly, or refused though hands could part them."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign import check_plan, load_project, make_plan
from bigsign.plan import plan_lettering
from bigsign.splitting.tree import leaves
from tests.box_lettering import letters_from
from tests.planning import project_of, tree_of

HUB = [
    (141.76, 33.61, 161.76, 63.61), (76.73, 3.58, 106.73, 15.58), (181.67, 0.61, 226.67, 20.61),
    (53.39, 62.28, 83.39, 74.28), (162.68, 92.58, 174.68, 104.58), (186.09, 69.21, 198.09, 114.21),
]  # fmt: skip


def test_one_cut_may_take_several_ornaments_off_a_hub() -> None:
    shapes = [box(*corners) for corners in HUB]
    tree = tree_of(letters_from([[[shapes[0]], [shapes[1]]]], shapes[2:]), (50.0, 50.0))
    assert tree.report.proved
    assert tree.measures.risk == pytest.approx(0.067, abs=5e-4)


def spiral(phase: float) -> Polygon:
    points = []
    for i in range(97):
        t = i / 48 * 2 * math.pi
        r = 6 + 16 * t / (2 * math.pi)
        points.append((r * math.cos(t + phase) + 60, r * math.sin(t + phase) + 60))
    made = LineString(points).buffer(1.5, cap_style="flat", quad_segs=3)
    assert isinstance(made, Polygon)
    return made


def interlocking() -> dict[str, list[Polygon]]:
    ring = box(0, 0, 50, 45) - box(5, 5, 45, 40) - box(20, 0, 26, 5)
    stem = unary_union([box(22, -30, 24, 20), box(15, 15, 35, 30)])
    mouth = box(0, 0, 60, 60) - box(10, 10, 60, 50)
    combs = [
        unary_union([box(0, 0, 100, 10), *(box(i * 20, 0, i * 20 + 6, 60) for i in range(5))]),
        unary_union([box(0, 70, 110, 80), *(box(i * 20 + 10, 20, i * 20 + 16, 75) for i in range(5))]),
    ]
    found: dict[str, list[BaseGeometry]] = {
        "spirals": [spiral(0.0), spiral(math.pi)], "clasp": [ring, stem], "mouth": [mouth, box(30, 25, 40, 35)],
        "combs": combs, "near": [box(0, 0, 40, 40), box(40.25, 0, 80, 40)],
    }  # fmt: skip
    return {name: [s for s in shapes if isinstance(s, Polygon)] for name, shapes in found.items()}


@pytest.mark.parametrize("name", interlocking())
def test_films_that_no_cut_touches_are_never_too_big_together(name: str) -> None:
    first, second = interlocking()[name]
    assert first.distance(second) >= 0.2
    x0, y0, x1, y1 = first.union(second).bounds
    boxes = [first.bounds, second.bounds]
    usable = max(b[2] - b[0] for b in boxes) + 0.5, max(b[3] - b[1] for b in boxes) + 0.5
    if x1 - x0 <= usable[0] and y1 - y0 <= usable[1]:
        pytest.skip("they fit a panel together")
    found = letters_from([[[first], [second]]])
    tree = tree_of(found, usable, turning="none")
    assert [len(leaf.nodes) for leaf in leaves(tree.root)] == [1, 1]
    moved = letters_from([[[_moved(first)], [_moved(second)]]])
    plan = plan_lettering(project_of(400, 400, usable, "none"), *moved)
    assert check_plan(plan) == []
    assert {cut.way for cut in plan.cuts} <= {"straight", "legs", "free"}


def _moved(shape: Polygon) -> Polygon:
    from shapely.affinity import translate

    return translate(shape, 150, 150)


def test_films_nearer_than_a_knife_needs_part_by_a_seam_through_the_join() -> None:
    letters = [box(150, 150, 190, 190), box(190.1, 150, 230, 190)]
    plan = plan_lettering(project_of(400, 400, (50.0, 50.0)), *letters_from([[letters]]))
    assert check_plan(plan) == []
    assert len(plan.panels) == 2
    assert [part.kind for part in plan.breaks] == ["seam"]
    assert plan.measures.in_word_breaks == 0


def test_a_letter_of_several_pieces_is_parted_between_them_first(tmp_path: Path) -> None:
    (tmp_path / "tall.toml").write_text(
        '[sign]\nwidth = "40 in"\nheight = "30 in"\n[cutter]\nuse = "desktop-12"\nmat = "12x12"\n'
        '[[lettering]]\nlines = ["i!i"]\nfont = "Anton"\ncap_height = "12.5 in"\n'
    )
    plan = make_plan(load_project(tmp_path / "tall.toml"))
    assert check_plan(plan) == []
    assert plan.measures.seams == 0
    assert plan.measures.in_word_breaks > 0
    assert {edge.kind for edge in plan.edges if edge.a == edge.b} == {"letter"}


HAND = """
[sign]
width = "200 in"
height = "60 in"
[cutter]
use = "desktop-12"
mat = "{mat}"
[[lettering]]
lines = ["Fresh eggs and", "Honey yield boy"]
font = "{font}"
cap_height = "{size} mm"
leading = 1.1
"""


@pytest.mark.parametrize(
    ("font", "size", "mat"),
    [("Permanent Marker", 150, "12x12"), ("Permanent Marker", 300, "12x24"), ("Lobster", 60, "12x12"),
     ("Great Vibes", 60, "12x12"), ("Pacifico", 150, "12x12")],
)  # fmt: skip
def test_hand_lettering_in_two_lines_passes_its_own_check(tmp_path: Path, font: str, size: int, mat: str) -> None:
    (tmp_path / "hand.toml").write_text(HAND.format(font=font, size=size, mat=mat))
    assert check_plan(make_plan(load_project(tmp_path / "hand.toml"))) == []
