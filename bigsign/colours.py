"""Film colours: CSS names and #rrggbb in, "#rrggbb" out."""

from __future__ import annotations

import re

__all__ = ["parse_colour"]


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
