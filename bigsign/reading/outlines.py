"""Reading lettering from bare outlines: which way lines run, parts into glyphs, gaps into words.

The method follows the docstrum idea (O'Gorman, PAMI 15(11), 1993): neighbours' distances fall into two heaps,
letter gaps and word gaps; here they are pooled over all lines of like height.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bigsign.artwork.pieces import Piece
from bigsign.reading.bridges import join_bridged
from bigsign.reading.choose import choose_ways
from bigsign.reading.columns import Column
from bigsign.reading.connected import connected_rows, group_connected
from bigsign.reading.evidence import feet_of
from bigsign.reading.found import FoundGlyph, FoundLine
from bigsign.reading.gaps import look_of_gaps
from bigsign.reading.glyphs import Part, group_parts
from bigsign.reading.lean import lean_of
from bigsign.reading.lone import like_letter
from bigsign.reading.nests import find_nests
from bigsign.reading.rows import Row, between_lines, box_of, is_lettering, rows_of
from bigsign.reading.views import LEVEL, View
from bigsign.reading.words import split_words

__all__ = ["read_outlines"]

UPRIGHT = 60.0  # degrees: a line turned less is taken to be upright
LONE_LETTER = "a shape by itself, as tall as the letters over or under it, is read as a letter."


def read_outlines(pieces: Sequence[Piece], gaps: bool = False) -> tuple[list[FoundLine], list[str]]:
    """Return the lines found among pieces of one colour, with their ``gaps`` if asked, and the ornaments' ids."""
    nests = find_nests([Part(piece.id, piece.shape, piece.shape.bounds) for piece in pieces])
    if not nests.parts:
        return [], sorted(nests.frames)
    chosen = choose_ways(nests.parts)
    ornaments = list(nests.frames)
    reader = _Reader({part.piece: part for part in nests.parts}, nests.kernels, pieces[0].colour, gaps)
    seen = list(chosen.rows)
    if chosen.level:
        rows, loose = rows_of(chosen.level)
        ornaments.extend(reader.pieces(loose))
        seen = [*((LEVEL, row) for row in rows), *seen]
    script = connected_rows([row for _, row in seen])
    grouped = [reader.grouped(view, row, joined) for (view, row), joined in zip(seen, script, strict=True)]
    letters = [joined > 0 or is_lettering(glyphs) for joined, (_, _, glyphs) in zip(script, grouped, strict=True)]
    sure = [row for (view, row, _), is_line in zip(grouped, letters, strict=True) if is_line and _level(view)]
    lines: list[tuple[Row, list[list[Part]]]] = []
    views: list[View] = []
    joins: list[float] = []
    for (view, row, glyphs), is_line, joined in zip(grouped, letters, script, strict=True):
        lone = len(glyphs) == 1 and _level(view) and any(between_lines(row, other) for other in sure)
        if is_line or (lone and any(part.shape.interiors or like_letter(part.shape) for part in glyphs[0])):
            lines.append((row, glyphs))
            views.append(view)
            joins.append(joined)
        else:
            ornaments.extend(reader.pieces(row.parts))
    apart = [n for n, joined in enumerate(joins) if not joined]
    for n, glyphs in zip(apart, join_bridged([lines[n] for n in apart]), strict=True):
        lines[n] = (lines[n][0], glyphs)
    found = [
        reader.line(view, *made, joined)
        for view, made, joined in zip(views, split_words(lines, joins), joins, strict=True)
    ]
    found.extend(reader.column(column) for column in chosen.columns)
    return found, ornaments


def _level(view: View) -> bool:
    return view.centre is None and not view.angle


def _way_doubt(view: View, row: Row) -> str:
    """Return a doubt about which way up a line is, if its view leaves one."""
    if view.centre is not None or abs(view.angle) < UPRIGHT:
        return ""
    if abs(view.angle) > 180 - UPRIGHT:
        return "it is read as standing upside down."
    if feet_of(row, head=True)[0] < feet_of(row)[0]:
        return ""
    way = "upwards" if view.angle < 0 else "downwards"
    return f"whether it reads up or down can't be told from its letters; it is taken to read {way}."


class _Reader:
    """Turns rows and columns, as seen in views, into found lines on the board."""

    def __init__(self, parts: dict[str, Part], kernels: dict[str, tuple[str, ...]], colour: str, gaps: bool) -> None:
        self.parts, self.kernels, self.colour, self.gaps = parts, kernels, colour, gaps

    def grouped(self, view: View, row: Row, joined: float) -> tuple[View, Row, list[list[Part]]]:
        """Return a row with its glyphs in a view of its own: letters stood up, an arc unrolled at mid height."""
        if view.centre is not None:
            rise = 0.5 * row.height - row.foot
            own = replace(view, radius=view.radius + (-rise if view.inward else rise))
            parts = own.parts([self.parts[part.piece] for part in row.parts])
            view, row = own, Row(parts, row.top + rise, row.foot + rise, row.doubt)
        elif len(row.parts) > 1 and (lean := lean_of(row.parts, row.height, joined > 0)):
            upright = View(lean=lean, base=row.foot)
            row = Row(upright.parts(row.parts), row.top, row.foot, row.doubt)
            view = replace(view, lean=lean, base=row.foot)
        return view, row, (group_connected if joined else group_parts)(row.parts, row.top, row.foot)

    def pieces(self, parts: Sequence[Part]) -> tuple[str, ...]:
        """Return the pieces of parts, with those they hold."""
        return tuple(p for part in parts for p in (part.piece, *self.kernels.get(part.piece, ())))

    def glyph(self, parts: Sequence[Part], word: int) -> FoundGlyph:
        """Return a glyph with its box on the board."""
        box = box_of([self.parts[part.piece] for part in parts])
        return FoundGlyph(None, self.pieces(parts), box, self.colour, word)

    def line(
        self, view: View, row: Row, words: Sequence[Sequence[Sequence[Part]]], doubt: str, joined: float
    ) -> FoundLine:
        """Return a line as it stands on the board."""
        if len(words) == len(words[0]) == 1 and not joined:
            doubt = LONE_LETTER
        doubt = row.doubt or doubt or _way_doubt(view, row)
        made = tuple(self.glyph(glyph, number) for number, word in enumerate(words) for glyph in word)
        boxes = np.array([box_of(glyph) for word in words for glyph in word])
        left, right = float(boxes[:, 0].min()), float(boxes[:, 2].max())
        ends = (view.back(left, row.foot), view.back(right, row.foot))
        angle = view.angle % 360
        arc = None
        if view.centre is not None:
            arc = (*view.centre, float(-view.radius - row.foot if view.inward else view.radius - row.foot))
            angle = float(np.degrees(np.arctan2(ends[1][1] - ends[0][1], ends[1][0] - ends[0][0]))) % 360
        looks = look_of_gaps([glyph for word in words for glyph in word], row.top, row.foot) if self.gaps else ()
        gaps = tuple(float(look) for look in looks)
        return FoundLine(None, made, ends, angle, row.height, -1, doubt=doubt, arc=arc, gaps=gaps)

    def column(self, column: Column) -> FoundLine:
        """Return a stacked line; its baseline is the column's middle line."""
        made = tuple(self.glyph(glyph, word) for glyph, word in zip(column.glyphs, column.words, strict=True))
        boxes = np.array([glyph.bounds for glyph in made])
        middle = float(np.median((boxes[:, 0] + boxes[:, 2]) / 2))
        ends = ((middle, float(boxes[:, 1].min())), (middle, float(boxes[:, 3].max())))
        gaps = tuple((boxes[1:, 1] - boxes[:-1, 3]).tolist())
        return FoundLine(None, made, ends, 0.0, column.height, -1, stacked=True, gaps=gaps)
