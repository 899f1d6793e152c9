"""The order of work: a panel that another lies upon comes before it."""

from __future__ import annotations

from random import Random

import shapely
from shapely.geometry import MultiPolygon, Polygon, box

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.geometry import polygons_of
from bigsign.placing.place import PlacedPanel
from bigsign.plan import check_plan, plan_lettering
from bigsign.reading.lettering import Lettering
from bigsign.splitting.graph import Fragment
from bigsign.work.order import layer_rule
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


def test_the_rule_is_that_of_every_pair_of_panels_and_pieces() -> None:
    chance = Random(4)
    found = 0
    for _ in range(40):
        films: dict[str, Polygon] = {}
        for n in range(14):
            x, y = chance.uniform(20, 330), chance.uniform(20, 130)
            films[f"p{n:03d}"] = box(x, y, x + chance.uniform(8, 60), y + chance.uniform(8, 60))
        rank = {piece: n for n, piece in enumerate(films)}
        held = sorted(films, key=lambda _: chance.random())
        panels = [panel_of(f"panel-{n:02d}", {piece: films[piece] for piece in held[n::6]}) for n in range(6)]
        over = {
            upper.id: {
                lower.id for lower in panels if lower is not upper and any(
                    rank[a] > rank[b] and films[a].intersection(films[b]).area > 0
                    for a in upper.pieces for b in lower.pieces
                )
            }
            for upper in panels
        }  # fmt: skip
        assert layer_rule(panels, Artwork(tuple(Piece(name, "#000000", film) for name, film in films.items()))) == over
        found += sum(map(len, over.values()))
    assert found > 20


def panel_of(name: str, films: dict[str, Polygon]) -> PlacedPanel:
    fragments = tuple(Fragment(f"f{piece[1:]}", piece, film) for piece, film in films.items())
    film = MultiPolygon(polygons_of(shapely.union_all(list(films.values()))))
    return PlacedPanel(name, "#000000", (), fragments, film, film.envelope, None)  # type: ignore[arg-type]
