"""Lettering set from a font: lines of text become outlines at finished size, placed on the board.

Layout runs in font units, y down, and is linear in the size; so the size that gives a wanted width or height
is found in one step, and curves are flattened only once the size is known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely.geometry import MultiPolygon

from bigsign.artwork.bidi import base_level
from bigsign.artwork.fill import resolve_fill
from bigsign.artwork.flatten import Command, Matrix, compose, flatten_path, map_point, transform
from bigsign.artwork.setting_checks import check_face, check_shaped, lettering_findings, undrawn
from bigsign.artwork.shaping import Face, ShapedGlyph
from bigsign.errors import Fault, InputError
from bigsign.findings import Finding
from bigsign.geometry import made_valid
from bigsign.project import LetteringSpec
from bigsign.tolerances import TOLERANCES

__all__ = ["SetBlock", "SetGlyph", "SetLine", "cap_height_of", "set_lettering"]

Box = tuple[float, float, float, float]
COLUMN_GAP = 0.4  # of the cap height, least space between the films of two stacked columns
FLIP: Matrix = (1.0, 0.0, 0.0, -1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class SetGlyph:
    """A cluster in place: text, outline in mm in the sign's frame, the number of its word in the line."""

    text: str
    outline: MultiPolygon
    word: int


@dataclass(frozen=True, slots=True)
class SetLine:
    """A line in place, glyphs in logical order; for baseline and angle see ``KnownLine``."""

    text: str
    glyphs: tuple[SetGlyph, ...]
    baseline: tuple[tuple[float, float], tuple[float, float]]
    rtl: bool


@dataclass(frozen=True, slots=True)
class SetBlock:
    """A block in place; ``cap_height`` in mm, ``angle`` clockwise in degrees from 0 up to 360."""

    lines: tuple[SetLine, ...]
    cap_height: float
    angle: float
    stacked: bool
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class _Laid:
    """A glyph in font units, y down, with where its origin goes and the exact box of its outline there."""

    glyph: ShapedGlyph
    outline: tuple[Command, ...]
    box: Box
    word: int


def set_lettering(spec: LetteringSpec) -> SetBlock:
    """Return the block's lettering in place.

    Raises
    ------
    InputError
        Naming every character the font lacks, every axis it has not or has no such value of, or if no film comes out.
    """
    face = Face(spec.font, spec.axes)
    check_face(spec, face)
    shaped = [face.shape_apart(line) if spec.stacked else face.shape(line) for line in spec.lines]
    check_shaped(spec, face, shaped)
    cap = cap_height_of(face, shaped)
    pitch = spec.leading * cap
    rows = [_row(row) for row in shaped]
    rows = _stack(rows, pitch, cap) if spec.stacked else _lines(rows, pitch, spec.align)
    boxes = [laid.box for row in rows for laid in row]
    if not boxes:
        raise InputError(Fault("nothing in this lettering is visible", spec.where, "letters, not only spaces"))
    whole = _union(boxes)
    if cap <= 0 or whole[2] <= whole[0] or whole[3] <= whole[1]:
        raise InputError(Fault("the film of this lettering has no width or no height", spec.where, "another font"))
    scale = _scale(spec, cap, whole)
    return replace(_place(spec, rows, whole, scale, cap), findings=lettering_findings(spec, face, shaped))


def cap_height_of(face: Face, shaped: Sequence[Sequence[ShapedGlyph]]) -> float:
    """Return the height of the drawn H; else the font's own figure; else of the tallest letter set. Font units."""
    glyph = face.nominal("H")
    outline = face.glyph_outline(glyph) if glyph is not None else ()
    if outline:
        box = exact_box(outline)
        return box[3] - box[1]
    stated = face.stated_cap_height()
    if stated:
        return stated
    tallest = [exact_box(g.outline)[3] for row in shaped for g in row if g.outline]
    return max(tallest, default=float(face.upem))


def exact_box(outline: Sequence[Command]) -> Box:
    """Return the exact box of an outline's curves (by fontTools' bounds), not of their control points."""
    from fontTools.pens.boundsPen import BoundsPen

    from bigsign.artwork.flatten import Close, CubicTo, LineTo, MoveTo, QuadTo

    pen = BoundsPen(None)
    for command in outline:
        if isinstance(command, MoveTo):
            pen.moveTo(command.to)
        elif isinstance(command, LineTo):
            pen.lineTo(command.to)
        elif isinstance(command, QuadTo):
            pen.qCurveTo(command.control, command.to)
        elif isinstance(command, CubicTo):
            pen.curveTo(command.first, command.second, command.to)
        elif isinstance(command, Close):
            pen.closePath()
    x0, y0, x1, y1 = pen.bounds
    return float(x0), float(y0), float(x1), float(y1)


def _row(shaped: Sequence[ShapedGlyph]) -> list[_Laid]:
    """Return the visible glyphs of a line, y down, with their words: white space ends a word."""
    out: list[_Laid] = []
    word, pending = 0, False
    for glyph in shaped:
        if not glyph.text.strip():
            pending = bool(out)
            continue
        if not glyph.outline:
            continue
        if pending:
            word, pending = word + 1, False
        outline = transform(glyph.outline, FLIP)
        out.append(_Laid(glyph, outline, exact_box(outline), word))
    return out


def _moved(laid: _Laid, dx: float, dy: float) -> _Laid:
    x0, y0, x1, y1 = laid.box
    moved = transform(laid.outline, (1.0, 0.0, 0.0, 1.0, dx, dy))
    return _Laid(laid.glyph, moved, (x0 + dx, y0 + dy, x1 + dx, y1 + dy), laid.word)


def _lines(rows: Sequence[Sequence[_Laid]], pitch: float, align: str) -> list[list[_Laid]]:
    out: list[list[_Laid]] = []
    for number, row in enumerate(rows):
        if not row:
            out.append([])
            continue
        x0, _, x1, _ = _union([laid.box for laid in row])
        shift = {"left": -x0, "right": -x1, "centre": -(x0 + x1) / 2}[align]
        out.append([_moved(laid, shift, number * pitch) for laid in row])
    return out


def _stack(rows: Sequence[Sequence[_Laid]], pitch: float, cap: float) -> list[list[_Laid]]:
    """Return each line as a column: letters ``pitch`` apart, their films centred on the column's middle line.

    Letters stand on baselines a pitch apart. A word space takes one pitch. Columns stand left to right, as far
    apart as the widest letter and a gap, or a pitch where that is more.
    """
    widest = max((laid.box[2] - laid.box[0] for row in rows for laid in row), default=0.0)
    across = max(widest + COLUMN_GAP * cap, pitch)
    out = []
    for column, row in enumerate(rows):
        placed = []
        for at, laid in enumerate(row):
            middle = (laid.box[0] + laid.box[2]) / 2
            placed.append(_moved(laid, column * across - middle, (at + laid.word) * pitch))
        out.append(placed)
    return out


def _scale(spec: LetteringSpec, cap: float, whole: Box) -> float:
    """Return mm a font unit."""
    if spec.cap_height is not None:
        return spec.cap_height / cap
    if spec.width is not None:
        return spec.width / (whole[2] - whole[0])
    assert spec.height is not None
    return spec.height / (whole[3] - whole[1])


def _place(
    spec: LetteringSpec, rows: Sequence[Sequence[_Laid]], whole: Box, scale: float, cap: float
) -> SetBlock:
    """Scale, turn about the film's middle, and move the middle of the turned film to the wanted centre."""
    angle = math.radians(spec.turn % 360)
    cos, sin = (round(value, 15) for value in (math.cos(angle), math.sin(angle)))
    middle = ((whole[0] + whole[2]) / 2, (whole[1] + whole[3]) / 2)
    centred: Matrix = (scale, 0.0, 0.0, scale, -scale * middle[0], -scale * middle[1])
    turned = compose((cos, sin, -sin, cos, 0.0, 0.0), centred)
    box = _union([exact_box(transform(laid.outline, turned)) for row in rows for laid in row])
    shift = (spec.centre[0] - (box[0] + box[2]) / 2, spec.centre[1] - (box[1] + box[3]) / 2)
    final = compose((1.0, 0.0, 0.0, 1.0, *shift), turned)
    lines = []
    empty: list[ShapedGlyph] = []
    for number, (text, row) in enumerate(zip(spec.lines, rows, strict=True)):
        if not row:
            continue
        glyphs = tuple(
            SetGlyph(
                laid.glyph.text,
                _film(transform(laid.outline, final), laid.glyph.ends, spec),
                laid.word,
            )
            for laid in row
        )
        extent = _union([laid.box for laid in row])
        if spec.stacked:
            x = (extent[0] + extent[2]) / 2
            ends = ((x, extent[1]), (x, extent[3]))
        else:
            base = number * spec.leading * cap
            ends = ((extent[0], base), (extent[2], base))
        baseline = (map_point(final, ends[0]), map_point(final, ends[1]))
        lines.append(SetLine(text, glyphs, baseline, base_level(text) == 1))
        # Fonts of pictures have stubs of outlines without area; nothing of a line is ever dropped in silence.
        empty.extend(laid.glyph for laid, glyph in zip(row, glyphs, strict=True) if glyph.outline.is_empty)
    faults = undrawn(spec, empty)
    if faults:
        raise InputError(faults)
    return SetBlock(tuple(lines), scale * cap, spec.turn % 360, spec.stacked)


def _film(outline: Sequence[Command], ends: Sequence[int], spec: LetteringSpec) -> MultiPolygon:
    """Return what an outline fills: fonts fill by the nonzero rule, and variable ones overlap themselves.

    Each of the font's glyphs is filled by itself, and only then are they united: contours of a letter and of a mark
    that run in opposite directions would cancel each other where they overlap.
    """
    try:
        parts = [
            resolve_fill(flatten_path(outline[start:end], TOLERANCES.flatten), "nonzero")
            for start, end in pairwise((0, *ends))
        ]
    except ValueError as error:
        fault = Fault(f"the font {spec.font.name} can't be drawn: {error}", spec.where, "another font")
        raise InputError(fault) from None
    return parts[0] if len(parts) == 1 else made_valid(shapely.union_all(parts))


def _union(boxes: Sequence[Box]) -> Box:
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )
