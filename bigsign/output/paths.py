"""Shapes to SVG path data: absolute M, L and Z with a fixed number of decimals.

Outer rings run one way and holes the other, so that a path is the same under the even-odd and the nonzero
rule. y runs down here as everywhere; nothing is flipped.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.polygon import orient

__all__ = ["DECIMALS", "line_data", "number", "path_data", "polygons", "transform_points"]

#: Decimals of a coordinate in mm: a hundred-thousandth, a thousand times finer than any knife.
DECIMALS = 5

Ring = Sequence[tuple[float, ...]]


def number(value: float, decimals: int = DECIMALS) -> str:
    """Return a coordinate with fixed decimals; never a minus before nought."""
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


def polygons(shape: Polygon | MultiPolygon) -> list[Polygon]:
    """Return the polygons of a shape as they stand in it, empty ones left out."""
    parts = shape.geoms if isinstance(shape, MultiPolygon) else (shape,)
    return [part for part in parts if not part.is_empty]


def _points(points: Iterable[Sequence[float]], decimals: int) -> list[str]:
    out: list[str] = []
    for point in points:
        text = f"{number(point[0], decimals)} {number(point[1], decimals)}"
        if not out or out[-1] != text:
            out.append(text)
    return out


def _ring_data(ring: Ring, decimals: int) -> str:
    points = _points(ring, decimals)
    if len(points) > 1 and points[-1] == points[0]:
        points.pop()
    if len(points) < 3:  # a ring that closes up at this many decimals encloses nothing
        return ""
    return f"M{points[0]} L{' '.join(points[1:])} Z"


def path_data(shape: Polygon | MultiPolygon, *, holes_first: bool = False, decimals: int = DECIMALS) -> str:
    """Return closed path data of a shape in mm.

    Parameters
    ----------
    shape : valid polygon or multipolygon.
    holes_first : for cutting: what lies inside is cut before what holds it comes loose.
    """
    out: list[str] = []
    for part in polygons(shape):
        turned = orient(part)
        rings = [turned.exterior, *turned.interiors]
        if holes_first:
            rings = [*rings[1:], rings[0]]
        out.extend(data for ring in rings if (data := _ring_data(list(ring.coords), decimals)))
    return " ".join(out)


def line_data(points: Iterable[Sequence[float]], *, decimals: int = DECIMALS) -> str:
    """Return open path data of a polyline in mm; "" if all its points are one."""
    texts = _points(points, decimals)
    return f"M{texts[0]} L{' '.join(texts[1:])}" if len(texts) > 1 else ""


def transform_points(
    points: Iterable[Sequence[float]], affine: tuple[float, float, float, float, float, float]
) -> list[tuple[float, float]]:
    """Return points moved by (a, b, c, d, e, f) as SVG has it: x' = a x + c y + e, y' = b x + d y + f."""
    a, b, c, d, e, f = affine
    return [(a * p[0] + c * p[1] + e, b * p[0] + d * p[1] + f) for p in points]
