"""The plan put together: how much of the board film covers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import Polygon, box

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.plan_assembly import site_frame
from bigsign.project import Site
from tests.planning import project_of

NAVY, GOLD = "#000080", "#ffd700"


@pytest.mark.parametrize(
    ("pieces", "covered", "dark"),
    [
        ([(NAVY, box(0, 0, 100, 50))], 50, 50),
        ([(NAVY, box(0, 0, 100, 50.1))], 51, 51),  # rounded up: what is over half never reads as half
        ([(GOLD, box(0, 0, 100, 50)), (NAVY, box(0, 50, 20, 100))], 60, 10),
        ([(GOLD, box(0, 0, 100, 50)), (NAVY, box(0, 25, 100, 75))], 75, 50),  # what lies over other film counts once
        ([(GOLD, box(0, 0, 100, 100))], 100, 0),
        ([(GOLD, box(0, 0, 1, 1))], 1, 0),
    ],
)
def test_the_share_of_the_board_under_film(pieces: list[tuple[str, Polygon]], covered: int, dark: int) -> None:
    project = replace(project_of(100, 100), site=Site("glass", foot=1828.8))
    found = site_frame(project, Artwork(tuple(Piece(f"p{n}", *piece) for n, piece in enumerate(pieces))))
    assert (found.covered_percent, found.dark_percent) == (covered, dark)
    assert (found.surface, found.old_paint) == ("glass", None)
    assert found.foot is not None
    assert found.foot.tape == "72 in"
