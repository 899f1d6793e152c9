"""Strokes to outlines: the region a pen of some width, caps, joins and dashes covers.

skia-pathops does the work, in single precision and with tolerances of a quarter unit of its own; so the
outline is handed over near the origin and enlarged until that quarter is a small part of the tolerance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Final

from bigsign.artwork.flatten import (
    ArcTo,
    Close,
    Command,
    CubicTo,
    LineTo,
    MoveTo,
    Point,
    QuadTo,
    control_points,
    flatten_subpaths,
    map_point,
)
from bigsign.artwork.svg_scene import Stroke

__all__ = ["dash_count", "stroke_outline"]

_FINEST: Final = 4e6
"""Largest coordinate handed over: single precision still resolves a quarter unit there."""


def dash_count(commands: Sequence[Command], stroke: Stroke) -> float:
    """Return about how many dashes a stroke has, 0 for a whole line."""
    period = sum(stroke.dashes)
    if period <= 0:
        return 0.0
    points = [point for command in commands for point in control_points(command)]
    reach = max((abs(value) for point in points for value in point), default=0.0)
    if not reach < math.inf:
        return math.inf
    length = 0.0
    for path in flatten_subpaths(commands, max(stroke.width, reach * 1e-3, 1e-9)):
        length += sum(math.dist(a, b) for a, b in pairwise(path.points))
    return length / period * len(stroke.dashes)


def stroke_outline(commands: Sequence[Command], stroke: Stroke, tolerance: float) -> tuple[Command, ...]:
    """Return the outline of a stroke, to be filled nonzero.

    Parameters
    ----------
    commands : the outline stroked, in user units.
    stroke : the pen; width positive.
    tolerance : farthest the result may run from the true edge, in user units.
    """
    import pathops

    points = [point for command in commands for point in control_points(command)]
    if not points:
        return ()
    x0, x1 = min(x for x, _ in points), max(x for x, _ in points)
    y0, y1 = min(y for _, y in points), max(y for _, y in points)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    reach = max(x1 - x0, y1 - y0) / 2 + stroke.width * max(1.0, stroke.miter_limit)
    scale = min(4 / tolerance, _FINEST / reach)
    path = pathops.Path()
    _draw(path, commands, lambda point: ((point[0] - x) * scale, (point[1] - y) * scale))
    caps = {"butt": pathops.LineCap.BUTT_CAP, "round": pathops.LineCap.ROUND_CAP,
            "square": pathops.LineCap.SQUARE_CAP}
    joins = {"miter": pathops.LineJoin.MITER_JOIN, "round": pathops.LineJoin.ROUND_JOIN,
             "bevel": pathops.LineJoin.BEVEL_JOIN}
    dashes = [dash * scale for dash in stroke.dashes]
    path.stroke(
        stroke.width * scale, caps[stroke.cap], joins[stroke.join], stroke.miter_limit,
        dash_array=(dashes * 2 if len(dashes) % 2 else dashes) or None, dash_offset=stroke.offset * scale,
    )
    path.convertConicsToQuads(0.25)
    return _undrawn(path, scale, (x, y))


def _draw(path: Any, commands: Sequence[Command], place: Any) -> None:
    for command in commands:
        match command:
            case MoveTo(to):
                path.moveTo(*place(to))
            case LineTo(to):
                path.lineTo(*place(to))
            case QuadTo(control, to):
                path.quadTo(*place(control), *place(to))
            case CubicTo(first, second, to):
                path.cubicTo(*place(first), *place(second), *place(to))
            case ArcTo():
                for first, second, to in _cubics(command):
                    path.cubicTo(*place(first), *place(second), *place(to))
            case Close():
                path.close()


def _cubics(arc: ArcTo) -> list[tuple[Point, Point, Point]]:
    """An arc as cubics of a 16th turn at most: 4/3·tan(Δ/4) handles, off by under 1e-8 of the radius."""
    pieces = max(1, math.ceil(abs(arc.sweep) / (math.pi / 8)))
    step = arc.sweep / pieces
    handle = 4 / 3 * math.tan(step / 4)
    curves: list[tuple[Point, Point, Point]] = []
    for k in range(pieces):
        a, b = arc.start + k * step, arc.start + (k + 1) * step
        first = (math.cos(a) - handle * math.sin(a), math.sin(a) + handle * math.cos(a))
        second = (math.cos(b) + handle * math.sin(b), math.sin(b) - handle * math.cos(b))
        end = arc.to if k == pieces - 1 else map_point(arc.frame, (math.cos(b), math.sin(b)))
        curves.append((map_point(arc.frame, first), map_point(arc.frame, second), end))
    return curves


def _undrawn(path: Any, scale: float, middle: Point) -> tuple[Command, ...]:
    import pathops

    def back(point: tuple[float, float]) -> Point:
        return (point[0] / scale + middle[0], point[1] / scale + middle[1])

    commands: list[Command] = []
    for verb, points in path:
        if verb == pathops.PathVerb.MOVE:
            commands.append(MoveTo(back(points[0])))
        elif verb == pathops.PathVerb.LINE:
            commands.append(LineTo(back(points[0])))
        elif verb == pathops.PathVerb.QUAD:
            commands.append(QuadTo(back(points[0]), back(points[1])))
        elif verb == pathops.PathVerb.CUBIC:
            commands.append(CubicTo(back(points[0]), back(points[1]), back(points[2])))
        elif verb == pathops.PathVerb.CLOSE:
            commands.append(Close())
        else:
            raise AssertionError(f"unexpected verb {verb}")
    return tuple(commands)
