"""The one place that talks to HarfBuzz: text and a font in, placed outlines in font units out.

Frame here: font units, y up, as fonts have it; the setter turns it over.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from bigsign.artwork.flatten import Close, Command, CubicTo, LineTo, MoveTo, QuadTo, transform
from bigsign.project import FontFile

__all__ = ["Face", "ShapedGlyph", "bidi_runs"]


@dataclass(frozen=True, slots=True)
class ShapedGlyph:
    """One cluster as shaped: its text, the index of its first character, its outline in place, missing or not."""

    text: str
    start: int
    outline: tuple[Command, ...]
    missing: bool


class _Recorder:
    """A pen that keeps what HarfBuzz draws as commands."""

    def __init__(self) -> None:
        self.commands: list[Command] = []

    def moveTo(self, to: tuple[float, float]) -> None:  # noqa: N802 - the pen protocol's names
        self.commands.append(MoveTo(to))

    def lineTo(self, to: tuple[float, float]) -> None:  # noqa: N802
        self.commands.append(LineTo(to))

    def qCurveTo(self, control: tuple[float, float], to: tuple[float, float]) -> None:  # noqa: N802
        self.commands.append(QuadTo(control, to))

    def curveTo(  # noqa: N802
        self, first: tuple[float, float], second: tuple[float, float], to: tuple[float, float]
    ) -> None:
        self.commands.append(CubicTo(first, second, to))

    def closePath(self) -> None:  # noqa: N802
        self.commands.append(Close())

    def endPath(self) -> None:  # noqa: N802
        pass


class Face:
    """A font face at given axes."""

    def __init__(self, font: FontFile, axes: Mapping[str, float]) -> None:
        import uharfbuzz as hb

        self._hb: Any = hb
        face = hb.Face(font.data, font.index)
        self._font: Any = hb.Font(face)
        self.upem = int(face.upem)
        self._font.scale = (self.upem, self.upem)
        if axes:
            self._font.set_variations(dict(axes))
        self._data, self._index = font.data, font.index
        self._outlines: dict[int, tuple[Command, ...]] = {}

    def glyph_outline(self, glyph: int) -> tuple[Command, ...]:
        """Return a glyph's outline at the origin."""
        if glyph not in self._outlines:
            pen = _Recorder()
            self._font.draw_glyph_with_pen(glyph, pen)
            self._outlines[glyph] = tuple(pen.commands)
        return self._outlines[glyph]

    def nominal(self, char: str) -> int | None:
        """Return the glyph of a character, or None."""
        found = self._font.get_nominal_glyph(ord(char))
        return int(found) if found else None

    def stated_cap_height(self) -> float | None:
        """Return the font's own cap height (OS/2 sCapHeight), or None where it states none."""
        from fontTools.ttLib import TTFont

        with TTFont(BytesIO(self._data), fontNumber=self._index, lazy=True) as tables:
            value = getattr(tables["OS/2"], "sCapHeight", 0) if "OS/2" in tables else 0
        return float(value) if value else None

    def shape(self, text: str) -> list[ShapedGlyph]:
        """Return the clusters of a line in logical order, each with its outline placed on a level baseline from 0.

        Clusters are HarfBuzz's "monotone graphemes": a character with its marks, or a ligature, is one.
        """
        pen_x, pen_y = 0.0, 0.0
        out: list[ShapedGlyph] = []
        for start, part, level in bidi_runs(text):
            buffer = self._hb.Buffer()
            buffer.add_str(part)
            buffer.guess_segment_properties()
            buffer.direction = "rtl" if level % 2 else "ltr"
            self._hb.shape(self._font, buffer)
            outlines: dict[int, list[Command]] = {}
            missing: set[int] = set()
            for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
                matrix = (1.0, 0.0, 0.0, 1.0, pen_x + position.x_offset, pen_y + position.y_offset)
                outlines.setdefault(info.cluster, []).extend(transform(self.glyph_outline(info.codepoint), matrix))
                if info.codepoint == 0:
                    missing.add(info.cluster)
                pen_x += position.x_advance
                pen_y += position.y_advance
            ends = [*sorted(outlines)[1:], len(part)]
            out.extend(
                ShapedGlyph(part[at:end], start + at, tuple(outlines[at]), at in missing)
                for at, end in zip(sorted(outlines), ends, strict=True)
            )
        return sorted(out, key=lambda glyph: glyph.start)


def bidi_runs(text: str) -> list[tuple[int, str, int]]:
    """Return the runs of one direction in visual order, as (start, text, level).

    A short form of the Unicode bidirectional algorithm (UAX #9) for lines without explicit controls: base
    direction from the first strong character (P2, P3), numbers run left to right within right-to-left text (W2,
    I1, I2), neutrals take the direction of both neighbours or the base (N1, N2), runs are reversed by level (L2).
    """
    kinds = [unicodedata.bidirectional(char) for char in text]
    strong = [kind for kind in kinds if kind in ("L", "R", "AL")]
    base = 1 if strong and strong[0] != "L" else 0
    sides = [{"L": "L", "R": "R", "AL": "R", "EN": "N", "AN": "N"}.get(kind, "?") for kind in kinds]
    last = "R" if base else "L"
    for i, side in enumerate(sides):  # numbers in left-to-right text belong to it
        if side in "LR":
            last = side
        elif side == "N" and last == "L":
            sides[i] = "L"
        elif kinds[i] == "NSM" and i:
            sides[i] = sides[i - 1]
    for i, side in enumerate(sides):
        if side == "?":
            before = next((s for s in reversed(sides[:i]) if s != "?"), "R" if base else "L")
            after = next((s for s in sides[i + 1 :] if s != "?"), "R" if base else "L")
            before, after = ("R" if s == "N" else s for s in (before, after))
            sides[i] = before if before == after else ("R" if base else "L")
    levels = [{"L": 2 * base, "R": 1, "N": 2}[side] for side in sides]
    runs: list[tuple[int, str, int]] = []
    for i, char in enumerate(text):
        if runs and runs[-1][2] == levels[i]:
            start, part, level = runs[-1]
            runs[-1] = (start, part + char, level)
        else:
            runs.append((i, char, levels[i]))
    return _visual(runs)


def _visual(runs: Sequence[tuple[int, str, int]]) -> list[tuple[int, str, int]]:
    order = list(runs)
    for level in range(max((run[2] for run in order), default=0), 0, -1):
        at = 0
        while at < len(order):
            end = at
            while end < len(order) and order[end][2] >= level:
                end += 1
            order[at:end] = reversed(order[at:end])
            at = max(end, at + 1)
    return order
