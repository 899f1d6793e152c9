"""Parts into glyphs: i with its dot, é, ï, !, :, =, %, quotes, stencil halves one above the other.

Parts are *bodies* (most of a letter's height) or *marks* (dots, accents, commas, quotes). Each mark goes to the one
body it stands over or under best, so that a dot near two letters never joins them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from networkx.utils import UnionFind
from shapely.geometry import Polygon

__all__ = ["Part", "group_parts"]

Box = tuple[float, float, float, float]

MARK = 0.42  # parts lower than this share of the row's height are marks
QUOTE = 0.56  # halves of quotes are lower than this share
REACH = 0.45  # a mark stands at most this share of the height above or below its body
TOUCH = 0.08  # and may reach this far into its height


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
    near = _neighbours(ordered, 0.5 * height)
    settled = _percents(ordered, near, together, height)
    for i, others in enumerate(near):
        for j in others:
            if j > i and _one_letter(ordered[i], ordered[j], height):
                together.union(i, j)
    _join_marks(ordered, near, together, settled, top, foot)
    groups: dict[int, list[Part]] = {}
    for index, part in enumerate(ordered):
        groups.setdefault(together[index], []).append(part)
    return sorted(groups.values(), key=_reading_key)


def _reading_key(glyph: Sequence[Part]) -> tuple[float, float]:
    left, right = min(part.box[0] for part in glyph), max(part.box[2] for part in glyph)
    return (left + right) / 2, left


def _neighbours(ordered: Sequence[Part], reach: float) -> list[list[int]]:
    """Return, for each part, the others (both ways) that start no farther than ``reach`` beyond its right end."""
    near: list[list[int]] = [[] for _ in ordered]
    for i, part in enumerate(ordered):
        for j in range(i + 1, len(ordered)):
            if ordered[j].box[0] > part.box[2] + reach:
                break
            near[i].append(j)
            near[j].append(i)
    return near


def _tall(box: Box) -> float:
    return box[3] - box[1]


def _wide(box: Box) -> float:
    return box[2] - box[0]


def _middle(box: Box) -> float:
    return (box[0] + box[2]) / 2


def _shared(a: Box, b: Box) -> float:
    """Return how far two boxes overlap along the line, negative where they are apart."""
    return min(a[2], b[2]) - max(a[0], b[0])


def _one_letter(a: Part, b: Part, height: float) -> bool:
    return _inside(a, b) or _halves(a.box, b.box, height) or _astride(a.box, b.box, height)


def _astride(a: Box, b: Box, height: float) -> bool:
    """Whether two bodies stand mostly in each other's width, as no two letters do however tightly kerned."""
    narrow = min(_wide(a), _wide(b))
    if min(_tall(a), _tall(b)) <= MARK * height:
        return False
    return (narrow > 0.3 * height and _shared(a, b) > 0.6 * narrow) or _shared(a, b) > 0.9 * narrow


def _halves(a: Box, b: Box, height: float) -> bool:
    """Whether two bodies are the upper and the lower half of a stencil letter."""
    if min(_tall(a), _tall(b)) < 0.25 * height or min(_wide(a), _wide(b)) < 0.5 * max(_wide(a), _wide(b)):
        return False
    if _tall(a) + _tall(b) > 1.3 * height:
        return False
    upper, lower = (a, b) if a[1] + a[3] < b[1] + b[3] else (b, a)
    between = lower[1] - upper[3]
    return -0.06 * height < between < 0.3 * height and _shared(a, b) >= 0.6 * min(_wide(a), _wide(b))


def _inside(a: Part, b: Part) -> bool:
    """Whether one part lies in the filled outline of the other: a kernel in a counter belongs to its letter."""
    for outer, inner in ((a, b), (b, a)):
        within = outer.shape.interiors and outer.box[0] < inner.box[0] and outer.box[2] > inner.box[2]
        if within and Polygon(outer.shape.exterior).contains(inner.shape):
            return True
    return False


def _percents(
    parts: Sequence[Part], near: Sequence[Sequence[int]], together: UnionFind[int], height: float
) -> set[int]:
    """Join a bar with a ring at its upper left and a like ring at its lower right: %. Return the parts joined."""
    settled: set[int] = set()
    for i, bar in enumerate(parts):
        if _tall(bar.box) < 0.6 * height or bar.shape.interiors:
            continue
        rings = [
            j for j in near[i]
            if parts[j].shape.interiors
            and 0.25 * height < _tall(parts[j].box) < 0.75 * height
            and _shared(parts[j].box, bar.box) > -0.2 * height
        ]  # fmt: skip
        for j in rings:
            for k in rings:
                if _percent(bar.box, parts[j].box, parts[k].box, height):
                    together.union(i, j, k)
                    settled |= {i, j, k}
    return settled


def _percent(bar: Box, upper: Box, lower: Box, height: float) -> bool:
    return (
        _middle(upper) < _middle(bar) < _middle(lower)
        and upper[1] + 0.2 * height < lower[1]
        and upper[1] < bar[1] + 0.3 * height
        and _alike(upper, lower, 0.15)
    )


def _alike(a: Box, b: Box, slack: float) -> bool:
    return abs(_tall(a) - _tall(b)) <= slack * max(_tall(a), _tall(b)) and abs(_wide(a) - _wide(b)) <= slack * max(
        _wide(a), _wide(b)
    )


def _join_marks(
    parts: Sequence[Part],
    near: Sequence[Sequence[int]],
    together: UnionFind[int],
    settled: set[int],
    top: float,
    foot: float,
) -> None:
    """Give each mark to its body; marks without one join among themselves: quotes, colons, equals signs."""
    height = foot - top
    boxes = [part.box for part in parts]
    marks = [i for i, box in enumerate(boxes) if _tall(box) < MARK * height and i not in settled]
    bodies = set(range(len(parts))) - set(marks) - settled
    hosts: dict[int, tuple[float, int]] = {}
    for i in marks:
        choices = [(_misfit(boxes[i], boxes[j], height), j) for j in near[i] if j in bodies]
        fit = min(((misfit, j) for misfit, j in choices if misfit is not None), default=None)
        if fit is not None:
            hosts[i] = fit
    small = {i for i, box in enumerate(boxes) if _tall(box) < QUOTE * height and i not in settled}
    pairs = [
        (i, j) for i in sorted(small) for j in near[i]
        if i < j and j in small and _side_by_side(boxes[i], boxes[j], height)
    ]  # fmt: skip
    for i, j in pairs:
        if i in bodies or j in bodies:
            continue
        both = _joined(boxes[i], boxes[j])
        over = [
            (misfit, k)
            for k in {*near[i], *near[j]} & bodies
            if (misfit := _misfit(both, boxes[k], height)) is not None
        ]
        fit = min(over, default=None)
        # two dots over one stem (ï) rather than a dot over each of two letters (ii)
        if fit is not None and fit[0] < min(hosts.get(i, (fit[0] + 1,))[0], hosts.get(j, (fit[0] + 1,))[0]):
            hosts[i] = hosts[j] = fit
    for i, (_, j) in hosts.items():
        together.union(i, j)
    loose = [i for i in marks if i not in hosts]
    for i, j in pairs:
        if i not in hosts and j not in hosts and _quotes(boxes[i], boxes[j], top, foot):
            together.union(i, j)
    for n, i in enumerate(loose):
        for j in loose[n + 1 :]:
            if _colon(boxes[i], boxes[j], height):
                together.union(i, j)


def _joined(a: Box, b: Box) -> Box:
    return min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])


def _misfit(mark: Box, body: Box, height: float) -> float | None:
    """Return how badly a mark sits over or under a body (0: near and on its middle), None if it does not at all."""
    above, below = body[1] - mark[3], mark[1] - body[3]
    away = max(above, below)
    if not -TOUCH * height < away < REACH * height:
        return None
    off = abs(_middle(mark) - _middle(body))
    if _shared(mark, body) < 0.35 * min(_wide(mark), _wide(body)) and off > 0.12 * height:
        return None
    if _wide(mark) > 1.6 * max(_wide(body), 0.4 * height):
        return None
    outside = max(off - _wide(body) / 2, 0.0)
    return float((max(away, 0.0) + 2 * outside + 0.5 * off) / height)


def _side_by_side(a: Box, b: Box, height: float) -> bool:
    """Whether two marks are alike, level and close: the dots of a diaeresis, the halves of a quote."""
    return (
        _alike(a, b, 0.2)
        and abs(a[1] - b[1]) < 0.1 * height
        and max(_wide(a), _wide(b)) < 0.45 * height
        and -0.3 * min(_wide(a), _wide(b)) < -_shared(a, b) < max(0.9 * max(_wide(a), _wide(b)), 0.22 * height)
    )


def _quotes(a: Box, b: Box, top: float, foot: float) -> bool:
    """Whether two like marks stand at the top (“ "), or are taller than wide at the foot („)."""
    height = foot - top
    if max(a[3], b[3]) < top + 0.6 * height:
        return max(a[1], b[1]) < top + 0.3 * height
    return min(a[1], b[1]) > foot - 0.3 * height and max(a[3], b[3]) > foot + 0.03 * height


def _colon(a: Box, b: Box, height: float) -> bool:
    """Whether one mark stands over another like it in width: a colon, a semicolon, an equals sign."""
    upper, lower = (a, b) if a[1] < b[1] else (b, a)
    wide = max(_wide(a), _wide(b))
    return (
        -0.05 * height < lower[1] - upper[3] < 0.52 * height
        and _shared(a, b) >= 0.3 * min(_wide(a), _wide(b))
        and min(_wide(a), _wide(b)) > 0.35 * wide
    )
