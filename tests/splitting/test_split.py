"""The best parting: against brute force, against sums known beforehand, and as invariants."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import affine_transform, scale, skew
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from bigsign.errors import InputError
from bigsign.project import Cutter, PlanSettings, Wish
from bigsign.splitting.cost import Policy
from bigsign.splitting.families import make_family
from bigsign.splitting.graph import build_graph
from bigsign.splitting.limits import panel_limits
from bigsign.splitting.search import search
from bigsign.splitting.separations import Separations
from bigsign.splitting.split import split
from bigsign.splitting.too_big import scale_that_fits
from bigsign.splitting.tree import leaves
from bigsign.splitting.units import merge_units
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import INCH, tree_of
from tests.splitting.brute_force import best_cost, linear_ways, plumb_or_level_ways

Rows = list[list[list[Polygon]]]


def flat(rows: Rows) -> tuple[list[Polygon], list[int]]:
    """Return all shapes in reading order and the number of the word of each."""
    shapes, words, word = [], [], 0
    for row in rows:
        for letters in row:
            shapes.extend(letters)
            words.extend([word] * len(letters))
            word += 1
    return shapes, words


def edges_of(rows: Rows) -> list[tuple[int, int, float]]:
    found = letters_from(rows)
    graph = build_graph(*found, "#000000")
    index = {node: i for i, atom in enumerate(graph.atoms) for node in atom.nodes}
    return [(index[e.a], index[e.b], e.gap_mm) for e in graph.edges]


def cost(rows: Rows, usable: tuple[float, float], policy: str) -> tuple[int, int, int, int]:
    m = tree_of(letters_from(rows), usable, policy).measures
    lead = (m.in_word_breaks, m.panels) if policy == "words" else (m.panels, m.in_word_breaks)
    return (*lead, round(m.risk * 1000), round(m.largest_panel_area / 100))


def random_rows(seed: int, most: int = 9) -> Rows:
    """Return one or two lines of two to four words, straight, slanted or lozenge letters, up to ``most`` in all."""
    rng = random.Random(seed)
    rows: Rows = []
    left = most
    for line in range(rng.choice((1, 1, 2))):
        words = []
        for _ in range(rng.randint(1, 3)):
            count = min(left, rng.randint(1, 4))
            if count:
                words.append([rng.uniform(15, 60) for _ in range(count)])
                left -= count
        if words:
            gaps = rng.uniform(4, 9), rng.uniform(15, 40)
            row = row_of_boxes(words, height=50, letter_gap=gaps[0], word_gap=gaps[1], y=line * rng.uniform(55, 90))
            rows.append(row)
    style = rng.choice(("plain", "slanted", "lozenge"))
    if style == "slanted":
        rows = [[[skew(shape, xs=-12, origin=(0, 0)) for shape in word] for word in row] for row in rows]
    if style == "lozenge":
        rows = [[[lozenge(shape) for shape in word] for word in row] for row in rows]
    return rows


def lozenge(shape: Polygon) -> Polygon:
    x0, y0, x1, y1 = shape.bounds
    return Polygon([((x0 + x1) / 2, y0), (x1, (y0 + y1) / 2), ((x0 + x1) / 2, y1), (x0, (y0 + y1) / 2)])


@pytest.mark.parametrize("policy", ["words", "panels"])
@pytest.mark.parametrize("seed", range(30))
def test_equals_a_brute_force_over_all_straight_cut_trees(seed: int, policy: str) -> None:
    rows = random_rows(seed)
    usable = random.Random(seed + 1000).choice([(90.0, 160.0), (120.0, 120.0), (80.0, 240.0)])
    shapes, words = flat(rows)
    expected = best_cost(shapes, words, edges_of(rows), usable, policy)
    assert expected is not None
    assert cost(rows, usable, policy) == expected


@pytest.mark.parametrize("seed", range(10))
def test_plumb_and_level_cuts_alone_are_never_better(seed: int) -> None:
    rows = random_rows(seed, most=8)
    shapes, words = flat(rows)
    usable = (100.0, 150.0)
    limited = best_cost(shapes, words, edges_of(rows), usable, "words", ways=plumb_or_level_ways)
    assert limited is None or cost(rows, usable, "words") <= limited


@pytest.mark.parametrize("seed", range(20))
def test_fewest_panels_on_one_line_equal_the_greedy_number(seed: int) -> None:
    """Greedy left to right is optimal for consecutive panels (exchange argument, from memory)."""
    rng = random.Random(seed)
    widths = [rng.uniform(10, 80) for _ in range(rng.randint(2, 30))]
    row = row_of_boxes([widths], height=100, letter_gap=6, word_gap=20)
    usable = (120.0, 120.0)
    greedy, start, right = 1, row[0][0].bounds[0], 0.0
    for shape in row[0]:
        if shape.bounds[2] - start > usable[0]:
            greedy, start = greedy + 1, shape.bounds[0]
        right = shape.bounds[2]
    assert right > 0
    for policy in ("words", "panels"):
        assert tree_of(letters_from([row]), usable, policy).measures.panels == greedy


def test_two_lines_part_between_the_lines_on_the_long_mat() -> None:
    """Common practice, no source: a 19 × 13 in design of two lines, mat 12 × 24 in."""
    row = [[3.3 * INCH] * 3, [3.3 * INCH] * 2]
    gap, space = 0.5 * INCH, 1.0 * INCH
    rows = [row_of_boxes(row, height=5.5 * INCH, letter_gap=gap, word_gap=space, y=y * INCH) for y in (0.0, 7.5)]
    tree = tree_of(letters_from(rows), (11.5 * INCH, 23.5 * INCH))
    assert tree.report.proved
    assert [len(leaf.nodes) for leaf in leaves(tree.root)] == [5, 5]
    assert tree.measures.in_word_breaks == 0


def test_a_phrase_parts_in_a_word_gap() -> None:
    """Common practice, no source: 27 in of two words under a 23 in limit."""
    row = row_of_boxes([[3 * INCH] * 4, [3 * INCH] * 3], height=4 * INCH, letter_gap=0.5 * INCH, word_gap=3.5 * INCH)
    assert row[-1][-1].bounds[2] == pytest.approx(27 * INCH)
    tree = tree_of(letters_from([row]), (23 * INCH, 23 * INCH))
    assert [len(leaf.nodes) for leaf in leaves(tree.root)] == [4, 3]


def test_a_nine_letter_word_parts_at_the_only_place_there_is() -> None:
    """Common practice, no source: six letters span 28 in, five 23 in, limit 23 in, the rest 18 in."""
    gap = 0.5 * INCH
    widths = [4.0 * INCH] * 4 + [5.0 * INCH] + [4.5 * INCH] + [(18 - 4.5 - 1.5) / 3 * INCH] * 3
    shapes, x = [], 0.0
    for width in widths:
        shapes.append(box(x, 0, x + width, 6 * INCH))
        x += width + gap
    assert shapes[4].bounds[2] == pytest.approx(23 * INCH)
    assert shapes[5].bounds[2] == pytest.approx(28 * INCH)
    assert shapes[8].bounds[2] - shapes[5].bounds[0] == pytest.approx(18 * INCH)
    tree = tree_of(letters_from([[shapes]]), (23 * INCH, 23 * INCH))
    assert [len(leaf.nodes) for leaf in leaves(tree.root)] == [5, 4]
    assert tree.measures.in_word_breaks == 1
    assert tree.report.proved


@given(st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_no_panel_is_wider_than_the_limit(seed: int) -> None:
    rows = random_rows(seed, most=20)
    limit = 11.5 * INCH / 3
    found = letters_from(rows)
    boxes = {glyph.id: glyph.bounds for glyph in found[1].glyphs}
    for leaf in leaves(tree_of(found, (limit, limit), turning="none").root):
        own = [boxes[node] for node in leaf.nodes]
        assert max(b[2] for b in own) - min(b[0] for b in own) <= limit + 0.001
        assert max(b[3] for b in own) - min(b[1] for b in own) <= limit + 0.001


@given(st.integers(0, 10_000), st.sampled_from(["words", "panels"]))
@settings(max_examples=25, deadline=None)
def test_a_wider_mat_never_makes_a_plan_worse(seed: int, policy: str) -> None:
    rows = random_rows(seed, most=16)
    narrow, wide = (90.0, 150.0), (100.0, 180.0)
    assert cost(rows, wide, policy)[:3] <= cost(rows, narrow, policy)[:3]


@given(st.integers(0, 10_000), st.sampled_from([(0, 1), (-1, 0), (0, -1)]), st.sampled_from(["words", "panels"]))
@settings(max_examples=20, deadline=None)
def test_turned_or_mirrored_the_measures_stay(seed: int, turn: tuple[int, int], policy: str) -> None:
    """The lines keep their order and their words; turned artwork is only turned."""
    rows = random_rows(seed, most=12)
    cos, sin = turn
    turned = [[[affine_transform(s, [cos, -sin, sin, cos, 0, 0]) for s in word] for word in row] for row in rows]
    flipped = [[[scale(s, -1, 1, origin=(0, 0)) for s in word] for word in row] for row in rows]
    usable = (90.0, 160.0)
    graph_shapes = flat(rows)
    assert len(graph_shapes[0]) == len(flat(turned)[0])
    before = cost(rows, usable, policy)
    assert cost(flipped, usable, policy) == before


@given(st.integers(0, 10_000))
@settings(max_examples=20, deadline=None)
def test_scaling_artwork_mat_and_tolerance_together_scales_the_plan(seed: int) -> None:
    rows = random_rows(seed, most=12)
    big = [[[scale(s, 2, 2, origin=(0, 0)) for s in word] for word in row] for row in rows]
    small = split(*letters_from(rows), Cutter("t", "m", 90, 160), "quarter", PlanSettings(placement_tolerance=1.0))
    large = split(*letters_from(big), Cutter("t", "m", 180, 320), "quarter", PlanSettings(placement_tolerance=2.0))
    one, two = small.trees[0], large.trees[0]
    assert one.measures.panels == two.measures.panels
    assert one.measures.in_word_breaks == two.measures.in_word_breaks
    assert one.measures.risk == two.measures.risk


@pytest.mark.parametrize("policy", ["words", "panels"])
@pytest.mark.parametrize("seed", range(12))
def test_the_search_without_its_bounds_agrees(seed: int, policy: str) -> None:
    rows = random_rows(seed, most=9)
    graph = build_graph(*letters_from(rows), "#000000")
    limits = panel_limits(Cutter("t", "m", 90, 160), "quarter")
    units, _ = merge_units(graph, [], lambda b: any(b[2] - b[0] <= w and b[3] - b[1] <= h for w, h in limits))
    family = make_family(graph, units, limits, PlanSettings(policy=policy), [])
    separations = Separations([unit.hull for unit in units])
    with_bounds = search(family, separations, Policy(policy), 50_000)
    without = search(family, separations, Policy(policy), 50_000, prune=False)
    assert with_bounds.proved
    assert without.proved
    assert (with_bounds.cost, with_bounds.area) == (without.cost, without.area)


def test_a_budget_that_runs_out_is_said_and_the_bound_holds() -> None:
    rows = random_rows(4, most=20)
    exact = tree_of(letters_from(rows), (70.0, 80.0), "panels")
    short = split(*letters_from(rows), Cutter("t", "m", 70, 80), "quarter", PlanSettings(policy="panels"), budget=3)
    report = short.trees[0].report
    assert exact.report.proved
    assert not report.proved
    assert [finding.code for finding in short.findings] == ["fit-unproved"]
    bound = report.bound["panels"]
    assert isinstance(bound, int)
    assert bound <= exact.measures.panels <= short.trees[0].measures.panels


def test_a_piece_too_big_is_parted_and_said_to_be_with_the_size_at_which_it_fits() -> None:
    rows = [[[box(0, 0, 400, 100)], [box(450, 0, 500, 100)]]]
    found = split(*letters_from(rows), Cutter("t", "m", 11.5 * INCH, 11.5 * INCH), "quarter", PlanSettings())
    tree = found.trees[0]
    assert tree.measures.seams == 1
    assert tree.measures.seam_length == pytest.approx(100)
    assert [finding.code for finding in found.findings] == ["fit-seam"]
    assert "At 73 %" in found.findings[0].remedy
    factor = scale_that_fits((0, 0, 400, 100), [(11.5 * INCH + 0.001, 11.5 * INCH + 0.001)])
    assert 400 * factor == pytest.approx(11.5 * INCH)


@pytest.mark.parametrize(
    ("wish", "sizes"),
    [
        (Wish("break_after", ("AB",), "t"), [2, 4]),
        (Wish("break_after", ("CDEF|2",), "t"), [4, 2]),
        (Wish("keep", ("AB", "CDEF"), "t"), [6]),
        (Wish("no_break_after", ("AB",), "t"), [6]),
    ],
)
def test_fixed_wishes_hold(wish: Wish, sizes: list[int]) -> None:
    row = row_of_boxes([[20.0] * 2, [20.0] * 4], height=40, letter_gap=5, word_gap=15)
    tree = tree_of(letters_from([row]), (200.0, 200.0), wishes=(wish,))
    assert [len(leaf.nodes) for leaf in leaves(tree.root)] == sizes


@pytest.mark.parametrize(
    ("wishes", "message"),
    [
        ((Wish("keep", ("AB", "CDEF"), "t"),), "it makes a panel of"),
        ((Wish("keep", ("NOPE",), "t"),), "is no word"),
        ((Wish("keep", ("AB#3",), "t"),), "no use 3"),
        ((Wish("break_after", ("CDEF|9",), "t"),), "names no letter"),
        ((Wish("break_after", ("CDEF",), "t"),), "ends the last line"),
        ((Wish("break_after", ("AB",), "t"), Wish("no_break_after", ("AB",), "t")), "cannot hold"),
    ],
)
def test_wishes_that_cannot_hold_are_named(wishes: tuple[Wish, ...], message: str) -> None:
    row = row_of_boxes([[20.0] * 2, [20.0] * 4], height=40, letter_gap=5, word_gap=15)
    with pytest.raises(InputError, match=message):
        tree_of(letters_from([row]), (100.0, 100.0), wishes=wishes)


def test_a_frame_goes_with_all_it_holds() -> None:
    frame = box(0, 0, 300, 100) - box(5, 5, 295, 95)
    assert isinstance(frame, Polygon)
    row = row_of_boxes([[20.0] * 3, [20.0] * 3], height=40, letter_gap=10, word_gap=60, x=30, y=30)
    outside = row_of_boxes([[20.0] * 3], height=40, letter_gap=10, word_gap=60, x=340, y=30)
    tree = tree_of(letters_from([[*row, *outside]], [frame]), (310.0, 310.0))
    assert sorted(len(leaf.nodes) for leaf in leaves(tree.root)) == [3, 7]


def test_the_pinwheel_of_five_has_no_straight_cut_and_parts_by_a_free_way() -> None:
    """The smallest arrangement of rectangles that no cut from edge to edge parts (Ackerman, Barequet, Pinter 2006)."""
    shapes = [
        box(0, 0, 18, 8), box(20, 0, 28, 18), box(10, 20, 28, 28), box(0, 10, 8, 28), box(10, 10, 18, 18),
    ]  # fmt: skip
    assert plumb_or_level_ways(shapes, frozenset(range(5))) == []
    assert linear_ways(shapes, frozenset(range(5))) == []
    tree = tree_of(letters_from([[[shape] for shape in shapes]]), (20.0, 20.0))
    assert tree.measures.panels == 4
    assert tree.report.method.startswith("straight cuts, cuts that bend where neighbours hook, and free ways")


def hooks(x: float) -> list[Polygon]:
    """Return two letters that hook into each other: apart by 5 mm, and no straight line between them."""
    first = Polygon([(x, 0), (x + 40, 0), (x + 40, 25), (x + 30, 25), (x + 30, 10), (x, 10)])
    second = Polygon([(x + 10, 15), (x + 25, 15), (x + 25, 35), (x + 50, 35), (x + 50, 45), (x + 10, 45)])
    return [first, second]


def test_neighbours_without_a_straight_way_part_along_a_step() -> None:
    letters = [box(0, 0, 30, 45), *hooks(40), box(100, 0, 130, 45)]
    splitting = split(*letters_from([[letters]]), Cutter("t", "m", 95, 95), "quarter", PlanSettings())
    tree = splitting.trees[0]
    assert (tree.measures.panels, tree.measures.in_word_breaks) == (2, 1)
    assert tree.report.method.startswith("straight cuts, and cuts that bend where neighbours hook;")
    assert splitting.findings == ()


def test_neighbours_that_clasp_each_other_are_parted_where_they_must_be() -> None:
    ring = box(40, 0, 90, 45) - box(45, 5, 85, 40) - box(60, 0, 66, 5)  # a ring with a gap, a stem through the gap
    assert isinstance(ring, Polygon)
    stem = unary_union([box(62, -30, 64, 20), box(55, 15, 75, 30)])
    assert isinstance(stem, Polygon)
    letters = [box(0, 0, 30, 45), ring, stem, box(100, 0, 130, 45)]
    tree = tree_of(letters_from([[letters]]), (52.0, 61.0))
    assert [set(leaf.nodes) for leaf in leaves(tree.root)] == [{"g001"}, {"g003"}, {"g002"}, {"g004"}]
    tree = tree_of(letters_from([[letters]]), (95.0, 95.0))
    assert any({"g002", "g003"} <= set(leaf.nodes) for leaf in leaves(tree.root))


def test_hooked_letters_that_fit_one_panel_need_no_warning() -> None:
    splitting = split(*letters_from([[hooks(0)]]), Cutter("t", "m", 95, 95), "quarter", PlanSettings())
    assert splitting.findings == ()


def test_films_closer_than_a_knife_needs_stay_together() -> None:
    letters = [box(0, 0, 40, 45), box(40.15, 0, 80, 45), box(90, 0, 130, 45)]
    tree = tree_of(letters_from([[letters]]), (100.0, 100.0))
    assert sorted(leaf.nodes for leaf in leaves(tree.root)) == [("g001", "g002"), ("g003",)]
