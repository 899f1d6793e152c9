"""Ways between films: whether one simple line from edge to edge leaves all film of one side on either hand.

A *territory* is what one side of a cut takes of the board. It begins as the half plane before a straight line; the
other side's film that reaches into it is taken out, the own film that reaches beyond it is put in, each with a little
room round it. Pockets without film go to whichever side surrounds them. If what comes of it is one region without
holes, and so is the rest, then its border is a way: straight, but for where film reaches over the line.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from bigsign.geometry import polygons_of
from bigsign.mesh import short_tree, triangulate, walk_of
from bigsign.splitting.roomy import RoomyFilm, roomy_films
from bigsign.tolerances import TOLERANCES

__all__ = ["Line", "border_of", "free_territory", "inner_border", "territory", "territory_within", "way_territory"]

Line = tuple[float, float, float]  # (nx, ny, c): the first side lies at n·p <= c, |n| = 1
FloatArray = npt.NDArray[np.float64]
Shape = Polygon | MultiPolygon
Pair = tuple[BaseGeometry, BaseGeometry]

BEYOND = 25.0  # mm round all film that a territory is looked at
DUST = 1e-7  # mm²: less is a rounding
ON_HULL = 1e-6  # mm off a hull's edge: an outline as near runs along it
EDGES = 8  # edges of a hull along which a line is tried
SKIN = 0.02  # mm along the edge of a region that is left to the other side
NARROW = 0.1  # mm²: a way goes so many mm farther, over the width of a door, than through the door
PLACES = 8  # along the edge of a region from where its clear room is entered
SWING = (0.5, 0.25, 0.75, 0.1, 0.9)  # shares of the turn from one inner tangent to the other at which lines are tried


def way_territory(first: Shape, second: Shape, firm: Pair, cores: Pair) -> Polygon | None:
    """Return the territory of ``first`` against ``second`` by some straight line; None: by none that is tried.

    Parameters
    ----------
    firm : convex hulls of what may not reach over the line, of either side; empty ones ask nothing.
    cores : convex hulls of what had better not; the line is looked for between these as well.
    """
    roomy = roomy_films(first, second)
    if roomy is None:
        return None
    tried: set[Line] = set()
    for line in (*_between(*cores), *_between(*firm), *_along_mouths(first, second)):
        rounded = (round(line[0], 9), round(line[1], 9), round(line[2], 6))
        if rounded not in tried and _parts_firm(line, firm):
            tried.add(rounded)
            found = territory(first, second, line, roomy)
            if found is not None:
                return found
    return None


def _parts_firm(line: Line, firm: Pair) -> bool:
    """Whether all that may not reach over a line lies on its own side."""
    for hull, sign in zip(firm, (1.0, -1.0), strict=True):
        if not hull.is_empty and float((sign * (_points(hull) @ line[:2] - line[2])).max()) > 0:
            return False
    return True


def territory(first: Shape, second: Shape, line: Line, roomy: tuple[RoomyFilm, RoomyFilm]) -> Polygon | None:
    """Return what ``first`` takes of the board by ``line``; None if that is not one region, or the rest is not.

    Parameters
    ----------
    roomy : both films with the room a way keeps; what does not reach over the line needs none.
    """
    far = _far(first, second)
    own, theirs = roomy[0].beyond(line), roomy[1].beyond((-line[0], -line[1], -line[2]))
    return _whole(_half(far, line).difference(theirs).union(own), far, first, second)


def free_territory(first: Shape, second: Shape) -> Polygon | None:
    """Return a territory of ``first`` that reaches it through whatever clear room there is; None: it is shut in.

    From the sides of all film, the nearest first, the shortest chain of triangles of the clear room is taken in.
    """
    roomy = roomy_films(first, second)
    if roomy is None:
        return None
    grown = [film.whole() for film in roomy]
    far = _far(first, second)
    x0, y0, x1, y1 = far.bounds
    sides: tuple[Line, ...] = (
        (1.0, 0.0, x0 + BEYOND / 2), (0.0, 1.0, y0 + BEYOND / 2),
        (-1.0, 0.0, BEYOND / 2 - x1), (0.0, -1.0, BEYOND / 2 - y1),
    )  # fmt: skip
    boxes = first.bounds
    near = (boxes[0] - x0, boxes[1] - y0, x1 - boxes[2], y1 - boxes[3])
    for n in sorted(range(4), key=lambda n: (round(near[n], 3), n)):
        start = _joined(shapely.union(_half(far, sides[n]), grown[0]), far, grown[1])
        found = _whole(start, far, first, second)
        if found is not None:
            return found
    return None


def territory_within(region: Polygon, first: Shape, second: Shape) -> Polygon | None:
    """Return what ``first`` may take of a region that holds both films, one piece as is the rest; None: it is shut in.

    It begins at a place of the region's edge, the nearest to ``first`` first, and takes in chains of triangles from
    there to all parts of ``first``. What joins those parts to each other and to the edge, and touches the edge nowhere
    else, leaves the rest whole.
    """
    roomy = roomy_films(first, second)
    if roomy is None:
        return None
    grown = [film.whole() for film in roomy]
    own = grown[0].intersection(region)
    edge, inner = region.exterior, region.buffer(-SKIN, join_style="mitre")
    places = [edge.interpolate(share / PLACES, normalized=True) for share in range(PLACES)]
    for place in (nearest_points(edge, first)[0], *sorted(places, key=first.distance)):
        seed = place.buffer(TOLERANCES.line_room).intersection(region).difference(grown[1])
        if seed.area > DUST:
            found = _whole(_joined(shapely.union(seed, own), inner, grown[1]), region, first, second)
            if found is not None:
                return found
    return None


def _joined(start: BaseGeometry, far: BaseGeometry, shut: BaseGeometry) -> BaseGeometry:
    """Return the parts of a shape with chains of triangles of the clear room between them, as far as there are any."""
    if len(polygons_of(start)) < 2:
        return start
    chains = _chains(start, far.difference(shut).difference(start))
    return start if chains is None else shapely.union(start, chains.buffer(1e-6)).difference(shut)


def border_of(region: Polygon, first: Shape, second: Shape) -> LineString:
    """Return the border of a territory as a line from edge to edge of what was looked at."""
    return inner_border(region, _far(first, second))


def inner_border(region: Polygon, whole: Polygon) -> LineString:
    """Return what of the border of a part of a whole is not the border of the whole: a line from edge to edge."""
    edge = whole.exterior
    inner = shapely.line_merge(region.exterior.difference(edge.buffer(1e-6)))
    lines = [part for part in getattr(inner, "geoms", [inner]) if isinstance(part, LineString)]
    return max(lines, key=lambda part: part.length)


def _far(first: Shape, second: Shape) -> Polygon:
    boxes = np.array([first.bounds, second.bounds])
    x0, y0 = boxes[:, :2].min(axis=0) - BEYOND
    x1, y1 = boxes[:, 2:].max(axis=0) + BEYOND
    return box(float(x0), float(y0), float(x1), float(y1))


def _half(far: Polygon, line: Line) -> Polygon:
    """Return the part of ``far`` with n·p <= c."""
    n, c = np.array(line[:2]), line[2]
    x0, y0, x1, y1 = far.bounds
    reach = 4 * (x1 - x0 + y1 - y0)
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    foot = middle + (c - float(middle @ n)) * n
    along = np.array([-n[1], n[0]]) * reach
    back = -n * reach
    return far.intersection(Polygon([foot + along, foot - along, foot - along + back, foot + along + back]))  # type: ignore[return-value]


def _whole(region: BaseGeometry, far: Polygon, first: Shape, second: Shape) -> Polygon | None:
    """Return a region rid of pockets without film; None if it or the rest of ``far`` is not one piece then."""
    own = [part for part in polygons_of(region) if part.area > DUST]
    held = [part for part in own if part.intersects(first)]
    outer = [part for part in held if part.intersects(far.exterior)]
    if len(held) != 1 or len(outer) != 1:
        return None
    whole = held[0]
    for ring in whole.interiors:
        if Polygon(ring).intersects(second):
            return None
    whole = Polygon(whole.exterior)
    rest = [part for part in polygons_of(far.difference(whole)) if part.area > DUST]
    theirs = [part for part in rest if part.intersects(second)]
    if len(theirs) != 1:
        return None
    for part in rest:
        if part is not theirs[0]:
            whole = max(polygons_of(shapely.union(whole, part)), key=lambda one: one.area)
    return Polygon(whole.exterior) if theirs[0].intersects(far.exterior) else None


def _between(one: BaseGeometry, two: BaseGeometry) -> Iterator[Line]:
    """Yield lines that leave the first hull at n·p <= c and the second beyond, the widest way first."""
    if one.is_empty or two.is_empty:
        return
    p, q = (np.array(point.coords[0]) for point in nearest_points(one, two))
    size = float(np.hypot(*(q - p)))
    if size < TOLERANCES.way:
        return
    for n in ((q - p) / size, *_turns(_points(one), _points(two))):
        low, high = float((_points(one) @ n).max()), float((_points(two) @ n).min())
        for share in (0.5, 0.02, 0.98) if low <= high else ():
            yield float(n[0]), float(n[1]), low + (high - low) * share


def _along_mouths(first: Shape, second: Shape) -> Iterator[Line]:
    """Yield lines along the open edges of either hull: the mouths by which one lies in the other."""
    for shape, sign in ((second, 1.0), (first, -1.0)):
        for n, place in _mouths(shape):
            yield float(sign * n[0]), float(sign * n[1]), sign * (place - 1e-6)


def _turns(one: FloatArray, two: FloatArray) -> list[FloatArray]:
    """Return normals of lines between two hulls, turned by shares of the way from one inner tangent to the other."""
    away = (two[None, :, :] - one[:, None, :]).reshape(-1, 2)
    middle = two.mean(axis=0) - one.mean(axis=0)
    base = float(np.arctan2(middle[1], middle[0]))
    turn = np.arctan2(middle[0] * away[:, 1] - middle[1] * away[:, 0], away @ middle)
    low, high = float(turn.max()) - np.pi / 2, float(turn.min()) + np.pi / 2
    if low >= high:
        return []
    angles = [base + low + (high - low) * share for share in SWING]
    return [np.array([np.cos(angle), np.sin(angle)]) for angle in angles]


def _mouths(shape: Shape) -> list[tuple[FloatArray, float]]:
    """Return the edges of a shape's hull that film covers least, as (normal into the hull, place)."""
    hull = shape.convex_hull
    if not isinstance(hull, Polygon):
        return []
    outlines = [_points(ring) for part in polygons_of(shape) for ring in (part.exterior, *part.interiors)]
    starts = np.concatenate([outline[:-1] for outline in outlines])
    ends = np.concatenate([outline[1:] for outline in outlines])
    middle = np.asarray(hull.centroid.coords[0])
    out = []
    for a, b in pairwise(_points(hull.exterior)):
        length = float(np.hypot(*(b - a)))
        n = np.array([a[1] - b[1], b[0] - a[0]]) / length
        if float((middle - a) @ n) < 0:
            n = -n
        on = (np.abs((starts - a) @ n) <= ON_HULL) & (np.abs((ends - a) @ n) <= ON_HULL)
        covered = float(np.abs((ends - starts)[on] @ ((b - a) / length)).sum())
        out.append((length - covered, n, float(a @ n)))
    out.sort(key=lambda entry: -entry[0])
    return [(n, place) for _, n, place in out[:EDGES]]


def _points(shape: BaseGeometry) -> FloatArray:
    return np.asarray(shapely.get_coordinates(shape))


def _chains(islands: BaseGeometry, room: BaseGeometry) -> BaseGeometry | None:
    """Return the triangles of the clear room that join the islands by short ways; None: there are none."""
    mesh = triangulate(room)
    parts = polygons_of(islands)
    corners = {(float(x), float(y)): n for n, part in enumerate(parts) for x, y in _points(part)}
    tree = short_tree(walk_of(mesh, corners, NARROW), [~n for n in range(len(parts))])
    taken = sorted(at for at in tree if at >= 0)
    return shapely.union_all([Polygon(mesh.triangles[at]) for at in taken]) if taken else None
