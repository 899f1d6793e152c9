"""The guide's own letters: how wide a text is and where its ink stands. Lato (OFL), whose figures are tabular.

Read from the font files once. Kerning is not used on paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from bigsign.sheets.items import Box, Run, Text

__all__ = ["can_show", "em_of", "font_file", "ink_box", "run_width", "showable"]


@dataclass(frozen=True, slots=True)
class _Face:
    """Per code point: advance and ink (x0, y0, x1, y1) in ems, y up; ``cap`` is the height of H in ems."""

    advance: dict[int, float]
    ink: dict[int, Box]
    cap: float


@cache
def font_file(bold: bool) -> Path:
    """Return the file of the guide's regular or bold font."""
    import font_lato

    return Path(str(font_lato.__file__)).parent / "files" / ("Lato-Bold.ttf" if bold else "Lato-Regular.ttf")


@cache
def _face(bold: bool) -> _Face:
    from fontTools.ttLib import TTFont

    with TTFont(font_file(bold), lazy=True) as font:
        upem = float(font["head"].unitsPerEm)
        widths, outlines = font["hmtx"].metrics, font["glyf"]
        advance: dict[int, float] = {}
        ink: dict[int, Box] = {}
        for code, name in font.getBestCmap().items():
            advance[code] = widths[name][0] / upem
            glyph = outlines[name]
            if glyph.numberOfContours:
                ink[code] = (glyph.xMin / upem, glyph.yMin / upem, glyph.xMax / upem, glyph.yMax / upem)
        return _Face(advance, ink, ink[ord("H")][3])


def em_of(cap: float, bold: bool) -> float:
    """Return the font size in mm at which capitals are ``cap`` mm high."""
    return cap / _face(bold).cap


@cache
def can_show(text: str) -> bool:
    """Whether both fonts have every character of ``text`` (a new line counts as a space)."""
    return all(ord(char) in _face(bold).advance for char in text.replace("\n", " ") for bold in (False, True))


def showable(text: str) -> str:
    """Return ``text`` with characters that the fonts lack left out and white space made single."""
    return " ".join("".join(char if can_show(char) else " " for char in text).split())


@cache
def run_width(text: str, cap: float, bold: bool = False) -> float:
    """Return the advance of ``text`` in mm.

    Raises
    ------
    ValueError
        If the font lacks one of its characters: it would vanish from the page without a word.
    """
    known = _face(bold).advance
    missing = sorted({char for char in text if ord(char) not in known})
    if missing:
        raise ValueError(f"the guide's font has no {', '.join(f'U+{ord(char):04X}' for char in missing)}")
    return sum(known[ord(char)] for char in text) * em_of(cap, bold)


def _run_ink(run: Run) -> Box | None:
    """Return a run's ink relative to the text's start, y down."""
    face, em = _face(run.bold), em_of(run.cap, run.bold)
    pen = run.along
    boxes = []
    for char in run.text:
        if ord(char) in face.ink:
            x0, y0, x1, y1 = face.ink[ord(char)]
            boxes.append((pen + x0 * em, -run.rise - y1 * em, pen + x1 * em, -run.rise - y0 * em))
        pen += face.advance[ord(char)] * em
    if not boxes:
        return None
    return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)


def ink_box(text: Text) -> Box | None:
    """Return the box of a text's ink on the page, or None for one of spaces only."""
    found = [box for run in text.runs if (box := _run_ink(run)) is not None]
    if not found:
        return None
    x0, y0 = min(b[0] for b in found), min(b[1] for b in found)
    x1, y1 = max(b[2] for b in found), max(b[3] for b in found)
    x, y = text.at
    if text.turned:  # the baseline runs up the page: along becomes −y, above becomes −x
        return x + y0, y - x1, x + y1, y - x0
    return x + x0, y + y0, x + x1, y + y1
