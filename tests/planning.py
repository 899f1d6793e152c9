"""Projects and plans from shapes, for tests."""

from __future__ import annotations

from typing import Any

from shapely.geometry import box

from bigsign.artwork.pieces import Artwork
from bigsign.project import Board, Cutter, Film, PlanSettings, Project, Wish
from bigsign.reading.lettering import Lettering
from bigsign.splitting.split import split
from bigsign.splitting.tree import CutTree

INCH = 25.4


def project_of(
    width: float,
    height: float,
    usable: tuple[float, float] = (11.5 * INCH, 23.5 * INCH),
    turning: str = "quarter",
    reference: tuple[str, str] = ("left", "top"),
    **settings: Any,
) -> Project:
    """Return a project without blocks: a board of width × height mm and a mat of ``usable`` mm."""
    return Project(
        name="Test board",
        revision="",
        file="test.toml",
        board=Board(width, height, box(0, 0, width, height), 0.0, reference),
        cutter=Cutter("test", "mat", *usable),
        turning=turning,
        film=Film(),
        blocks=(),
        plan=PlanSettings(**settings),
        colour_names={"#000000": "black", "#cc0000": "red"},
        sha256="0" * 64,
    )


def tree_of(
    found: tuple[Artwork, Lettering],
    usable: tuple[float, float],
    policy: str = "words",
    turning: str = "quarter",
    wishes: tuple[Wish, ...] = (),
    budget: int = 20_000,
) -> CutTree:
    """Return the cut tree of artwork of one colour."""
    settings = PlanSettings(policy=policy, wishes=wishes)
    splitting = split(*found, Cutter("test", "mat", *usable), turning, settings, budget=budget)
    assert len(splitting.trees) == 1
    return splitting.trees[0]
