"""The guide's own letters: how wide a text is and where its ink stands.

Lato (OFL), whose figures are tabular; for letters that it lacks Fira Sans (OFL), which has those of Latin, Greek and
Cyrillic at large; what neither has is written as U+XXXX, unless
it is drawn in the sign's own face (own_face.py). Read from the font files once. Kerning is not used on paper.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from bigsign.sheets.items import Box, Run, Text

__all__ = ["can_show", "em_of", "font_file", "ink_box", "run_advance", "run_width", "segments", "showable"]


@dataclass(frozen=True, slots=True)
class _Face:
    """Per code point: advance and ink (x0, y0, x1, y1) in ems, y up; ``cap`` is the height of H in ems."""

    advance: dict[int, float]
    ink: dict[int, Box]
    cap: float


_WORDS = re.compile(r"\s+|\S+")
FACES = (0, 1)  # Lato, then Fira Sans for what that lacks


@cache
def font_file(bold: bool, face: int = 0) -> Path:
    """Return the file of one of the guide's faces, regular or bold."""
    if face == 0:
        import font_lato as package

        return Path(str(package.__file__)).parent / "files" / ("Lato-Bold.ttf" if bold else "Lato-Regular.ttf")
    import fontpkg_fira_sans as more

    return Path(str(more.__file__)).parent / "files" / ("FiraSans-Bold.ttf" if bold else "FiraSans-Regular.ttf")


@cache
def _face(bold: bool, face: int = 0) -> _Face:
    from fontTools.ttLib import TTFont

    with TTFont(font_file(bold, face), lazy=True) as font:
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


def em_of(cap: float, bold: bool, face: int = 0) -> float:
    """Return the font size in mm at which capitals are ``cap`` mm high."""
    return cap / _face(bold, face).cap


@cache
def _face_for(char: str) -> int | None:
    """Return the first face that has a character, regular and bold; None: neither has."""
    return next((face for face in FACES if _has(face, char)), None)


def _whole_face(word: str) -> int | None:
    """Return the first face that has all of a word."""
    return next((face for face in FACES if all(_has(face, char) for char in word)), None)


@cache
def _has(face: int, char: str) -> bool:
    return all(ord(char) in _face(bold, face).advance for bold in (False, True))


@cache
def segments(text: str) -> tuple[tuple[int, str], ...]:
    """Return a text as it is written: the face of each stretch, and its characters."""
    out: list[tuple[int, str]] = []
    parts = _WORDS.findall(unicodedata.normalize("NFC", text))
    words = [_whole_face(part) for part in parts if any(char.isalpha() for char in part)]
    # A word stays in one face, and a text of which most words need the second: two side by side are uneven.
    most = 2 * words.count(1) > len(words)
    all_in = 1 if most and all(_has(1, char) for part in parts for char in part) else None
    for word in parts:
        faces = [_face_for(char) for char in word]
        whole = _whole_face(word) if all_in is None else all_in
        for char, face in zip(word, faces, strict=True):
            shown = char if face is not None else f"U+{ord(char):04X}"
            at = (face or 0) if whole is None else whole
            if out and out[-1][0] == at:
                out[-1] = (at, out[-1][1] + shown)
            else:
                out.append((at, shown))
    return tuple(out)


def can_show(text: str) -> bool:
    """Whether the faces have every character of ``text`` (a new line counts as a space)."""
    return all(_face_for(char) is not None for char in unicodedata.normalize("NFC", text.replace("\n", " ")))


def showable(text: str) -> str:
    """Return ``text`` with white space made single, and what no face has as U+XXXX."""
    out = []
    for char in unicodedata.normalize("NFC", text):
        if char.isspace() or unicodedata.category(char) in ("Cc", "Cf"):
            out.append(" ")
        else:
            out.append(char if _face_for(char) is not None else f" U+{ord(char):04X} ")
    return " ".join("".join(out).split())


@cache
def run_width(text: str, cap: float, bold: bool = False) -> float:
    """Return the advance of ``text`` in mm."""
    return sum(
        _face(bold, face).advance[ord(char)] * em_of(cap, bold, face) for face, part in segments(text) for char in part
    )


def run_advance(run: Run) -> float:
    """Return how far a run reaches along its line, mm."""
    return run_width(run.text, run.cap, run.bold) if run.ink is None else run.ink.box[2]


def _run_ink(run: Run) -> Box | None:
    """Return a run's ink relative to the text's start, y down."""
    if run.ink is not None:
        x0, y0, x1, y1 = run.ink.box
        return x0 + run.along, y0 - run.rise, x1 + run.along, y1 - run.rise
    pen = run.along
    boxes = []
    for at, part in segments(run.text):
        face, em = _face(run.bold, at), em_of(run.cap, run.bold, at)
        for char in part:
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
