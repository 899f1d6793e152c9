"""Drawings of the world that were hard to part, the whole way to a plan that its checker holds for sound."""

from __future__ import annotations

from pathlib import Path

import pytest

from bigsign import check_plan, load_project, make_plan
from tests.bench.corpus.one import PROJECT

HERE = Path(__file__).parent
YARD, FOOT = 914.4, 304.8  # mm wide


@pytest.mark.parametrize(
    ("name", "width"),
    [
        ("flag-of-touching-parts", YARD), ("flag-of-layers", YARD), ("flag-with-wreath", YARD), ("arrow-in-box", FOOT),
        ("person-with-plus", YARD), ("person-cartwheeling", FOOT),
    ],
)
def test_it_comes_to_a_sound_plan(name: str, width: float, tmp_path: Path) -> None:
    (tmp_path / "drawing.svg").write_bytes((HERE / f"{name}.svg").read_bytes())
    (tmp_path / "sign.toml").write_text(PROJECT.format(width=width))
    plan = make_plan(load_project(tmp_path / "sign.toml"))
    assert check_plan(plan) == []
    assert len(plan.panels) > 1
