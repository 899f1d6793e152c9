"""How wide a text is: advances of the guide's own font (Lato, OFL), read once. Kerning is not used on paper."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

__all__ = ["CAP_SHARE", "can_show", "font_file", "printable", "text_width", "wrap"]

CAP_SHARE = 0.7165  # height of Lato's H over its em; a test holds it against the outline


@cache
def font_file(bold: bool) -> Path:
    """Return the file of the guide's font."""
    import font_lato

    return Path(font_lato.__file__).parent / "files" / ("Lato-Bold.ttf" if bold else "Lato-Regular.ttf")


@cache
def _advances(bold: bool) -> dict[int, float]:
    from fontTools.ttLib import TTFont

    with TTFont(font_file(bold), lazy=True) as font:
        upem = float(font["head"].unitsPerEm)
        widths = font["hmtx"].metrics
        return {code: widths[name][0] / upem for code, name in font.getBestCmap().items()}


def can_show(text: str, bold: bool = False) -> bool:
    """Whether the font has every character of ``text``."""
    known = _advances(bold)
    return all(ord(char) in known for char in text)


def printable(text: str, bold: bool = False) -> str:
    """Return ``text`` with "?" for every character the font lacks: names may be in any script, and must not vanish."""
    known = _advances(bold)
    return "".join(char if ord(char) in known else "?" for char in text)


def text_width(text: str, cap: float, bold: bool = False) -> float:
    """Return the width of a text in mm for capitals ``cap`` mm high."""
    known = _advances(bold)
    return sum(known.get(ord(char), 0.6) for char in text) * cap / CAP_SHARE


def wrap(text: str, cap: float, width: float, bold: bool = False) -> list[str]:
    """Return the lines into which ``text`` breaks at spaces so that none is wider than ``width`` mm.

    A number stays with its fraction and unit: the spaces in "43 1/2 in" never break.
    """
    glued = re.sub(r"(\d) (\d+/\d+)", "\\1\u00a0\\2", text)
    glued = re.sub(r"(\d) (in|mm|cm|ft|m)\b", "\\1\u00a0\\2", glued)
    lines: list[str] = []
    for word in glued.split(" "):
        if lines and text_width(f"{lines[-1]} {word}", cap, bold) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return [line.replace("\u00a0", " ") for line in lines] or [""]
