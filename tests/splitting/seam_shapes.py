"""Film of many kinds drawn from a seed, for what must hold of seams of any shape."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import shapely
from shapely.affinity import rotate
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from bigsign.geometry import polygons_of

__all__ = ["KINDS", "drawn", "largest"]


def largest(shape: BaseGeometry) -> Polygon:
    """Return the largest polygon of a shape."""
    return max(polygons_of(shape), key=lambda part: part.area)


def _rectangle(r: random.Random) -> BaseGeometry:
    return box(0, 0, r.randint(60, 420), r.randint(60, 420))


def _ell(r: random.Random) -> BaseGeometry:
    w, h, a, b = r.randint(200, 420), r.randint(200, 420), r.randint(30, 120), r.randint(30, 120)
    return shapely.union_all([box(0, 0, a, h), box(0, h - b, w, h)])


def _tee(r: random.Random) -> BaseGeometry:
    w, h, a, b = r.randint(200, 420), r.randint(200, 420), r.randint(30, 120), r.randint(30, 120)
    return shapely.union_all([box(0, 0, w, b), box((w - a) / 2, 0, (w + a) / 2, h)])


def _you(r: random.Random) -> BaseGeometry:
    w, h, a, b = r.randint(220, 420), r.randint(200, 420), r.randint(30, 90), r.randint(30, 90)
    return shapely.union_all([box(0, 0, a, h), box(w - a, 0, w, h), box(0, h - b, w, h)])


def _plus(r: random.Random) -> BaseGeometry:
    w, h, a, b = r.randint(200, 420), r.randint(200, 420), r.randint(30, 120), r.randint(30, 120)
    return shapely.union_all([box(0, (h - b) / 2, w, (h + b) / 2), box((w - a) / 2, 0, (w + a) / 2, h)])


def _comb(r: random.Random) -> BaseGeometry:
    count, pitch, deep = r.randint(3, 6), r.randint(50, 90), r.randint(60, 200)
    teeth = [box(n * pitch, 0, n * pitch + 25, deep) for n in range(count)]
    return shapely.union_all([box(0, 0, (count - 1) * pitch + 25, r.randint(20, 45)), *teeth])


def _disc(r: random.Random) -> BaseGeometry:
    return Point(0, 0).buffer(r.randint(80, 190), 24)


def _ring(r: random.Random) -> BaseGeometry:
    radius = r.randint(110, 200)
    return Point(0, 0).buffer(radius, 24).difference(Point(0, 0).buffer(radius - r.randint(12, 50), 24))


def _star(r: random.Random) -> BaseGeometry:
    outer, inner, count = r.randint(120, 220), r.randint(50, 100), r.randint(4, 7)
    ends = [(outer if n % 2 == 0 else inner, n * math.pi / count) for n in range(2 * count)]
    return rotate(Polygon([(a * math.sin(t), -a * math.cos(t)) for a, t in ends]), r.randint(0, 40))


def _limbed(r: random.Random) -> BaseGeometry:
    w, h = r.randint(80, 200), r.randint(80, 200)
    arm, reach = r.randint(15, 50), r.randint(60, 140)
    wide = box(-w / 2 - reach, -arm / 2, w / 2 + reach, arm / 2)
    tall = box(-arm / 3, -h / 2 - reach, arm / 3, h / 2 + reach)
    return shapely.union_all([box(-w / 2, -h / 2, w / 2, h / 2), wide, tall])


def _rectilinear(r: random.Random) -> BaseGeometry:
    """Return boxes on a coarse grid that hang together."""
    parts: BaseGeometry = box(100, 100, 180, 200)
    for _ in range(r.randint(2, 5)):
        x, y = r.randrange(0, 300, 5), r.randrange(0, 300, 5)
        more = box(x, y, x + r.randrange(30, 160, 5), y + r.randrange(30, 160, 5))
        if more.intersection(parts).area > 100:
            parts = parts.union(more)
    return parts


def _script(r: random.Random) -> BaseGeometry:
    """Return a stroke that winds along a line."""
    points = [(n * 12.0, 60 * math.sin(n * 0.9 + r.random()) * (0.5 + r.random())) for n in range(r.randint(20, 34))]
    return LineString(points).buffer(r.randint(6, 14), 6)


def _holed(r: random.Random) -> BaseGeometry:
    w, h = r.randint(180, 380), r.randint(180, 380)
    a, b = r.randint(20, 50), r.randint(20, 50)
    plate = box(0, 0, w, h).difference(box(a, b, w - a, h - b))
    return plate.union(box(0, h / 2 - 10, w, h / 2 + 10)) if r.random() < 0.5 else plate


def _several(r: random.Random) -> BaseGeometry:
    outer = _you(r)
    x0, _, x1, y1 = outer.bounds
    inner = box(x0 + 95, 0, x1 - 95, y1 - 120)
    return MultiPolygon([*polygons_of(outer), *(polygons_of(inner) if inner.area > 0 else [])])


KINDS: dict[str, Callable[[random.Random], BaseGeometry]] = {
    "rectangle": _rectangle, "l": _ell, "t": _tee, "u": _you, "plus": _plus, "comb": _comb, "disc": _disc,
    "ring": _ring, "star": _star, "limbed": _limbed, "rectilinear": _rectilinear, "script": _script,
    "holed": _holed, "several": _several,
}  # fmt: skip


def drawn(kind: str, seed: int) -> Polygon | MultiPolygon:
    """Return film of a kind: connected, but for ``several``; mm."""
    made = KINDS[kind](random.Random(f"{kind} {seed}"))
    return MultiPolygon(polygons_of(made)) if kind == "several" else largest(made)
