"""Path data and basic shapes to outlines.

svgelements reads paths and rounded rectangles; it is lenient in silence, so path data is first checked
against the grammar of SVG 2, section 9.3, and cut at the first error, up to which it is drawn (section 9.5.4,
from memory). After a closed subpath the next one is handed over with its own start, since svgelements goes
wrong on several subpaths that are closed without a move between them.
"""

from __future__ import annotations

import math
import re
from typing import Any, Final, NamedTuple

from bigsign.artwork.flatten import (
    ArcTo,
    Close,
    Command,
    CubicTo,
    LineTo,
    Matrix,
    MoveTo,
    Point,
    QuadTo,
    map_point,
)

__all__ = ["PathData", "check_path", "ellipse", "polygon", "read_path", "rectangle"]

_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_COMMA = re.compile(r"[ \t\n\r\f]*,?[ \t\n\r\f]*")
_SPACE = re.compile(r"[ \t\n\r\f]*")
_ARGUMENTS: Final = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_FLAGS: Final = {3, 4}


class PathData(NamedTuple):
    """Checked path data: what precedes the first error, cut after each close; its segments; the error."""

    chunks: tuple[str, ...]
    segments: int
    error: str | None


def check_path(data: str) -> PathData:
    """Check path data against the grammar.

    ``error`` says what is wrong and where ("number expected at character 12"), None if all is well. A number
    too large for a double counts as an error.

    Examples
    --------
    >>> check_path("M0 0 L4 0 4").error
    'a number is missing or wrong after character 9'
    """
    chunks: list[str] = []
    segments = 0
    start = at = _space(data, 0)
    good = at  # all before this is sound

    def done(error: str | None) -> PathData:
        last = data[start:good].strip()
        return PathData((*chunks, last) if last else tuple(chunks), segments, error)

    if data[at:].strip() == "none":
        return PathData((), 0, None)
    while at < len(data):
        letter = data[at]
        count = _ARGUMENTS.get(letter.upper())
        if count is None:
            return done(f"{letter!r} at character {at + 1} is no path command")
        if not segments and letter not in "Mm":
            return done("the path does not start with a move")
        at = _space(data, at + 1)
        if not count:
            segments += 1
            good = at
            chunks.append(data[start:good].strip())
            start = good
            continue
        first = True
        while True:
            end = _arguments(data, at, letter in "Aa", count, first)
            if end is None:
                break
            segments += 1
            at = good = end
            first = False
        if first:
            return done(f"a number is missing after character {at}")
        comma = _COMMA.match(data, at)
        after = comma.end() if comma else at
        if _NUMBER.match(data, after):
            return done(f"a number is missing or wrong after character {at}")
        if "," in data[at:after]:
            return done(f"a stray comma after character {at}")
        at = _space(data, at)
    return done(None)


def _space(data: str, at: int) -> int:
    match = _SPACE.match(data, at)
    return match.end() if match else at


def _arguments(data: str, at: int, arc: bool, count: int, first: bool) -> int | None:
    """Return where one set of a command's numbers ends, None if there is no whole set."""
    for k in range(count):
        if k or not first:
            comma = _COMMA.match(data, at)
            at = comma.end() if comma else at
        if arc and k in _FLAGS:
            if data[at : at + 1] not in ("0", "1"):
                return None
            at += 1
            continue
        match = _NUMBER.match(data, at)
        if match is None or not math.isfinite(float(match.group())):
            return None
        at = match.end()
    return at


def read_path(checked: PathData) -> tuple[Command, ...]:
    """Return the outline of checked path data, in the drawing's own units."""
    from svgelements import Path

    commands: list[Command] = []
    start: Point = (0.0, 0.0)
    for number, chunk in enumerate(checked.chunks):
        path = Path()
        # A chunk after a close begins where the last subpath did, and a relative move counts from there.
        path.parse(f"M{start[0]!r},{start[1]!r} {chunk}" if number else chunk)
        drawn = _commands(path)
        if number and len(drawn) > 1 and isinstance(drawn[1], MoveTo):
            drawn = drawn[1:]
        commands.extend(drawn)
        start = next((c.to for c in reversed(drawn) if isinstance(c, MoveTo)), start)
    return tuple(commands)


def _point(point: Any) -> Point:
    return (float(point.x), float(point.y))


def _commands(path: Any) -> list[Command]:
    from svgelements import Arc, CubicBezier, Line, Move, QuadraticBezier
    from svgelements import Close as Closing

    commands: list[Command] = []
    for segment in path:
        if isinstance(segment, Move):
            commands.append(MoveTo(_point(segment.end)))
        elif isinstance(segment, Closing):
            commands.append(Close())
        elif isinstance(segment, Line):
            commands.append(LineTo(_point(segment.end)))
        elif isinstance(segment, QuadraticBezier):
            commands.append(QuadTo(_point(segment.control), _point(segment.end)))
        elif isinstance(segment, CubicBezier):
            commands.append(
                CubicTo(_point(segment.control1), _point(segment.control2), _point(segment.end)),
            )
        elif isinstance(segment, Arc):
            commands.extend(_arc(segment))
        else:
            raise AssertionError(f"unknown segment {type(segment).__name__}")
    return commands


def _arc(arc: Any) -> list[Command]:
    start, end = _point(arc.start), _point(arc.end)
    if start == end:  # SVG 2, section 9.5.1: left out
        return []
    x, y = _point(arc.center)
    (px, py), (qx, qy) = _point(arc.prx), _point(arc.pry)
    frame: Matrix = (px - x, py - y, qx - x, qy - y, x, y)
    size = frame[0] * frame[3] - frame[1] * frame[2]
    if size == 0 or not math.isfinite(size) or not arc.sweep:  # a radius of nought: a straight line
        return [LineTo(end)]
    # The start's place on the unit circle, by the frame's inverse.
    dx, dy = start[0] - x, start[1] - y
    angle = math.atan2((frame[0] * dy - frame[1] * dx) / size, (frame[3] * dx - frame[2] * dy) / size)
    return [ArcTo(frame, angle, float(arc.sweep), end)]


def rectangle(x: float, y: float, width: float, height: float, rx: float, ry: float) -> tuple[Command, ...]:
    """Return a rectangle's outline, corners rounded by rx, ry (already within half the sides)."""
    if rx <= 0 or ry <= 0:
        return polygon([(x, y), (x + width, y), (x + width, y + height), (x, y + height)])
    from svgelements import Path, Rect

    return tuple(_commands(Path(Rect(x, y, width, height, rx, ry))))


def ellipse(cx: float, cy: float, rx: float, ry: float) -> tuple[Command, ...]:
    """Return an ellipse's outline, from its rightmost point clockwise as seen."""
    frame: Matrix = (rx, 0.0, 0.0, ry, cx, cy)
    start = (cx + rx, cy)
    return (
        MoveTo(start),
        ArcTo(frame, 0.0, math.pi, map_point(frame, (-1.0, 0.0))),
        ArcTo(frame, math.pi, math.pi, start),
        Close(),
    )


def polygon(points: list[Point], closed: bool = True) -> tuple[Command, ...]:
    """Return the outline through ``points``, closed or left open."""
    if not points:
        return ()
    lines = [LineTo(point) for point in points[1:]]
    return (MoveTo(points[0]), *lines, Close()) if closed else (MoveTo(points[0]), *lines)
