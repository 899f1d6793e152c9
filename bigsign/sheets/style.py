"""How the paper looks: line widths, heights of capitals, dash patterns and the few colours there are.

Narrow and wide lines pair 1:2 as in ISO 128-2 (from memory).
"""

from __future__ import annotations

__all__ = [
    "ACCENT", "BLACK", "BREAK", "CHAIN", "DASHED", "FINE", "FIRM", "GREY", "HAIR", "MARGIN", "MEASURE_CAP", "PALE",
    "SMALL_CAP", "STEP_CAP", "TAPE", "TITLE_CAP", "film_fill", "film_tint", "is_pale",
]  # fmt: skip

#: Clear paper all round, mm.
MARGIN = 12.0
#: Line widths in mm: film and board; trim and dimensions; hatching and leaders.
FIRM, FINE, HAIR = 0.5, 0.25, 0.18
#: Heights of capitals in mm.
TITLE_CAP, MEASURE_CAP, STEP_CAP, SMALL_CAP = 5.0, 3.0, 2.5, 1.8
#: The accent is for measures only and prints as a dark grey.
BLACK, GREY, PALE, TAPE, ACCENT = "#111111", "#595959", "#b4b4b4", "#efeeea", "#9b2d1f"
#: Dash patterns in mm, after ISO 128: dashed for what is not there yet, long-dash-dot for centre and level lines,
#: long-dash-double-dot for where neighbouring parts meet.
DASHED: tuple[float, ...] = (2.2, 1.1)
CHAIN: tuple[float, ...] = (5.0, 1.0, 0.5, 1.0)
BREAK: tuple[float, ...] = (5.0, 1.0, 0.5, 1.0, 0.5, 1.0)

WHITE_FILM = "#e4e4df"  # white film on white paper


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _light(colour: str) -> float:
    red, green, blue = _channels(colour)
    return (0.299 * red + 0.587 * green + 0.114 * blue) / 255


def is_pale(colour: str) -> bool:
    """Whether film of this colour ("#rrggbb") would be lost on white paper."""
    return _light(colour) > 0.88


def film_fill(colour: str) -> str:
    """Return the colour in which film is shown as it will look; white film is tinted."""
    return WHITE_FILM if is_pale(colour) else colour


def film_tint(colour: str) -> str:
    """Return a light tint of a film's colour, on which lines and marks can still be read."""
    if is_pale(colour):
        return WHITE_FILM
    share = 0.26 + 0.5 * _light(colour)  # dark film is thinned more, so that all tints end about equally light
    return "#" + "".join(f"{round(255 - (255 - value) * share):02x}" for value in _channels(colour))
