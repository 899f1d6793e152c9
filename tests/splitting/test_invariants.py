"""What holds of every parting: film conserved, panels that fit, cuts that cut, measures that move with the sign."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

import numpy as np
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.affinity import affine_transform
from shapely.geometry import Polygon

from bigsign.artwork.pieces import Artwork
from bigsign.errors import InputError
from bigsign.plan import check_plan, plan_lettering
from bigsign.project import Cutter, PlanSettings
from bigsign.reading.lettering import Lettering
from bigsign.splitting.cost import Policy
from bigsign.splitting.families import make_family
from bigsign.splitting.graph import build_graph
from bigsign.splitting.limits import panel_limits
from bigsign.splitting.search import search
from bigsign.splitting.separations import Separations
from bigsign.splitting.split import split
from bigsign.splitting.tree import Branch, CutTree, Node, leaves
from bigsign.splitting.units import merge_units
from tests.box_lettering import letters_from
from tests.planning import project_of
from tests.splitting.straight_cuts import Points, hull_of, stuck_groups

#: Lengths on a grid of 10 mm: box areas are whole cm² and gaps whole, so that scaling by 2 rounds nothing anew.
GRID = 10.0


@dataclass(frozen=True)
class Sign:
    """Lettering drawn at random, a usable area every letter of it fits, and how panels may turn."""

    artwork: Artwork
    lettering: Lettering
    usable: tuple[float, float]
    turning: str
    policy: str
    tolerance: float = 1.0

    def parted(self) -> CutTree:
        cutter = Cutter("test", "mat", *self.usable)
        plan = PlanSettings(policy=self.policy, placement_tolerance=self.tolerance)
        (tree,) = split(self.artwork, self.lettering, cutter, self.turning, plan).trees
        assert tree.report.proved
        return tree

    def moved(self, matrix: tuple[float, float, float, float, float, float]) -> Sign:
        """Return the sign with its artwork and lettering moved by (a, b, c, d, e, f) as in SVG; the mat stays."""
        a, b, c, d, e, f = matrix

        def to(point: tuple[float, float]) -> tuple[float, float]:
            return a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f

        shapes = {p.id: affine_transform(p.shape, [a, c, b, d, e, f]) for p in self.artwork.pieces}
        pieces = tuple(replace(p, shape=shapes[p.id]) for p in self.artwork.pieces)
        glyphs = tuple(replace(g, bounds=shapes[g.pieces[0]].bounds) for g in self.lettering.glyphs)
        turn = float(np.degrees(np.arctan2(b, a))) % 360
        size = float(np.hypot(a, b))
        lines = tuple(
            replace(
                line,
                baseline=(to(line.baseline[0]), to(line.baseline[1])),
                angle=turn,
                cap_height=line.cap_height * size,
            )
            for line in self.lettering.lines
        )
        lettering = replace(self.lettering, glyphs=glyphs, lines=lines)
        return replace(self, artwork=Artwork(pieces), lettering=lettering)


def letter(style: str, width: float, height: float, x: float, y: float) -> Polygon:
    middle, half = x + width / 2, y + height / 2
    corners = {
        "box": [(x, y), (x + width, y), (x + width, y + height), (x, y + height)],
        "lozenge": [(middle, y), (x + width, half), (middle, y + height), (x, half)],
        "wedge": [(x, y), (x + width, y), (middle, y + height)],
        "slope": [(x + width / 2, y), (x + width, y), (x + width / 2, y + height), (x, y + height)],
    }
    return Polygon(corners[style])


@st.composite
def signs(
    draw: st.DrawFn,
    most: int = 12,
    styles: Sequence[str] = ("box", "lozenge", "wedge", "slope"),
    uneven: bool = True,
) -> Sign:
    """Draw one to three lines of words of convex letters, up to ``most`` in all; gaps of about 10 mm and more.

    ``uneven`` moves each letter off the grid by an amount of its own, so that no line touches three of them.
    """
    left, y, number = most, 0.0, 0
    rows = []
    for _ in range(draw(st.integers(1, 3))):
        height = GRID * draw(st.integers(3, 6))
        x, row = GRID * draw(st.integers(0, 6)), []
        for _ in range(draw(st.integers(1, 3))):
            word = []
            for _ in range(min(left, draw(st.integers(1, 5)))):
                width = GRID * draw(st.integers(1, 6))
                off = 0.013 * number**2 if uneven else 0.0
                word.append(letter(draw(st.sampled_from(styles)), width, height, x + off, y + 1.7 * off))
                number += 1
                x += width + GRID
                left -= 1
            if word:
                row.append(word)
                x += GRID * draw(st.integers(1, 4))
        if row:
            rows.append(row)
        y += height + GRID * draw(st.integers(1, 3))
    usable = draw(st.sampled_from([(60.0, 60.0), (60.0, 130.0), (80.0, 170.0), (120.0, 120.0)]))
    turning = draw(st.sampled_from(["quarter", "none"]))
    return Sign(*letters_from(rows), usable, turning, draw(st.sampled_from(["words", "panels"])))


def groups(tree: CutTree) -> set[frozenset[str]]:
    return {frozenset(leaf.nodes) for leaf in leaves(tree.root)}


def tiers(tree: CutTree) -> tuple[int, ...]:
    """Return a tree's measures in the policy's order, in whole units."""
    m = tree.measures
    lead = (m.in_word_breaks, m.panels) if tree.report.policy == "words" else (m.panels, m.in_word_breaks)
    return (*lead, round(1000 * m.risk), round(m.largest_panel_area / 100))


@given(signs())
@settings(max_examples=25, deadline=None)
def test_film_is_conserved_every_panel_fits_and_the_plan_holds(sign: Sign) -> None:
    film = shapely.union_all([piece.shape for piece in sign.artwork.pieces])
    x0, y0, x1, y1 = film.bounds
    placed = sign.moved((1, 0, 0, 1, 30 - x0, 30 - y0))
    project = project_of(x1 - x0 + 60, y1 - y0 + 60, sign.usable, sign.turning, policy=sign.policy)
    plan = plan_lettering(project, placed.artwork, placed.lettering)
    assert not check_plan(plan)
    pieces = [piece.shape for piece in placed.artwork.pieces]
    together = shapely.union_all([panel.film for panel in plan.panels])
    assert together.symmetric_difference(shapely.union_all(pieces)).area < 1e-6
    assert np.isclose(sum(panel.film.area for panel in plan.panels), sum(piece.area for piece in pieces), rtol=1e-9)
    w, h = sign.usable
    for panel in plan.panels:
        px0, py0, px1, py1 = panel.film.bounds
        ways = [(w, h)] if sign.turning == "none" else [(w, h), (h, w)]
        assert any(px1 - px0 <= a + 0.001 and py1 - py0 <= b + 0.001 for a, b in ways)


@given(signs(most=16))
@settings(max_examples=40, deadline=None)
def test_the_cut_tree_holds_each_node_once_and_each_of_its_cuts_cuts(sign: Sign) -> None:
    tree = sign.parted()
    everything = [node for leaf in leaves(tree.root) for node in leaf.nodes]
    assert sorted(everything) == sorted(glyph.id for glyph in sign.lettering.glyphs)
    shapes = {g.id: p.shape for g, p in zip(sign.lettering.glyphs, sign.artwork.pieces, strict=True)}

    def hull(node: Node) -> Polygon:
        if isinstance(node, Branch):
            one, two = hull(node.first), hull(node.second)
            # letters are convex here, so each two leave a straight way and every cut is straight
            assert one.distance(two) > 0.0
            return shapely.union(one, two).convex_hull  # type: ignore[return-value]
        return shapely.union_all([shapes[n] for n in node.nodes]).convex_hull  # type: ignore[return-value]

    hull(tree.root)
    parts = [[np.asarray(shapes[n].exterior.coords)[:-1] for n in leaf.nodes] for leaf in leaves(tree.root)]
    assert not stuck_groups([hull_of(part) for part in parts])


@given(signs(styles=("box",), uneven=False), st.sampled_from([0.5, 2.0, 4.0]))
@settings(max_examples=30, deadline=None)
def test_scaling_everything_scales_the_plan(sign: Sign, factor: float) -> None:
    """Artwork, mat, tolerance: the same panels. Tier 5 counts whole cm²: lengths are on a grid that it leaves exact."""
    large = replace(
        sign.moved((factor, 0, 0, factor, 0, 0)),
        usable=(factor * sign.usable[0], factor * sign.usable[1]),
        tolerance=factor * sign.tolerance,
    )
    one, two = sign.parted(), large.parted()
    assert two.measures.in_word_breaks == one.measures.in_word_breaks
    assert two.measures.panels == one.measures.panels
    assert two.measures.risk == one.measures.risk
    if factor >= 1:  # made smaller, areas that differ may round to the same cm²
        assert two.measures.largest_panel_area == factor**2 * one.measures.largest_panel_area
        assert groups(two) == groups(one)


@given(signs(), st.sampled_from(["quarter turn", "half turn", "mirror", "mirror down"]))
@settings(max_examples=40, deadline=None)
def test_turned_or_mirrored_with_its_mat_the_measures_stay(sign: Sign, how: str) -> None:
    matrix = {
        "quarter turn": (0.0, 1.0, -1.0, 0.0, 500.0, 0.0),
        "half turn": (-1.0, 0.0, 0.0, -1.0, 500.0, 500.0),
        "mirror": (-1.0, 0.0, 0.0, 1.0, 500.0, 0.0),
        "mirror down": (1.0, 0.0, 0.0, -1.0, 0.0, 500.0),
    }[how]
    turned = sign.moved(matrix)
    if how == "quarter turn":
        turned = replace(turned, usable=(sign.usable[1], sign.usable[0]))
    try:
        before = sign.parted()
    except InputError:
        try:
            turned.parted()
        except InputError:
            return
        raise
    assert tiers(turned.parted()) == tiers(before)


@given(signs(most=14), st.integers(0, 12), st.integers(0, 12))
@settings(max_examples=40, deadline=None)
def test_a_larger_mat_never_makes_a_plan_worse(sign: Sign, wider: int, longer: int) -> None:
    """All tiers in order: a plan for the smaller mat is one for the larger."""
    larger = replace(sign, usable=(sign.usable[0] + 7.0 * wider, sign.usable[1] + 7.0 * longer))
    assert tiers(larger.parted()) <= tiers(sign.parted())


@given(signs(), st.sampled_from(["words", "panels"]))
@settings(max_examples=30, deadline=None)
def test_allowing_turns_or_more_tolerance_order_plans_as_they_should(sign: Sign, policy: str) -> None:
    upright = replace(sign, turning="none", policy=policy)
    either = replace(sign, turning="quarter", policy=policy)
    assert tiers(either.parted()) <= tiers(upright.parted())
    # the policies' own first tiers: neither is beaten at its own aim
    words, panels = replace(either, policy="words").parted(), replace(either, policy="panels").parted()
    assert words.measures.in_word_breaks <= panels.measures.in_word_breaks
    assert panels.measures.panels <= words.measures.panels


@given(signs(most=9))
@settings(max_examples=30, deadline=None)
def test_the_search_without_its_bounds_finds_the_same(sign: Sign) -> None:
    graph = build_graph(sign.artwork, sign.lettering, "#000000")
    limits = panel_limits(Cutter("test", "mat", *sign.usable), sign.turning)
    units, _ = merge_units(graph, [], lambda b: any(b[2] - b[0] <= w and b[3] - b[1] <= h for w, h in limits))
    family = make_family(graph, units, limits, PlanSettings(policy=sign.policy), [])
    separations = Separations([unit.hull for unit in units])
    bounded = search(family, separations, Policy(sign.policy), 50_000)
    free = search(family, separations, Policy(sign.policy), 50_000, prune=False)
    assert bounded.proved
    assert free.proved
    assert (bounded.cost, bounded.area) == (free.cost, free.area)


def exact_separations(hulls: Sequence[Sequence[tuple[int, int]]]) -> set[frozenset[int]]:
    """Return every way a straight line parts some polygons with whole coordinates: the side that holds the first.

    In whole numbers throughout: a line that parts them can be moved until it meets two corners; from the line through
    each two corners it comes back by a shift or by a turn about a point between two corners on it, all of which are
    tried, as the sign each corner gets.
    """
    corners = [(point, at) for at, hull in enumerate(hulls) for point in hull]
    found: set[frozenset[int]] = set()
    for (p, _), (q, _) in combinations(corners, 2):
        if p == q:
            continue
        dx, dy = q[0] - p[0], q[1] - p[1]
        off = [dx * (c[1] - p[1]) - dy * (c[0] - p[0]) for c, _ in corners]
        along = [dx * c[0] + dy * c[1] for c, _ in corners]
        places = sorted({a for a, o in zip(along, off, strict=True) if o == 0})
        # twice the pivot's place: before all, between two neighbours, after all
        pivots = [2 * places[0] - 1, *(a + b for a, b in pairwise(places)), 2 * places[-1] + 1]
        for pivot in pivots:
            for turn in (1, -1):
                above = [o > 0 or (o == 0 and turn * (2 * a - pivot) > 0) for o, a in zip(off, along, strict=True)]
                sides = [{up for up, (_, at) in zip(above, corners, strict=True) if at == k} for k in range(len(hulls))]
                if all(len(side) == 1 for side in sides):
                    first = sides[0]
                    side = frozenset(k for k, own in enumerate(sides) if own == first)
                    if len(side) < len(hulls):
                        found.add(side)
    return found


def any_line_meets_three(hulls: Sequence[Sequence[tuple[int, int]]]) -> bool:
    """Whether some line touches corners of three polygons."""
    return any(
        (q[0] - p[0]) * (r[1] - p[1]) == (q[1] - p[1]) * (r[0] - p[0])
        for one, two, three in combinations(hulls, 3)
        for p in one
        for q in two
        for r in three
    )


def in_metres(hulls: Sequence[Sequence[tuple[int, int]]]) -> list[Points]:
    """Return polygons a thousand times as large, so that the narrowest way between them is wide for film."""
    return [1000.0 * np.array(hull, dtype=float) for hull in hulls]


@st.composite
def scattered(draw: st.DrawFn) -> list[list[tuple[int, int]]]:
    """Draw up to six polygons of three or four corners on whole coordinates that do not touch."""
    out: list[Polygon] = []
    for _ in range(draw(st.integers(2, 6))):
        x, y = draw(st.integers(0, 40)), draw(st.integers(0, 40))
        points = draw(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=4))
        shape = Polygon([(x + a, y + b) for a, b in points]).convex_hull
        if isinstance(shape, Polygon) and all(shape.distance(other) > 0.01 for other in out):
            out.append(shape)
    assume(len(out) > 1)
    return [[(round(a), round(b)) for a, b in shape.exterior.coords[:-1]] for shape in out]


@given(scattered(), st.integers(0, 63))
@settings(max_examples=60, deadline=None)
def test_the_separations_are_those_of_whole_number_geometry(hulls: list[list[tuple[int, int]]], chosen: int) -> None:
    assume(not any_line_meets_three(hulls))
    separations = Separations(in_metres(hulls))
    for subset in ((1 << len(hulls)) - 1, chosen & ((1 << len(hulls)) - 1)):
        members = [k for k in range(len(hulls)) if subset >> k & 1]
        if len(members) < 2:
            continue
        wanted = {
            frozenset(members[k] for k in side) for side in exact_separations([hulls[k] for k in members])
        }  # fmt: skip
        assert {frozenset(k for k in members if side >> k & 1) for side in separations.of(subset)} == wanted


def test_whole_number_geometry_finds_what_is_plain() -> None:
    squares = [[(x, y), (x + 4, y), (x + 4, y + 4), (x, y + 4)] for x, y in ((0, 0), (10, 0), (20, 0))]
    assert exact_separations(squares) == {frozenset({0}), frozenset({0, 1})}
    four = [[(x, y), (x + 4, y), (x + 4, y + 4), (x, y + 4)] for x, y in ((0, 0), (10, 0), (0, 10), (10, 10))]
    crossed = frozenset({0, 3})
    assert crossed not in exact_separations(four)
    assert len(exact_separations(four)) == 6


#: Three boxes with the same plumb line along an edge of each: one left of it, two right of it, above and below.
FLUSH = [
    [(10, 0), (20, 0), (20, 30), (10, 30)],
    [(0, 40), (10, 40), (10, 70), (0, 70)],
    [(10, 80), (20, 80), (20, 110), (10, 110)],
]


def test_a_line_along_film_on_both_sides_parts_nothing() -> None:
    sides = Separations(in_metres(FLUSH)).of(0b111)
    assert {frozenset(k for k in range(3) if side >> k & 1) for side in sides} == exact_separations(FLUSH)


def test_film_flush_with_film_on_the_other_side_is_planned() -> None:
    rows = [[[Polygon([(x + 50, y + 50) for x, y in corners])]] for corners in FLUSH]
    plan = plan_lettering(project_of(200.0, 210.0, (12.0, 111.0), "none"), *letters_from(rows))
    assert not check_plan(plan)
    assert len(plan.panels) == 3
