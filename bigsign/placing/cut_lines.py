"""Laying the cut tree out on the board: a line for each cut, and the region it leaves to each panel."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import split, substring

from bigsign.geometry import polygons_of
from bigsign.placing.bent_lines import choose_bent, choose_within
from bigsign.placing.break_lines import ChosenLine, choose_line, reference_span
from bigsign.placing.rulers import Rulers
from bigsign.placing.stepped_lines import choose_steps
from bigsign.plan_records import Point
from bigsign.reading.lettering import Bounds
from bigsign.splitting.graph import ColourGraph
from bigsign.splitting.territory import border_of, inner_border, territory_within, way_territory
from bigsign.splitting.tree import BarredCut, Branch, Contact, Leaf, NextPlace, Node, Way, leaves
from bigsign.tolerances import TOLERANCES

__all__ = ["CrossedError", "LaidCut", "LaidLeaf", "LaidTree", "Wanted", "lay_cuts"]


FAR = 1000.0  # mm beyond the board
ROUGH = 0.01  # mm that a line may be off what it was made from
DEEP = 1e-3  # mm that a line which runs in film is off its edge
AT_EDGE = 1e-4  # mm that a line within a region is drawn out to be sure to meet its edge
STEPS = 40  # treads of a line that follows seams


class CrossedError(Exception):
    """A cut that bends can't be laid out: it leaves a side in pieces, runs through film, or parts what a trim holds.

    ``cut`` says which is not to be made.
    """

    def __init__(self, cut: BarredCut) -> None:
        super().__init__(f"a cut of {cut.colour} can't be laid out")
        self.cut = cut


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked of the lines: clearance from film and how far trims reach beyond it, mm.

    ``shared``: (axis, place) of lines of other colours; of marks equally good those are taken.
    """

    clearance: float
    margin: float
    shared: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True, slots=True)
class LaidCut:
    """A cut with its line from edge to edge of the region it parts; the sides as one walks along it, by path.

    A path names a node of the tree: "" the root, then "0" for first and "1" for second at each branch.
    """

    path: str
    line: tuple[Point, ...]
    left: str
    right: str
    chosen: ChosenLine
    halves: tuple[Polygon, Polygon]
    next_place: NextPlace | None = None

    def side(self, second: bool) -> Polygon:
        """Return everything on the first or the second side of the cut, far beyond the board."""
        return self.halves[second]


@dataclass(frozen=True, slots=True)
class LaidLeaf:
    """A leaf, its path in the tree, and the regions its film and its trim outline may take."""

    path: str
    leaf: Leaf
    region: Polygon
    loose: Polygon


@dataclass(frozen=True, slots=True)
class LaidTree:
    """The cuts in order from the root, and each leaf's path and region.

    A region is what the cuts leave to the leaf; ``loose`` is the same but for the cuts that follow a seam of the
    leaf's own, beyond which its trim outline reaches.
    """

    cuts: tuple[LaidCut, ...]
    leaves: tuple[LaidLeaf, ...]


def lay_cuts(root: Node, graph: ColourGraph, board: Bounds, rulers: Rulers, wanted: Wanted) -> LaidTree:
    """Return the lines of all cuts of a tree.

    Parameters
    ----------
    graph : holds the atoms that the leaves name, and the seams between them.
    board : the whole region to divide; widened to hold the film where that hangs over.

    Raises
    ------
    CrossedError
        Where a line can't leave each of its sides in one piece of the region, or keep off film.
    """
    x0, y0, x1, y1 = graph.film_of(range(len(graph.atoms))).bounds
    region = box(min(board[0], x0 - 1), min(board[1], y0 - 1), max(board[2], x1 + 1), max(board[3], y1 + 1))
    cuts: list[LaidCut] = []
    regions: dict[str, Polygon] = {"": region}
    winds: dict[str, bool] = {}
    found: list[tuple[str, Leaf]] = []
    stack: list[tuple[str, Node]] = [("", root)]
    while stack:
        path, node = stack.pop()
        if isinstance(node, Leaf):
            found.append((path, node))
            continue
        winds[path] = node.way is not None or winds.get(path[:-1], False)
        cut, regions[path + "0"], regions[path + "1"] = _lay(
            path, node, regions[path], graph, rulers, wanted, winds[path]
        )
        cuts.append(cut)
        stack.extend(((path + "1", node.second), (path + "0", node.first)))
    at = {cut.path: cut for cut in cuts}
    loose = {path: _loose(path, leaf, at, region, graph) for path, leaf in found}
    return LaidTree(
        tuple(cuts), tuple(LaidLeaf(path, leaf, regions[path], loose[path]) for path, leaf in found)
    )


def _loose(
    path: str, leaf: Leaf, cuts: Mapping[str, LaidCut], region: Polygon, graph: ColourGraph
) -> Polygon:
    """Return what the cuts leave to a leaf, but for those that follow a seam of its own or that its film passes.

    Where cuts cross at a seam, an overlap may reach past the cut that parts its panel from the one across the corner.
    """
    seams = [LineString(c.line) for c in graph.contacts if c.under in leaf.atoms or c.upper in leaf.atoms]
    film = shapely.union_all([f.shape for atom in leaf.atoms for f in graph.atoms[atom].fragments])
    middle = region
    for depth in range(len(path)):
        cut = cuts[path[:depth]]
        line = LineString(cut.line).buffer(TOLERANCES.touch / 2 + 0.01)
        side = cut.side(path[depth] == "1")
        passed = bool(seams) and film.difference(side).area > 1e-6
        if not passed and not any(line.covers(seam) for seam in seams):
            kept = middle.intersection(side)
            parts = polygons_of(kept)
            middle = max(parts, key=lambda part: (part.intersection(film).area, part.area)) if parts else middle
    return middle


def _lay(
    path: str, node: Branch, region: Polygon, graph: ColourGraph, rulers: Rulers, wanted: Wanted, winding: bool
) -> tuple[LaidCut, Polygon, Polygon]:
    sides = [_atoms(side) for side in (node.first, node.second)]
    hulls = [_hull(side, graph) for side in sides]
    x0, y0, x1, y1 = shapely.union_all(hulls).bounds
    low_x, high_x = reference_span(rulers.x, x0 - wanted.margin, x1 + wanted.margin)
    low_y, high_y = reference_span(rulers.y, y0 - wanted.margin, y1 + wanted.margin)
    span = (low_x, low_y, high_x, high_y)
    films = [graph.film_of(side) for side in sides]
    seams = _seams_between(sides, graph.contacts)
    chosen = _seam_line(hulls, seams, span)
    if chosen is None and (seams or node.way is not None):
        at = [(0, c.line[0][0]) if c.line[0][0] == c.line[1][0] else (1, c.line[0][1]) for c in seams]
        most = STEPS if seams else len(node.way.hooks) + 1 if node.way is not None else 1
        chosen = choose_steps(films[0], films[1], rulers, wanted.clearance, span, most, at)
        if chosen is None and node.way is not None:
            chosen = choose_bent(films[0], films[1], node.way, wanted.clearance)
            chosen = replace(chosen, way="seam") if seams else chosen
    if chosen is None:
        chosen = choose_line(hulls[0], hulls[1], rulers, wanted.clearance, span, wanted.shared)
    laps = _laid_film(sides, graph)
    laid, regions = _drawn(path, node, region, chosen, films, laps)
    if None in regions:
        for other in _round_others(films, graph, {*sides[0], *sides[1]}, wanted.clearance):
            again, found = _drawn(path, node, region, other, films, laps)
            if None not in found:
                laid, regions = again, found
                break
    if None in regions and not seams:
        laid, regions = _within(path, node, region, films, wanted.clearance) or (laid, regions)
    # a way between films as close as a seam leaves them may run along another seam, where film lies over it
    through = winding and LineString(laid.line).intersects(laps.buffer(-DEEP))
    if through or (None in regions and winding):
        raise CrossedError(BarredCut(graph.colour, graph.layer, frozenset(sides)))
    first, second = (
        _holding(region.intersection(half), film) if part is None else part
        for part, half, film in zip(regions, laid.halves, films, strict=True)
    )
    return laid, first, second


def _drawn(
    path: str, node: Branch, region: Polygon, chosen: ChosenLine, films: Sequence[MultiPolygon],
    laps: BaseGeometry,
) -> tuple[LaidCut, list[Polygon | None]]:
    """Return a cut along a line, and what it leaves of the region to each side; None where that hangs not together.

    ``laps``: film of both sides with its overlaps, which reach out of the region: there the line means nothing.
    """
    x0, y0, x1, y1 = region.bounds
    far = box(x0 - FAR, y0 - FAR, x1 + FAR, y1 + FAR)
    lefthand, righthand = sides_of(chosen.points, far)
    first_left = lefthand.intersection(films[0]).area >= righthand.intersection(films[0]).area
    halves = (lefthand, righthand) if first_left else (righthand, lefthand)
    left, right = (path + "0", path + "1") if first_left else (path + "1", path + "0")
    laid = LaidCut(path, _through(region, chosen.points), left, right, chosen, halves, node.next_place)
    regions: list[Polygon | None] = []
    for half, film in zip(halves, films, strict=True):
        held = [part for part in polygons_of(region.intersection(half)) if part.intersection(film).area > 1e-6]
        regions.append(held[0] if len(held) == 1 else None)
    if None not in regions and LineString(laid.line).intersects(laps):
        laid = replace(laid, line=_between(laid.line, region, regions) or laid.line)
    return laid, regions


def _between(line: Sequence[Point], region: Polygon, sides: Sequence[Polygon | None]) -> tuple[Point, ...] | None:
    """Return what of a line that leaves a region and comes back lies between its two sides; None: not one run of it."""
    within = LineString(line).intersection(region).difference(region.exterior.buffer(1e-6))
    runs = shapely.get_parts(shapely.line_merge(within))
    inner = [
        run for run in runs
        if run.length > 1e-6
        and all(side is not None and side.distance(run.interpolate(0.5, normalized=True)) < 1e-6 for side in sides)
    ]  # fmt: skip
    return tuple((float(x), float(y)) for x, y in inner[0].coords) if len(inner) == 1 else None


def _within(
    path: str, node: Branch, region: Polygon, films: Sequence[MultiPolygon], clearance: float
) -> tuple[LaidCut, list[Polygon | None]] | None:
    """Return a cut by a line that winds between the films within the region alone; None: one film shuts in the other.

    Beyond the region it means nothing: there the cuts above have parted what this one would not.
    """
    # at a seam with another panel film reaches over the edge
    own = [MultiPolygon(polygons_of(film.intersection(region))) for film in films]
    found = territory_within(region, *own)
    if found is None:
        return None
    chosen = choose_within(region, found, own[0], own[1], clearance)
    if chosen is None:
        line = inner_border(found, region).simplify(ROUGH)
        points = tuple((float(x), float(y)) for x, y in line.coords)
        clear = min(line.distance(film) for film in films)
        chosen = ChosenLine(points, clear, on_marks=False, tight=clear < clearance - 1e-6, way="free")
    points = chosen.points
    parts = polygons_of(split(region, _extended(points, region, AT_EDGE)))
    parts.sort(key=_hand(points).distance)
    first_left = len(parts) == 2 and own[0].intersection(parts[0]).area > own[0].intersection(parts[1]).area
    first, second = parts if first_left else parts[::-1]
    if len(parts) != 2 or own[0].intersection(second).area + own[1].intersection(first).area > 1e-6:
        return None
    left, right = (path + "0", path + "1") if first_left else (path + "1", path + "0")
    x0, y0, x1, y1 = region.bounds
    rest = max(polygons_of(box(x0 - FAR, y0 - FAR, x1 + FAR, y1 + FAR).difference(first)), key=lambda one: one.area)
    return LaidCut(path, points, left, right, chosen, (first, rest), node.next_place), [first, second]


def _round_others(
    films: Sequence[MultiPolygon], graph: ColourGraph, own: Collection[int], clearance: float
) -> Iterator[ChosenLine]:
    """Yield lines that pass the film of other panels too: a cut above that bends may let it reach in between."""
    rest = graph.film_of(atom for atom in range(len(graph.atoms)) if atom not in own)
    if rest.is_empty or any((c.under in own) != (c.upper in own) for c in graph.contacts):
        return  # at a seam with another panel nothing runs between
    hulls = films[0].convex_hull, films[1].convex_hull
    for first, second in (
        (MultiPolygon([*films[0].geoms, *rest.geoms]), films[1]),
        (films[0], MultiPolygon([*films[1].geoms, *rest.geoms])),
    ):
        found = way_territory(first, second, (Polygon(), Polygon()), hulls)
        if found is not None:
            line = border_of(found, first, second)
            way = Way(tuple((float(x), float(y)) for x, y in line.coords), (), True)
            chosen = choose_bent(first, second, way, clearance)
            drawn = LineString(chosen.points)
            if drawn.is_simple and min(drawn.distance(film) for film in films) > TOLERANCES.touch / 4:
                yield chosen


def sides_of(points: Sequence[Point], far: Polygon) -> tuple[Polygon, Polygon]:
    """Return what lies to the left and to the right of one walking along a line through ``far``, on the drawing."""
    line = _extended(points, far)
    parts = polygons_of(split(far, line))
    parts.sort(key=_hand(points).distance)
    return parts[0], parts[1]


def _hand(points: Sequence[Point]) -> ShapelyPoint:
    """Return a place just to the left of where a line begins."""
    (ax, ay), (bx, by) = points[0], points[1]
    # on the drawing (y down) the left hand of one walking along (dx, dy) points to (dy, -dx)
    size = math.hypot(bx - ax, by - ay)
    return ShapelyPoint((ax + bx) / 2 + (by - ay) / size * 1e-3, (ay + by) / 2 - (bx - ax) / size * 1e-3)


def _extended(points: Sequence[Point], far: Polygon, by: float | None = None) -> LineString:
    """Return the line with its first and last leg drawn out by so many mm; None: beyond ``far``."""
    x0, y0, x1, y1 = far.bounds
    reach = 2 * (x1 - x0 + y1 - y0) if by is None else by

    def beyond(end: Point, before: Point) -> Point:
        dx, dy = end[0] - before[0], end[1] - before[1]
        size = math.hypot(dx, dy)
        return end[0] + dx / size * reach, end[1] + dy / size * reach

    return LineString([beyond(points[0], points[1]), *points[1:-1], beyond(points[-1], points[-2])])


def _holding(region: shapely.Geometry, film: MultiPolygon) -> Polygon:
    """Return the part of a region that holds most of the film."""
    return max(polygons_of(region), key=lambda part: part.intersection(film).area)


def _seams_between(sides: Sequence[Collection[int]], contacts: Sequence[Contact]) -> list[Contact]:
    """Return the seams that a cut between two sides follows, the longest first."""
    between = [
        contact
        for contact in contacts
        if (contact.under in sides[0] and contact.upper in sides[1])
        or (contact.under in sides[1] and contact.upper in sides[0])
    ]
    return sorted(between, key=lambda contact: -contact.length)


def _seam_line(
    hulls: Sequence[Polygon], seams: Sequence[Contact], span: tuple[float, float, float, float]
) -> ChosenLine | None:
    """Return the straight line along a seam, if it parts all film of the two sides."""
    for contact in seams:
        (ax, ay), (bx, by) = contact.line
        ends = ((ax, span[1]), (bx, span[3])) if ax == bx else ((span[0], ay), (span[2], by))
        axis, at = (0, ax) if ax == bx else (1, ay)
        low, high = sorted(hulls, key=lambda hull: hull.bounds[axis])
        if low.bounds[axis + 2] <= at <= high.bounds[axis]:
            line = LineString(ends)
            clear = min(line.distance(hull) for hull in hulls)
            return ChosenLine(ends, clear, on_marks=False, tight=False, way="seam")
    return None


def _atoms(node: Node) -> frozenset[int]:
    return frozenset(atom for leaf in leaves(node) for atom in leaf.atoms)


def _hull(atoms: Collection[int], graph: ColourGraph) -> Polygon:
    hull = graph.film_of(atoms).convex_hull
    assert isinstance(hull, Polygon)
    return hull


def _laid_film(sides: Sequence[Collection[int]], graph: ColourGraph) -> BaseGeometry:
    """Return the film of two sides with the overlaps it carries, but for pieces that stand in both."""
    held = [[fragment for atom in side for fragment in graph.atoms[atom].fragments] for side in sides]
    both = {fragment.piece for fragment in held[0]} & {fragment.piece for fragment in held[1]}
    return shapely.union_all([f.shape for own in held for f in own if f.piece not in both])


def _through(region: Polygon, points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the line from edge to edge of the region, in the direction it was chosen, with all its bends."""
    line = _extended(points, region)
    inside = line.intersection(region)
    if inside.is_empty:  # a cut above bends round all of it
        inside = LineString(points)
    spans = [line.project(ShapelyPoint(point)) for point in shapely.get_coordinates(inside)]
    spans += [line.project(ShapelyPoint(point)) for point in points[1:-1]]
    run = substring(line, min(spans), max(spans))
    return tuple((float(x), float(y)) for x, y in run.coords)
