"""The English catalogue, last part: plain words for colours."""

from __future__ import annotations

__all__ = ["COLOURS"]

COLOURS: dict[str, str] = {
    "colour.dark": "dark {colour}",
    "colour.light": "light {colour}",
    "colour.black": "black",
    "colour.white": "white",
    "colour.grey": "grey",
    "colour.red": "red",
    "colour.pink": "pink",
    "colour.orange": "orange",
    "colour.brown": "brown",
    "colour.beige": "beige",
    "colour.yellow": "yellow",
    "colour.olive": "olive",
    "colour.green": "green",
    "colour.turquoise": "turquoise",
    "colour.blue": "blue",
    "colour.purple": "purple",
}
