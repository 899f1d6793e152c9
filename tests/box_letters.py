"""Letters built from boxes, rings and a few slanted strokes, for samples that need no font.

Unit frame: cap height 1, foot at y = 0, head at y = −1 (y down), left side of the film at x = 0.
"""

from __future__ import annotations

from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

__all__ = ["FLAT", "box_letter", "polygons_of"]

S = 0.2  # stroke
W = 0.62  # usual width

#: Letters that stand on flat feet; the others (C, G, O …) overshoot the baseline or stand on points.
FLAT = frozenset("ABDEFHIKLMNPRSTUXYZi!")


def polygons_of(shape: object) -> list[Polygon]:
    """Return the polygons of a polygon or multipolygon, from left to right."""
    parts = shape.geoms if isinstance(shape, MultiPolygon) else (shape,)
    found = [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
    return sorted(found, key=lambda part: part.bounds)


def _stem(x: float, low: float = 0.0, high: float = 1.0) -> Polygon:
    return box(x, -high, x + S, -low)


def _bar(y: float, x0: float = 0.0, x1: float = W) -> Polygon:
    return box(x0, -y - S / 2, x1, -y + S / 2)


def _stroke(*points: tuple[float, float]) -> Polygon:
    return LineString(points).buffer(S / 2, cap_style="flat", join_style="mitre")


def _ring(width: float, over: float = 0.015) -> BaseGeometry:
    outer = affinity.scale(Point(width / 2, -0.5).buffer(1.0, quad_segs=16), width / 2, 0.5 + over)
    inner = affinity.scale(Point(width / 2, -0.5).buffer(1.0, quad_segs=16), width / 2 - S, 0.5 + over - S)
    return outer.difference(inner)


_MID, _TOP, _LOW = 0.5, 1 - S / 2, S / 2


def _shape(letter: str) -> BaseGeometry:
    right = W - S
    cut_to_cap = box(-1, -1, 2, 0)
    boxes: dict[str, tuple[Polygon, ...]] = {
        "B": (
            _stem(0),
            _bar(_TOP, 0, W - 0.05),
            _bar(_MID),
            _bar(_LOW),
            _stem(right, 0, _MID + S / 2),
            _stem(right - 0.05, _MID, 1),
        ),
        "E": (_stem(0), _bar(_TOP), _bar(_MID, 0, W - 0.08), _bar(_LOW)),
        "F": (_stem(0), _bar(_TOP), _bar(_MID, 0, W - 0.08)),
        "H": (_stem(0), _stem(right), _bar(_MID)),
        "I": (_stem(0),),
        "L": (_stem(0), _bar(_LOW)),
        "P": (_stem(0), _bar(_TOP), _bar(_MID - 0.05), _stem(right, _MID - 0.05, 1)),
        "S": (_bar(_TOP), _bar(_MID), _bar(_LOW), _stem(0, _MID, 1), _stem(right, 0, _MID)),
        "T": (_bar(_TOP), _stem(W / 2 - S / 2)),
        "U": (_stem(0), _stem(right), _bar(_LOW)),
        "i": (_stem(0, 0, 0.66), box(0, -1, S, -0.8)),
        "!": (box(0, -0.2, S, 0), box(0, -1, S, -0.32)),
        "=": (_bar(0.65, 0, 0.5), _bar(0.3, 0, 0.5)),
        "-": (_bar(0.5, 0, 0.35),),
    }
    if letter in boxes:
        return unary_union(list(boxes[letter]))
    if letter == "D":
        outer = Polygon([(0, -1), (0.48, -1), (W, -0.86), (W, -0.14), (0.48, 0), (0, 0)])
        return outer.difference(box(S, -1 + S, W - S, -S))
    if letter == "O":
        return _ring(0.8)
    if letter == "C":
        return _ring(0.8).difference(box(0.55, -0.72, 1, -0.28))
    if letter == "G":
        return unary_union([_ring(0.8).difference(box(0.5, -0.72, 1, -0.42)), box(0.45, -0.5, 0.79, -0.32)])
    if letter == "A":
        legs = _stroke((0.1, 0.2), (0.44, -1.2)).union(_stroke((0.78, 0.2), (0.44, -1.2)))
        return legs.union(_bar(0.3, 0.15, 0.73)).intersection(cut_to_cap)
    if letter == "V":
        legs = _stroke((0.1, -1.2), (0.42, 0.2)).union(_stroke((0.74, -1.2), (0.42, 0.2)))
        return legs.intersection(cut_to_cap)
    if letter == "R":
        bowl = unary_union([_stem(0), _bar(_TOP), _bar(_MID), _stem(right, _MID, 1)])
        return bowl.union(_stroke((0.25, -0.5), (0.6, 0.15))).intersection(cut_to_cap)
    if letter == "N":
        return unary_union([_stem(0), _stem(0.5), _stroke((0.05, -1.15), (0.65, 0.15))]).intersection(
            box(0, -1, 0.7, 0)
        )
    if letter == "M":
        peak = _stroke((0.05, -1.15), (0.42, -0.25), (0.79, -1.15))
        return unary_union([_stem(0), _stem(0.64), peak]).intersection(box(0, -1, 0.84, 0))
    if letter == "W":
        return affinity.scale(_shape("M"), 1, -1, origin=(0, -0.5))
    if letter == "Y":
        arms = _stroke((0.06, -1.15), (0.36, -0.45)).union(_stroke((0.66, -1.15), (0.36, -0.45)))
        return unary_union([arms, box(0.26, -0.5, 0.46, 0)]).intersection(cut_to_cap)
    raise KeyError(letter)


def box_letter(letter: str, cap_height: float) -> MultiPolygon:
    """Return the film of a letter at ``cap_height`` mm, foot at y = 0, left side at x = 0."""
    shape = _shape(letter)
    scaled = affinity.scale(shape, cap_height, cap_height, origin=(0, 0))
    moved = affinity.translate(scaled, -scaled.bounds[0], 0)
    return MultiPolygon(polygons_of(moved))
