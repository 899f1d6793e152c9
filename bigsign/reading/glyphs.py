"""Parts into glyphs: i with its dot, é, ä, !, :, =, %, quotes, stencil halves one above the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from networkx.utils import UnionFind
from shapely.geometry import Polygon

__all__ = ["Part", "group_parts"]

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Part:
    """A piece as the reader sees it."""

    piece: str
    shape: Polygon
    box: Box


def group_parts(parts: Sequence[Part], top: float, foot: float) -> list[list[Part]]:
    """Return the glyphs of a row, left to right, each with its parts.

    Parameters
    ----------
    top, foot : the row's usual top and foot line, mm.
    """
    height = foot - top
    ordered = sorted(parts, key=lambda part: part.box)
    together: UnionFind[int] = UnionFind(range(len(ordered)))
    for i, a in enumerate(ordered):
        for j in range(i + 1, len(ordered)):
            b = ordered[j]
            if b.box[0] > a.box[2] + 0.5 * height:
                break
            if _stacked(a.box, b.box, height) or _quotes(a.box, b.box, top, height) or _inside(a, b):
                together.union(i, j)
    _percents(ordered, together, height)
    groups: dict[int, list[Part]] = {}
    for index, part in enumerate(ordered):
        groups.setdefault(together[index], []).append(part)
    return sorted(groups.values(), key=_reading_key)


def _reading_key(glyph: Sequence[Part]) -> tuple[float, float]:
    left, right = min(part.box[0] for part in glyph), max(part.box[2] for part in glyph)
    return (left + right) / 2, left


def _stacked(a: Box, b: Box, height: float) -> bool:
    """Whether two parts stand one above the other: apart in height, and over each other in width."""
    upper, lower = (a, b) if a[1] + a[3] < b[1] + b[3] else (b, a)
    if upper[3] > lower[1] + 0.06 * height:  # not one above the other
        return False
    if lower[1] - upper[3] > 0.5 * height:
        return False
    shared = min(a[2], b[2]) - max(a[0], b[0])
    narrow = min(a[2] - a[0], b[2] - b[0])
    if shared >= 0.5 * narrow:
        return True
    # both dots of ï may hang over its stem; a slanted accent may lean off its letter
    mark = upper if upper[3] - upper[1] < 0.4 * height else lower
    body = lower if mark is upper else upper
    middle = (mark[0] + mark[2]) / 2
    lean = 0.75 * (mark[2] - mark[0])
    return mark is upper and mark[2] - mark[0] < 0.45 * height and body[0] - lean < middle < body[2] + lean


def _quotes(a: Box, b: Box, top: float, height: float) -> bool:
    """Whether two parts are the halves of a double quote: small, alike, side by side at the top."""
    tall = [box[3] - box[1] for box in (a, b)]
    wide = [box[2] - box[0] for box in (a, b)]
    return (
        max(tall) < 0.5 * height
        and max(a[1], b[1]) < top + 0.25 * height
        and max(a[3], b[3]) < top + 0.6 * height
        and abs(tall[0] - tall[1]) < 0.15 * max(tall)
        and abs(wide[0] - wide[1]) < 0.2 * max(wide)
        and abs(a[1] - b[1]) < 0.1 * height
        and max(wide) < 0.35 * height
        and b[0] - a[2] < 0.8 * max(wide)
    )


def _inside(a: Part, b: Part) -> bool:
    """Whether one part lies in the filled outline of the other: a kernel in a counter belongs to its letter."""
    for outer, inner in ((a, b), (b, a)):
        within = outer.shape.interiors and outer.box[0] < inner.box[0] and outer.box[2] > inner.box[2]
        if within and Polygon(outer.shape.exterior).contains(inner.shape):
            return True
    return False


def _percents(parts: Sequence[Part], together: UnionFind[int], height: float) -> None:
    """Join a slanted bar with a ring above its left and one below its right: %."""
    for i, bar in enumerate(parts):
        box = bar.box
        if (
            box[3] - box[1] < 0.7 * height
            or bar.shape.interiors
            or bar.shape.area > 0.5 * (box[2] - box[0]) * (box[3] - box[1])
        ):
            continue
        rings = [
            j
            for j, part in enumerate(parts)
            if part.shape.interiors
            and 0.25 * height < part.box[3] - part.box[1] < 0.7 * height
            and part.box[0] < box[2] + 0.15 * height
            and part.box[2] > box[0] - 0.15 * height
        ]
        middle = (box[1] + box[3]) / 2
        upper = [
            j for j in rings if parts[j].box[3] < middle + 0.2 * height and parts[j].box[0] <= box[0] + 0.1 * height
        ]
        lower = [
            j for j in rings if parts[j].box[1] > middle - 0.2 * height and parts[j].box[2] >= box[2] - 0.1 * height
        ]
        if upper and lower:
            together.union(i, upper[0], lower[-1])
