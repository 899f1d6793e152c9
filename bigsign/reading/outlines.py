"""Reading level lettering from bare outlines: bodies into lines, parts into glyphs, gaps into words.

The method follows the docstrum idea (O'Gorman, PAMI 15(11), 1993): neighbours' distances fall into two heaps,
letter gaps and word gaps; here they are pooled over all lines of like height.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from networkx.utils import UnionFind
from shapely.geometry import Polygon

from bigsign.artwork.pieces import Piece
from bigsign.reading.found import FoundGlyph, FoundLine
from bigsign.reading.glyphs import Part, group_parts
from bigsign.reading.words import split_words

__all__ = ["read_outlines"]

REACH = 2.2  # neighbours in a line stand at most this many heights apart
ALIKE = 3.2  # and their heights differ at most by this factor
OVERLAP = 0.45  # and share this much of the lower one's height
CAPITAL = 1.9  # capitals and ascenders are at most this many times as tall as the letters' median
LONE = 0.62  # parts alone or in twos between letters (commas beside small letters) may be this tall, and are marks
SMALL = 0.42  # a row lower than this share of the row it lies in or beside is made of marks, not letters


LONE_LETTER = "a shape by itself, as tall as the letters over or under it, is read as a letter."


@dataclass(slots=True)
class _Row:
    parts: list[Part]
    top: float
    foot: float

    @property
    def height(self) -> float:
        return self.foot - self.top


def read_outlines(pieces: Sequence[Piece]) -> tuple[list[FoundLine], list[str]]:
    """Return the level lines found among pieces of one colour, and the ids of the ornaments left over."""
    frames = _frames(pieces)
    parts = [Part(piece.id, piece.shape, piece.shape.bounds) for piece in pieces if piece.id not in frames]
    if not parts:
        return [], sorted(frames)
    rows, loose = _rows(parts)
    ornaments = [*frames, *(part.piece for part in loose)]
    grouped = [(row, group_parts(row.parts, row.top, row.foot)) for row in rows]
    letters = [_is_lettering(glyphs) for _, glyphs in grouped]
    sure = [row for (row, _), is_line in zip(grouped, letters, strict=True) if is_line]
    lines: list[tuple[_Row, list[list[Part]]]] = []
    for (row, glyphs), is_line in zip(grouped, letters, strict=True):
        if is_line or (len(glyphs) == 1 and any(_between_lines(row, other) for other in sure)):
            lines.append((row, glyphs))
        else:
            ornaments.extend(part.piece for part in row.parts)
    colour = pieces[0].colour
    found = []
    for row, words, doubt in split_words(lines):
        if len(words) == len(words[0]) == 1:
            doubt = LONE_LETTER
        made = tuple(
            FoundGlyph(None, tuple(part.piece for part in glyph), _box(glyph), colour, number)
            for number, word in enumerate(words)
            for glyph in word
        )
        left, right = min(g.bounds[0] for g in made), max(g.bounds[2] for g in made)
        found.append(FoundLine(None, made, ((left, row.foot), (right, row.foot)), 0.0, row.height, -1, doubt=doubt))
    return found, ornaments


def _box(parts: Sequence[Part]) -> tuple[float, float, float, float]:
    boxes = np.array([part.box for part in parts])
    return (
        float(boxes[:, 0].min()), float(boxes[:, 1].min()), float(boxes[:, 2].max()), float(boxes[:, 3].max()),
    )  # fmt: skip


def _frames(pieces: Sequence[Piece]) -> set[str]:
    """Return pieces whose filled outline holds at least two others, or one larger than a letter's counter would."""
    shapes = [piece.shape for piece in pieces]
    tree = shapely.STRtree(shapes)
    out = set()
    for index, piece in enumerate(pieces):
        if not piece.shape.interiors:
            continue
        inside = [i for i in tree.query(Polygon(piece.shape.exterior), predicate="contains_properly") if i != index]
        hole = max(Polygon(ring).area for ring in piece.shape.interiors)
        if len(inside) >= 2 or (inside and hole > 0.5 * Polygon(piece.shape.exterior).area):
            out.add(piece.id)
    return out


def _rows(parts: Sequence[Part]) -> tuple[list[_Row], list[Part]]:
    """Link pieces that stand beside each other into rows, then hand the small marks to the rows they belong to."""
    boxes = np.array([part.box for part in parts])
    heights = boxes[:, 3] - boxes[:, 1]
    together: UnionFind[int] = UnionFind(range(len(parts)))
    reach = np.column_stack([boxes[:, 0] - REACH * heights, boxes[:, 1], boxes[:, 2] + REACH * heights, boxes[:, 3]])
    tree = shapely.STRtree(shapely.box(*boxes.T))
    first, second = tree.query(shapely.box(*reach.T), predicate="intersects")
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        if i == j:
            continue
        shared = min(boxes[i, 3], boxes[j, 3]) - max(boxes[i, 1], boxes[j, 1])
        low, high = sorted((heights[i], heights[j]))
        if shared >= OVERLAP * low and high <= ALIKE * low:
            together.union(i, j)
    groups: dict[int, list[int]] = {}
    for index in range(len(parts)):
        groups.setdefault(together[index], []).append(index)
    rows = [_row([parts[i] for i in group]) for group in groups.values()]
    return _adopt_marks(rows)


def _row(parts: Sequence[Part]) -> _Row:
    """Return a row with its foot line and its top: usual bottoms and tall tops of its higher parts."""
    boxes = np.array([part.box for part in parts])
    heights = boxes[:, 3] - boxes[:, 1]
    tall = heights >= 0.5 * heights.max()
    foot = float(np.median(boxes[tall, 3]))
    # one capital among small letters sets the height; one shape far above them all does not
    usual = tall & (heights <= CAPITAL * np.median(heights[tall]))
    top = float(boxes[usual, 1].min())
    return _Row(sorted(parts, key=lambda part: part.box), min(top, foot - 1e-6), foot)


def _adopt_marks(rows: list[_Row]) -> tuple[list[_Row], list[Part]]:
    """Give rows of marks (dots, accents, commas, hyphens) to the row of letters around or beneath them."""
    rows = sorted(rows, key=lambda row: -row.height)
    kept: list[_Row] = []
    loose: list[Part] = []
    for row in rows:
        hosts = [_host(part, kept, row) for part in row.parts]
        strays = [part for part, host in zip(row.parts, hosts, strict=True) if host is None]
        if 2 * len(strays) >= len(row.parts):  # mostly parts of their own: a row of letters, whatever is near it
            kept.append(row)
            continue
        loose.extend(strays)
        for part, host in zip(row.parts, hosts, strict=True):
            if host is not None:
                host.parts.append(part)
    for row in kept:
        row.parts.sort(key=lambda part: part.box)
    return sorted(kept, key=lambda row: (row.top, row.parts[0].box[0])), loose


def _host(part: Part, rows: Sequence[_Row], own: _Row) -> _Row | None:
    """Return the row of letters to which a small part belongs: it lies in its band and no farther off than a word."""
    best: tuple[float, _Row] | None = None
    x0, y0, x1, y1 = part.box
    for row in rows:
        height = row.height
        limit = LONE if len(own.parts) <= 2 else SMALL
        if own.height > limit * height and y1 - y0 > limit * height:
            continue
        if y1 - y0 > LONE * height or x1 - x0 > 1.2 * height:
            continue
        if y1 < row.top - 0.55 * height or y0 > row.foot + 0.45 * height:
            continue
        away = min(max(other.box[0] - x1, x0 - other.box[2], 0.0) for other in row.parts)
        below = max(row.top - y1, y0 - row.foot, 0.0)
        if away > 0.9 * height:
            continue
        distance = away + 2 * below
        if best is None or distance < best[0]:
            best = (distance, row)
    return None if best is None else best[1]


def _between_lines(row: _Row, line: _Row) -> bool:
    """Whether a lone shape is as tall as a line's letters, stands over or under them, and as near as a line would."""
    pitch = abs(row.foot - line.foot)
    middle = (min(part.box[0] for part in row.parts) + max(part.box[2] for part in row.parts)) / 2
    left, right = min(part.box[0] for part in line.parts), max(part.box[2] for part in line.parts)
    return (
        0.8 < row.height / line.height < 1.25
        and 0.3 * line.height < pitch < 2 * line.height
        and left < middle < right
    )


def _is_lettering(glyphs: Sequence[Sequence[Part]]) -> bool:
    """Whether a row reads as letters: more than one glyph, no rules, and not one shape over and over."""
    if len(glyphs) < 2:
        return False
    boxes = np.array([_box(glyph) for glyph in glyphs])
    widths, heights = boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]
    if len(glyphs) >= 3 and np.ptp(widths) < 0.01 * widths.max() and np.ptp(heights) < 0.01 * heights.max():
        areas = np.array([sum(part.shape.area for part in glyph) for glyph in glyphs])
        if np.ptp(areas) < 0.01 * areas.max():
            return False  # one shape three times or more: a row of waves, leaves or dots
    return not bool(np.all(widths > 6 * heights))
