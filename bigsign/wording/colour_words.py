"""Colours in plain words: "dark blue" for #1f3a5f.

The bounds are our own, set so that the named colours of CSS come out as people call them: how light and how strong a
colour is counts as CIE L* and chroma, where it stands in the circle of hues as the HSL hue in degrees.
"""

from __future__ import annotations

from bigsign.colours import hue, lightness_chroma, parse_colour
from bigsign.wording.catalogue import phrase, spoken

__all__ = ["colour_said", "colour_word"]

#: Dark below the first L*, light above the second.
DARK_LIGHT: dict[str, tuple[float, float]] = {
    "grey": (40, 70),
    "red": (42, 101),
    "pink": (45, 85),
    "orange": (0, 80),
    "brown": (32, 58),
    "yellow": (0, 101),
    "olive": (40, 101),
    "green": (43, 78),
    "turquoise": (50, 87),
    "blue": (36, 70),
    "purple": (28, 65),
}
VIVID = 75.0  # chroma: no colour as strong is pale
GLOWING = 90.0  # chroma: no blue as strong is dark


def colour_said(colour: str, spelling: str) -> str:
    """Return a film colour as the project spells it; what is spelt in figures is said in words as well.

    The English name of a colour is said in the language spoken.
    """
    if spelling.startswith("#"):
        return f"{colour_word(colour)} ({spelling})"
    return colour_word(colour) if spoken() != "en" and _is_name(spelling, colour) else spelling


def _is_name(spelling: str, colour: str) -> bool:
    """Whether a spelling is the name that CSS has for a colour."""
    try:
        return parse_colour(spelling) == colour
    except ValueError:
        return False


def colour_word(colour: str) -> str:
    """Return the plain word for "#rrggbb" in the language spoken."""
    lightness, chroma = lightness_chroma(colour)
    name = _name(lightness, chroma, hue(colour))
    dark, light = DARK_LIGHT.get(name, (0, 101))
    word = phrase(f"colour.{name}")
    if lightness < dark and not (name == "blue" and chroma > GLOWING):
        return phrase("colour.dark", colour=word)
    pale = name == "yellow" and chroma < 60
    if pale or (lightness > light and chroma < VIVID):
        return phrase("colour.light", colour=word)
    return word


def _name(lightness: float, chroma: float, angle: float) -> str:
    """Return the key of the word without light and dark."""
    if lightness < 6:
        return "black"
    if chroma < (8 if lightness > 85 else 13):
        return "black" if lightness < 12 else "white" if lightness > 94 else "grey"
    if angle < 12 or angle >= 345:
        return "pink" if lightness >= 62 and chroma < 60 else "red"
    if angle < 50:
        if lightness >= 72 and chroma < 32:
            return "beige"
        return "brown" if lightness < 63 and chroma < VIVID else "orange"
    if angle < 70:
        if lightness < 65:
            return "olive"
        return "beige" if chroma < 20 and lightness < 98 else "yellow"
    if angle < 165:
        return "green"
    if angle < 190:
        return "turquoise"
    if angle < 252:
        return "blue"
    return "purple" if angle < 310 and chroma < 105 else "pink"
