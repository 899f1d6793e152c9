"""Drawings to scale: which scale fits, and film, trims, breaks and hinges as items on the paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.plan_records import Panel, Plan
from bigsign.sheets.items import (
    ACCENT,
    BLACK,
    CHAIN,
    DASHED,
    FINE,
    FIRM,
    GREY,
    HAIR,
    SMALL_CAP,
    Area,
    Circle,
    Drawing,
    Item,
    Point,
    Stroke,
    Text,
)

__all__ = ["SCALES", "View", "best_scale", "film_tint", "number_marks", "shape_area"]

#: ISO 5455 reductions, with the in-between ones that serve a desk: 1:2.5, 1:3 and 1:4.
SCALES = (1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0)


def best_scale(width: float, height: float, room_width: float, room_height: float, least: float = 1.0) -> float:
    """Return the largest drawing's scale (the n of 1:n) at which width × height mm fits the room."""
    for scale in SCALES:
        if scale >= least and width / scale <= room_width + 1e-9 and height / scale <= room_height + 1e-9:
            return scale
    return SCALES[-1]


@dataclass(frozen=True, slots=True)
class View:
    """A window on the sign: its box in the sign's frame, its place on the paper, its scale."""

    box: tuple[float, float, float, float]
    origin: Point
    scale: float
    of: str = "sign"

    @property
    def paper_box(self) -> tuple[float, float, float, float]:
        """The window on the paper."""
        x, y = self.origin
        return (
            x, y, x + (self.box[2] - self.box[0]) / self.scale, y + (self.box[3] - self.box[1]) / self.scale,
        )  # fmt: skip

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

    def shape(self, shape: BaseGeometry, *, clip: bool = False) -> BaseGeometry:
        """Return a shape of the sign on the paper, cut to the window if asked."""
        inside = shape.intersection(shapely.box(*self.box)) if clip else shape
        k = 1 / self.scale
        shift = (self.origin[0] - self.box[0] * k, self.origin[1] - self.box[1] * k)
        return affine_transform(inside, [k, 0, 0, k, *shift])

    def line(
        self, points: Iterable[Sequence[float]], width: float, colour: str = BLACK, dash: tuple[float, ...] = ()
    ) -> list[Item]:
        """Return a line of the sign as strokes, cut to the window."""
        seen = self.shape(LineString([tuple(p) for p in points]), clip=True)
        return [
            Stroke(tuple((float(x), float(y)) for x, y in part.coords), width, colour, dash)
            for part in (seen.geoms if hasattr(seen, "geoms") else [seen])
            if isinstance(part, LineString) and part.length > 0
        ]


def shape_area(
    shape: BaseGeometry, fill: str | None, stroke: str | None, width: float, dash: tuple[float, ...] = ()
) -> list[Item]:
    """Return a shape on the paper as areas, thinned to what print can show (0.02 mm)."""
    out: list[Item] = []
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    for part in parts:
        if not isinstance(part, Polygon) or part.is_empty:
            continue
        slim = part.simplify(0.008)
        polygon = slim if isinstance(slim, Polygon) and not slim.is_empty else part
        rings = [polygon.exterior, *polygon.interiors]
        out.append(
            Area(
                tuple(tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for ring in rings),
                fill,
                stroke,
                width,
                dash,
            )
        )
    return out


def film_tint(colour: str) -> str:
    """Return the colour film is drawn in: its own, but a pale grey for film that white paper would swallow."""
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return "#dcdcdc" if 0.299 * red + 0.587 * green + 0.114 * blue > 225 else colour


def hatch(shape: BaseGeometry, pitch: float = 1.6) -> list[Item]:
    """Return light hatching at 45° over a shape on the paper."""
    if shape.is_empty:
        return []
    x0, y0, x1, y1 = shape.bounds
    span = (x1 - x0) + (y1 - y0)
    lines = [LineString([(x0 + at - (y1 - y0), y1), (x0 + at, y0)]) for at in np.arange(pitch / 2, span, pitch)]
    cut = shapely.union_all(lines).intersection(shape) if lines else LineString()
    parts = cut.geoms if hasattr(cut, "geoms") else [cut]
    return [
        Stroke(tuple((float(x), float(y)) for x, y in part.coords), HAIR, GREY)
        for part in parts
        if isinstance(part, LineString) and part.length > 0.2
    ]


def draw_board(view: View, plan: Plan) -> list[Item]:
    """Return the board's outline."""
    return shape_area(view.shape(plan.sign.outline), "#ffffff", BLACK, FIRM)


def draw_film(view: View, film: MultiPolygon, colour: str, *, clip: bool = False) -> list[Item]:
    """Return film in its colour with a firm outline where it is pale."""
    tint = film_tint(colour)
    stroke = BLACK if tint != colour else None
    return shape_area(view.shape(film, clip=clip), tint, stroke, HAIR)


def draw_trim(view: View, panel: Panel, width: float = FINE, colour: str = BLACK) -> list[Item]:
    """Return a panel's trim outline."""
    return shape_area(view.shape(panel.trim), None, colour, width)


def draw_breaks(view: View, plan: Plan) -> list[Item]:
    """Return the break lines."""
    return [item for part in plan.breaks for item in view.line(part.line, FINE, ACCENT, DASHED)]


def draw_hinge(view: View, panel: Panel) -> list[Item]:
    """Return the hinge as a strip of tape with its centre line, both ends past the panel."""
    if panel.hinge is None:
        return []
    (x0, y0), (x1, y1) = (view.at(p) for p in panel.hinge.line)
    length = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1e-6)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    over, half = 3.0, 1.2
    a, b = (x0 - over * ux, y0 - over * uy), (x1 + over * ux, y1 + over * uy)
    side = (-uy * half, ux * half)
    ring = (
        (a[0] + side[0], a[1] + side[1]), (b[0] + side[0], b[1] + side[1]),
        (b[0] - side[0], b[1] - side[1]), (a[0] - side[0], a[1] - side[1]),
    )  # fmt: skip
    return [Area((ring,), None, GREY, HAIR), Stroke((a, b), FINE, BLACK, CHAIN)]


def draw_level(view: View, panel: Panel, past: float = 4.0) -> list[Item]:
    """Return the level line and a small triangle at each foot."""
    level = panel.level
    if level is None:
        return []
    x0, y0, x1, y1 = panel.trim.bounds
    if level.axis == "y":
        a, b = view.at((x0, level.at)), view.at((x1, level.at))
        ends = ((a[0] - past, a[1]), (b[0] + past, b[1]))
    else:
        a, b = view.at((level.at, y0)), view.at((level.at, y1))
        ends = ((a[0], a[1] - past), (b[0], b[1] + past))
    out: list[Item] = [Stroke(ends, FINE, ACCENT, CHAIN)]
    for point in level.points:
        x, y = view.at(point)
        ring = ((x, y), (x - 0.8, y + 1.5), (x + 0.8, y + 1.5)) if level.axis == "y" else (
            (x, y), (x - 1.5, y - 0.8), (x - 1.5, y + 0.8)
        )  # fmt: skip
        out.append(Area((ring,), ACCENT, None, HAIR))
    return out


def number_marks(
    view: View, panels: Sequence[Panel], frame: tuple[float, float, float, float], radius: float = 3.4
) -> list[Item]:
    """Return panel numbers in circles outside a drawing's frame on the paper, with leaders to their panels.

    A circle goes to the nearest side of the frame, beside the middle of its panel, and moves along the side until
    it is clear of the circles that stand already. Leaders run to the trim's edge on that side.
    """
    x0, y0, x1, y1 = frame
    taken: list[Point] = []
    out: list[Item] = []
    for panel in panels:
        tx0, ty0 = view.at(panel.trim.bounds[:2])
        tx1, ty1 = view.at(panel.trim.bounds[2:])
        middle = ((tx0 + tx1) / 2, (ty0 + ty1) / 2)
        off = radius + 2.0
        sides = sorted(
            [
                (tx0 - x0, 0, (x0 - off, middle[1]), (tx0, middle[1])),
                (x1 - tx1, 1, (x1 + off, middle[1]), (tx1, middle[1])),
                (ty0 - y0, 2, (middle[0], y0 - off), (middle[0], ty0)),
                (y1 - ty1, 3, (middle[0], y1 + off), (middle[0], ty1)),
            ]
        )
        placed: tuple[Point, Point] | None = None
        for _, side, at, foot in sides:
            for step in range(13):
                shift = (step + 1) // 2 * (1 if step % 2 else -1) * (2 * radius + 1.0)
                spot = (at[0], at[1] + shift) if side < 2 else (at[0] + shift, at[1])
                if all((spot[0] - a) ** 2 + (spot[1] - b) ** 2 > (2 * radius + 0.8) ** 2 for a, b in taken):
                    placed = spot, foot
                    break
            if placed is not None:
                break
        spot, foot = placed or (sides[0][2], sides[0][3])
        taken.append(spot)
        out.append(Stroke((spot, foot), HAIR, GREY))
        out.append(Circle(spot, radius, "#ffffff", BLACK, FINE))
        cap = 3.0 if panel.number < 100 else SMALL_CAP
        out.append(Text((spot[0], spot[1] + cap / 2), str(panel.number), cap, True, "c"))
    return out
