"""The one place that talks to HarfBuzz: text and a font in, placed outlines in font units out.

Frame here: font units, y up, as fonts have it; the setter turns it over.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from bigsign.artwork.bidi import Run, bidi_runs
from bigsign.artwork.flatten import Close, Command, CubicTo, LineTo, MoveTo, QuadTo, transform
from bigsign.artwork.graphemes import grapheme_starts
from bigsign.artwork.scripts import FaceRules
from bigsign.project import FontFile

__all__ = ["Face", "ShapedGlyph"]


@dataclass(frozen=True, slots=True)
class ShapedGlyph:
    """One cluster as shaped: its text, the index of its first character, its outline in place, missing or not.

    ``coloured``: the font has it in colours as well, which no outline shows. ``ends``: of the outline's commands, where
    each of the font's glyphs ends: a letter and its mark are two, and each is filled by itself.
    """

    text: str
    start: int
    outline: tuple[Command, ...]
    missing: bool
    coloured: bool = False
    ends: tuple[int, ...] = ()


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
    """A font face at given axes (those it does not have are ignored, others held to their range: see ``axes``)."""

    def __init__(self, font: FontFile, axes: Mapping[str, float]) -> None:
        import uharfbuzz as hb

        self._hb: Any = hb
        face = hb.Face(font.data, font.index)
        self._font: Any = hb.Font(face)
        self.upem = int(face.upem)
        self.rules = FaceRules(face)
        self.axes = {str(axis.tag): (float(axis.min_value), float(axis.max_value)) for axis in face.axis_infos}
        self._font.scale = (self.upem, self.upem)
        if font.axes or axes:  # what a named instance says, but for what is asked of an axis
            self._font.set_variations({**dict(font.axes), **axes})
        self._colours = bool(face.has_color_layers or face.has_color_paint or face.has_color_svg or face.has_color_png)
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
        value = self._font.get_metric_position(self._hb.OTMetricsTag.CAP_HEIGHT)
        return float(value) if value and value > 0 else None

    def in_colours(self, glyph: int) -> bool:
        """Whether a glyph has layers of colours, or a picture in colours, besides its outline or instead of it."""
        if not self._colours:
            return False
        face, font = self._font.face, self._font
        if face.has_color_layers and face.get_glyph_color_layers(glyph):
            return True
        if face.has_color_paint and face.glyph_has_color_paint(glyph):
            return True
        pictures = []
        if face.has_color_svg:
            pictures.append(face.get_glyph_color_svg(glyph))
        if face.has_color_png:
            pictures.append(font.get_glyph_color_png(glyph))
        return any(picture is not None and len(picture.data) > 0 for picture in pictures)

    def shape(self, text: str) -> list[ShapedGlyph]:
        """Return a line's characters in logical order, outlines in place on a level baseline from 0.

        An entry is a grapheme cluster, or several that the font joins in a ligature; none is ever parted, though
        HarfBuzz might keep its glyphs apart.
        """
        pen_x, pen_y = 0.0, 0.0
        found: dict[int, _Cluster] = {}
        for run in _runs(text):
            buffer = self._hb.Buffer()
            # The whole line goes along as context: Arabic letters join across a change of run.
            buffer.add_str(text, run.start, run.end - run.start)
            buffer.direction = "rtl" if run.level % 2 else "ltr"
            buffer.language = "und"  # else HarfBuzz asks the locale, and the letters would depend on the machine
            buffer.guess_segment_properties()
            self._hb.shape(self._font, buffer)
            for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
                at = (1.0, 0.0, 0.0, 1.0, pen_x + position.x_offset, pen_y + position.y_offset)
                cluster = found.setdefault(info.cluster, _Cluster([]))
                cluster.add(transform(self.glyph_outline(info.codepoint), at))
                cluster.missing |= info.codepoint == 0
                cluster.coloured |= self.in_colours(info.codepoint)
                pen_x += position.x_advance
                pen_y += position.y_advance
        kept: dict[int, _Cluster] = {}
        whole = set(grapheme_starts(text))
        for start in sorted(found):
            if start in whole or not kept:
                kept[start] = found[start]
            else:  # the font keeps apart what a reader sees as one
                last = kept[max(kept)]
                last.add(found[start].outline, found[start].ends)
                last.missing |= found[start].missing
                last.coloured |= found[start].coloured
        return [
            kept[start].shaped(text[start:end], start)
            for start, end in pairwise([*sorted(kept), len(text)])
        ]

    def shape_apart(self, text: str) -> list[ShapedGlyph]:
        """Return a line's grapheme clusters each shaped alone from 0: no ligature, no kerning, no joining."""
        out: list[ShapedGlyph] = []
        for start, end in pairwise([*grapheme_starts(text), len(text)]):
            whole = _Cluster([])
            for part in self.shape(text[start:end]):
                whole.add(part.outline, part.ends)
                whole.missing |= part.missing
                whole.coloured |= part.coloured
            out.append(whole.shaped(text[start:end], start))
        return out


@dataclass(slots=True)
class _Cluster:
    """What has been drawn of a cluster so far."""

    outline: list[Command]
    missing: bool = False
    coloured: bool = False
    ends: list[int] = field(default_factory=list)

    def add(self, outline: Sequence[Command], ends: Sequence[int] | None = None) -> None:
        """Add an outline: that of one glyph, or of several that end there."""
        if outline:
            self.ends.extend(len(self.outline) + end for end in ends or (len(outline),))
            self.outline.extend(outline)

    def shaped(self, text: str, start: int) -> ShapedGlyph:
        return ShapedGlyph(text, start, tuple(self.outline), self.missing, self.coloured, tuple(self.ends))


def _runs(text: str) -> list[Run]:
    """Return runs of one direction and one script, left to right: HarfBuzz shapes one script at a time."""
    from fontTools.unicodedata import script

    scripts = [script(char) for char in text]
    known = [name not in ("Zyyy", "Zinh", "Zzzz") for name in scripts]
    # What all scripts share goes with the letter before it, or at the start with the one after.
    current = next((name for name, good in zip(scripts, known, strict=True) if good), "Zyyy")
    for i, good in enumerate(known):
        current = scripts[i] if good else current
        scripts[i] = current
    out: list[Run] = []
    for run in bidi_runs(text):
        edges = [i for i in range(run.start + 1, run.end) if scripts[i] != scripts[i - 1]]
        parts = [Run(start, end, run.level) for start, end in pairwise([run.start, *edges, run.end])]
        out.extend(reversed(parts) if run.level % 2 else parts)
    return out
