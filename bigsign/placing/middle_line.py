"""The line through the middle of the clear room between two films.

The clear room is cut into triangles; those that touch film of both sides form a chain, and the middles of the edges
they share, from one side's film to the other's, are a line in the middle of the room. Where the parts of one film lie
on both sides of the other's, the triangles between them would break the chain: then the parts of each film are linked
first, by lines through what its side takes of the room, and the links count as film.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from heapq import heapify, heappop, heappush
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import split

from bigsign.geometry import polygons_of
from bigsign.mesh import Corner, Mesh, edges_of, short_tree, triangulate, walk_of
from bigsign.placing.clear_room import stretched

__all__ = ["linked_middle", "middle_line", "middle_within"]

FloatArray = npt.NDArray[np.float64]
SideOf = Callable[[Corner], int]
Edge = tuple[Corner, Corner]

FINE = 1.5  # mm between the points of outlines that the triangles stand on
EDGE = 5.0  # mm between the points of the edge of what is looked at
MOST_POINTS = 12_000  # of outlines
STUB = 10.0  # mm round all film that is looked at
ON_EDGE = 1e-5  # mm that the edge of a side may lie off the edge of the region it is part of
SLIT = 2e-4  # mm: half the width of a link


def middle_line(first: MultiPolygon, second: MultiPolygon, rough: FloatArray) -> FloatArray | None:
    """Return the line through the middle of the room between two films that begins and ends as a rough one does.

    None: the films lie in parts that triangles alone can't tell apart.
    """
    far = shapely.segmentize(_around(first, second, rough), EDGE)
    held = shapely.union_all([part for part in _split(far, rough) if part.intersects(first)]).buffer(1e-6)
    edge = shapely.get_coordinates(far)
    inside = shapely.intersects_xy(held, edge[:, 0], edge[:, 1]).tolist()
    sides = {(x, y): int(not own) for (x, y), own in zip(edge.tolist(), inside, strict=True)}
    films = _fine(first, second)
    for side, film in enumerate(films):
        sides.update(((x, y), side) for x, y in shapely.get_coordinates(film).tolist())
    mesh = triangulate(far.difference(films[0]).difference(films[1]))
    chain = _chain(mesh, lambda corner: sides.get(corner, -1), rough[0])
    return None if chain is None else np.array([rough[0], *chain, rough[-1]])


def linked_middle(first: MultiPolygon, second: MultiPolygon, rough: FloatArray) -> FloatArray | None:
    """Return the same as `middle_line` for films in parts, linked on their sides of the rough line."""
    far = _around(first, second, rough)
    parts = _split(far, rough)
    if len(parts) != 2:
        return None
    own = max(parts, key=lambda part: float(part.intersection(first).area))
    line = middle_within(far, own, first, second, True)
    if line is None:
        return None
    if np.hypot(*(line[0] - rough[0])) > np.hypot(*(line[-1] - rough[0])):
        line = line[::-1]
    return np.array([rough[0], *line[1:-1], rough[-1]])


def middle_within(
    region: Polygon, own: Polygon, first: MultiPolygon, second: MultiPolygon, edged: bool = False
) -> FloatArray | None:
    """Return the line through the middle of the room between two films of a region, from edge to edge of it.

    Parameters
    ----------
    own : the part of the region on the side of ``first``.
    edged : whether the edge of the region counts as film of the side it belongs to, so that the line ends where the
        border of ``own`` does; else it ends where both films are as far to go within the region.
    """
    region = shapely.segmentize(region, EDGE)
    films = [film.intersection(region) for film in _fine(first, second)]
    held = own.buffer(ON_EDGE)
    edges = region.exterior.intersection(held), region.exterior.difference(held)
    lines: list[list[BaseGeometry]] = []
    links: list[BaseGeometry] = []
    for side, edge, film, other in zip((own, region.difference(own)), edges, films, films[::-1], strict=True):
        kept = [edge] if edged else []
        linked = list(_links(side.difference(other), film, kept))
        lines.append([film.boundary, *kept, *linked])
        links += linked
    room = region.difference(shapely.union_all([*films, *(link.buffer(SLIT) for link in links)]))
    mesh = triangulate(room)
    corners = sorted({corner for triangle in mesh.triangles for corner in triangle})
    if not corners or any(not side for side in lines):
        return None
    trees = [shapely.STRtree(_legs(side)) for side in lines]
    away = [tree.query_nearest(shapely.points(corners), return_distance=True, all_matches=False)[1] for tree in trees]
    near = zip(corners, away[0].tolist(), away[1].tolist(), strict=True)
    firm = {corner: int(two < one) for corner, one, two in near if min(one, two) < 2 * SLIT}
    nearer = _nearer(mesh, firm)
    return _chain(mesh, lambda corner: nearer.get(corner, -1), None)


def _nearer(mesh: Mesh, firm: Mapping[Corner, int]) -> dict[Corner, int]:
    """Return to which side each corner is less far to go along the edges of triangles, from corners whose side is firm.

    What goes to a side hangs together with it, so the corners of two sides that each hang together don't alternate
    along the edge of a region.
    """
    ways: dict[Corner, list[tuple[Corner, float]]] = {}
    for one, two in mesh.beside:
        length = float(np.hypot(two[0] - one[0], two[1] - one[1]))
        ways.setdefault(one, []).append((two, length))
        ways.setdefault(two, []).append((one, length))
    waiting = [(0.0, side, corner) for corner, side in firm.items()]
    heapify(waiting)
    out: dict[Corner, int] = {}
    while waiting:
        far, side, corner = heappop(waiting)
        if corner not in out:
            out[corner] = side
            for other, length in ways.get(corner, ()):
                if other not in out:
                    heappush(waiting, (far + length, side, other))
    return out


def _around(first: MultiPolygon, second: MultiPolygon, rough: FloatArray) -> Polygon:
    """Return a box that holds both films and a rough line."""
    held = shapely.box(*shapely.union(first, second).bounds).buffer(STUB, join_style="mitre")
    return shapely.box(*shapely.union(LineString(rough), held).bounds)


def _split(far: Polygon, rough: FloatArray) -> list[Polygon]:
    return [part for part in polygons_of(split(far, stretched(rough, far))) if part.area > 1e-6]


def _fine(first: MultiPolygon, second: MultiPolygon) -> list[MultiPolygon]:
    """Return both films with enough points; the narrower the room, the finer, for middles of long edges lie off it."""
    step = max(min(FINE, 0.2 * float(first.distance(second))), (first.length + second.length) / MOST_POINTS)
    return [shapely.segmentize(film, step) for film in (first, second)]


def _legs(lines: Sequence[BaseGeometry]) -> list[LineString]:
    """Return each leg of some lines by itself."""
    runs = [shapely.get_coordinates(part) for line in lines for part in shapely.get_parts(line)]
    return [LineString(pair) for run in runs for pair in pairwise(run)]


def _links(room: BaseGeometry, film: BaseGeometry, firm: Sequence[BaseGeometry]) -> Iterable[LineString]:
    """Yield lines that join the parts of a film and what else is firm, through triangles of their side's room."""
    islands = [*firm, *polygons_of(film)]
    if len(islands) < 2:
        return
    mesh = triangulate(room.difference(film))
    near = shapely.STRtree(islands)
    corners = sorted({corner for triangle in mesh.triangles for corner in triangle})
    (at, found), away = near.query_nearest(shapely.points(corners), return_distance=True, all_matches=False)
    on = {corners[n]: int(k) for n, k, d in zip(at.tolist(), found.tolist(), away.tolist(), strict=True) if d < 1e-6}
    walk = walk_of(mesh, on)
    tree = short_tree(walk, [~n for n in range(len(islands))])
    for at in sorted(node for node in tree if node >= 0):
        doors = [np.mean(walk[at][other]["door"], axis=0) for other in sorted(tree[at])]
        yield from (LineString(pair) for pair in pairwise(doors))


def _chain(mesh: Mesh, side: SideOf, begin: FloatArray | None) -> FloatArray | None:
    """Return the line through the triangles that touch both sides, from the end nearer to where it is to begin."""
    def between(edge: Edge) -> bool:
        return side(edge[0]) != side(edge[1])

    starts = [edge for edge, beside in mesh.beside.items() if len(beside) == 1 and between(edge)]
    if len(starts) != 2:
        return None
    if begin is not None:
        starts.sort(key=lambda edge: float(np.hypot(*(np.mean(edge, axis=0) - begin))))
    here, at = starts[0], mesh.beside[starts[0]][0]
    points = [np.mean(here, axis=0)] if begin is None else []
    for _ in range(len(mesh.triangles)):
        across = [edge for edge in edges_of(mesh.triangles[at]) if edge != here and between(edge)]
        if not across:
            return None
        here = across[0]
        beyond = [other for other in mesh.beside[here] if other != at]
        if not beyond:
            break
        points.append(np.mean(here, axis=0))
        at = beyond[0]
    if begin is None:
        points.append(np.mean(here, axis=0))
    return np.array(points)
