"""Numbers, lengths, view boxes and transforms as a drawing writes them; each understood whole or refused.

Lengths come out in px, the drawing's own unit. Source of the ratios: CSS Values and Units 4, section 6.2
(1 in = 96 px = 2.54 cm = 25.4 mm = 101.6 Q = 72 pt = 6 pc). Transforms: CSS Transforms 1; SVG 2, section 8.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from bigsign.artwork.flatten import IDENTITY, Matrix, Point, compose

__all__ = [
    "MM_PER_PX", "PX", "ViewBox", "Viewport", "about", "absolute_units", "fit_view_box",
    "parse_css_transform", "parse_length", "parse_number", "parse_numbers", "parse_origin",
    "parse_transform", "parse_view_box",
]

MM_PER_PX: Final = 25.4 / 96
PX: Final[dict[str, float]] = {
    "": 1.0, "px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96 / 72,
    "pc": 16.0,
}
"""Unit → px."""

NUMBER: Final = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_NUMBER = re.compile(NUMBER)
_LENGTH = re.compile(rf"({NUMBER})\s*([a-zA-Z]*|%)")
_SEPARATOR = re.compile(r"\s*,\s*|\s+|(?=[+-.])")
_FONT_UNIT = re.compile(rf"({NUMBER})(em|rem|ex|ch)\b", re.IGNORECASE)
_FUNCTION = re.compile(r"\s*,?\s*([a-zA-Z0-9]+)\s*\(([^()]*)\)\s*")
_ANGLES: Final[dict[str, float]] = {
    "": math.pi / 180, "deg": math.pi / 180, "grad": math.pi / 200, "rad": 1.0, "turn": 2 * math.pi,
}


@dataclass(frozen=True, slots=True)
class Viewport:
    """What percentages are of: width and height of the nearest view box in user units; None if unknown."""

    width: float | None
    height: float | None

    def base(self, axis: str) -> float | None:
        """Return the length 100 % stands for along "x", "y" or "o" (neither: the diagonal over √2)."""
        if axis == "x":
            return self.width
        if axis == "y":
            return self.height
        if self.width is None or self.height is None:
            return None
        return math.hypot(self.width, self.height) / math.sqrt(2)


@dataclass(frozen=True, slots=True)
class ViewBox:
    """The part of user space an <svg> or <symbol> shows."""

    x: float
    y: float
    width: float
    height: float


def parse_number(text: str) -> float | None:
    """Return the plain finite number ``text`` is, None if it is none."""
    text = text.strip()
    if not _NUMBER.fullmatch(text):
        return None
    value = float(text)
    return value if math.isfinite(value) else None


def parse_numbers(text: str) -> tuple[float, ...] | None:
    """Return numbers parted by white space or commas, None if anything else is among them.

    Examples
    --------
    >>> parse_numbers("1,2 -3-4.5.5")
    (1.0, 2.0, -3.0, -4.5, 0.5)
    """
    text = text.strip()
    values: list[float] = []
    at = 0
    while at < len(text):
        if values:
            gap = _SEPARATOR.match(text, at)
            if gap is None:
                return None
            at = gap.end()
        match = _NUMBER.match(text, at)
        if match is None:
            return None
        value = float(match.group())
        if not math.isfinite(value):
            return None
        values.append(value)
        at = match.end()
    return tuple(values)


def parse_length(text: str, viewport: Viewport, axis: str) -> float | None:
    """Return a length in px, None if it is no length that is known here.

    Parameters
    ----------
    text : a number, with a unit of fixed size or % (font-relative ones are made px earlier).
    viewport, axis : what a percentage is of.
    """
    match = _LENGTH.fullmatch(text.strip())
    if match is None:
        return None
    value = float(match[1])
    if match[2] == "%":
        base = viewport.base(axis)
        value = math.nan if base is None else value / 100 * base
    elif match[2].lower() in PX:
        value *= PX[match[2].lower()]
    else:
        return None
    return value if math.isfinite(value) else None


def absolute_units(text: str, font_size: float, root_font_size: float) -> str:
    """Return ``text`` with em and rem lengths made px; ex and ch count as half an em.

    Half an em is what CSS Values and Units 4, section 6.1.1, falls back to where the font isn't known.
    """

    def px(match: re.Match[str]) -> str:
        unit = match[2].lower()
        one = root_font_size if unit == "rem" else font_size if unit == "em" else font_size / 2
        return f"{float(match[1]) * one!r}px"

    return _FONT_UNIT.sub(px, text) if "e" in text or "c" in text or "E" in text or "C" in text else text


def parse_view_box(text: str) -> ViewBox | None:
    """Return a view box, None if it isn't four numbers or its width or height isn't positive."""
    values = parse_numbers(text)
    if values is None or len(values) != 4 or values[2] <= 0 or values[3] <= 0:
        return None
    return ViewBox(*values)


_ALIGN = re.compile(r"(?:defer\s+)?(?:(none)|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(meet|slice))?")
_SHARE: Final = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


def fit_view_box(box: ViewBox, width: float, height: float, aspect: str) -> Matrix | None:
    """Return the matrix that puts a view box into a viewport of width × height at the origin.

    ``aspect`` is preserveAspectRatio's value ("" for the default); None if it is not one.
    """
    match = _ALIGN.fullmatch(aspect.strip() or "xMidYMid")
    if match is None:
        return None
    sx, sy = width / box.width, height / box.height
    if match[1]:
        return (sx, 0.0, 0.0, sy, -box.x * sx, -box.y * sy)
    scale = max(sx, sy) if match[4] == "slice" else min(sx, sy)
    dx = (width - box.width * scale) * _SHARE[match[2]]
    dy = (height - box.height * scale) * _SHARE[match[3]]
    return (scale, 0.0, 0.0, scale, dx - box.x * scale, dy - box.y * scale)


def parse_transform(text: str) -> Matrix | None:
    """Return the matrix of a transform attribute, None if any of it isn't understood.

    Examples
    --------
    >>> parse_transform("translate(3) scale(2)")
    (2.0, 0.0, 0.0, 2.0, 3.0, 0.0)
    """
    whole = IDENTITY
    at = 0
    text = text.strip()
    if text == "none":
        return whole
    while at < len(text):
        match = _FUNCTION.match(text, at)
        if match is None:
            return None
        values = parse_numbers(match[2])
        if values is None:
            # The attribute also takes the style's way of writing, with units.
            return parse_css_transform(text, Viewport(None, None))
        step = _matrix(match[1], values)
        if step is None:
            return None
        whole = compose(whole, step)
        at = match.end()
    return whole


def _matrix(name: str, values: tuple[float, ...]) -> Matrix | None:
    match name, values:
        case "matrix", (a, b, c, d, e, f):
            return (a, b, c, d, e, f)
        case "translate", (x,):
            return (1.0, 0.0, 0.0, 1.0, x, 0.0)
        case "translate", (x, y):
            return (1.0, 0.0, 0.0, 1.0, x, y)
        case "scale", (x,):
            return (x, 0.0, 0.0, x, 0.0, 0.0)
        case "scale", (x, y):
            return (x, 0.0, 0.0, y, 0.0, 0.0)
        case "rotate", (angle,):
            return _rotation(math.radians(angle))
        case "rotate", (angle, x, y):
            return about(_rotation(math.radians(angle)), (x, y))
        case "skewX", (angle,):
            return (1.0, 0.0, math.tan(math.radians(angle)), 1.0, 0.0, 0.0)
        case "skewY", (angle,):
            return (1.0, math.tan(math.radians(angle)), 0.0, 1.0, 0.0, 0.0)
    return None


def _rotation(angle: float) -> Matrix:
    turns = angle / (math.pi / 2)
    if abs(turns - round(turns)) < 1e-12:  # quarter turns exactly, so that upright stays upright
        cos, sin = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(turns) % 4]
    else:
        cos, sin = math.cos(angle), math.sin(angle)
    return (cos, sin, -sin, cos, 0.0, 0.0)


def about(matrix: Matrix, origin: Point) -> Matrix:
    """Return ``matrix`` carried out about ``origin`` instead of (0, 0)."""
    x, y = origin
    return compose(compose((1.0, 0.0, 0.0, 1.0, x, y), matrix), (1.0, 0.0, 0.0, 1.0, -x, -y))


def parse_css_transform(text: str, viewport: Viewport) -> Matrix | None:
    """Return the matrix of a style's transform (flat functions only), None if any of it isn't understood."""
    whole = IDENTITY
    at = 0
    text = text.strip()
    if text == "none":
        return whole
    while at < len(text):
        match = _FUNCTION.match(text, at)
        if match is None:
            return None
        step = _css_matrix(match[1].lower(), [part.strip() for part in match[2].split(",")], viewport)
        if step is None:
            return None
        whole = compose(whole, step)
        at = match.end()
    return whole


def _css_matrix(name: str, parts: list[str], viewport: Viewport) -> Matrix | None:
    if name in ("translate", "translatex", "translatey"):
        axes = {"translate": "xy", "translatex": "x", "translatey": "y"}[name]
        if not 1 <= len(parts) <= len(axes):
            return None
        offset = {"x": 0.0, "y": 0.0}
        for axis, part in zip(axes, parts, strict=False):
            value = parse_length(part, viewport, axis)
            if value is None:
                return None
            offset[axis] = value
        return (1.0, 0.0, 0.0, 1.0, offset["x"], offset["y"])
    if name in ("rotate", "skew", "skewx", "skewy"):
        angles = [_angle(part) for part in parts]
        if None in angles or not 1 <= len(angles) <= (2 if name == "skew" else 1):
            return None
        first, second = (*[angle for angle in angles if angle is not None], 0.0)[:2]
        if name == "rotate":
            return _rotation(first)
        along_x, along_y = {"skew": (first, second), "skewx": (first, 0.0), "skewy": (0.0, first)}[name]
        return (1.0, math.tan(along_y), math.tan(along_x), 1.0, 0.0, 0.0)
    numbers = tuple(_factor(part) for part in parts)
    if any(value is None for value in numbers):
        return None
    values = tuple(value for value in numbers if value is not None)
    match name, values:
        case "scalex", (x,):
            return (x, 0.0, 0.0, 1.0, 0.0, 0.0)
        case "scaley", (y,):
            return (1.0, 0.0, 0.0, y, 0.0, 0.0)
    return _matrix(name, values) if name in ("matrix", "scale") else None


def _factor(text: str) -> float | None:
    if text.endswith("%"):
        share = parse_number(text[:-1])
        return None if share is None else share / 100
    return parse_number(text)


def _angle(text: str) -> float | None:
    match = _LENGTH.fullmatch(text)
    if match is None or match[2].lower() not in _ANGLES:
        return None
    angle = float(match[1]) * _ANGLES[match[2].lower()]
    return angle if math.isfinite(angle) else None


_KEYWORDS: Final = {"left": ("x", 0.0), "right": ("x", 1.0), "top": ("y", 0.0), "bottom": ("y", 1.0)}


def parse_origin(text: str, viewport: Viewport) -> Point | None:
    """Return a transform-origin in user units ("" is the default, 0 0), None if it isn't understood."""
    words = text.lower().split()
    if not words:
        return (0.0, 0.0)
    if len(words) > 3 or (len(words) == 3 and parse_length(words[2], viewport, "x") is None):
        return None
    words = words[:2]
    if len(words) == 1:
        words.append("center")
    if _KEYWORDS.get(words[0], ("x",))[0] == "y" or _KEYWORDS.get(words[1], ("y",))[0] == "x":
        words.reverse()
    found: list[float] = []
    for axis, word in zip("xy", words, strict=True):
        if word in _KEYWORDS or word == "center":
            own, share = _KEYWORDS.get(word, (axis, 0.5))
            base = viewport.base(axis)
            if own != axis or base is None:
                return None
            found.append(share * base)
        else:
            value = parse_length(word, viewport, axis)
            if value is None:
                return None
            found.append(value)
    return (found[0], found[1])
