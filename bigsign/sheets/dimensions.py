"""Dimensions: running ones from a datum at a reference edge, so that errors don't add up, and bracketed sizes.

After ISO 129-1 (from memory): running dimensions start at a datum symbol, share one line, have an arrow at each
position and the figure at the end of its extension line, or above the line; a size that other measures already
give stands in brackets. Labels that would crowd are spread and joined to their place; none is dropped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry import LineString

from bigsign.sheets.items import Area, Box, Circle, Item, Point, Stroke, Text
from bigsign.sheets.labels import clashes, spread
from bigsign.sheets.metrics import ink_box
from bigsign.sheets.style import ACCENT, FINE, GREY, HAIR, MEASURE_CAP, SMALL_CAP
from bigsign.sheets.writing import line, text_width
from bigsign.units import TapeLength
from bigsign.wording import phrase

__all__ = [
    "Datum", "Measure", "across_room", "down_length", "down_room", "exact_note", "length_note", "measure_of",
    "running", "size",
]  # fmt: skip

GAP = 6.5  # from the drawing to its dimension line
PITCH = 5.0  # between the middles of figures along a row
NOTE = 3.4  # what a note adds to that
WORDS = 2.0  # room of the words beside a datum, below its middle
BESIDE = 1.8  # from a figure to a note on its row


@dataclass(frozen=True, slots=True)
class Measure:
    """A position to dimension: where on the paper, along its direction, its figure, and a small note to it."""

    at: float
    text: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Datum:
    """Where running dimensions start: the reference edge's place on the paper, or None where it is out of sight.

    ``side`` is where an edge out of sight lies: −1 to the left or above, 1 to the right or below.
    """

    at: float | None
    side: int
    words: str


def exact_note(length: TapeLength) -> str:
    """Return the exact value and its difference where the tape is more than 0.1 mm off; "" elsewhere."""
    if abs(length.error_mm) > 0.1:
        off = f"{'+' if length.error_mm > 0 else '−'}{abs(length.error_mm):.1f}"
        return phrase("measure.exact", mm=f"{abs(length.mm):.1f}", off=off)
    return ""


def measure_of(at: float, length: TapeLength, *names: str) -> Measure:
    """Return the measure of a length of the plan, noted with ``names`` of what is there, the other unit, what is exact.

    From a middle line the side is seen, so that no minus is shown.
    """
    return Measure(at, length.tape.removeprefix("-"), length_note(length, ", ".join(names)))


def length_note(length: TapeLength, name: str = "") -> str:
    """Return what is noted beside a length: a name, the other unit where it was asked for, the exact value."""
    return "; ".join(part for part in (name, length.other.removeprefix("-"), exact_note(length)) if part)


def _distinct(measures: Sequence[Measure]) -> list[Measure]:
    seen: dict[tuple[str, int], Measure] = {}
    for measure in measures:
        seen.setdefault((measure.text, round(measure.at * 20)), measure)
    return sorted(seen.values(), key=lambda measure: (measure.at, measure.text))


def _length_of(measure: Measure) -> float:
    return max(text_width(measure.text, MEASURE_CAP, True), text_width(measure.note, SMALL_CAP))


def _level_length(measure: Measure, beside: bool) -> float:
    """Return how long a level figure is with its note, which stands on its row or below it."""
    if not (beside and measure.note):
        return _length_of(measure)
    return text_width(measure.text, MEASURE_CAP, True) + BESIDE + text_width(measure.note, SMALL_CAP)


def _pitch_of(measure: Measure) -> float:
    """Return the room a figure takes across its direction, with its note beside it."""
    return PITCH + (NOTE if measure.note else 0.0)


def across_room(measures: Sequence[Measure]) -> float:
    """Return the height that :func:`running` may take above the drawing, mm."""
    return GAP + 4.6 + max((_length_of(measure) for measure in measures), default=0.0) + 1.0


def down_room(measures: Sequence[Measure]) -> float:
    """Return the width that :func:`running` takes beside the drawing, mm."""
    return GAP + 4.6 + max((_length_of(measure) for measure in measures), default=12.0)


def down_length(measures: Sequence[Measure]) -> float:
    """Return the length of the column that the figures of measures down take, mm."""
    return sum(_pitch_of(measure) for measure in _distinct(measures))


def _arrow(tip: Point, dx: float, dy: float) -> Area:
    """Return a slim arrowhead that points along (dx, dy)."""
    x, y = tip
    back, half = 2.4, 0.45
    ring = (
        (x, y),
        (x - dx * back - dy * half, y - dy * back - dx * half),
        (x - dx * back + dy * half, y - dy * back + dx * half),
    )
    return Area((ring,), ACCENT, None)


def _broken(at: Point, horizontal: bool) -> Stroke:
    """Return the zigzag that says a dimension line is longer than drawn."""
    x, y = at
    zigzag = [(-1.2, 0.0), (-0.5, -1.3), (0.5, 1.3), (1.2, 0.0)]
    return Stroke(tuple((x + a, y + b) if horizontal else (x + b, y + a) for a, b in zigzag), FINE, ACCENT)


def _line_items(ends: tuple[Point, Point], horizontal: bool, broken: bool, side: int, nearest: float) -> list[Item]:
    """Return a dimension line from its datum (first end) to its last arrow, with the datum's symbol.

    ``nearest``: how far the first arrow is from the datum; where the line is broken, that stands between.
    """
    (x0, y0), (x1, y1) = ends
    out: list[Item] = []
    if broken:
        along = -side * min(4.0, max(2.3, (nearest - 2.4 + 1.1) / 2))
        gap = (x0 + along, y0) if horizontal else (x0, y0 + along)
        before = (gap[0] - 1.2, y0) if horizontal else (x0, gap[1] - 1.2)
        after = (gap[0] + 1.2, y0) if horizontal else (x0, gap[1] + 1.2)
        near, far = (before, after) if side < 0 else (after, before)
        out += [Stroke(((x0, y0), near), FINE, ACCENT), _broken(gap, horizontal), Stroke((far, (x1, y1)), FINE, ACCENT)]
    else:
        out.append(Stroke(((x0, y0), (x1, y1)), FINE, ACCENT))
    out.append(Circle((x0, y0), 1.1, "#ffffff", ACCENT, FINE))
    return out


def running(
    x: tuple[Sequence[Measure], Datum, tuple[float, float]],
    y: tuple[Sequence[Measure], Datum, tuple[float, float]],
    corner: Point,
    avoid: Sequence[Item] = (),
    reach: tuple[float, float] | None = None,
) -> list[Item]:
    """Return running dimensions above and to the left of a drawing, each with words that say from where.

    Parameters
    ----------
    x, y : the measures across and down, where they start, and the ends of where they may stand.
    corner : the drawing's upper left corner.
    avoid : items whose texts and lines the words must keep clear of.
    reach : how far to the left and right the words may stand (as the measures across may).
    """
    out: list[Item] = []
    starts: list[tuple[Datum, Point, bool]] = []
    for axis, (measures, datum, limits) in enumerate((x, y)):
        found = _distinct(measures)
        if not found:
            continue
        if axis == 0:
            items, start = _across(found, datum, corner[1], limits)
            starts.append((datum, (start, corner[1] - GAP), True))
        else:
            items, start = _down(found, datum, corner[0], limits)
            if clashes([*out, *items]):  # figures crowded up beside those of the line above
                below = (max(limits[0], corner[1] - GAP + 2.8), limits[1])
                items, start = _down(found, datum, corner[0], below)
            starts.append((datum, (corner[0] - GAP, start), False))
        out += items
    for datum, at, level in starts:
        out.append(_words(datum, at, level, reach or x[2], [*avoid, *out]))
    return out


def _across(
    found: Sequence[Measure], datum: Datum, top: float, limits: tuple[float, float]
) -> tuple[list[Item], float]:
    """Return dimensions along a level line above a drawing's upper edge, and where the line starts."""
    y = top - GAP
    first, last = found[0].at, found[-1].at
    beside = _level_figures(found, datum, limits, beside=True)
    level = beside or _level_figures(found, datum, limits)
    lead = 9.0
    if level:  # past the notes where the words still have room beyond the datum, else under them
        words = 2.7 + text_width(datum.words, SMALL_CAP)
        room = (first - limits[0] if datum.side < 0 else limits[1] - last) - words
        past = max(_level_length(measure, beside) for measure in found) + 8.0
        lead = min(past, max(max(_length_of(measure) for measure in found) + 4.0, room))
    start = _start(datum, first, last, lead, limits)
    out: list[Item] = []
    nearest = min(abs(measure.at - start) for measure in found)
    for reach in {min(first, start): 1, max(last, start): 1}:
        if abs(reach - start) > 1e-9:
            out += _line_items(((start, y), (reach, y)), True, datum.at is None, datum.side, nearest)
    if not out:
        out.append(Circle((start, y), 1.1, "#ffffff", ACCENT, FINE))
    pitches = [_pitch_of(measure) for measure in found]
    places = [m.at for m in found] if level else spread([m.at for m in found], pitches, *limits)
    for measure, pitch, place in zip(found, pitches, places, strict=True):
        toward = 1.0 if measure.at >= start else -1.0
        if abs(measure.at - start) > 0.2:
            out.append(_arrow((measure.at, y), toward, 0.0))
        if level:
            out.append(Stroke(((measure.at, top - 1.0), (measure.at, y - 1.2)), HAIR, ACCENT))
            x, align = measure.at - toward, "r" if toward > 0 else "l"
            out.append(line((x, y - 1.6), measure.text, MEASURE_CAP, True, align, ACCENT))
            if measure.note and beside:  # leaves the room below to what is measured down
                past = x - toward * (text_width(measure.text, MEASURE_CAP, True) + BESIDE)
                out.append(line((past, y - 1.6), measure.note, SMALL_CAP, False, align, GREY))
            elif measure.note:
                out.append(line((x, y + 1.3 + SMALL_CAP), measure.note, SMALL_CAP, False, align, GREY))
            continue
        middle = place - (pitch - PITCH) / 2
        out.append(Stroke(((measure.at, top - 1.0), (measure.at, y - 0.8), (middle, y - 3.2)), HAIR, ACCENT))
        out.append(line((middle + MEASURE_CAP / 2, y - 3.9), measure.text, MEASURE_CAP, True, "l", ACCENT, True))
        if measure.note:
            foot = middle + MEASURE_CAP / 2 + 1.3 + SMALL_CAP
            out.append(line((foot, y - 3.9), measure.note, SMALL_CAP, False, "l", GREY, True))
    return out, start


def _level_figures(
    found: Sequence[Measure], datum: Datum, limits: tuple[float, float], *, beside: bool = False
) -> bool:
    """Whether all figures have room level above the line, each towards the datum from its arrow.

    ``beside``: with their notes on the same row, else below the line.
    """
    middle = datum.at if datum.at is not None else (-1e9 if datum.side < 0 else 1e9)
    spans = []
    for measure in found:
        full = _level_length(measure, beside) + 1.0
        spans.append((measure.at - full, measure.at) if measure.at >= middle else (measure.at, measure.at + full))
    spans.sort()
    apart = all(a[1] + 1.5 < b[0] for a, b in pairwise(spans))
    clear = all(not (low - 1.5 < middle < high + 1.5) for low, high in spans)
    return apart and clear and spans[0][0] >= limits[0] + 9.0 and spans[-1][1] <= limits[1]


def _start(datum: Datum, first: float, last: float, lead: float, limits: tuple[float, float]) -> float:
    """Return where the dimension line starts: at the datum, or short of the first arrow where that is out of sight."""
    if datum.at is not None:
        return datum.at
    return max(first - lead, limits[0] + 1.2) if datum.side < 0 else min(last + lead, limits[1] - 1.2)


def _down(found: Sequence[Measure], datum: Datum, edge: float, limits: tuple[float, float]) -> tuple[list[Item], float]:
    """Return dimensions along a plumb line beside a drawing's left edge, figures level, and where the line starts."""
    x = edge - GAP
    start = _start(datum, found[0].at, found[-1].at, 9.0, limits)
    out: list[Item] = []
    nearest = min(abs(measure.at - start) for measure in found)
    for reach in {min(found[0].at, start): 1, max(found[-1].at, start): 1}:
        if abs(reach - start) > 1e-9:
            out += _line_items(((x, start), (x, reach)), False, datum.at is None, datum.side, nearest)
    if not out:
        out.append(Circle((x, start), 1.1, "#ffffff", ACCENT, FINE))
    pitches = [_pitch_of(measure) for measure in found]
    # figures leave the row of a datum above them to the words that say from where
    low = max(limits[0], start + WORDS) if datum.at is None and datum.side < 0 else limits[0]
    places = spread([m.at for m in found], pitches, low, limits[1])
    for measure, place, pitch in zip(found, places, pitches, strict=True):
        toward = 1.0 if measure.at >= start else -1.0
        if abs(measure.at - start) > 0.2:
            out.append(_arrow((x, measure.at), 0.0, toward))
        middle = place - (pitch - PITCH) / 2
        out.append(Stroke(((edge - 1.0, measure.at), (x - 0.8, measure.at), (x - 3.2, middle)), HAIR, ACCENT))
        out.append(line((x - 4.0, middle + MEASURE_CAP / 2), measure.text, MEASURE_CAP, True, "r", ACCENT))
        if measure.note:
            foot = middle + MEASURE_CAP / 2 + 1.3 + SMALL_CAP
            out.append(line((x - 4.0, foot), measure.note, SMALL_CAP, False, "r", GREY))
    return out, start


def _words(datum: Datum, at: Point, level: bool, limits: tuple[float, float], others: Sequence[Item]) -> Text:
    """Return the words that say from where, at the first place near the datum's symbol that is clear of figures."""
    x, y = at
    width, cap = text_width(datum.words, SMALL_CAP), SMALL_CAP
    places = [(x - 2.2 - width, y + cap / 2), (x + 2.2, y + cap / 2)]
    if datum.side > 0:
        places.reverse()
    if not level:
        places = [(x + 1.1 - width, y + (2.2 + cap if datum.side > 0 else -2.2)), *places]
    for row in (0.0, 2.7, 5.4, 8.1):
        for base in (y + 1.6 + cap + row, y - 1.6 - row):
            places += [(x - 1.0, base), (x - width / 2, base), (x + 1.0 - width, base)]
    inside = [(left, base) for left, base in places if left >= limits[0] and left + width <= limits[1]] or places
    texts = [box for item in others if isinstance(item, Text) and (box := ink_box(item)) is not None]
    strokes = [LineString(item.points) for item in others if isinstance(item, Stroke)]

    def clear(place: Point, lines: Sequence[LineString]) -> bool:
        left, base = place
        label = shapely.box(left - 0.5, base - cap - 0.3, left + width + 0.5, base + 0.75)
        return not any(label.intersects(shapely.box(*text)) for text in texts) and not any(map(label.crosses, lines))

    # clear of figures and lines; where lines are everywhere, of figures
    found = next((place for lines in (strokes, ()) for place in inside if clear(place, lines)), inside[0])
    return line(found, datum.words, cap, False, "l", ACCENT)


def size(a: Point, b: Point, text: str, off: float, colour: str = ACCENT, below: bool = False) -> list[Item]:
    """Return the dimension between two points on a level line (``off`` below) or a plumb one (``off`` to the right).

    Level ones have the figure above the line; plumb ones read upwards, to the left of it. Where the figure is
    longer than the distance its arrows point inwards and it stands beside them: to the right, or above (or ``below``).
    """
    (x0, y0), (x1, y1) = a, b
    level = abs(y0 - y1) < 1e-6
    beyond, start = (1.2, 1.0) if off > 0 else (-1.2, -1.0)
    width = text_width(text, MEASURE_CAP, True)
    short = (x1 - x0 if level else y1 - y0) < width + 3.0
    out: list[Item] = []
    if level:
        y = y0 + off
        out += [Stroke(((x, y0 + start), (x, y + beyond)), HAIR, colour) for x in (x0, x1)]
        ends: Box = (x0 - 5.0, y, x1 + 3.5 + width, y) if short else (x0, y, x1, y)
        out += [_arrow((x0, y), 1.0 if short else -1.0, 0.0), _arrow((x1, y), -1.0 if short else 1.0, 0.0)]
        at = (x1 + 3.0, y - 1.2) if short else ((x0 + x1) / 2, y - 1.2)
        out.append(line(at, text, MEASURE_CAP, True, "l" if short else "c", colour))
    else:
        x = x0 + off
        out += [Stroke(((x0 + start, y), (x + beyond, y)), HAIR, colour) for y in (y0, y1)]
        beside = (x, y0 - 5.0, x, y1 + 3.5 + width) if below else (x, y0 - 3.5 - width, x, y1 + 5.0)
        ends = beside if short else (x, y0, x, y1)
        out += [_arrow((x, y0), 0.0, 1.0 if short else -1.0), _arrow((x, y1), 0.0, -1.0 if short else 1.0)]
        at = (x - 1.2, y1 + 3.0 + width if below else y0 - 3.0) if short else (x - 1.2, (y0 + y1) / 2)
        out.append(line(at, text, MEASURE_CAP, True, "l" if short else "c", colour, True))
    return [Stroke((ends[:2], ends[2:]), FINE, colour), *out]
