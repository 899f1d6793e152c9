"""Which ways lines may run: angles at which letters' ends fall on few lines, circles on which letters stand.

Angles: the ends of the letters' hulls are projected across every direction; where lines run, the ends fall together
(projection profiles, as of Postl, ICPR 1986). Circles: through every three letters' middles, kept where most lie.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

import numpy as np
import numpy.typing as npt
import shapely

from bigsign.reading.glyphs import Part
from bigsign.reading.views import Floats, View

__all__ = ["angle_candidates", "arc_candidates", "size_of"]

MOST = 300  # letters looked at for a direction: more add nothing
COARSE, FINE = 1.0, 0.1  # degrees
BINS = 0.12, 0.05  # of the letters' size, the width of a heap of ends when looking coarsely and finely
KEPT = 4  # best directions looked at closely
ON_ARC = 0.22  # of the letters' size, the band about a circle in which their middles lie
ROUNDEST, FLATTEST = 1.2, 40.0  # radius of an arc in letter sizes
TRIPLES = 20000


def size_of(parts: Sequence[Part]) -> float:
    """Return the usual size of the larger parts, mm."""
    sizes = np.array([max(part.box[2] - part.box[0], part.box[3] - part.box[1]) for part in parts])
    return float(np.median(sizes[sizes >= 0.45 * np.quantile(sizes, 0.8)]))


def angle_candidates(parts: Sequence[Part]) -> list[float]:
    """Return the likeliest angles of lines from -90 up to 90 degrees, quarter turns among them."""
    bodies = _bodies(parts)
    hulls = shapely.convex_hull(np.array([part.shape for part in bodies], dtype=object))
    points, index = shapely.get_coordinates(hulls, return_index=True)
    starts = np.searchsorted(index, np.arange(len(bodies)))
    size = size_of(bodies)
    coarse = np.arange(-90.0, 90.0, COARSE)
    worth = _together(points, starts, coarse, BINS[0] * size)
    found: list[float] = []
    for at in np.argsort(-worth, kind="stable").tolist():
        if all(abs((coarse[at] - other + 90) % 180 - 90) > 4 for other in found):
            found.append(float(coarse[at]))
        if len(found) == KEPT:
            break
    out = []
    for angle in found:
        fine = np.arange(angle - 1.5, angle + 1.5 + FINE / 2, FINE)
        best = _together(points, starts, fine, BINS[1] * size)
        near = fine[best >= best.max() - 1e-9]
        out.append(float(near[len(near) // 2]))
    out = [0.0 if abs(angle) < 1 else angle for angle in out]
    return list(dict.fromkeys([*(round((a + 90) % 180 - 90, 2) for a in out), -90.0]))


def _bodies(parts: Sequence[Part]) -> list[Part]:
    size = size_of(parts)
    big = [part for part in parts if max(part.box[2] - part.box[0], part.box[3] - part.box[1]) >= 0.4 * size]
    return big[:MOST]


def _together(points: Floats, starts: npt.NDArray[np.intp], angles: Floats, width: float) -> Floats:
    """Return, for each angle, how much the letters' ends (feet or heads, the better) fall together."""
    radians = np.radians(angles)[:, None]
    across = -points[:, 0] * np.sin(radians) + points[:, 1] * np.cos(radians)
    out = np.zeros(len(angles))
    for ends in (np.maximum.reduceat(across, starts, axis=1), np.minimum.reduceat(across, starts, axis=1)):
        ends = np.sort(ends, axis=1)
        for n, row in enumerate(ends):
            near = np.searchsorted(row, row + width, side="right") - np.searchsorted(row, row - width)
            out[n] = max(out[n], float((near - 1).sum()))
    return out


def arc_candidates(parts: Sequence[Part]) -> list[View]:
    """Return views of the likeliest arcs, heads outward and inward, best first."""
    bodies = _bodies(parts)
    if len(bodies) < 4:
        return []
    size = size_of(bodies)
    middles = shapely.get_coordinates(shapely.centroid(np.array([part.shape for part in bodies], dtype=object)))
    step = max(1, math.ceil(math.comb(len(middles), 3) / TRIPLES))
    triples = np.array(list(combinations(range(len(middles)), 3)) if len(middles) <= 60 else _spread(len(middles)))
    triples = triples[::step] if len(middles) <= 60 else triples
    circles = _circles(middles, triples)
    circles = circles[(circles[:, 2] > ROUNDEST * size) & (circles[:, 2] < FLATTEST * size)]
    if not len(circles):
        return []
    away = np.hypot(middles[:, 0] - circles[:, :1], middles[:, 1] - circles[:, 1:2])
    off = np.abs(away - circles[:, 2:])
    worth = np.where(off < ON_ARC * size, 1 - off / (ON_ARC * size), 0).sum(axis=1)
    kept: list[int] = []
    for at in np.argsort(-worth, kind="stable").tolist():
        x, y, r = circles[at]
        if all(np.hypot(x - circles[k, 0], y - circles[k, 1]) > 0.3 * size + 0.1 * abs(r) for k in kept):
            kept.append(at)
        if len(kept) == KEPT:
            break
    out: list[View] = []
    for at in kept:
        views = [arc_view(middles, circles[at], inward) for inward in (False, True)]
        # the one whose letters stand upright in the middle of the arc comes first
        out.extend(views if math.sin(views[0].seam + math.pi) < 0.01 else reversed(views))
    return out


def arc_view(middles: Floats, circle: Floats, inward: bool) -> View:
    """Return the view of an arc, cut open where the widest stretch is bare."""
    x, y, radius = circle.tolist()
    turns = np.sort(np.arctan2(middles[:, 1] - y, middles[:, 0] - x))
    bare = np.diff(np.append(turns, turns[0] + 2 * np.pi))
    at = int(np.argmax(bare))
    seam = float(turns[at] + bare[at] / 2)
    return View(centre=(x, y), radius=radius, inward=inward, seam=seam)


def _spread(count: int) -> list[tuple[int, int, int]]:
    """Return triples of letters spread over all of them."""
    order = np.random.default_rng(count).integers(0, count, (3 * TRIPLES // 2, 3))
    order.sort(axis=1)
    good = (order[:, 0] < order[:, 1]) & (order[:, 1] < order[:, 2])
    return [(int(a), int(b), int(c)) for a, b, c in order[good]]


def _circles(points: Floats, triples: npt.NDArray[np.int64]) -> Floats:
    """Return (x, y, radius) through three points each; straight ones are left out."""
    a, b, c = (points[triples[:, n]] for n in range(3))
    ab, ac = b - a, c - a
    cross = 2 * (ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])
    good = np.abs(cross) > 1e-9
    ab, ac, cross, a = ab[good], ac[good], cross[good], a[good]
    b2, c2 = (ab**2).sum(axis=1), (ac**2).sum(axis=1)
    x = (ac[:, 1] * b2 - ab[:, 1] * c2) / cross
    y = (ab[:, 0] * c2 - ac[:, 0] * b2) / cross
    return np.column_stack([a[:, 0] + x, a[:, 1] + y, np.hypot(x, y)])
