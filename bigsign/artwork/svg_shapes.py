"""Path data and basic shapes to outlines.

Path data is read against the grammar of SVG 2, section 9.3, and drawn up to the first error (section 9.5.4,
from memory). Read here and not by svgelements, which is lenient in silence (it takes stray commas, and
letters that are no command), loses the start of a subpath that follows two closes, and reflects the control
point of a curve of another kind; the tests hold the two against each other where it is right. Rounded
rectangles are its own.
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

__all__ = ["PathData", "ellipse", "polygon", "read_path", "rectangle"]

_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_COMMA = re.compile(r"[ \t\n\r\f]*,?[ \t\n\r\f]*")
_SPACE = re.compile(r"[ \t\n\r\f]*")
_ARGUMENTS: Final = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_FLAGS: Final = {3, 4}


class PathData(NamedTuple):
    """Path data as read: the outline up to the first error, how many segments it has, and the error."""

    commands: tuple[Command, ...]
    segments: int
    error: str | None


def read_path(data: str, most: int | None = None) -> PathData:
    """Read path data.

    ``error`` says what is wrong and where, None if all is well. A number too large for a double counts as an
    error. Reading stops once there are more than ``most`` segments.

    Examples
    --------
    >>> read_path("M0 0 L4 0 4").error
    'a number is missing or wrong after character 9'
    """
    if data.strip() == "none":
        return PathData((), 0, None)
    pen = _Pen()
    at = _after(_SPACE, data, 0)
    segments = 0

    def done(error: str | None) -> PathData:
        return PathData(tuple(pen.commands), segments, error)

    while at < len(data):
        letter = data[at]
        count = _ARGUMENTS.get(letter.upper())
        if count is None:
            return done(f"{letter!r} at character {at + 1} is no path command")
        if not segments and letter not in "Mm":
            return done("the path does not start with a move")
        at = _after(_SPACE, data, at + 1)
        if not count:
            segments += 1
            pen.close()
            continue
        first = True
        while most is None or segments <= most:
            read = _arguments(data, at, letter in "Aa", count, first)
            if read is None:
                break
            at, numbers = read
            segments += 1
            # More pairs after a move are lines.
            pen.draw(letter if first or letter not in "Mm" else "Ll"[letter == "m"], numbers)
            first = False
        if first:
            return done(f"a number is missing or wrong after character {at}")
        after = _after(_COMMA, data, at)
        if _NUMBER.match(data, after):
            return done(f"a number is missing or wrong after character {at}")
        if "," in data[at:after]:
            return done(f"a stray comma after character {at}")
        at = after
    return done(None)


def _after(pattern: re.Pattern[str], data: str, at: int) -> int:
    match = pattern.match(data, at)
    return match.end() if match else at


def _arguments(data: str, at: int, arc: bool, count: int, first: bool) -> tuple[int, list[float]] | None:
    """Return where one set of a command's numbers ends, and the numbers; None if there is no whole set."""
    numbers: list[float] = []
    for k in range(count):
        if k or not first:
            at = _after(_COMMA, data, at)
        if arc and k in _FLAGS:
            if data[at : at + 1] not in ("0", "1"):
                return None
            numbers.append(float(data[at]))
            at += 1
            continue
        match = _NUMBER.match(data, at)
        if match is None:
            return None
        value = float(match.group())
        if not math.isfinite(value):
            return None
        numbers.append(value)
        at = match.end()
    return at, numbers


class _Pen:
    """Draws commands one after another: where it is, where the subpath began, the last control point."""

    def __init__(self) -> None:
        self.commands: list[Command] = []
        self.at: Point = (0.0, 0.0)
        self.start: Point = (0.0, 0.0)
        self.closed = False
        self.cubic: Point | None = None
        self.quad: Point | None = None

    def close(self) -> None:
        self._begin()
        self.commands.append(Close())
        self.at, self.closed = self.start, True
        self.cubic = self.quad = None

    def _begin(self) -> None:
        """After a close the next subpath starts where the last one did, unless a move says otherwise."""
        if self.closed:
            self.commands.append(MoveTo(self.start))
            self.closed = False

    def draw(self, letter: str, numbers: list[float]) -> None:
        x, y = self.at if letter.islower() else (0.0, 0.0)
        kind = letter.upper()
        cubic, quad = self.cubic, self.quad
        self.cubic = self.quad = None
        if kind == "M":
            self.closed = False
            self.at = self.start = (x + numbers[0], y + numbers[1])
            self.commands.append(MoveTo(self.at))
            return
        self._begin()
        if kind == "H":
            self._to(LineTo((x + numbers[0], self.at[1])))
        elif kind == "V":
            self._to(LineTo((self.at[0], y + numbers[0])))
        elif kind == "A":
            rx, ry, turn, large, sweep, *_ = numbers
            end = (x + numbers[5], y + numbers[6])
            arc = _arc(self.at, abs(rx), abs(ry), math.radians(turn), bool(large), bool(sweep), end)
            if arc is not None:
                self._to(arc)
        else:
            points = [(x + px, y + py) for px, py in zip(numbers[0::2], numbers[1::2], strict=True)]
            if kind == "L":
                self._to(LineTo(points[0]))
            elif kind in "CS":
                # Only a curve of the same kind before lends its control point, mirrored.
                first = points.pop(0) if kind == "C" else self._mirrored(cubic)
                self._to(CubicTo(first, points[0], points[1]))
                self.cubic = points[0]
            else:
                control = points.pop(0) if kind == "Q" else self._mirrored(quad)
                self._to(QuadTo(control, points[0]))
                self.quad = control

    def _mirrored(self, control: Point | None) -> Point:
        if control is None:
            return self.at
        return (2 * self.at[0] - control[0], 2 * self.at[1] - control[1])

    def _to(self, command: LineTo | QuadTo | CubicTo | ArcTo) -> None:
        self.commands.append(command)
        self.at = command.to


def _arc(
    start: Point, rx: float, ry: float, turn: float, large: bool, sweep: bool, end: Point,
) -> ArcTo | LineTo | None:
    """An arc from its ends to its centre: SVG 2, appendix B.2.4 and B.2.5 (from memory)."""
    if start == end:
        return None
    if rx == 0 or ry == 0:
        return LineTo(end)
    cos, sin = math.cos(turn), math.sin(turn)
    dx, dy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    # Half the chord, seen in the frame where the ellipse is the unit circle.
    u, v = (cos * dx + sin * dy) / rx, (-sin * dx + cos * dy) / ry
    half = math.hypot(u, v)
    if half > 1:  # too small to reach: grown until it just does
        rx, ry, u, v, half = rx * half, ry * half, u / half, v / half, 1.0
    if half == 0 or not math.isfinite(rx * ry):
        return LineTo(end)
    reach = math.sqrt(max(0.0, 1 - half * half)) / half
    if large == sweep:
        reach = -reach
    cu, cv = reach * v, -reach * u
    first = math.atan2(v - cv, u - cu)
    angle = math.atan2(-v - cv, -u - cu) - first
    if sweep and angle <= 0:
        angle += 2 * math.pi
    elif not sweep and angle >= 0:
        angle -= 2 * math.pi
    x = cos * rx * cu - sin * ry * cv + (start[0] + end[0]) / 2
    y = sin * rx * cu + cos * ry * cv + (start[1] + end[1]) / 2
    frame: Matrix = (cos * rx, sin * rx, -sin * ry, cos * ry, x, y)
    return ArcTo(frame, first, angle, end)


def rectangle(x: float, y: float, width: float, height: float, rx: float, ry: float) -> tuple[Command, ...]:
    """Return a rectangle's outline, corners rounded by rx, ry (already within half the sides)."""
    if rx <= 0 or ry <= 0:
        return polygon([(x, y), (x + width, y), (x + width, y + height), (x, y + height)])
    from svgelements import Arc, Line, Move, Path, Rect

    commands: list[Command] = []
    for segment in Path(Rect(x, y, width, height, rx, ry)):
        if isinstance(segment, Move):
            commands.append(MoveTo(_point(segment.end)))
        elif isinstance(segment, Arc):
            corner = _arc(_point(segment.start), rx, ry, 0.0, False, True, _point(segment.end))
            commands.extend([] if corner is None else [corner])
        elif isinstance(segment, Line):
            commands.append(LineTo(_point(segment.end)))
        else:
            commands.append(Close())
    return tuple(commands)


def _point(point: Any) -> Point:
    return (float(point.x), float(point.y))


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
