"""Uniting shapes into pieces: one connected region of film of one colour each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from networkx.utils import UnionFind
from shapely.geometry import MultiPolygon, Polygon
from shapely.ops import unary_union

from bigsign.artwork.fill import polygons_of
from bigsign.artwork.pieces import Piece
from bigsign.findings import Source
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
    order where they meet. A lower colour stays whole under an upper one. Dust below ``sliver`` squared is
    dropped. Ids follow the layers from the bottom, and within a layer the order of drawing.
    """
    parts = [
        (order, layer.colour, polygon, layer.source)
        for order, layer in enumerate(layers)
        for polygon in layer.shape.geoms
        if polygon.area > TOLERANCES.sliver**2
    ]
    shapes = [part[2] for part in parts]
    if not shapes:
        return ()
    tree = shapely.STRtree(shapes)
    first, second = tree.query(shapes, predicate="intersects")
    met = [(i, j) for i, j in zip(first.tolist(), second.tolist(), strict=True) if i < j]
    met.sort()
    over: dict[int, list[int]] = {}
    for i, j in met:
        if parts[i][1] != parts[j][1]:
            over.setdefault(i, []).append(j)
            over.setdefault(j, []).append(i)
    together: UnionFind[int] = UnionFind(range(len(parts)))
    for i, j in met:
        if parts[i][1] == parts[j][1] and not _parted(i, j, parts, over):
            together.union(i, j)
    groups: dict[int, list[int]] = {}
    for index in range(len(parts)):
        groups.setdefault(together[index], []).append(index)
    made: list[tuple[int, str, Polygon, Source | None]] = []
    for group in groups.values():
        whole = unary_union([shapes[i] for i in group]) if len(group) > 1 else shapes[group[0]]
        colour, source = parts[group[0]][1], parts[group[0]][3]
        made.extend((min(group), colour, polygon, source) for polygon in polygons_of(whole))
    made.sort(key=lambda item: item[0])
    levels = _levels(made)
    order = sorted(range(len(made)), key=lambda i: (levels[i], made[i][0], i))
    digits = max(3, len(str(len(made))))
    return tuple(Piece(f"p{n:0{digits}d}", made[i][1], made[i][2], made[i][3]) for n, i in enumerate(order, 1))


Part = tuple[int, str, Polygon, Source | None]


def _parted(i: int, j: int, parts: Sequence[Part], over: dict[int, list[int]]) -> bool:
    """Whether a shape of another colour lies between two of one colour where they meet."""
    between = [
        k
        for k in over.get(i, ())
        if parts[i][0] < parts[k][0] < parts[j][0] and k in over.get(j, ())
    ]
    if not between:
        return False
    meeting = parts[i][2].intersection(parts[j][2])
    return any(parts[k][2].intersects(meeting) for k in between)


def _levels(made: Sequence[Part]) -> list[int]:
    """Return how many layers of other colours lie beneath each piece."""
    shapes = [item[2] for item in made]
    first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    beneath: dict[int, list[int]] = {}
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        if made[j][0] < made[i][0] and made[i][1] != made[j][1]:
            beneath.setdefault(i, []).append(j)
    levels = [0] * len(made)
    for i in sorted(range(len(made)), key=lambda n: made[n][0]):
        levels[i] = max((levels[j] + 1 for j in beneath.get(i, ())), default=0)
    return levels
