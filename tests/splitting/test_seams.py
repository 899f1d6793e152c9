"""Seams: shapes whose shortest seams are known, and what has to hold for any shape."""

from __future__ import annotations

import math
import warnings

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign.project import Cutter, PlanSettings, SeamSettings
from bigsign.splitting.seam_clip import clipped
from bigsign.splitting.seam_records import SeamRules, Shape
from bigsign.splitting.seam_search import find_seams
from bigsign.splitting.split import split
from bigsign.splitting.sweep import Sweep
from bigsign.splitting.tree import leaves
from tests.box_lettering import letters_from

LIMIT = ((292.1, 292.1),)


def joined(*parts: BaseGeometry) -> Polygon:
    """Return parts that hang together as one polygon."""
    made = unary_union(list(parts))
    assert isinstance(made, Polygon)
    return made


def seams(shape: Shape, limits: tuple[tuple[float, float], ...] = LIMIT, **rules: float) -> tuple[float, int]:
    """Return the total length and the number of parts."""
    found = find_seams(shape, SeamRules(limits, **rules))  # type: ignore[arg-type]
    assert found is not None
    assert unary_union(list(found.parts)).symmetric_difference(shape).area < 1e-6
    return found.cost.length, len(found.parts)


def test_a_bar_is_cut_across() -> None:
    length, parts = seams(box(0, 0, 500, 40))
    assert parts == 2
    assert length == pytest.approx(40)
    length, parts = seams(box(0, 0, 40, 800))
    assert parts == 3
    assert length == pytest.approx(80)


def test_a_neck_is_cut_in_its_middle() -> None:
    dumbbell = joined(box(0, 0, 200, 50), box(200, 20, 250, 30), box(250, 0, 450, 50))
    found = find_seams(dumbbell, SeamRules(LIMIT))
    assert found is not None
    (cut,) = found.cuts
    assert cut.axis == 0
    assert cut.at == pytest.approx(225)
    assert cut.length == pytest.approx(10)


def test_a_circle_is_cut_as_far_off_its_middle_as_both_parts_fit() -> None:
    """A chord at distance d from the middle is 2 √(r² - d²): the formula of the circular segment."""
    r = 250.0
    length, parts = seams(Point(0, 0).buffer(r, 128), ((292.1, 600.0), (600.0, 292.1)))
    assert parts == 2
    assert length == pytest.approx(2 * math.sqrt(r**2 - (292.1 - r) ** 2), rel=1e-3)


def test_a_ring_is_cut_at_four_walls() -> None:
    ring = joined(Point(0, 0).buffer(200, 64).difference(Point(0, 0).buffer(180, 64)))
    length, parts = seams(ring)
    assert parts == 4
    assert length == pytest.approx(4 * 20, abs=0.1)


def test_an_l_is_cut_through_both_legs() -> None:
    length, parts = seams(joined(box(0, 0, 60, 500), box(0, 440, 500, 500)))
    assert parts == 3
    assert length == pytest.approx(120)


def test_a_comb_is_cut_through_its_spine() -> None:
    teeth = [box(i * 110, 0, i * 110 + 30, 200) for i in range(8)]
    length, parts = seams(joined(box(0, 0, 800, 40), *teeth))
    assert parts == 3
    assert length == pytest.approx(80)


def test_a_star_of_five_is_cut_no_longer_than_by_any_pair_of_lines() -> None:
    points = [
        (r * math.sin(i * math.pi / 5), -r * math.cos(i * math.pi / 5))
        for i, r in enumerate((180, 70) * 5)
    ]  # fmt: skip
    star = Polygon(points)
    both_ways = ((292.1, 600.0), (600.0, 292.1))
    length, parts = seams(star, both_ways)
    assert parts == 2
    x0, y0, x1, y1 = star.bounds
    shortest = math.inf
    for axis, (low, high) in enumerate(((x1 - 292.1, x0 + 292.1), (y1 - 292.1, y0 + 292.1))):
        sweep = Sweep(star, axis, 15.0)
        places = [low + (high - low) * n / 400 for n in range(401)]
        shortest = min([shortest, *(sweep.length(at) for at in places if sweep.allowed(at))])
    assert length <= shortest + 1e-6


@given(st.lists(st.tuples(st.floats(-200, 200), st.floats(-200, 200)), min_size=4, max_size=12))
@settings(max_examples=60, deadline=None)
def test_a_convex_shape_is_halved_as_short_as_a_fine_sweep_finds(points: list[tuple[float, float]]) -> None:
    """The halving line of a convex shape, against chords at many places: the solver must not be longer."""
    hull = unary_union([Point(p) for p in points]).convex_hull
    if not isinstance(hull, Polygon) or hull.area < 5000:
        return
    x0, y0, x1, y1 = hull.bounds
    limit = 0.7 * (x1 - x0)
    found = find_seams(hull, SeamRules(((limit, 2 * (y1 - y0)),), angle=0.0, sliver=0.0))
    assert found is not None
    sweep = Sweep(hull, 0, 0.0)
    places = [x1 - limit + (x0 + 2 * limit - x1) * n / 500 for n in range(501)]
    assert found.cost.length <= min(sweep.length(at) for at in places) + 1e-3


def test_chords_of_a_sweep_are_those_of_the_film() -> None:
    shape = joined(rotate(joined(box(0, 0, 90, 20), box(30, -40, 45, 60)), 17).difference(Point(40, 10).buffer(5)))
    for axis in (0, 1):
        sweep = Sweep(shape, axis, 0.0)
        for share in (0.1, 0.33, 0.5, 0.77, 0.9):
            at = sweep.low + (sweep.high - sweep.low) * share
            line = box(at - 5e-7, -500, at + 5e-7, 500) if axis == 0 else box(-500, at - 5e-7, 500, at + 5e-7)
            assert sweep.length(at) == pytest.approx(shape.intersection(line).area / 1e-6, rel=1e-4)
            before = box(-500, -500, at, 500) if axis == 0 else box(-500, -500, 500, at)
            assert sweep.share_before(at) == pytest.approx(shape.intersection(before).area / shape.area, abs=1e-9)


def test_no_seam_leaves_a_sliver_or_runs_along_an_edge() -> None:
    step = joined(box(0, 0, 295, 40), box(291, 0, 500, 10))
    found = find_seams(step, SeamRules(LIMIT, sliver=6.0, angle=15.0))
    assert found is not None
    for part in found.parts:
        assert min(part.bounds[2] - part.bounds[0], part.bounds[3] - part.bounds[1]) >= 6.0
    wedge = Polygon([(0, 0), (500, 30), (0, 60)])
    leaning = rotate(wedge, 80, origin=(0, 0))
    strict = find_seams(leaning, SeamRules(LIMIT, angle=15.0))
    assert strict is not None
    for cut in strict.cuts:
        assert Sweep(leaning, cut.axis, 15.0).allowed(cut.at)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_plate_whose_holes_touch_its_edge_keeps_all_its_film(turn: int) -> None:
    """A hole that meets the outline at a point leaves, cut there, a ring that touches itself: no valid film."""
    diamond = Polygon([(300, 200), (380, 320), (300, 440), (220, 320)])
    bolt = Polygon([(520, 0), (600, 150), (520, 160), (560, 300), (470, 140), (540, 130)])
    plate = box(0, 0, 777, 440) - diamond - bolt
    assert isinstance(plate, Polygon)
    assert len(plate.interiors) == 2
    seams(rotate(plate, turn, origin=(0, 0)))  # looks whether the parts make the shape
    seams(rotate(plate, turn, origin=(0, 0)), ((150.0, 230.0),))


def test_film_is_clipped_where_the_quick_way_falls_over() -> None:
    """A slit of next to no width that the edge of the box meets: the library's quick way is left with three points."""
    slit = [(1368.7997210716514, 1234.8762112032175), (1513.0382976923995, 1125.382901850859)]
    film = Polygon([(1266.825, 1183.197), *slit, (1368.7997210716517, 1234.8762112032175), (1669.866, 1038.225)])
    area = (1495.425, 1037.225, 1728.2, 1267.825)
    with pytest.raises(shapely.GEOSException):
        shapely.clip_by_rect(film, *area)
    found = clipped(film, area)
    assert sum(part.area for part in found) == pytest.approx(film.intersection(box(*area)).area)


@pytest.mark.parametrize("overlap", [0.0, 6.35, 12.0])
def test_fragments_make_the_piece_and_one_laps_the_other(overlap: float) -> None:
    bar = box(10, 10, 610, 60)
    plan_settings = PlanSettings(seams=SeamSettings(overlap=overlap))
    tree = split(*letters_from([[[bar]]]), Cutter("t", "m", 292.1, 292.1), "quarter", plan_settings).trees[0]
    shapes = [f.shape for atom in tree.graph.atoms for f in atom.fragments]
    assert unary_union(shapes).symmetric_difference(bar).area < 1e-6
    assert len(shapes) == tree.measures.panels == 3
    # two seams across 50 mm, the overlap's two outer corners rounded
    lapped = sum(shape.area for shape in shapes) - bar.area
    rounded = 2 * (4 - math.pi) / 2 * (overlap / 2.01) ** 2
    assert lapped == pytest.approx(2 * 50 * overlap - rounded, abs=0.04 * (1 + overlap))
    assert all(max(s.bounds[2] - s.bounds[0], s.bounds[3] - s.bounds[1]) <= 292.1 + 0.001 for s in shapes)
    for contact in tree.graph.contacts:
        under, upper = (tree.graph.atoms[n].fragments[0].shape for n in (contact.under, contact.upper))
        assert upper.bounds[0] < contact.line[0][0] + 1e-6 or overlap == 0
        assert under.bounds[2] == pytest.approx(contact.line[0][0])


def test_a_frame_too_big_is_a_layer_and_the_words_inside_do_not_break_for_it() -> None:
    frame = box(0, 0, 700, 400) - box(15, 15, 685, 385)
    assert isinstance(frame, Polygon)
    word = [box(200 + i * 60, 180, 245 + i * 60, 240) for i in range(4)]
    splitting = split(*letters_from([[word]], [frame]), Cutter("t", "m", 292.1, 292.1), "quarter", PlanSettings())
    layers = {tree.graph.frame: tree for tree in splitting.trees}
    assert set(layers) == {True, False}
    assert (layers[False].measures.panels, layers[False].measures.in_word_breaks) == (1, 0)
    assert layers[True].measures.seam_length == pytest.approx(15 * len(leaves(layers[True].root)))


@pytest.mark.parametrize("turned", [False, True])
def test_a_wide_overlap_takes_no_more_strips_than_are_needed(turned: bool) -> None:
    """Panels of 292.1 mm that share 25 mm each cover 1066.8 × 711.2 mm in four by three, hardly to spare."""
    plate = box(50, 50, 761.2, 1116.8) if turned else box(50, 50, 1116.8, 761.2)
    settings = PlanSettings(seams=SeamSettings(overlap=25.0))
    splitting = split(*letters_from([[[plate]]]), Cutter("t", "m", 292.1, 292.1), "quarter", settings)
    assert len(leaves(splitting.trees[0].root)) == 12


@pytest.mark.parametrize("axis", [0, 1])
def test_a_hair_of_no_extent_has_no_chords(axis: int) -> None:
    hair = Polygon([(0, 0), (1e-9, 0), (1e-9, 5), (0, 5)] if axis == 0 else [(0, 0), (5, 0), (5, 1e-9), (0, 1e-9)])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        sweep = Sweep(hair, axis, 15.0)
    assert sweep.low == sweep.high
    assert sweep.length(sweep.low) == 0.0
    assert sweep.necks() == []
