"""The search and the cuts against figures known from elsewhere, and the outside checks against each other."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from bigsign.splitting.separations import Separations
from bigsign.splitting.tree import leaves
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import tree_of
from tests.splitting.brute_force import linear_ways, plumb_or_level_ways
from tests.splitting.straight_cuts import Points, core_that_cannot_be_cut, hull_of, stuck_groups

Rect = tuple[int, int, int, int]
Ways = Callable[[frozenset[int]], list[frozenset[int]]]


def floorplans(count: int) -> list[tuple[Rect, ...]]:
    """Return every way to dissect a rectangle into ``count`` rectangles, as which lies beside which, no four meeting.

    Each arises once from one of a rectangle less: a new one at the top right corner takes the place beside the
    topmost few along the right side, or above the rightmost few along the top (Hong et al. 2000, from memory).
    Here y runs up.
    """
    plans: list[tuple[Rect, ...]] = [((0, 0, 1, 1),)]
    for _ in range(count - 1):
        plans = [grown for plan in plans for grown in (*_widened(plan), *(_flip(p) for p in _widened(_flip(plan))))]
    return plans


def _flip(plan: tuple[Rect, ...]) -> tuple[Rect, ...]:
    return tuple((y0, x0, y1, x1) for x0, y0, x1, y1 in plan)


def _widened(plan: tuple[Rect, ...]) -> list[tuple[Rect, ...]]:
    """Return the plans with one rectangle more at the right, beside the topmost one, two … along the right side."""
    right, top = max(rect[2] for rect in plan), max(rect[3] for rect in plan)
    out = []
    for foot in sorted({rect[1] for rect in plan if rect[2] == right}, reverse=True):
        kept = [
            (x0, y0, right + 1 if x1 == right and y1 <= foot else x1, y1) for x0, y0, x1, y1 in plan
        ]  # fmt: skip
        out.append((*kept, (right, foot, right + 1, top)))
    return out


def shapes_of(plan: Sequence[Rect]) -> list[Polygon]:
    """Return the rectangles of a plan 30 mm to a step, with 2 mm between."""
    return [box(30 * x0 + 1, 30 * y0 + 1, 30 * x1 - 1, 30 * y1 - 1) for x0, y0, x1, y1 in plan]


def hulls_of(shapes: Sequence[Polygon]) -> list[Points]:
    return [hull_of([np.asarray(shape.exterior.coords)[:-1]]) for shape in shapes]


def comes_apart(group: frozenset[int], ways: Ways) -> bool:
    """Whether cuts part ``group`` down to single shapes; any first cut will do."""
    if len(group) == 1:
        return True
    found = ways(group)
    return bool(found) and comes_apart(found[0], ways) and comes_apart(group - found[0], ways)


def separations_of(shapes: Sequence[Polygon], plumb_or_level: bool) -> Ways:
    """Return the library's separations as sets of shapes, all or only those a plumb or level line makes."""
    separations = Separations(hulls_of(shapes))

    def ways(group: frozenset[int]) -> list[frozenset[int]]:
        sides = [
            frozenset(i for i in group if side >> i & 1) for side in separations.of(sum(1 << i for i in group))
        ]  # fmt: skip
        return [side for side in sides if not plumb_or_level or _box_cut(shapes, side, group - side)]

    return ways


def _box_cut(shapes: Sequence[Polygon], a: frozenset[int], b: frozenset[int]) -> bool:
    one, two = ([shapes[i].bounds for i in side] for side in (a, b))
    return any(
        max(p[axis + 2] for p in first) < min(p[axis] for p in second)
        for axis in (0, 1)
        for first, second in ((one, two), (two, one))
    )


@pytest.mark.parametrize(("count", "all_plans", "cut"), [(1, 1, 1), (2, 2, 2), (3, 6, 6), (4, 22, 22), (5, 92, 90)])
def test_dissections_that_cuts_part_are_counted_by_the_schroeder_numbers(count: int, all_plans: int, cut: int) -> None:
    """Of the 1, 2, 6, 22, 92 dissections (Baxter numbers) cuts make 1, 2, 6, 22, 90 (large Schröder numbers).

    OEIS A001181 and A006318, and Ackerman, Barequet, Pinter 2006, from memory.
    """
    plans = floorplans(count)
    assert len(plans) == all_plans
    everything = frozenset(range(count))
    for plumb_or_level in (True, False):
        assert sum(comes_apart(everything, separations_of(shapes_of(p), plumb_or_level)) for p in plans) == cut
    assert sum(not stuck_groups(hulls_of(shapes_of(plan))) for plan in plans) == cut
    assert sum(_parted_by_boxes(shapes_of(plan), everything) for plan in plans) == cut


def _parted_by_boxes(shapes: Sequence[Polygon], group: frozenset[int]) -> bool:
    return comes_apart(group, lambda part: [low for low, _ in plumb_or_level_ways(shapes, part)])


def test_the_two_dissections_of_five_that_no_straight_cut_parts_are_pinwheels() -> None:
    stuck = [plan for plan in floorplans(5) if stuck_groups(hulls_of(shapes_of(plan)))]
    assert len(stuck) == 2
    for plan in stuck:
        shapes = shapes_of(plan)
        right, top = max(rect[2] for rect in plan), max(rect[3] for rect in plan)
        middle = [i for i, (x0, y0, x1, y1) in enumerate(plan) if x0 > 0 and y0 > 0 and x1 < right and y1 < top]
        arms = [[i] for i in range(5) if i not in middle]
        assert len(middle) == 1
        assert core_that_cannot_be_cut([[i] for i in range(5)], hulls_of(shapes)) == arms
        # an arm fits the mat, no two of the five do together
        size = max(max(s.bounds[2] - s.bounds[0], s.bounds[3] - s.bounds[1]) for s in shapes)
        tree = tree_of(letters_from([[[shape] for shape in shapes]]), (size, 29.0))
        assert tree.measures.panels == 5
        assert "free ways" in tree.report.method


def test_the_books_of_one_to_nine_hundred_pages_part_among_three_at_seventeen() -> None:
    """Nine books of 1 to 9 hundred pages in a row, three readers: 1 to 5, 6 and 7, 8 and 9 (Skiena, from memory)."""
    row = row_of_boxes([[10.0 * n for n in range(1, 10)]], height=100, letter_gap=1.0, word_gap=1.0)
    for limit in (180.0, 200.0, 235.0):  # three panels at least in each: two would need 24 and its gaps
        tree = tree_of(letters_from([row]), (limit, limit))
        assert tree.report.proved
        assert [len(leaf.nodes) for leaf in leaves(tree.root)] == [5, 2, 2]
        assert tree.measures.largest_panel_area == pytest.approx((170 + 1) * 100)


def linear_partition(widths: Sequence[int], gap: int, parts: int) -> int:
    """Return the least largest extent of ``parts`` runs of boxes (the textbook's table, filled row by row)."""
    ends = [0]
    for width in widths:
        ends.append(ends[-1] + width + gap)
    best = [ends[n] - gap for n in range(1, len(ends))]  # one run
    for used in range(2, parts + 1):
        best = [
            min((max(best[m - 1], ends[n] - ends[m] - gap) for m in range(used - 1, n)), default=10**9)
            for n in range(1, len(ends))
        ]
    return best[-1]


def test_the_textbooks_table_is_filled_rightly() -> None:
    assert linear_partition(range(1, 10), 0, 3) == 17
    assert linear_partition([1] * 9, 0, 3) == 3


@given(st.lists(st.integers(1, 9), min_size=2, max_size=14), st.integers(10, 24))
@settings(max_examples=40, deadline=None)
def test_the_largest_panel_of_a_row_is_that_of_the_linear_partition(widths: list[int], limit: int) -> None:
    """With all gaps alike the risk decides nothing, so evenness does; lengths in cm, so that areas are whole cm²."""
    row = row_of_boxes([[10.0 * w for w in widths]], height=100, letter_gap=10, word_gap=10)
    tree = tree_of(letters_from([row]), (10.0 * limit, 10.0 * limit), policy="panels")
    least = next(k for k in range(1, 20) if linear_partition(widths, 1, k) <= limit)
    assert tree.measures.panels == least
    assert round(tree.measures.largest_panel_area / 1000) == linear_partition(widths, 1, least)


def scattered(seed: int, count: int) -> list[Polygon]:
    """Return disjoint triangles and quadrilaterals at random places, corners on whole mm."""
    rng = random.Random(seed)
    out: list[Polygon] = []
    while len(out) < count:
        x, y = rng.randint(0, 60), rng.randint(0, 60)
        corners = [(x + rng.randint(0, 22), y + rng.randint(0, 22)) for _ in range(rng.choice((3, 4)))]
        shape = Polygon(corners).convex_hull
        if isinstance(shape, Polygon) and all(shape.distance(other) > 0.5 for other in out):
            out.append(shape)
    return out


@pytest.mark.parametrize("seed", range(25))
def test_the_sweep_of_directions_agrees_with_trying_every_two_sides(seed: int) -> None:
    shapes = scattered(seed, 6)
    rng = random.Random(seed)
    panel = [rng.randrange(4) for _ in shapes]
    groups = [group for group in ([i for i, p in enumerate(panel) if p == k] for k in range(4)) if group]
    hulls = hulls_of(shapes)
    hulls_of_groups = [hull_of([hulls[i] for i in group]) for group in groups]

    def ways(part: frozenset[int]) -> list[frozenset[int]]:
        own = [Polygon(hull) for hull in hulls_of_groups]
        return [a for a, _ in linear_ways(own, part)]

    stuck = stuck_groups(hulls_of_groups)
    assert comes_apart(frozenset(range(len(groups))), ways) == (not stuck)
    core = core_that_cannot_be_cut(groups, hulls)
    assert bool(core) == bool(stuck)
    if core:  # nothing of it can be spared
        for group in core:
            for spared in group:
                left = [[i for i in g if i != spared] for g in core]
                assert not stuck_groups([hull_of([hulls[i] for i in g]) for g in left if g])
