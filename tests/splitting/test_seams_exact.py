"""Seams that are called the least: against closed forms, brute force and partings from the literature."""

from __future__ import annotations

import math
import random
from functools import cache

import numpy as np
import pytest
from shapely import wkb, wkt
from shapely.affinity import scale
from shapely.geometry import MultiPolygon, Point, Polygon, box

from bigsign.splitting.limits import box_fits
from bigsign.splitting.seam_bound import least_chords, prove
from bigsign.splitting.seam_charge import Measure, pack, unpack
from bigsign.splitting.seam_cuts import Cutting, Group, Made
from bigsign.splitting.seam_lattice import is_rectilinear, lattice
from bigsign.splitting.seam_records import SeamRules, Seams, film_of
from bigsign.splitting.seam_relaxed import Relaxed
from bigsign.splitting.seam_search import find_seams
from bigsign.splitting.seam_spans import row_bound
from bigsign.splitting.sweep import Sweep
from tests.splitting.seam_shapes import drawn, largest
from tests.splitting.test_seams import joined

Cells = frozenset[tuple[int, int]]

HOOK = "POLYGON ((155 5, 85 5, 85 115, 45 115, 45 220, 110 220, 110 115, 155 115, 155 5))"


def found(shape: Polygon | MultiPolygon, limits: tuple[tuple[float, float], ...], **rules: float) -> Seams:
    seams = find_seams(shape, SeamRules(limits, **rules))  # type: ignore[arg-type]
    assert seams is not None
    assert seams.bound <= seams.cost.length + 1e-9
    assert seams.chords_bound <= seams.cost.chords
    return seams


def test_a_part_may_be_thinner_than_the_whole() -> None:
    """The thinnest chord of a shape is none of its parts': two necks of 70 mm, and 5 mm between two level seams."""
    seams = found(largest(wkt.loads(HOOK)), ((99.999, 99.999),))
    assert seams.exact
    assert seams.cost.length == pytest.approx(140.001)


@pytest.mark.parametrize(
    ("width", "height", "limit"),
    [(150, 150, (100, 100)), (700, 500, (292.1, 292.1)), (500, 40, (292.1, 292.1)), (333, 250, (120, 260))],
)
def test_a_plate_is_cut_as_often_as_its_rows_and_columns_ask_for(
    width: float, height: float, limit: tuple[float, float]
) -> None:
    columns, rows = math.ceil(width / limit[0]), math.ceil(height / limit[1])
    seams = found(box(0, 0, width, height), (limit,))
    assert seams.exact
    assert seams.cost.length == pytest.approx((columns - 1) * height + (rows - 1) * width, abs=1e-4)
    assert seams.bound == pytest.approx(seams.cost.length, abs=2e-3)


def test_plain_letters_are_cut_through_their_limbs() -> None:
    ell = joined(box(0, 0, 60, 500), box(0, 440, 500, 500))
    tee = joined(box(0, 0, 400, 50), box(170, 0, 230, 500))
    plus = joined(box(0, 170, 400, 230), box(170, 0, 230, 400))
    comb = joined(box(0, 0, 800, 40), *(box(n * 110, 0, n * 110 + 30, 200) for n in range(8)))
    for shape, length, chords in ((ell, 120, 2), (tee, 110, 2), (plus, 120, 2), (comb, 80, 2)):
        seams = found(shape, ((292.1, 292.1),))
        assert (seams.exact, seams.cost.chords) == (True, chords)
        assert seams.cost.length == pytest.approx(length)


def test_a_limb_fits_by_a_width_and_a_length_together() -> None:
    """Where a mat may be turned, a chain of seams is tied to the ends by sums of widths and lengths."""
    bar = joined(box(0, 0, 330, 60), box(0, 0, 60, 20), box(130, -70, 200, 130))
    turned = found(bar, ((200, 130), (130, 200)), angle=5.0)
    single = found(bar, ((200, 130),), angle=5.0)
    assert turned.cost.length <= single.cost.length + 1e-6


@pytest.mark.parametrize("ledge", [120.0, 180.0, 240.0])
def test_a_disc_takes_a_chord_of_the_circular_segment(ledge: float) -> None:
    r = 130.0
    seams = found(Point(0, 0).buffer(r, 128), ((ledge, 600.0),)) if ledge > r else None
    if seams is not None:
        assert seams.cost.length == pytest.approx(2 * math.sqrt(r**2 - (ledge - r) ** 2), rel=1e-3)
        assert seams.bound <= seams.cost.length


# -- an independent solver: the least edge length of a guillotine partition, by dynamic programming over the grid of
# vertex coordinates (after Du, Pan and Shing, "Minimum edge length guillotine rectangular partition", 1986; and
# Gonzalez, Razzazi, Shing and Zheng, "On optimal guillotine partitions approximating optimal d-box partitions",
# 1994; both from memory). Here parts need not be rectangles but have to fit, and cuts may lie at a limit's reach.


def least_by_grid(film: Polygon, limit: tuple[float, float]) -> float:
    """Return the least total length over cuts at vertices and tied to them; connected parts are cut by themselves."""
    lines = []
    for axis in (0, 1):
        at = set(np.round(np.asarray(film.exterior.coords)[:, axis], 6).tolist())
        low, high = min(at), max(at)
        while True:
            more = {round(a + s * limit[axis], 6) for a in at for s in (1, -1) if low < a + s * limit[axis] < high}
            if more <= at:
                break
            at |= more
        lines.append(sorted(at))
    xs, ys = lines
    full = [
        [film.covers(Point((xs[i] + xs[i + 1]) / 2, (ys[j] + ys[j + 1]) / 2)) for j in range(len(ys) - 1)]
        for i in range(len(xs) - 1)
    ]
    def pieces(cells: Cells) -> list[Cells]:
        left, out = set(cells), []
        while left:
            stack, seen = [left.pop()], set()
            while stack:
                i, j = stack.pop()
                seen.add((i, j))
                for near in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)):
                    if near in left:
                        left.discard(near)
                        stack.append(near)
            out.append(frozenset(seen))
        return out

    @cache
    def least(cells: Cells) -> float:
        i0, i1 = min(i for i, _ in cells), max(i for i, _ in cells) + 1
        j0, j1 = min(j for _, j in cells), max(j for _, j in cells) + 1
        if xs[i1] - xs[i0] <= limit[0] + 1e-9 and ys[j1] - ys[j0] <= limit[1] + 1e-9:
            return 0.0
        best = math.inf
        for axis, (a, b), along in ((0, (i0, i1), ys), (1, (j0, j1), xs)):
            for k in range(a + 1, b):
                sides = (
                    frozenset(c for c in cells if c[axis] < k), frozenset(c for c in cells if c[axis] >= k)
                )  # fmt: skip
                # a line close to an edge on either side of it is no shorter than what is film there on that side
                chords = [
                    sum(along[c[1 - axis] + 1] - along[c[1 - axis]] for c in cells if c[axis] == side)
                    for side in (k - 1, k)
                ]
                met = min(chords)
                if met < best:
                    best = min(best, met + sum(least(p) for side in sides for p in pieces(side)))
        return best

    return least(frozenset((i, j) for i in range(len(xs) - 1) for j in range(len(ys) - 1) if full[i][j]))


def on_grid(seed: int) -> Polygon:
    """Return a polygon of boxes on a grid of 10 mm."""
    r = random.Random(seed)
    shape: Polygon = box(0, 0, r.randrange(40, 120, 10), r.randrange(40, 120, 10))
    for _ in range(r.randint(1, 3)):
        x, y = r.randrange(0, 100, 10), r.randrange(0, 100, 10)
        shape = largest(shape.union(box(x, y, x + r.randrange(30, 90, 10), y + r.randrange(30, 90, 10))))
    return Polygon(shape.exterior)


@pytest.mark.parametrize("limit", [(60.0, 80.0), (70.0, 60.0), (90.0, 60.0)])
@pytest.mark.parametrize("seed", range(8))
def test_the_lattice_gives_the_least_guillotine_partition_over_the_grid(
    seed: int, limit: tuple[float, float]
) -> None:
    shape, rules = on_grid(seed), SeamRules((limit,), sliver=0.0)
    film, truth = film_of(shape), least_by_grid(shape, limit)
    places = lattice(film, rules)
    assert places is not None
    assert is_rectilinear(film)
    relaxed, _ = unpack(Relaxed(film, rules, places, Measure.TRUE, 20_000).least(pack(1e5, 0)))
    assert relaxed == pytest.approx(truth, abs=1e-2)
    assert box_fits(shape.bounds, (limit,)) == (truth == 0)
    if truth > 0:
        assert found(shape, (limit,), sliver=0.0).bound <= truth + 1e-2


def test_seams_of_rectilinear_film_are_the_least_guillotine_partition_over_the_grid() -> None:
    """Off the grid no limit is a difference of vertices, where half a mm off an edge would be too much."""
    limit, exact, cases = (67.3, 83.9), 0, 0
    for seed in range(16):
        shape = on_grid(seed)
        if box_fits(shape.bounds, (limit,)):
            continue
        truth = least_by_grid(shape, limit)
        seams = found(shape, (limit,), sliver=0.0)
        cases, exact = cases + 1, exact + seams.exact
        assert seams.bound <= truth + 1e-2
        assert seams.cost.length >= truth - 1e-2
        if seams.exact:
            assert seams.cost.length <= truth + 0.5 * seams.cost.chords + 1e-3
    assert exact >= 0.7 * cases


def brute(film: Polygon, rules: SeamRules, places: tuple[list[float], list[float]]) -> float:
    """Return the least total over cuts at the given places, every connected part by lines of its own."""

    @cache
    def least(key: bytes) -> float:
        part = largest(wkb.loads(key))
        if box_fits(part.bounds, rules.limits):
            return 0.0
        best = math.inf
        for axis in (0, 1):
            sweep = Sweep(part, axis, rules.angle)
            for at in places[axis]:
                if not sweep.low + 0.01 < at < sweep.high - 0.01 or not sweep.allowed(at) or sweep.length(at) >= best:
                    continue
                x0, y0, x1, y1 = part.bounds
                first = box(x0, y0, at, y1) if axis == 0 else box(x0, y0, x1, at)
                second = box(at, y0, x1, y1) if axis == 0 else box(x0, at, x1, y1)
                total = sweep.length(at)
                for side in (first, second):
                    for child in getattr(part.intersection(side), "geoms", [part.intersection(side)]):
                        if total < best and child.area > 1e-9:
                            total += least(child.normalize().wkb)
                best = min(best, total)
        return best

    return least(film.normalize().wkb)


@pytest.mark.parametrize("kind", ["rectangle", "l", "t", "plus", "star", "ring", "limbed", "disc"])
@pytest.mark.parametrize("seed", [11, 12])
def test_no_bound_is_above_what_a_brute_force_finds(kind: str, seed: int) -> None:
    shape = largest(drawn(kind, seed))
    x0, y0, x1, y1 = shape.bounds
    limit = 0.7 * max(x1 - x0, y1 - y0)
    rules = SeamRules(((limit, limit),) if seed % 2 else ((limit, 0.6 * limit), (0.6 * limit, limit)))
    count = 9
    grid = (
        [x0 + (x1 - x0) * (n + 0.513) / count for n in range(count)],
        [y0 + (y1 - y0) * (n + 0.487) / count for n in range(count)],
    )
    grid[0].extend((x0 + limit - 1e-6, x1 - limit + 1e-6))
    grid[1].extend((y0 + limit - 1e-6, y1 - limit + 1e-6))
    truth = brute(shape, rules, grid)
    proof = prove(film_of(shape), rules, truth, math.ceil(truth), 99)
    assert proof.length <= truth + 1e-6
    assert row_bound((Sweep(shape, 0, 0.0), Sweep(shape, 1, 0.0)), rules) <= truth + 1e-6
    seams = find_seams(shape, rules)
    assert seams is not None
    assert seams.bound <= truth + 1e-6
    if seams.exact:
        assert seams.cost.length <= truth + 0.5 * seams.cost.chords + 1e-6


def test_rows_bound_plates_with_overlaps() -> None:
    """Panels of 292.1 mm that share 25 mm each cover 1066.8 × 711.2 mm in four by three."""
    plate = box(0, 0, 1066.8, 711.2)
    sweeps = (Sweep(plate, 0, 0.0), Sweep(plate, 1, 0.0))
    rules = SeamRules(((292.1, 292.1),), overlap=25.0)
    assert row_bound(sweeps, rules) == pytest.approx(3 * 711.2 + 2 * 1066.8)


def test_chords_are_bounded_by_parts_and_holes() -> None:
    ring = film_of(largest(Point(0, 0).buffer(200, 64).difference(Point(0, 0).buffer(180, 64))))
    assert least_chords(ring, SeamRules(((292.1, 292.1),))) <= 4
    assert least_chords(ring, SeamRules(((292.1, 292.1),))) >= 2
    assert least_chords(film_of(box(0, 0, 500, 40)), SeamRules(((292.1, 292.1),))) == 1


def test_the_lattice_is_let_go_where_its_lemma_does_not_hold() -> None:
    slanting = film_of(Polygon([(0, 0), (300, 10), (300, 60), (0, 50)]))
    assert not is_rectilinear(slanting)
    assert lattice(slanting, SeamRules(((200, 200),))) is None
    # 7919 and 9973 share no measure: sums of both lead to too many places
    assert lattice(film_of(box(0, 0, 900, 300)), SeamRules(((79.19, 99.73), (99.73, 79.19)))) is None


def test_the_work_of_a_search_does_not_grow_without_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    """Six times as large, a stroke takes some forty panels: cuts are counted, not seconds."""
    made = 0
    make = Cutting.make

    def counted(self: Cutting, group: Group, axis: int, at: float) -> Made | None:
        nonlocal made
        made += 1
        return make(self, group, axis, at)

    monkeypatch.setattr(Cutting, "make", counted)
    large = scale(drawn("script", 5), 6, 6)
    seams = find_seams(large, SeamRules(((150.0, 292.0), (292.0, 150.0))))
    assert seams is not None
    assert len(seams.parts) > 20
    assert made < 12_000
