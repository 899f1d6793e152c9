"""Units: sets of atoms that a cut must leave together.

Atoms are merged because a frame holds them, because a wish says so, or because they make a word that fits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from networkx.utils import UnionFind
from shapely.geometry import MultiPoint, Polygon

from bigsign.splitting.graph import Atom, ColourGraph, FloatArray, hull_points

__all__ = ["Unit", "enclosed_pairs", "merge_units"]


@dataclass(frozen=True, slots=True)
class Unit:
    """Atoms that go together, by index, with film box and hull (k × 2, mm)."""

    atoms: tuple[int, ...]
    bounds: tuple[float, float, float, float]
    hull: FloatArray


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
    firm = list(together)
    while True:
        units = _merged(graph, [*firm, *kept])
        too_big = [set(unit.atoms) for unit in units if len(unit.atoms) > 1 and not fits(unit.bounds)]
        give_up = [group for group in kept if any(not unit.isdisjoint(group) for unit in too_big)]
        if not give_up:
            return units, dropped
        dropped.extend(give_up)
        gone = {id(group) for group in give_up}
        kept = [group for group in kept if id(group) not in gone]


def _merged(graph: ColourGraph, together: Iterable[Sequence[int]]) -> list[Unit]:
    groups: UnionFind[int] = UnionFind(range(len(graph.atoms)))
    for group in together:
        groups.union(*group)
    members: dict[int, list[int]] = {}
    for index in range(len(graph.atoms)):
        members.setdefault(groups[index], []).append(index)
    return [Unit(tuple(own), _box(graph.atoms, own), _hull(graph.atoms, own)) for own in members.values()]


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
