"""Colours and paints as a drawing writes them, to "#rrggbb" and how solid they are.

Source: CSS Color 4; SVG 2, section 13.2 (paint). tinycss2 reads the colours.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import tinycss2
import tinycss2.color4

__all__ = ["Colour", "Paint", "is_colour", "is_paint", "parse_colour", "parse_paint", "parse_url"]


@dataclass(frozen=True, slots=True)
class Colour:
    """A colour of film: "#rrggbb", and the share of it that is opaque, 0 to 1."""

    rgb: str
    alpha: float


@dataclass(frozen=True, slots=True)
class Paint:
    """What a fill or stroke asks for: a colour, a reference ("#sky") with a stand-in, or nothing.

    ``colour`` is None for no paint; with a reference it is the fallback. ``current`` asks for the value of
    the property color. ``context`` asks for the paint of what refers here.
    """

    colour: Colour | None
    reference: str | None = None
    current: bool = False
    context: bool = False


def parse_colour(text: str) -> Colour | None:
    """Return the colour ``text`` names, None if it names none (currentColor is none here)."""
    try:
        found: Any = tinycss2.color4.parse_color(text.strip())
    except (ValueError, TypeError):
        return None
    if found is None or isinstance(found, str):
        return None
    try:
        solid = found.to("srgb")
        parts = [float(part or 0.0) for part in solid.coordinates]
        alpha = float(solid.alpha)
    except (NotImplementedError, ValueError, TypeError):
        return None
    channels = [min(255, max(0, round(part * 255))) for part in parts]
    return Colour("#" + "".join(f"{channel:02x}" for channel in channels), min(1.0, max(0.0, alpha)))


def is_colour(text: str) -> bool:
    """Whether ``text`` is a colour a property can take, currentColor among them."""
    return text.strip().lower() == "currentcolor" or parse_colour(text) is not None


def is_paint(text: str) -> bool:
    """Whether ``text`` is a paint a fill or stroke can take."""
    return parse_paint(text) is not None


def parse_paint(text: str) -> Paint | None:
    """Return the paint ``text`` names, None if it is none.

    Examples
    --------
    >>> parse_paint("url(#sky) red").colour.rgb
    '#ff0000'
    """
    tokens = _tokens(text)
    if not tokens:
        return None
    reference = _url(tokens[0])
    if reference is not None:
        rest = tinycss2.serialize(tokens[1:]).strip() if len(tokens) > 1 else ""
        if not rest:
            return Paint(None, reference)
        fallback = parse_paint(rest)
        if fallback is None or fallback.reference is not None:
            return None
        return Paint(fallback.colour, reference, fallback.current)
    word = text.strip().lower()
    if word == "none":
        return Paint(None)
    if word == "currentcolor":
        return Paint(None, current=True)
    if word in ("context-fill", "context-stroke"):
        return Paint(None, context=True)
    colour = parse_colour(text)
    return None if colour is None else Paint(colour)


def _tokens(text: str) -> list[Any]:
    found = tinycss2.parse_component_value_list(text, skip_comments=True)
    return [token for token in found if token.type != "whitespace"]


def _url(token: Any) -> str | None:
    if token.type == "url":
        return str(token.value).strip()
    if token.type == "function" and token.lower_name == "url":
        inner = [t for t in token.arguments if t.type != "whitespace"]
        if len(inner) == 1 and inner[0].type == "string":
            return str(inner[0].value).strip()
    return None


def parse_url(text: str) -> str | None:
    """Return the reference of a value that is one url() and nothing else, None if it isn't."""
    tokens = _tokens(text)
    return _url(tokens[0]) if len(tokens) == 1 else None
