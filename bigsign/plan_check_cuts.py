"""Checks of the cut tree: every cut parts what the cuts above it left, and no film lies in its way."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence

import shapely
import shapely.ops
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign.geometry import polygons_of
from bigsign.plan_check_layers import most_beneath
from bigsign.plan_check_ways import check_way
from bigsign.plan_records import CutLine, Plan
from bigsign.tolerances import TOLERANCES

__all__ = ["SEAM_OFF", "check_trees", "seam_neighbours", "sides_of_cuts"]

SLACK = 1e-6
SEAM_OFF = 0.12  # mm: a cut that follows seams of several pieces may run this far beside one of them
AT_EDGE = 1e-3  # mm that a line within a region is drawn out to be sure to meet its edge
STEP = 0.5  # mm between the places of a line in film that are looked at
DUST = 1e-6  # mm²: less is a rounding

Sides = dict[str, tuple[MultiPolygon, tuple[str, ...]]]


def sides_of_cuts(plan: Plan) -> Sides:
    """Return the film and the panel ids under each cut and panel id."""
    cuts = {cut.id: cut for cut in plan.cuts}
    films = {panel.id: panel.film for panel in plan.panels}

    def under(name: str, seen: tuple[str, ...] = ()) -> tuple[str, ...]:
        if name in films:
            return (name,)
        if name in seen or name not in cuts:
            return ()
        cut = cuts[name]
        return under(cut.left, (*seen, name)) + under(cut.right, (*seen, name))

    out = {}
    for name in (*cuts, *films):
        panels = under(name)
        out[name] = (MultiPolygon([p for panel in panels for p in films[panel].geoms]), panels)
    return out


def check_trees(plan: Plan) -> Iterator[str]:
    """The cuts of a colour form a tree over its panels, one more for each frame, frame's hole and stratum."""
    sides = sides_of_cuts(plan)
    children = [side for cut in plan.cuts for side in (cut.left, cut.right)]
    if len(set(children)) != len(children):
        yield "a cut or panel lies under two cuts"
        return
    pieces = {piece.id: piece for piece in plan.pieces}
    piece_of = {fragment: piece for fragment, piece, _ in plan.fragments}
    panels = {panel.id: panel for panel in plan.panels}
    for colour in {panel.colour for panel in plan.panels}:
        own = [cut for cut in plan.cuts if cut.colour == colour]
        names = [panel.id for panel in plan.panels if panel.colour == colour]
        roots = [name for name in [cut.id for cut in own] + names if name not in children]
        if sorted(name for root in roots for name in sides[root][1]) != sorted(names):
            yield f"{colour}: the cut trees do not hold every panel once"
            continue
        plain: Counter[frozenset[tuple[str, int]]] = Counter()  # trees by the holes that they lie in
        for root in roots:
            held = {piece_of[f] for name in sides[root][1] for f in panels[name].fragments}
            if not any(_encloses(pieces[name].shape, plan, colour) for name in held):
                plain[_holes_round(sides[root][0], plan, colour)] += 1
        if max(plain.values(), default=0) > 1 + most_beneath(plan) or len(own) != len(names) - len(roots):
            yield f"{colour}: {len(own)} cuts do not make one tree over {len(names)} panels"
        for root in roots:
            yield from _check_under(root, _board(plan), sides, plan)


def _board(plan: Plan) -> Polygon:
    """Return the board, or as much more as the film hangs over, from edge to edge of which the first cuts run."""
    board = plan.project.board
    x0, y0, x1, y1 = MultiPolygon([shape for _, _, shape in plan.fragments]).bounds
    return box(min(0.0, x0 - 1), min(0.0, y0 - 1), max(board.width, x1 + 1), max(board.height, y1 + 1))


def _check_under(name: str, board: BaseGeometry, sides: Sides, plan: Plan) -> Iterator[str]:
    """Check the cuts under a root: each parts the region that the cuts above have left."""
    cuts = {cut.id: cut for cut in plan.cuts}
    stack = [(name, board)]
    while stack:
        at, region = stack.pop()
        if at not in cuts:
            continue
        cut = cuts[at]
        halves = _parts_of(cut, region) or _halves_of(LineString(cut.line), sides[at][0].bounds)
        yield from _check_cut(cut, sides[cut.left][1], sides[cut.right][1], plan, halves)
        stack += [(side, region.intersection(half)) for side, half in zip((cut.left, cut.right), halves, strict=True)]


def _parts_of(cut: CutLine, region: BaseGeometry) -> tuple[Polygon, Polygon] | None:
    """Return what a free way leaves of a region to its left and right; None: it crosses it not once, or is no free way.

    A free way may run where the cuts above leave it room, and mean nothing if it were drawn on beyond that.
    """
    parts = [part for part in polygons_of(region) if part.intersects(LineString(cut.line))]
    drawn = LineString(_drawn_on(cut.line, AT_EDGE))
    if cut.way != "free" or len(parts) != 1 or not drawn.is_simple:
        return None
    halves = [half for half in polygons_of(shapely.ops.split(parts[0], drawn)) if half.area > DUST]
    if len(halves) != 2:
        return None
    # the line may begin outside of the region: which side is left is told by the leg of which most lies in it
    legs = list(itertools.pairwise(cut.line))
    inner = max((LineString(leg).intersection(parts[0]) for leg in legs), key=lambda one: one.length)
    run = max(shapely.get_parts(inner), key=lambda one: one.length)
    one, two = sorted(halves, key=_left_of(run.coords).distance)
    return one, two


def _holes_round(film: MultiPolygon, plan: Plan, colour: str) -> frozenset[tuple[str, int]]:
    """Return the holes of pieces of a colour in which all of some film lies, each by its piece and its number."""
    return frozenset(
        (piece.id, n)
        for piece in plan.pieces if piece.colour == colour
        for n, ring in enumerate(piece.shape.interiors) if Polygon(ring).contains(film)
    )  # fmt: skip


def _encloses(shape: Polygon, plan: Plan, colour: str) -> bool:
    filled = Polygon(shape.exterior)
    return bool(shape.interiors) and any(
        piece.colour == colour and piece.shape is not shape and filled.contains_properly(piece.shape)
        for piece in plan.pieces
    )


def _check_cut(
    cut: CutLine, left: Sequence[str], right: Sequence[str], plan: Plan, halves: tuple[Polygon, Polygon]
) -> Iterator[str]:
    """The line parts its two sides: no film touches it or lies beyond it, but the overlap at a seam."""
    line = LineString(cut.line)
    films = {fragment: shape for fragment, _, shape in plan.fragments}
    piece_of = {fragment: piece for fragment, piece, _ in plan.fragments}
    panels = {panel.id: panel for panel in plan.panels}
    here, there = ([f for name in side for f in panels[name].fragments] for side in (left, right))
    seamed = {piece_of[f] for f in here} & {piece_of[f] for f in there}
    clean = [
        unary_union([films[f] for f in side if piece_of[f] not in seamed]) for side in (here, there)
    ]  # fmt: skip
    everything = [unary_union([films[f] for f in side]) for side in (here, there)]
    if any(_runs_through(line, film) for film in clean):
        yield f"{cut.id} runs through film"
    for mine, theirs, film, other in (
        (here, there, clean[0], everything[1]), (there, here, clean[1], everything[0]),
    ):  # fmt: skip
        if film.is_empty or other.is_empty or film.distance(other) >= TOLERANCES.touch - SLACK:
            continue
        if not _touch_as_drawn(mine, theirs, film, other, plan):
            yield f"{cut.id} parts films {film.distance(other):.3f} mm apart"
    yield from check_way(cut, left, right, plan)
    overlap = max((part.overlap_mm for part in plan.breaks if part.kind == "seam"), default=0.0)
    ends = {*left, *right}
    seams = [LineString(part.line) for part in plan.breaks if part.kind == "seam" and not ends.isdisjoint(part.panels)]
    lines = unary_union([line, *seams])
    for own, half, beyond, name in ((here, halves[0], halves[1], "left"), (there, halves[1], halves[0], "right")):
        over = unary_union([films[f] for f in own]).intersection(beyond)
        over = over.difference(half.buffer(SEAM_OFF if seamed else SLACK))
        if over.area <= SLACK:
            continue
        # an overlap may pass this line onto film of its piece that another cut parts it from
        parted = {piece_of[f] for f in own} & {piece for f, piece in piece_of.items() if f not in own}
        lapped = unary_union([films[f] for f in own if piece_of[f] in parted]).intersection(beyond)
        under = unary_union([film for f, film in films.items() if f not in own and piece_of[f] in parted])
        stray = over.difference(lapped.intersection(under).buffer(1e-4)).difference(half.buffer(SEAM_OFF))
        reach = shapely.get_coordinates(over)
        if stray.area > 1e-4 or float(shapely.distance(lines, shapely.points(reach)).max()) > overlap + SEAM_OFF:
            yield f"{cut.id} has film of its {name} side on the other side"


def _runs_through(line: LineString, film: BaseGeometry) -> bool:
    """Whether a line runs within film: one that touches its edge, as a round end just reaches a seam, does not."""
    for part in shapely.get_parts(line.intersection(film)):
        if isinstance(part, LineString) and not part.is_empty:
            places = shapely.get_coordinates(shapely.segmentize(part, min(STEP, part.length / 2)))
            if (shapely.distance(film.boundary, shapely.points(places)) > SLACK).any():
                return True
    return False


def _touch_as_drawn(
    mine: Sequence[str], theirs: Sequence[str], film: BaseGeometry, other: BaseGeometry, plan: Plan
) -> bool:
    """Whether films closer than a knife needs lie so in the artwork too, and are parted by a seam through the join."""
    panel_of = {fragment: panel.id for panel in plan.panels for fragment in panel.fragments}
    seams = seam_neighbours(plan)
    here = [(a, one) for a, _, one in plan.fragments if a in mine and one.distance(other) < TOLERANCES.touch]
    there = [(b, two) for b, _, two in plan.fragments if b in theirs and two.distance(film) < TOLERANCES.touch]
    close = [(a, b) for a, one in here for b, two in there if one.distance(two) < TOLERANCES.touch - SLACK]
    return bool(close) and all(frozenset((panel_of[a], panel_of[b])) in seams for a, b in close)


def _halves_of(line: LineString, bounds: Sequence[float]) -> tuple[Polygon, Polygon]:
    """Return a wide area to the left and to the right of one walking along a line, as seen on the drawing."""
    far = 4 * (abs(bounds[2] - bounds[0]) + abs(bounds[3] - bounds[1]) + line.length)
    points = list(line.coords)
    cut = shapely.ops.split(line.envelope.centroid.buffer(far / 2), LineString(_drawn_on(points, far)))
    parts = sorted((part for part in cut.geoms if isinstance(part, Polygon)), key=_left_of(points).distance)
    return parts[0], parts[1]


def _drawn_on(points: Sequence[Sequence[float]], by: float) -> list[tuple[float, float]]:
    """Return the points of a line whose first and last leg are drawn out."""

    def on(a: Sequence[float], b: Sequence[float]) -> tuple[float, float]:
        size = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
        return b[0] + (b[0] - a[0]) / size * by, b[1] + (b[1] - a[1]) / size * by

    inner = [(float(x), float(y)) for x, y in points[1:-1]]
    return [on(points[1], points[0]), *inner, on(points[-2], points[-1])]


def _left_of(points: Sequence[Sequence[float]]) -> shapely.Point:
    """Return a place just to the left of where a line begins."""
    (x0, y0), (x1, y1) = points[0], points[1]
    size = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    return shapely.Point((x0 + x1) / 2 + (y1 - y0) / size * 1e-4, (y0 + y1) / 2 - (x1 - x0) / size * 1e-4)


def seam_neighbours(plan: Plan) -> set[frozenset[str]]:
    """Return the pairs of panels between which the plan has a seam."""
    return {frozenset(part.panels) for part in plan.breaks if part.kind == "seam"}


