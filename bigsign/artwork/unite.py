"""Uniting shapes into pieces: one connected region of film of one colour each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.ops import unary_union

from bigsign.artwork.pieces import Piece
from bigsign.budgets import BUDGETS
from bigsign.errors import Fault, InputError
from bigsign.findings import Source
from bigsign.geometry import meeting, polygons_of
from bigsign.tolerances import TOLERANCES

__all__ = ["Layer", "unite_layers"]


@dataclass(frozen=True, slots=True)
class Layer:
    """A shape as drawn: colour "#rrggbb", film in mm, where it comes from (None for set lettering)."""

    colour: str
    shape: MultiPolygon
    source: Source | None = None


def unite_layers(layers: Sequence[Layer]) -> tuple[Piece, ...]:
    """Return the pieces of shapes given in drawing order, bottom first.

    Shapes of one colour that overlap or touch are one piece, unless another colour lies between them in drawing
    order: film of one piece can't lie both over and under another. A lower colour stays whole under an upper one,
    and pieces laid in the order of their ids look as the shapes did. Dust below ``sliver`` squared is dropped.
    Raises InputError if more of them meet than ``BUDGETS.meetings``, or are more pieces than ``BUDGETS.pieces``.
    Ids run from the bottom up; within a layer set lettering keeps its reading order, and the shapes of a drawing
    run in rows, left to right and top to bottom.
    """
    parts = [
        (order, layer.colour, polygon, layer.source)
        for order, layer in enumerate(layers)
        for polygon in layer.shape.geoms
        if polygon.area > TOLERANCES.sliver**2
    ]
    if not parts:
        return ()
    shapes = np.array([part[2] for part in parts], dtype=object)
    met = _met(shapes)
    groups = _Groups(len(parts))
    other = [(i, j) for i, j in met if parts[i][1] != parts[j][1]]
    if other:
        low, high = np.array(other).T
        overlaps = ~shapely.touches(shapes[low], shapes[high])  # colours that only butt need no order
        for (i, j), over in zip(other, overlaps.tolist(), strict=True):
            if over:
                groups.lay(i, j)
    for i, j in met:
        if parts[i][1] == parts[j][1]:
            groups.unite(i, j)
    levels = groups.levels()
    made: list[Part] = []
    heights: list[int] = []
    for root, group in groups.members().items():
        whole = unary_union([shapes[i] for i in group]) if len(group) > 1 else shapes[group[0]]
        order, colour, _, source = parts[group[0]]
        for polygon in polygons_of(whole):
            made.append((order, colour, polygon, source))
            heights.append(levels[root])
    if len(made) > BUDGETS.pieces:
        right = f"at most {BUDGETS.pieces:,}: leave small dots out, or make the sign in parts"
        raise InputError(Fault(f"the artwork has {len(made):,} pieces of film", "the artwork", right))
    films = len({part[1] for part in made})
    if films > BUDGETS.colours:
        right = f"at most {BUDGETS.colours}: give shades one film with `colours` in [[artwork]]"
        raise InputError(Fault(f"the artwork has {films:,} colours of film", "the artwork", right))
    order_of = _reading_order(made, heights)
    digits = max(3, len(str(len(made))))
    return tuple(Piece(f"p{n:0{digits}d}", made[i][1], made[i][2], made[i][3]) for n, i in enumerate(order_of, 1))


def _met(shapes: NDArray[np.object_]) -> list[tuple[int, int]]:
    """Return the pairs of shapes that share a point, the lower first, in order."""
    near: list[tuple[NDArray[np.int64], NDArray[np.int64]]] = []
    found = 0
    for first, second in meeting(shapes):
        upward = first < second
        found += int(upward.sum())
        if found > BUDGETS.meetings:
            right = f"at most {BUDGETS.meetings:,} pairs that meet: unite shapes of one colour, or draw fewer"
            raise InputError(Fault("too many shapes lie over one another", "the artwork", right))
        near.append((first[upward], second[upward]))
    low, high = np.concatenate([pair[0] for pair in near]), np.concatenate([pair[1] for pair in near])
    shapely.prepare(shapes)
    touch = shapely.intersects(shapes[low], shapes[high])
    return sorted(zip(low[touch].tolist(), high[touch].tolist(), strict=True))


class _Groups:
    """Parts put together step by step, and which groups lie over which; the order never runs in a circle."""

    def __init__(self, count: int) -> None:
        self._parent = list(range(count))
        self._above: list[set[int]] = [set() for _ in range(count)]
        self._below: list[set[int]] = [set() for _ in range(count)]

    def root(self, part: int) -> int:
        """Return the number of a part's group: its lowest part."""
        while self._parent[part] != part:
            self._parent[part] = self._parent[self._parent[part]]
            part = self._parent[part]
        return part

    def lay(self, lower: int, upper: int) -> None:
        """Say that a part lies over another; to be done before any are united."""
        self._above[lower].add(upper)
        self._below[upper].add(lower)

    def unite(self, one: int, other: int) -> None:
        """Put two parts' groups together, unless something would then lie both over and under them."""
        a, b = sorted((self.root(one), self.root(other)))
        if a == b or self._reaches(a, b) or self._reaches(b, a):
            return
        self._parent[b] = a
        for links, back in ((self._above, self._below), (self._below, self._above)):
            for group in links[b]:
                back[group].discard(b)
                back[group].add(a)
            links[a] |= links[b]
            links[b] = set()

    def _reaches(self, start: int, goal: int) -> bool:
        if not self._above[start] or not self._below[goal]:
            return False
        seen, todo = {start}, [start]
        while todo:
            for group in self._above[todo.pop()]:
                if group == goal:
                    return True
                if group not in seen:
                    seen.add(group)
                    todo.append(group)
        return False

    def members(self) -> dict[int, list[int]]:
        """Return each group's parts, by its number, both in order."""
        out: dict[int, list[int]] = {}
        for part in range(len(self._parent)):
            out.setdefault(self.root(part), []).append(part)
        return out

    def levels(self) -> dict[int, int]:
        """Return how many layers lie beneath each group at most."""
        groups = list(self.members())
        waiting = {group: len(self._below[group]) for group in groups}
        level = dict.fromkeys(groups, 0)
        ready = [group for group in groups if not waiting[group]]
        while ready:
            group = ready.pop()
            for upper in self._above[group]:
                level[upper] = max(level[upper], level[group] + 1)
                waiting[upper] -= 1
                if not waiting[upper]:
                    ready.append(upper)
        return level


Part = tuple[int, str, Polygon, Source | None]


def _reading_order(made: Sequence[Part], levels: Sequence[int]) -> list[int]:
    """Return the pieces' order: by layer, then by block as drawn, then a drawing's pieces in rows."""
    drawn = sorted(range(len(made)), key=lambda i: (levels[i], made[i][0], i))

    def block(i: int) -> tuple[int, str | None]:
        source = made[i][3]
        return levels[i], source.file if source else None

    out: list[int] = []
    for (_, file), run in groupby(drawn, key=block):
        members = list(run)
        out.extend(members if file is None else _in_rows(members, made))
    return out


def _in_rows(members: Sequence[int], made: Sequence[Part]) -> list[int]:
    """Return pieces row by row; a piece belongs to the row whose tallest piece its middle stands beside."""
    bounds = {i: made[i][2].bounds for i in members}
    rows: list[tuple[float, float, list[int]]] = []
    for i in sorted(members, key=lambda i: (bounds[i][1] - bounds[i][3], bounds[i][1], bounds[i][0], i)):
        middle = (bounds[i][1] + bounds[i][3]) / 2
        row = next((row for row in rows if row[0] <= middle <= row[1]), None)
        if row is None:
            rows.append((bounds[i][1], bounds[i][3], [i]))
        else:
            row[2].append(i)
    rows.sort(key=lambda row: (row[0] + row[1], row[0]))
    return [i for row in rows for i in sorted(row[2], key=lambda i: (bounds[i][0], bounds[i][1], i))]
