"""What holds of the seams of any film: it is conserved, parts fit, and mirrors and turns change nothing."""

from __future__ import annotations

import pytest
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import MultiPolygon, Polygon

from bigsign.geometry import polygons_of
from bigsign.splitting.limits import size_fits
from bigsign.splitting.seam_records import SeamRules, Seams
from bigsign.splitting.seam_search import find_seams
from tests.splitting.seam_shapes import KINDS, drawn

Film = Polygon | MultiPolygon
Limits = tuple[tuple[float, float], ...]

LIMITS: tuple[Limits, ...] = (((150.0, 150.0),), ((140.0, 260.0), (260.0, 140.0)), ((120.0, 180.0),))
CASES = [(kind, 1 + rank % 3) for rank, kind in enumerate(KINDS)]


def parted(shape: Film, limits: Limits, overlap: float = 0.0) -> Seams | None:
    return find_seams(shape, SeamRules(limits, overlap=overlap))


def same(one: Seams | None, other: Seams | None) -> bool:
    """Whether two partings have one total: in whole mm a seam, or in true length."""
    if one is None or other is None:
        return one is other
    return abs(one.cost.length - other.cost.length) <= 0.51 * max(one.cost.chords, other.cost.chords)


@pytest.mark.parametrize(("kind", "seed"), CASES)
@pytest.mark.parametrize("overlap", [0.0, 6.0])
def test_film_is_conserved_and_parts_fit(kind: str, seed: int, overlap: float) -> None:
    shape, limits = drawn(kind, seed), LIMITS[seed % 3]
    seams = parted(shape, limits, overlap)
    if seams is None:
        return
    assert shapely.union_all(list(seams.parts)).symmetric_difference(shape).area < 1e-5
    assert sum(part.area for part in seams.parts) == pytest.approx(shape.area)
    assert seams.cost.length == pytest.approx(sum(cut.length for cut in seams.cuts))
    assert 0.0 <= seams.bound <= seams.cost.length
    assert seams.chords_bound <= seams.cost.chords == sum(len(cut.chords) for cut in seams.cuts)
    plumb = [cut.at for cut in seams.cuts if cut.axis == 0]
    level = [cut.at for cut in seams.cuts if cut.axis == 1]
    for part in seams.parts:
        x0, y0, x1, y1 = part.bounds
        # the right part of a plumb seam, and the upper part of a level one, carry the overlap
        width = x1 - x0 + overlap * any(abs(x0 - at) < 1e-6 for at in plumb)
        height = y1 - y0 + overlap * any(abs(y1 - at) < 1e-6 for at in level)
        assert size_fits(width - 1e-6, height - 1e-6, limits)


@pytest.mark.parametrize(("kind", "seed"), CASES)
def test_mirrored_and_turned_film_has_seams_of_the_same_total(kind: str, seed: int) -> None:
    shape, limits = drawn(kind, seed), LIMITS[seed % 3]
    turned = tuple((h, w) for w, h in limits)
    first = parted(shape, limits)
    others = [
        parted(_moved(shape, (-1, 0, 0, 1)), limits), parted(_moved(shape, (1, 0, 0, -1)), limits),
        parted(_moved(shape, (0, -1, 1, 0)), turned),
    ]  # fmt: skip
    for other in others:
        assert (first is None) == (other is None)
        if first is None or other is None:
            continue
        # a bound of one is a bound of all
        assert first.bound <= other.cost.length + 1e-3
        assert other.bound <= first.cost.length + 1e-3
        if first.exact and other.exact:
            assert same(first, other)


@pytest.mark.parametrize(("kind", "seed"), CASES)
def test_a_larger_mat_and_leave_to_turn_make_no_total_larger(kind: str, seed: int) -> None:
    shape, limits = drawn(kind, seed), LIMITS[seed % 3]
    small = parted(shape, limits)
    larger = tuple((w * 1.04, h * 1.04) for w, h in limits)
    either_way = tuple(dict.fromkeys([*limits, *((h, w) for w, h in limits)]))
    for more in (larger, either_way):
        seams = parted(shape, more)
        if small is None:
            continue
        assert seams is not None
        assert seams.bound <= small.cost.length + 1e-3
        if seams.exact:
            assert seams.cost.length <= small.cost.length + 0.51 * small.cost.chords


def _moved(shape: Film, matrix: tuple[float, float, float, float]) -> Film:
    made = affine_transform(shape, [*matrix, 7.0, -3.0])
    parts = polygons_of(made)
    return MultiPolygon(parts) if isinstance(shape, MultiPolygon) else parts[0]
