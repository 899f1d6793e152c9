"""The order of work: a panel that another lies upon comes before it."""

from __future__ import annotations

from shapely.geometry import Polygon, box

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.plan import check_plan, plan_lettering
from bigsign.reading.lettering import Lettering
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import project_of


def test_what_lies_beneath_comes_first() -> None:
    row = row_of_boxes([[40.0] * 3], height=60, letter_gap=8, word_gap=30, x=60, y=60)
    letters, read = letters_from([row], colour="#cc0000")
    ground = Piece("p901", "#000000", box(40, 40, 230, 140))
    artwork = Artwork((ground, *letters.pieces))
    lettering = Lettering(read.glyphs, read.words, read.lines, ("p901",))
    plan = plan_lettering(project_of(400, 200), artwork, lettering)
    assert check_plan(plan) == []
    assert [panel.colour for panel in plan.panels] == ["#000000", "#cc0000"]


def test_a_ground_laid_on_top_comes_last() -> None:
    row = row_of_boxes([[40.0] * 3], height=60, letter_gap=8, word_gap=30, x=60, y=60)
    letters, read = letters_from([row], colour="#cc0000")
    hole = box(40, 40, 230, 140) - box(80, 80, 190, 100)
    assert isinstance(hole, Polygon)
    artwork = Artwork((*letters.pieces, Piece("p901", "#000000", hole)))
    lettering = Lettering(read.glyphs, read.words, read.lines, ("p901",))
    plan = plan_lettering(project_of(400, 200), artwork, lettering)
    assert [panel.colour for panel in plan.panels] == ["#cc0000", "#000000"]
