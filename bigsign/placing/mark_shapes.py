"""The outlines of register marks: plain figures that can't be taken for one another, whichever way up they lie.

Figures that are mirror images of others, or others turned, are left out. The first marks are single figures; when
those are used up, two side by side, then three: each mark of a sign is unlike every other.
"""

from __future__ import annotations

from collections.abc import Sequence

from shapely.affinity import scale, translate
from shapely.geometry import MultiPolygon, Point, Polygon

__all__ = ["FIGURES", "mark_shape"]

APART = 1 / 5  # between the figures of a mark, as a share of their size


def _outline(*points: tuple[float, float]) -> Polygon:
    """Return a figure given on a square of six units a side."""
    return Polygon([(x / 6 - 0.5, y / 6 - 0.5) for x, y in points])


#: By name, about the origin, in a square of side 1. Arms are a third of it wide, so that they can be cut and weeded.
FIGURES: dict[str, Polygon] = {
    "disc": Point(0, 0).buffer(0.5, quad_segs=8),
    "square": _outline((0.4, 0.4), (5.6, 0.4), (5.6, 5.6), (0.4, 5.6)),
    "triangle": _outline((3, 0.2), (6, 5.8), (0, 5.8)),
    "cross": _outline((2, 0), (4, 0), (4, 2), (6, 2), (6, 4), (4, 4), (4, 6), (2, 6), (2, 4), (0, 4), (0, 2), (2, 2)),
    "arrow": _outline((3, 0), (6, 3), (4, 3), (4, 6), (2, 6), (2, 3), (0, 3)),
    "angle": _outline((0, 0), (2, 0), (2, 4), (6, 4), (6, 6), (0, 6)),
    "tee": _outline((0, 0), (6, 0), (6, 2), (4, 2), (4, 6), (2, 6), (2, 2), (0, 2)),
    "cup": _outline((0, 0), (2, 0), (2, 4), (4, 4), (4, 0), (6, 0), (6, 6), (0, 6)),
    "half-disc": Polygon([(x, y) for x, y in Point(0, -0.25).buffer(0.5, quad_segs=8).exterior.coords if y > -0.2501]),
    "hourglass": _outline((0, 0), (6, 0), (4, 3), (6, 6), (0, 6), (2, 3)),
    "step": _outline((0, 0), (4, 0), (4, 4), (6, 4), (6, 6), (2, 6), (2, 2), (0, 2)),
    "bar": _outline((0, 2), (6, 2), (6, 4), (0, 4)),
}


def mark_shape(count: int, size: float) -> tuple[str, MultiPolygon]:
    """Return the name and outline, about the origin, of mark number ``count`` (from 0) of a sign.

    Parameters
    ----------
    size : side of the square that holds one figure, mm.
    """
    names: Sequence[str] = tuple(FIGURES)
    times, which = divmod(count, len(names))
    name = names[which]
    figure = scale(FIGURES[name], size, size, origin=(0, 0))
    pitch = size * (1 + APART)
    parts = [translate(figure, (n - times / 2) * pitch, 0) for n in range(times + 1)]
    return (name if not times else f"{times + 1} × {name}"), MultiPolygon(parts)
