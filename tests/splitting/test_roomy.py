"""Film with room round it, made only where a line reaches it: the territory is the same as with all of it."""

from __future__ import annotations

import random

from shapely.geometry import MultiPolygon, Point, box

from bigsign.splitting.roomy import RoomyFilm, roomy_films


def test_what_a_line_does_not_reach_makes_no_difference_to_its_side() -> None:
    rng = random.Random(8)
    left_out = 0
    for _ in range(60):
        spots = [(rng.uniform(0, 200), rng.uniform(0, 200)) for _ in range(12)]
        film = MultiPolygon([Point(spot).buffer(3.0, quad_segs=6) for spot in _apart(spots)])
        roomy = RoomyFilm(film, 0.4, rng.choice((0.0, 0.5)))
        at = rng.uniform(20, 180)
        beyond, half = roomy.beyond((1.0, 0.0, at)), box(-50, -50, at, 250)
        assert half.union(beyond).symmetric_difference(half.union(roomy.whole())).area < 1e-9
        back = roomy.beyond((-1.0, 0.0, -at))
        assert half.difference(back).symmetric_difference(half.difference(roomy.whole())).area < 1e-9
        left_out += beyond.area < roomy.whole().area - 1.0
    assert left_out > 50


def test_film_lies_in_its_room_however_coarse() -> None:
    film = MultiPolygon([Point(0, 0).buffer(20.0, quad_segs=40)])
    for other in (box(21, -5, 40, 5), box(20.3, -5, 40, 5)):
        found = roomy_films(film, MultiPolygon([other]))
        assert found is not None
        assert found[0].whole().covers(film)
        assert not found[0].whole().intersects(found[1].whole())
    assert roomy_films(film, MultiPolygon([box(20, -5, 40, 5)])) is None


def _apart(spots: list[tuple[float, float]]) -> list[tuple[float, float]]:
    out: list[tuple[float, float]] = []
    for spot in spots:
        if all(Point(spot).distance(Point(other)) > 7 for other in out):
            out.append(spot)
    return out
