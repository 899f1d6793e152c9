"""Finding free places for labels: places are tried in order and checked against what stands already."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from bigsign.sheets.items import Box, Circle, Item, Point, Text
from bigsign.sheets.metrics import ink_box
from bigsign.sheets.writing import line, text_width

__all__ = ["Taken", "clashes", "label_at", "spread"]

EVERYWHERE: Box = (-1e9, -1e9, 1e9, 1e9)


class Taken:
    """What a drawing's labels must keep clear of: boxes, and shapes such as film."""

    def __init__(self, frame: Box, boxes: Iterable[Box] = (), shapes: Iterable[BaseGeometry] = ()) -> None:
        self.frame = frame
        self.boxes = list(boxes)
        self.shapes = [shape for shape in shapes if not shape.is_empty]
        shapely.prepare(self.shapes)

    def free(self, box: Box, pad: float = 0.8, over_shapes: bool = False) -> bool:
        """Whether a box is inside the frame and clear, by ``pad`` mm, of all that stands."""
        x0, y0, x1, y1 = box
        if x0 < self.frame[0] or y0 < self.frame[1] or x1 > self.frame[2] or y1 > self.frame[3]:
            return False
        if any(x0 < b[2] + pad and x1 > b[0] - pad and y0 < b[3] + pad and y1 > b[1] - pad for b in self.boxes):
            return False
        grown = shapely.box(x0 - pad / 2, y0 - pad / 2, x1 + pad / 2, y1 + pad / 2)
        return over_shapes or not any(shape.intersects(grown) for shape in self.shapes)

    def add(self, box: Box) -> None:
        """Note that a box is taken."""
        self.boxes.append(box)

    def add_items(self, items: Iterable[Item]) -> None:
        """Note the texts and circles among items."""
        for item in items:
            if isinstance(item, Text) and (box := ink_box(item)) is not None:
                self.boxes.append(box)
            elif isinstance(item, Circle):
                (x, y), r = item.centre, item.radius
                self.boxes.append((x - r, y - r, x + r, y + r))


def label_at(
    taken: Taken, text: str, cap: float, bold: bool, colour: str, around: Sequence[Point], over_shapes: bool = False
) -> Text | None:
    """Return the label centred at the first of the points ``around`` where it is free, and note it; else None."""
    width = text_width(text, cap, bold)
    for x, y in around:
        box = (x - width / 2, y - cap / 2, x + width / 2, y + cap / 2)
        if taken.free(box, over_shapes=over_shapes):
            taken.add(box)
            return line((x, y + cap / 2), text, cap, bold, "c", colour)
    return None


def spread(places: Sequence[float], pitches: Sequence[float], low: float, high: float) -> list[float]:
    """Return label places as near to the wanted ones as their room allows, in the same order.

    Parameters
    ----------
    places : the wanted places, any order.
    pitches : the room each label takes, centred on its place.
    low, high : where labels may stand, if they fit there.

    Crowded labels form groups, each centred on the mean of what its labels want (pool adjacent violators).
    """
    order = sorted(range(len(places)), key=lambda i: (places[i], i))
    offsets = [0.0]
    for before, after in pairwise(order):
        offsets.append(offsets[-1] + (pitches[before] + pitches[after]) / 2)
    groups: list[tuple[float, int]] = []  # sum over a group of (wanted place − offset), and its count
    for rank, index in enumerate(order):
        total, count = places[index] - offsets[rank], 1
        while groups and groups[-1][0] / groups[-1][1] > total / count:
            before_total, before_count = groups.pop()
            total, count = total + before_total, count + before_count
        groups.append((total, count))
    out = [0.0] * len(places)
    rank = 0
    for total, count in groups:
        for _ in range(count):
            out[order[rank]] = total / count + offsets[rank]
            rank += 1
    if not out:
        return out
    # Push the row in from both ends: from the high end first, so that the low end wins where both are too tight.
    limit = high
    for index in reversed(order):
        out[index] = min(out[index], limit - pitches[index] / 2)
        limit = out[index] - pitches[index] / 2
    limit = low
    for index in order:
        out[index] = max(out[index], limit + pitches[index] / 2)
        limit = out[index] + pitches[index] / 2
    return out


def clashes(items: Sequence[Item], frame: Box = EVERYWHERE) -> list[str]:
    """Return what is wrong with a page's texts: ink over ink, or ink outside ``frame``.

    An independent check: it looks at the finished page only.
    """
    found = [(item.string, box) for item in items if isinstance(item, Text) and (box := ink_box(item)) is not None]
    out = [
        f"{text!r} stands outside the frame"
        for text, box in found
        if box[0] < frame[0] or box[1] < frame[1] or box[2] > frame[2] or box[3] > frame[3]
    ]
    for i, (text, a) in enumerate(found):
        for other, b in found[i + 1 :]:
            if min(a[2], b[2]) - max(a[0], b[0]) > 0.02 and min(a[3], b[3]) - max(a[1], b[1]) > 0.02:
                out.append(f"{text!r} overlaps {other!r}")
    return out
