"""Rows: parts that stand beside each other in a view, the small ones handed to the row they belong to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from bigsign.geometry import Indexes, components, meeting
from bigsign.reading.glyphs import Part

__all__ = ["Row", "between_lines", "box_of", "is_lettering", "rows_of"]

REACH = 2.2  # neighbours in a line stand at most this many heights apart
ALIKE = 3.2  # and their heights differ at most by this factor
OVERLAP = 0.45  # and share this much of the lower one's height
CAPITAL = 1.9  # capitals and ascenders are at most this many times as tall as the letters' median
TALL = 1.5  # a part this many times as tall as the usual tall ones may span two lines
MANY = 6  # among fewer parts nothing is usual
LONE = 0.62  # parts alone or in twos between letters (commas beside small letters) may be this tall, and are marks
SMALL = 0.42  # a row lower than this share of the row it lies in or beside is made of marks, not letters


SPANNING = "a piece of it reaches into another line, and is taken for this one."


@dataclass(slots=True)
class Row:
    """Parts of a line in a view, with its usual top and foot line, mm, and a doubt ("" for none)."""

    parts: list[Part]
    top: float
    foot: float
    doubt: str = ""

    @property
    def height(self) -> float:
        """From top line to foot line, mm."""
        return self.foot - self.top


def rows_of(parts: Sequence[Part]) -> tuple[list[Row], list[Part]]:
    """Return the rows parts stand in, marks handed to the rows they belong to, and loose marks.

    A part that spans two rows (letters of two lines that touch) would link them; it is put into the upper one.
    """
    heights = np.array([part.box[3] - part.box[1] for part in parts])
    tall = heights > TALL * np.quantile(heights, 0.8)
    if len(parts) < MANY or not tall.any():
        return _linked(parts)
    rows, loose = _linked([part for part, high in zip(parts, tall.tolist(), strict=True) if not high])
    spanned = {}
    lines = [row for row in rows if len(row.parts) > 1]
    for n in np.flatnonzero(tall).tolist():
        between = [row for row in lines if _spans(parts[n], row)]
        if len(between) >= 2:
            spanned[n] = between[0]
    if not spanned:
        return _linked(parts)
    if len(spanned) < tall.sum():
        rows, loose = _linked([part for n, part in enumerate(parts) if n not in spanned])
    for n in sorted(spanned):
        between = [row for row in rows if len(row.parts) > 1 and _spans(parts[n], row)]
        if between:
            between[0].doubt = SPANNING
            between[0].parts.append(parts[n])
            between[0].parts.sort(key=lambda part: part.box)
        else:
            loose.append(parts[n])
    return rows, loose


def _spans(part: Part, row: Row) -> bool:
    """Whether a part covers most of the band of a row of several parts, somewhere between its ends."""
    covered = min(part.box[3], row.foot) - max(part.box[1], row.top)
    middle = (part.box[0] + part.box[2]) / 2
    return (
        covered > 0.6 * row.height
        and row.parts[0].box[0] - row.height < middle < max(other.box[2] for other in row.parts) + row.height
    )


def _linked(parts: Sequence[Part]) -> tuple[list[Row], list[Part]]:
    """Link pieces that stand beside each other into rows, then hand the small marks to the rows they belong to."""
    if not parts:
        return [], []
    boxes = np.array([part.box for part in parts])
    heights = boxes[:, 3] - boxes[:, 1]
    reach = np.column_stack([boxes[:, 0] - REACH * heights, boxes[:, 1], boxes[:, 2] + REACH * heights, boxes[:, 3]])

    def beside() -> Iterator[tuple[Indexes, Indexes]]:
        for i, j in meeting(shapely.box(*boxes.T), shapely.box(*reach.T)):
            shared = np.minimum(boxes[i, 3], boxes[j, 3]) - np.maximum(boxes[i, 1], boxes[j, 1])
            low, high = np.minimum(heights[i], heights[j]), np.maximum(heights[i], heights[j])
            linked = (i != j) & (shared >= OVERLAP * low) & (high <= ALIKE * low)
            yield i[linked], j[linked]

    return _adopt_marks([_row([parts[i] for i in group]) for group in components(len(parts), beside())])


def _row(parts: Sequence[Part]) -> Row:
    """Return a row with its foot line and its top: usual bottoms and tall tops of its higher parts."""
    if len(parts) == 1:  # as most rows of a drawing with no lettering are
        _, top, _, foot = parts[0].box
        return Row(list(parts), min(top, foot - 1e-6), foot)
    boxes = np.array([part.box for part in parts])
    heights = boxes[:, 3] - boxes[:, 1]
    tall = heights >= 0.5 * heights.max()
    foot = float(np.median(boxes[tall, 3]))
    # one capital among small letters sets the height; one shape far above them all does not
    usual = tall & (heights <= CAPITAL * np.median(heights[tall]))
    top = float(boxes[usual, 1].min())
    return Row(sorted(parts, key=lambda part: part.box), min(top, foot - 1e-6), foot)


def _adopt_marks(rows: list[Row]) -> tuple[list[Row], list[Part]]:
    """Give rows of marks (dots, accents, commas, hyphens) to the row of letters around or beneath them."""
    rows = sorted(rows, key=lambda row: -row.height)
    kept = _Hosts(len(rows))
    loose: list[Part] = []
    for row in rows:
        hosts = [kept.host(part, row) for part in row.parts]
        strays = [part for part, host in zip(row.parts, hosts, strict=True) if host is None]
        if 2 * len(strays) >= len(row.parts):  # mostly parts of their own: a row of letters, whatever is near it
            kept.add(row)
            continue
        loose.extend(strays)
        for part, host in zip(row.parts, hosts, strict=True):
            if host is not None:
                kept.hand_over(part, host)
    for row in kept.rows:
        row.parts.sort(key=lambda part: part.box)
    return sorted(kept.rows, key=lambda row: (row.top, row.parts[0].box[0])), loose


class _Hosts:
    """Rows of letters to which small parts may belong; their bands are held as columns, for drawings have thousands."""

    def __init__(self, most: int) -> None:
        self.rows: list[Row] = []
        self._bands = np.empty((5, most))  # heights, tops, feet, leftmost and rightmost places

    def add(self, row: Row) -> None:
        """Take a row as one of letters."""
        ends = min(part.box[0] for part in row.parts), max(part.box[2] for part in row.parts)
        self._bands[:, len(self.rows)] = row.height, row.top, row.foot, *ends
        self.rows.append(row)

    def hand_over(self, part: Part, host: int) -> None:
        """Make a part one of a row."""
        self.rows[host].parts.append(part)
        self._bands[3, host] = min(self._bands[3, host], part.box[0])
        self._bands[4, host] = max(self._bands[4, host], part.box[2])

    def host(self, part: Part, own: Row) -> int | None:
        """Return the row to which a small part of a row belongs: it lies in its band and no farther off than a word."""
        x0, y0, x1, y1 = part.box
        height, top, foot, left, right = self._bands[:, : len(self.rows)]
        limit = LONE if len(own.parts) <= 2 else SMALL
        small = (own.height <= limit * height) | (y1 - y0 <= limit * height)
        small &= (y1 - y0 <= LONE * height) & (x1 - x0 <= 1.2 * height)
        near = (y1 >= top - 0.55 * height) & (y0 <= foot + 0.6 * height)
        near &= (left - x1 <= 0.9 * height) & (x0 - right <= 0.9 * height)
        best: tuple[float, int] | None = None
        for n in np.flatnonzero(small & near).tolist():
            row = self.rows[n]
            away = _away(x0, x1, row.parts)
            if away > 0.9 * row.height:
                continue
            distance = away + 2 * max(row.top - y1, y0 - row.foot, 0.0)
            if best is None or distance < best[0]:
                best = (distance, n)
        return None if best is None else best[1]


def _away(x0: float, x1: float, parts: Sequence[Part]) -> float:
    """Return how far along a row from ``x0`` to ``x1`` is from the nearest of its parts."""
    least = np.inf
    for part in parts:
        least = min(least, max(part.box[0] - x1, x0 - part.box[2], 0.0))
        if not least:
            break
    return float(least)


def between_lines(row: Row, line: Row) -> bool:
    """Whether a lone shape is as tall as a line's letters, stands over or under them, and as near as a line would."""
    pitch = abs(row.foot - line.foot)
    middle = (min(part.box[0] for part in row.parts) + max(part.box[2] for part in row.parts)) / 2
    left, right = min(part.box[0] for part in line.parts), max(part.box[2] for part in line.parts)
    return (
        0.8 < row.height / line.height < 1.25
        and 0.3 * line.height < pitch < 2 * line.height
        and left < middle < right
    )


def is_lettering(glyphs: Sequence[Sequence[Part]]) -> bool:
    """Whether a row reads as letters: more than one glyph, no rules, and not one shape over and over."""
    if len(glyphs) < 2:
        return False
    boxes = np.array([box_of(glyph) for glyph in glyphs])
    widths, heights = boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]
    if len(glyphs) >= 3 and np.ptp(widths) < 0.01 * widths.max() and np.ptp(heights) < 0.01 * heights.max():
        areas = np.array([sum(part.shape.area for part in glyph) for glyph in glyphs])
        if np.ptp(areas) < 0.01 * areas.max():
            return False  # one shape three times or more: a row of waves, leaves or dots
    return not bool(np.all(widths > 6 * heights))


def box_of(parts: Sequence[Part]) -> tuple[float, float, float, float]:
    """Return the box of parts in their view."""
    boxes = np.array([part.box for part in parts])
    return (
        float(boxes[:, 0].min()), float(boxes[:, 1].min()), float(boxes[:, 2].max()), float(boxes[:, 3].max()),
    )  # fmt: skip
