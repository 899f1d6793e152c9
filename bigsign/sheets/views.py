"""Drawings to scale: which scale fits, and film, trims, tape and lines as items on the paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.geometry import polygons_of
from bigsign.sheets.items import Area, Box, Drawing, Item, Point, Stroke
from bigsign.sheets.style import BLACK, GREY, HAIR

__all__ = ["SCALES", "View", "areas", "best_scale", "hatching", "outlines", "turned"]

#: ISO 5455 reductions, with others between, where the next one down would leave a drawing small.
SCALES = (1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
WORTH_TURNING = 1.5  # times as large; a turned page has less room for words, which then need another
THIN = 0.02  # mm of paper: finer detail of an outline can't be printed


def turned(portrait: float, landscape: float) -> bool:
    """Whether a page is turned for a drawing of 1:n: only where that makes it a good deal larger."""
    return landscape * WORTH_TURNING <= portrait


def best_scale(width: float, height: float, room_width: float, room_height: float) -> float:
    """Return the n of the largest scale 1:n at which width × height mm fits the room; the smallest if none does."""
    for scale in SCALES:
        if width / scale <= room_width + 1e-9 and height / scale <= room_height + 1e-9:
            return scale
    return SCALES[-1]


@dataclass(frozen=True, slots=True)
class View:
    """A window on the sign (or mat): its box there, its place on the paper, the n of its scale 1:n."""

    box: Box
    origin: Point
    scale: float
    of: str = "sign"

    @property
    def paper_box(self) -> Box:
        """The window on the paper."""
        x, y = self.origin
        width, height = self.box[2] - self.box[0], self.box[3] - self.box[1]
        return x, y, x + width / self.scale, y + height / self.scale

    @property
    def drawing(self) -> Drawing:
        """The record of this drawing."""
        return Drawing(self.scale, self.box, self.paper_box, self.of)

    def at(self, point: Sequence[float]) -> Point:
        """Return a point of the sign on the paper."""
        return (
            self.origin[0] + (point[0] - self.box[0]) / self.scale,
            self.origin[1] + (point[1] - self.box[1]) / self.scale,
        )

    def shape(self, shape: BaseGeometry, clip: bool = False) -> BaseGeometry:
        """Return a shape of the sign on the paper, cut to the window if asked."""
        inside = self._clipped(shape) if clip else shape
        k = 1 / self.scale
        return affine_transform(
            inside, [k, 0, 0, k, self.origin[0] - self.box[0] * k, self.origin[1] - self.box[1] * k]
        )

    def _clipped(self, shape: BaseGeometry) -> BaseGeometry:
        """Return what of a shape lies in the window; most shapes lie wholly in it or wholly out of it."""
        x0, y0, x1, y1 = self.box
        a0, b0, a1, b1 = shape.bounds if not shape.is_empty else self.box
        if x0 <= a0 and y0 <= b0 and a1 <= x1 and b1 <= y1:
            return shape
        if a1 < x0 or x1 < a0 or b1 < y0 or y1 < b0:
            return type(shape)()
        window = shapely.box(*self.box)
        if not isinstance(shape, MultiPolygon):
            return shape.intersection(window)
        # film of hundreds of pieces: only those that reach over the window's edge are cut
        parts = shapely.get_parts(shape)
        shapely.prepare(window)
        held, met = shapely.contains_properly(window, parts), shapely.intersects(window, parts)
        cut = [piece for part in parts[met & ~held] for piece in polygons_of(shapely.intersection(part, window))]
        return MultiPolygon([*parts[held], *cut])

    def strokes(
        self, points: Iterable[Sequence[float]], width: float, colour: str = BLACK, dash: tuple[float, ...] = ()
    ) -> list[Item]:
        """Return a line of the sign, cut to the window."""
        seen = self.shape(LineString([tuple(point) for point in points]), clip=True)
        return outlines(seen, width, colour, dash)


def _parts(shape: BaseGeometry) -> list[BaseGeometry]:
    return list(shape.geoms) if hasattr(shape, "geoms") else [shape]


def outlines(shape: BaseGeometry, width: float, colour: str, dash: tuple[float, ...] = ()) -> list[Item]:
    """Return the lines among a shape's parts as strokes."""
    return [
        Stroke(tuple((float(x), float(y)) for x, y in part.coords), width, colour, dash)
        for part in _parts(shape)
        if isinstance(part, LineString) and part.length > 1e-6
    ]


def areas(
    shape: BaseGeometry, fill: str | None, stroke: str | None, width: float = HAIR, dash: tuple[float, ...] = ()
) -> list[Item]:
    """Return a shape on the paper as areas, thinned to what print can show."""
    out: list[Item] = []
    for part in _parts(shape):
        if not isinstance(part, Polygon) or part.is_empty:
            continue
        slim = part.simplify(THIN)
        polygon = slim if isinstance(slim, Polygon) and not slim.is_empty else part
        rings = tuple(
            tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for ring in (polygon.exterior, *polygon.interiors)
        )
        out.append(Area(rings, fill, stroke, width, dash))
    return out


def open_outline(shape: BaseGeometry, window: Box) -> BaseGeometry:
    """Return a shape's outline inside a window, without the edges that the window cuts."""
    near = shapely.box(*window)
    shapely.prepare(near)
    parts = shapely.boundary(shapely.get_parts(shape))
    held = shapely.contains_properly(near, parts)
    cut = [shapely.intersection(part, near) for part in parts[~held] if near.intersects(part)]
    return MultiLineString(
        [line for one in (*parts[held], *cut) for line in shapely.get_parts(one) if isinstance(line, LineString)]
    )


def hatching(shape: BaseGeometry, pitch: float = 1.9) -> list[Item]:
    """Return light hatching at 45° over a shape on the paper; all shapes of a page share its lines."""
    if shape.is_empty:
        return []
    x0, y0, x1, y1 = shape.bounds
    first, last = np.floor((x0 + y0) / pitch) * pitch, x1 + y1
    lines = [LineString([(at - y1, y1), (at - y0, y0)]) for at in np.arange(first, last, pitch)]
    return outlines(MultiLineString(lines).intersection(shape), HAIR, GREY) if lines else []
