"""Film colours: CSS names and #rrggbb in, "#rrggbb" out; how light a colour is, and its hue, as people see them."""

from __future__ import annotations

import colorsys
import math
import re

__all__ = ["hue", "is_dark", "lightness_chroma", "parse_colour"]

DARK = 50.0  # CIE L* of a middle grey; darker film warms most in the sun (common practice, no source)


def parse_colour(text: str) -> str:
    """Return a colour as "#rrggbb", lower case.

    Raises
    ------
    ValueError
        If the text is no CSS colour name and no #rgb or #rrggbb.
    """
    from tinycss2.color4 import parse_color

    short = text.strip().lower()
    if re.fullmatch(r"#(?:[0-9a-f]{3}|[0-9a-f]{6})|[a-z]+", short):
        found = parse_color(short)
        if found is not None and found != "currentcolor" and found.alpha == 1:
            return "#" + "".join(f"{round(part * 255):02x}" for part in found.coordinates)
    raise ValueError(f"{text!r} is no colour")


def lightness_chroma(colour: str) -> tuple[float, float]:
    """Return CIE L* (0 to 100) and chroma of "#rrggbb".

    sRGB as IEC 61966-2-1 has it, white D65, L*a*b* as ISO/CIE 11664-4 has it (figures from memory).
    """
    red, green, blue = (_linear(value) for value in _channels(colour))
    x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505
    y = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.0890
    fx, fy, fz = _root(x), _root(y), _root(z)
    a, b = 500 * (fx - fy), 200 * (fy - fz)
    return 116 * fy - 16, math.hypot(a, b)


def hue(colour: str) -> float:
    """Return the HSL hue of "#rrggbb" in degrees: 0 red, 120 green, 240 blue; 0 of greys."""
    return colorsys.rgb_to_hls(*_channels(colour))[0] * 360


def is_dark(colour: str) -> bool:
    """Whether film of this colour ("#rrggbb") is dark."""
    return lightness_chroma(colour)[0] < DARK


def _channels(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _root(value: float) -> float:
    return float(value ** (1 / 3)) if value > (6 / 29) ** 3 else value / (3 * (6 / 29) ** 2) + 4 / 29
