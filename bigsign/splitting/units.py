"""Units: sets of atoms that a cut must leave together, merged until no two interlock.

Atoms are merged because their films nearly touch, because a frame holds them, because a wish says so, because
they make a word that fits, or because their hulls interlock so that neither a straight line nor a step of three legs
runs between them. A merged set has a larger hull, which may interlock with others in turn: merging goes on until no
two are left that can't be cut apart.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from networkx.utils import UnionFind
from shapely.geometry import MultiPoint, Polygon, box
from shapely.geometry.base import BaseGeometry

from bigsign.splitting.graph import Atom, ColourGraph, FloatArray, hull_points
from bigsign.splitting.ways import Profiles, Stairs
from bigsign.tolerances import TOLERANCES

__all__ = ["Unit", "enclosed_pairs", "merge_units", "touching_pairs"]

WAY = TOLERANCES.way
LEAST_CORE = 1.0  # mm²: a hull cut back to less stands for nothing


@dataclass(frozen=True, slots=True)
class Unit:
    """Atoms that go together, by index, with film box and hull. ``interlocked``: merged for want of a way.

    ``hooked``: indices of the units with which its hull interlocks, but between which a stepped way runs; ``core`` is
    its hull cut back to its own side of those ways.
    """

    atoms: tuple[int, ...]
    bounds: tuple[float, float, float, float]
    hull: FloatArray
    interlocked: bool
    hooked: tuple[int, ...]
    core: FloatArray


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
    together, stairs = list(together), _StairsCache()
    while True:
        units = _closure(graph, [*together, *kept], stairs)
        too_big = [set(unit.atoms) for unit in units if len(unit.atoms) > 1 and not fits(unit.bounds)]
        give_up = [group for group in kept if any(not unit.isdisjoint(group) for unit in too_big)]
        if not give_up:
            return units, dropped
        dropped.extend(give_up)
        gone = {id(group) for group in give_up}
        kept = [group for group in kept if id(group) not in gone]


def _closure(graph: ColourGraph, together: Iterable[Sequence[int]], stairs: _StairsCache) -> list[Unit]:
    """Merge ``together``, then whatever interlocks and leaves no stepped way, until all are apart."""
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
        ways = {(a, b): stairs.between(graph, sets[a], sets[b]) for a, b in pairs}
        cores = _cores(graph, sets, hulls, ways)
        merged = [pair for pair in pairs if ways[pair] is None or cores[pair[0]] is None or cores[pair[1]] is None]
        if not merged:
            return [
                Unit(
                    tuple(group),
                    _box(graph.atoms, group),
                    hulls[n],
                    not interlocked.isdisjoint(group),
                    tuple(sorted({a + b - n for a, b in pairs if n in (a, b)})),
                    hulls[n] if (core := cores[n]) is None else core,
                )
                for n, group in enumerate(sets)
            ]
        for a, b in merged:
            interlocked.update(sets[a])
            interlocked.update(sets[b])
            groups.union(sets[a][0], sets[b][0])


class _StairsCache:
    """Stepped ways of three legs between two groups of atoms, each looked for once."""

    def __init__(self) -> None:
        self._known: dict[tuple[tuple[int, ...], tuple[int, ...]], Stairs | None] = {}

    def between(self, graph: ColourGraph, first: Sequence[int], second: Sequence[int]) -> Stairs | None:
        key = (tuple(first), tuple(second))
        if key not in self._known:
            films = [graph.film_of(group) for group in (first, second)]
            self._known[key] = Profiles(films).stairs([0], [1], TOLERANCES.line_room, 2)
        return self._known[key]


def _cores(
    graph: ColourGraph,
    sets: Sequence[Sequence[int]],
    hulls: Sequence[FloatArray],
    ways: Mapping[tuple[int, int], Stairs | None],
) -> list[FloatArray | None]:
    """Return each hull cut back to its own side of its stepped ways; None where nothing is left."""
    out: list[FloatArray | None] = list(hulls)
    kept: dict[int, BaseGeometry] = {}
    for (a, b), way in ways.items():
        if way is None:
            continue
        middle = float(np.mean([way.treads[0].low, way.treads[0].high, way.treads[-1].low, way.treads[-1].high]))
        for group, low in ((a, way.first_low), (b, not way.first_low)):
            film = kept.get(group) or graph.film_of(sets[group])
            x0, y0, x1, y1 = film.bounds
            if way.axis == 0:
                half = box(x0 - 1, y0 - 1, middle - WAY, y1 + 1) if low else box(middle + WAY, y0 - 1, x1 + 1, y1 + 1)
            else:
                half = box(x0 - 1, y0 - 1, x1 + 1, middle - WAY) if low else box(x0 - 1, middle + WAY, x1 + 1, y1 + 1)
            kept[group] = film.intersection(half)
    for group, film in kept.items():
        hull = film.convex_hull
        out[group] = hull_points(film) if isinstance(hull, Polygon) and hull.area > LEAST_CORE else None
    return out


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
