"""Curves to points: outlines as drawing commands, and flattening them within a stated tolerance.

Glossary: an *outline* is a sequence of commands; each ``MoveTo`` starts a *subpath*. Filling closes every
subpath, so :func:`flatten_path` returns closed *rings* whose last point is not repeated. No unit is assumed:
outline and tolerance share one.

Every point made lies on the true curve (as near as doubles allow), so a flattened outline never strays
farther than its chords do. Bounds used: for Béziers the chord error is at most max|second difference| ·
d(d-1)/8n² (from memory, any text on curve subdivision); for arcs r(1 − cos(Δ/2)), which is exact for circles
and an upper bound for an ellipse, taken as the affine image of the unit circle.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from bigsign.budgets import BUDGETS

__all__ = [
    "IDENTITY", "ArcTo", "Close", "Command", "CubicTo", "LineTo", "Matrix", "MoveTo", "Point", "QuadTo",
    "Ring", "Subpath", "compose", "control_points", "flatten_path", "flatten_subpaths",
    "largest_stretch", "map_point", "transform",
]

Point = tuple[float, float]
Ring = tuple[Point, ...]
Matrix = tuple[float, float, float, float, float, float]
"""(a, b, c, d, e, f): x' = a·x + c·y + e, y' = b·x + d·y + f, as SVG writes it."""

IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class MoveTo(NamedTuple):
    """Start a subpath at ``to``."""

    to: Point


class LineTo(NamedTuple):
    """Straight to ``to``."""

    to: Point


class QuadTo(NamedTuple):
    """A quadratic Bézier curve with one control point."""

    control: Point
    to: Point


class CubicTo(NamedTuple):
    """A cubic Bézier curve with two control points."""

    first: Point
    second: Point
    to: Point


class ArcTo(NamedTuple):
    """An arc of an ellipse: ``frame`` maps the unit circle onto it; angles in radians on the unit circle.

    ``to`` is the arc's end as its author wrote it, used instead of the computed one so that outlines close.
    """

    frame: Matrix
    start: float
    sweep: float
    to: Point


class Close(NamedTuple):
    """Back to the subpath's start."""


Command = MoveTo | LineTo | QuadTo | CubicTo | ArcTo | Close


class Subpath(NamedTuple):
    """A flattened subpath; ``closed`` says whether a ``Close`` ended it (fills close it anyway)."""

    points: Ring
    closed: bool


def map_point(matrix: Matrix, point: Point) -> Point:
    """Return ``point`` mapped by ``matrix``."""
    a, b, c, d, e, f = matrix
    x, y = point
    return (a * x + c * y + e, b * x + d * y + f)


def compose(outer: Matrix, inner: Matrix) -> Matrix:
    """Return the matrix that applies ``inner`` first, then ``outer``."""
    a, b, c, d, e, f = outer
    g, h, i, j, k, m = inner
    return (
        a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * m + e, b * k + d * m + f,
    )


def largest_stretch(matrix: Matrix) -> float:
    """Return how much ``matrix`` stretches a length at most (its larger singular value)."""
    a, b, c, d, _, _ = matrix
    # hypot keeps very large and very small scales from overflowing where squares would.
    return (math.hypot(a + d, b - c) + math.hypot(a - d, b + c)) / 2


def control_points(command: Command) -> tuple[Point, ...]:
    """Return points whose convex hull, with the point before, holds all of a command's curve."""
    match command:
        case MoveTo(to) | LineTo(to):
            return (to,)
        case QuadTo(control, to):
            return (control, to)
        case CubicTo(first, second, to):
            return (first, second, to)
        case ArcTo(frame, _, _, to):
            corners = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
            return (*(map_point(frame, corner) for corner in corners), to)
    return ()


def transform(commands: Iterable[Command], matrix: Matrix) -> tuple[Command, ...]:
    """Return the outline mapped by ``matrix``; exact for every command, arcs under shear included."""
    if matrix == IDENTITY:
        return tuple(commands)
    moved: list[Command] = []
    for command in commands:
        match command:
            case MoveTo(to):
                moved.append(MoveTo(map_point(matrix, to)))
            case LineTo(to):
                moved.append(LineTo(map_point(matrix, to)))
            case QuadTo(control, to):
                moved.append(QuadTo(map_point(matrix, control), map_point(matrix, to)))
            case CubicTo(first, second, to):
                controls = map_point(matrix, first), map_point(matrix, second)
                moved.append(CubicTo(*controls, map_point(matrix, to)))
            case ArcTo(frame, start, sweep, to):
                moved.append(ArcTo(compose(matrix, frame), start, sweep, map_point(matrix, to)))
            case Close():
                moved.append(command)
    return tuple(moved)


def flatten_path(commands: Iterable[Command], tolerance: float) -> tuple[Ring, ...]:
    """Return an outline's rings for filling: every subpath closed, at least three different points.

    Parameters
    ----------
    commands : the outline.
    tolerance : farthest the rings may run from the true outline, in the outline's own unit; positive.

    Returns
    -------
    tuple of rings, each a tuple of points without the first repeated at the end. Subpaths of fewer than three
    different points bound nothing and are left out.

    Examples
    --------
    >>> flatten_path([MoveTo((0, 0)), LineTo((4, 0)), LineTo((4, 3)), Close()], 0.02)
    (((0, 0), (4, 0), (4, 3)),)
    """
    rings = []
    for points, _ in flatten_subpaths(commands, tolerance):
        ring = points[:-1] if len(points) > 1 and points[0] == points[-1] else points
        if len(ring) >= 3:
            rings.append(ring)
    return tuple(rings)


def flatten_subpaths(commands: Iterable[Command], tolerance: float) -> tuple[Subpath, ...]:
    """Return every subpath as points in order, repeated points dropped; for a closed one see ``closed``.

    A subpath of a single point is kept (a stroke with caps draws a dot there).

    Raises
    ------
    ValueError
        If the tolerance is not positive, or the points come to more than ``BUDGETS.corners``.
    """
    if not tolerance > 0:
        raise ValueError(f"tolerance must be positive, not {tolerance!r}")
    done: list[Subpath] = []
    points: list[Point] = []
    count = 0  # of points in the subpaths done
    drawn = False  # whether anything followed the MoveTo: a lone MoveTo draws nothing

    def finish(closed: bool) -> None:
        nonlocal points, drawn, count
        count += len(points)
        if points and (drawn or closed):
            done.append(Subpath(_without_repeats(points), closed))
        points, drawn = [], False

    for command in commands:
        if count + len(points) > BUDGETS.corners:
            raise ValueError(f"an outline has more than {BUDGETS.corners:,} corners, its curves flattened")
        match command:
            case MoveTo(to):
                finish(closed=False)
                points = [to]
                continue
            case Close():
                if points:
                    start = points[0]
                    finish(closed=True)
                    points = [start]
                continue
        if not points:
            raise ValueError("an outline must start with MoveTo")
        drawn = True
        match command:
            case LineTo(to):
                points.append(to)
            case QuadTo(control, to):
                _quad(points, control, to, tolerance)
            case CubicTo(first, second, to):
                _cubic(points, first, second, to, tolerance)
            case ArcTo(frame, start_angle, sweep, to):
                _arc(points, frame, start_angle, sweep, to, tolerance)
    finish(closed=False)
    return tuple(done)


def _without_repeats(points: Sequence[Point]) -> Ring:
    kept = [points[0]]
    for point in points[1:]:
        if point != kept[-1]:
            kept.append(point)
    return tuple(kept)


def _chords(estimate: float) -> int:
    return max(1, min(BUDGETS.chords, math.ceil(estimate))) if estimate < BUDGETS.chords else BUDGETS.chords


def _quad(points: list[Point], control: Point, to: Point, tolerance: float) -> None:
    (x0, y0), (x1, y1), (x2, y2) = points[-1], control, to
    bend = math.hypot(x0 - 2 * x1 + x2, y0 - 2 * y1 + y2)
    n = _chords(math.sqrt(bend / (4 * tolerance)))
    for k in range(1, n):
        t = k / n
        s = 1 - t
        p, q, r = s * s, 2 * s * t, t * t
        points.append((p * x0 + q * x1 + r * x2, p * y0 + q * y1 + r * y2))
    points.append(to)


def _cubic(points: list[Point], first: Point, second: Point, to: Point, tolerance: float) -> None:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = points[-1], first, second, to
    bend = max(
        math.hypot(x0 - 2 * x1 + x2, y0 - 2 * y1 + y2), math.hypot(x1 - 2 * x2 + x3, y1 - 2 * y2 + y3),
    )
    n = _chords(math.sqrt(6 * bend / (8 * tolerance)))
    for k in range(1, n):
        t = k / n
        s = 1 - t
        p, q, r, u = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        points.append((p * x0 + q * x1 + r * x2 + u * x3, p * y0 + q * y1 + r * y2 + u * y3))
    points.append(to)


def _arc(points: list[Point], frame: Matrix, start: float, sweep: float, to: Point, tolerance: float) -> None:
    radius = largest_stretch(frame)
    # A quarter turn at most, so that a tiny circle stays recognisable instead of becoming a sliver.
    step = math.pi / 2 if radius <= tolerance else min(math.pi / 2, 2 * math.acos(1 - tolerance / radius))
    n = _chords(abs(sweep) / step - 1e-9) if step > 0 else BUDGETS.chords
    for k in range(1, n):
        angle = start + sweep * k / n
        points.append(map_point(frame, (math.cos(angle), math.sin(angle))))
    points.append(to)
