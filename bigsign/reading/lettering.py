"""The records the reading room yields. Ids are zero-padded in reading order."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bigsign.findings import Finding

__all__ = ["Bounds", "Glyph", "Lettering", "Line", "Word"]

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Glyph:
    """What a reader sees as one character: i with its dot, é, ", %, a stencil letter.

    Parameters
    ----------
    id : "g001" ….
    text : the character where it is known, else None.
    pieces : ids of its pieces; in connected lettering several glyphs share a piece.
    word, line : ids.
    bounds : (x0, y0, x1, y1) of the glyph's own film in mm (where it shares a piece: of its own part of it).
    colour : "#rrggbb" of its film.
    """

    id: str
    text: str | None
    pieces: tuple[str, ...]
    word: str
    line: str
    bounds: Bounds
    colour: str


@dataclass(frozen=True, slots=True)
class Word:
    """Glyphs between white space; ``text`` None where it is not known."""

    id: str
    text: str | None
    glyphs: tuple[str, ...]
    line: str


@dataclass(frozen=True, slots=True)
class Line:
    """Words in reading order.

    ``baseline``: from where the line's film starts to where it ends, two points, sign frame, mm (left to right
    before the turn, also for right-to-left text). ``angle``: degrees clockwise on the drawing; 0 for level
    lines, 90 for lines that read downwards with their heads to the right. ``cap_height``: mm; for lines read
    from outlines the usual height of their tall glyphs. ``block``: lines of one block follow each other
    (like direction, pitch under twice their height, overlapping along it). ``stacked``: letters one under the
    other. ``arc``: (x, y, radius) of the circle the feet stand on, mm, the radius
    negative where heads point to its centre; None for straight lines; the baseline's two
    points are then its ends and the angle is their chord's.
    """

    id: str
    text: str | None
    words: tuple[str, ...]
    baseline: tuple[tuple[float, float], tuple[float, float]]
    angle: float
    cap_height: float
    block: int
    stacked: bool = False
    rtl: bool = False
    arc: tuple[float, float, float] | None = None

    def foot_points(self) -> tuple[tuple[float, float], ...]:
        """Return the baseline as points, on an arc one every five degrees or less."""
        first, last = self.baseline
        if self.arc is None:
            return self.baseline
        x, y, radius = self.arc
        begin, end = (math.atan2(at[1] - y, at[0] - x) for at in (first, last))
        sweep = (end - begin) % (2 * math.pi) if radius > 0 else -((begin - end) % (2 * math.pi))
        steps = max(1, math.ceil(abs(sweep) / math.radians(5)))
        turns = [begin + sweep * n / steps for n in range(1, steps)]
        inner = ((x + abs(radius) * math.cos(turn), y + abs(radius) * math.sin(turn)) for turn in turns)
        return first, *inner, last


@dataclass(frozen=True, slots=True)
class Lettering:
    """Everything read: glyphs, words, lines in reading order; ornaments are pieces that belong to no line."""

    glyphs: tuple[Glyph, ...]
    words: tuple[Word, ...]
    lines: tuple[Line, ...]
    ornaments: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
