"""Strata: film of a colour that lies over other film goes up after it, and never on one panel with film beneath it."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, box

from bigsign import check_plan, load_project, make_plan
from bigsign.artwork.pieces import Piece
from bigsign.artwork.unite import Layer, unite_layers
from bigsign.geometry import polygons_of
from bigsign.splitting.strata import strata_of

ROUND = '<circle cx="{}" cy="60" r="40" fill="{}"/>'
BAR = '<rect x="20" y="45" width="160" height="30" fill="#0000ff"/>'
SIGN = """
[sign]
width = "20 in"
height = "20 in"
[cutter]
use = "desktop-12"
mat = "12x12"
[[artwork]]
file = "a.svg"
width = "8 in"
"""


def test_a_colour_over_and_under_another_goes_up_in_two_strata(tmp_path: Path) -> None:
    drawing = ROUND.format(80, "#ff0000") + BAR + ROUND.format(120, "#ff0000")
    (tmp_path / "a.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 120">{drawing}</svg>')
    (tmp_path / "p.toml").write_text(SIGN)
    plan = make_plan(load_project(tmp_path / "p.toml"))
    assert check_plan(plan) == []
    assert [panel.colour for panel in plan.panels] == ["#ff0000", "#0000ff", "#ff0000"]
    assert [panel.fragments for panel in plan.panels] == [("f001",), ("f002",), ("f003",)]
    turned = replace(plan, panels=tuple(
        replace(panel, number=number) for panel, number in zip(plan.panels, (3, 2, 1), strict=True)
    ))  # fmt: skip
    assert any("is stuck before" in fault for fault in check_plan(turned))


def test_what_lies_under_one_colour_only_stays_in_one_stratum() -> None:
    pieces = [Piece(f"p{n}", colour, box(n, 0, n + 2, 2)) for n, colour in enumerate(("#000000", "#ffffff", "#ff0000"))]
    assert set(strata_of(pieces).values()) == {0}
    assert strata_of([*pieces, Piece("p9", "#000000", box(2, 0, 3, 1))])["p9"] == 1


CELLS = st.tuples(st.integers(0, 7), st.integers(0, 7), st.integers(1, 4), st.integers(1, 4), st.sampled_from("abc"))


@given(st.lists(CELLS, min_size=1, max_size=12))
def test_laying_by_stratum_and_rank_lays_each_piece_after_all_beneath(
    cells: list[tuple[int, int, int, int, str]],
) -> None:
    layers = [
        Layer(f"#00000{c}", MultiPolygon(polygons_of(box(10 * x, 10 * y, 10 * (x + w), 10 * (y + h)))))
        for x, y, w, h, c in cells
    ]
    pieces = unite_layers(layers)
    strata = strata_of(pieces)
    rank = {colour: n for n, colour in enumerate(dict.fromkeys(piece.colour for piece in pieces))}
    for lower, upper in combinations(pieces, 2):
        if lower.shape.intersection(upper.shape).area > 1e-9:
            assert (strata[lower.id], rank[lower.colour]) < (strata[upper.id], rank[upper.colour])
