"""Units: sets of atoms that a straight cut must leave together, merged until no two interlock.

Atoms are merged because their films nearly touch, because a frame holds them, because a wish says so, because
they make a word that fits, or because their hulls interlock so that no straight line runs between them. A merged
set has a larger hull, which may interlock with others in turn: merging goes on until hulls are disjoint.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from networkx.utils import UnionFind
from shapely.geometry import MultiPoint, Polygon

from bigsign.splitting.graph import Atom, ColourGraph, FloatArray, hull_points
from bigsign.tolerances import TOLERANCES

__all__ = ["Unit", "enclosed_pairs", "merge_units", "touching_pairs"]


@dataclass(frozen=True, slots=True)
class Unit:
    """Atoms that go together, by index, with film box and hull. ``interlocked``: merged for want of a way."""

    atoms: tuple[int, ...]
    bounds: tuple[float, float, float, float]
    hull: FloatArray
    interlocked: bool


def touching_pairs(graph: ColourGraph) -> list[tuple[int, int]]:
    """Return the pairs of atoms whose films are closer than a knife needs."""
    films = [atom.film for atom in graph.atoms]
    tree = shapely.STRtree(films)
    first, second = tree.query(films, predicate="dwithin", distance=TOLERANCES.touch)
    return sorted({(int(a), int(b)) for a, b in zip(first, second, strict=True) if a < b})


def enclosed_pairs(graph: ColourGraph) -> list[tuple[int, int]]:
    """Return (frame, enclosed) pairs: atoms with a piece whose filled outline holds another atom whole."""
    films = [atom.film for atom in graph.atoms]
    boxes = shapely.STRtree(films)
    out: list[tuple[int, int]] = []
    for index, atom in enumerate(graph.atoms):
        for piece in atom.film.geoms:
            if not piece.interiors:
                continue
            filled = Polygon(piece.exterior)
            inside = boxes.query(filled, predicate="contains_properly")
            out.extend((index, int(other)) for other in inside if int(other) != index)
    return sorted(set(out))


def merge_units(
    graph: ColourGraph,
    together: Iterable[Sequence[int]],
    fits: Callable[[tuple[float, float, float, float]], bool],
    optional: Sequence[Sequence[int]] = (),
) -> tuple[list[Unit], list[Sequence[int]]]:
    """Return the units, in reading order, and those of ``optional`` that had to be given up.

    Parameters
    ----------
    together : sets of atom indices that must stay together.
    fits : whether a film box can be one panel.
    optional : sets (words) to keep together where what that merges still fits.
    """
    kept = [group for group in optional if len(group) > 1]
    dropped: list[Sequence[int]] = []
    while True:
        units = _closure(graph, [*together, *kept])
        too_big = [set(unit.atoms) for unit in units if len(unit.atoms) > 1 and not fits(unit.bounds)]
        give_up = [group for group in kept if any(not unit.isdisjoint(group) for unit in too_big)]
        if not give_up:
            return units, dropped
        dropped.extend(give_up)
        gone = {id(group) for group in give_up}
        kept = [group for group in kept if id(group) not in gone]


def _closure(graph: ColourGraph, together: Iterable[Sequence[int]]) -> list[Unit]:
    """Merge ``together``, then whatever interlocks, until all hulls are apart."""
    groups: UnionFind[int] = UnionFind(range(len(graph.atoms)))
    for group in together:
        groups.union(*group)
    interlocked: set[int] = set()
    while True:
        members: dict[int, list[int]] = {}
        for index in range(len(graph.atoms)):
            members.setdefault(groups[index], []).append(index)
        sets = list(members.values())
        hulls = [_hull(graph.atoms, group) for group in sets]
        polygons = np.array([MultiPoint(hull).convex_hull for hull in hulls], dtype=object)
        tree = shapely.STRtree(polygons)
        first, second = tree.query(polygons, predicate="dwithin", distance=TOLERANCES.way)
        pairs = [(int(a), int(b)) for a, b in zip(first, second, strict=True) if a < b]
        if not pairs:
            return [
                Unit(
                    tuple(group),
                    _box(graph.atoms, group),
                    hull,
                    not interlocked.isdisjoint(group),
                )
                for group, hull in zip(sets, hulls, strict=True)
            ]
        for a, b in pairs:
            interlocked.update(sets[a])
            interlocked.update(sets[b])
            groups.union(sets[a][0], sets[b][0])


def _hull(atoms: Sequence[Atom], group: Sequence[int]) -> FloatArray:
    if len(group) == 1:
        return atoms[group[0]].hull
    return hull_points(MultiPoint(np.concatenate([atoms[index].hull for index in group])))


def _box(atoms: Sequence[Atom], group: Sequence[int]) -> tuple[float, float, float, float]:
    boxes = np.array([atoms[index].bounds for index in group])
    return (
        float(boxes[:, 0].min()),
        float(boxes[:, 1].min()),
        float(boxes[:, 2].max()),
        float(boxes[:, 3].max()),
    )
