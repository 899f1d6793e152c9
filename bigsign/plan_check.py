"""The independent checker of a plan: it shares no code with what makes plans, and believes no number of theirs.

Everything is worked out again from the films, lines and outlines with shapely. An empty list means that the plan
holds; else each entry says what does not.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

import shapely
import shapely.affinity
import shapely.ops
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign.plan_check_certificates import check_certificates
from bigsign.plan_check_marks import check_marks
from bigsign.plan_check_materials import check_materials
from bigsign.plan_check_measures import check_measures, where_nodes_stand
from bigsign.plan_check_ways import check_way
from bigsign.plan_records import CutLine, Panel, Plan
from bigsign.tolerances import TOLERANCES

__all__ = ["check_plan"]

SLACK = 1e-6
SEAM_OFF = 0.12  # mm: a cut that follows seams of several pieces may run this far beside one of them


def check_plan(plan: Plan) -> list[str]:
    """Return everything that is wrong with ``plan``, in plain words; an empty list if nothing is."""
    return [
        *_check_film(plan),
        *_check_fit(plan),
        *_check_trees(plan),
        *check_measures(plan, _sides(plan)),
        *_check_trims(plan),
        *_check_breaks(plan),
        *_check_distances(plan),
        *_check_mats(plan),
        *_check_work(plan),
        *check_marks(plan),
        *check_materials(plan),
        *check_certificates(plan),
    ]


def _check_film(plan: Plan) -> Iterator[str]:
    """Nothing is lost or added: every piece is in exactly one panel, and film lies where artwork lies."""
    for colour in {piece.colour for piece in plan.pieces}:
        wanted = unary_union([piece.shape for piece in plan.pieces if piece.colour == colour])
        got = unary_union([panel.film for panel in plan.panels if panel.colour == colour])
        for a, b, what in ((wanted, got, "missing from the panels"), (got, wanted, "not in the artwork")):
            over = a.difference(b.buffer(TOLERANCES.conserve))
            if over.area > 0:
                yield f"{colour}: {over.area:.3f} mm² of film is {what}"
    panels_of: dict[str, list[str]] = {}
    for panel in plan.panels:
        for fragment in panel.fragments:
            panels_of.setdefault(fragment, []).append(panel.id)
    parts: dict[str, list[str]] = {}
    for fragment, piece, _ in plan.fragments:
        parts.setdefault(piece, []).append(fragment)
        if len(panels_of.get(fragment, ())) != 1:
            yield f"fragment {fragment} is in {len(panels_of.get(fragment, ()))} panels"
    unknown = set(panels_of) - {fragment for fragment, _, _ in plan.fragments}
    if unknown:
        yield f"no such fragments: {sorted(unknown)}"
    for whole in plan.pieces:
        if whole.id not in parts:
            yield f"piece {whole.id} is in no panel"


def _check_fit(plan: Plan) -> Iterator[str]:
    cutter = plan.project.cutter
    for panel in plan.panels:
        x0, y0, x1, y1 = panel.film.bounds
        ways = [(x1 - x0, y1 - y0)] + ([(y1 - y0, x1 - x0)] if plan.project.turning != "none" else [])
        if not any(w <= cutter.width + 0.001 + SLACK and h <= cutter.length + 0.001 + SLACK for w, h in ways):
            yield f"{panel.id} is {x1 - x0:.2f} × {y1 - y0:.2f} mm and does not fit the usable area"


def _sides(plan: Plan) -> dict[str, tuple[MultiPolygon, tuple[str, ...]]]:
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


def _check_trees(plan: Plan) -> Iterator[str]:
    """The cuts of a colour form a tree over its panels, or one more for each frame that goes up by itself."""
    sides = _sides(plan)
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
        plain = 0
        for root in roots:
            held = {piece_of[f] for name in sides[root][1] for f in panels[name].fragments}
            plain += not any(_encloses(pieces[name].shape, plan, colour) for name in held)
        if plain > 1 or len(own) != len(names) - len(roots):
            yield f"{colour}: {len(own)} cuts do not make one tree over {len(names)} panels"
        for cut in own:
            yield from _check_cut(cut, sides[cut.left][1], sides[cut.right][1], plan)


def _encloses(shape: Polygon, plan: Plan, colour: str) -> bool:
    filled = Polygon(shape.exterior)
    return bool(shape.interiors) and any(
        piece.colour == colour and piece.shape is not shape and filled.contains_properly(piece.shape)
        for piece in plan.pieces
    )


def _check_cut(cut: CutLine, left: Sequence[str], right: Sequence[str], plan: Plan) -> Iterator[str]:
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
    if any(line.intersects(film) for film in clean):
        yield f"{cut.id} runs through film"
    for mine, film, other in ((here, clean[0], everything[1]), (there, clean[1], everything[0])):
        if film.is_empty or other.is_empty or film.distance(other) >= TOLERANCES.touch - SLACK:
            continue
        if not _touch_as_drawn(mine, film, other, plan):
            yield f"{cut.id} parts films {film.distance(other):.3f} mm apart"
    yield from check_way(cut, left, right, plan)
    halves = _halves_of(line, unary_union(everything).bounds)
    overlap = max((part.overlap_mm for part in plan.breaks if part.kind == "seam"), default=0.0)
    ends = {*left, *right}
    seams = [LineString(part.line) for part in plan.breaks if part.kind == "seam" and not ends.isdisjoint(part.panels)]
    lines = unary_union([line, *seams])
    for own, half, beyond, name in ((here, halves[0], halves[1], "left"), (there, halves[1], halves[0], "right")):
        over = unary_union([films[f] for f in own]).difference(half.buffer(SEAM_OFF if seamed else SLACK))
        if over.area <= SLACK:
            continue
        lapped = unary_union([films[f] for f in own if piece_of[f] in seamed]).intersection(beyond)
        # at a corner of crossing seams an overlap may pass this line onto film that another cut parts it from
        under = unary_union([film for f, film in films.items() if f not in own and piece_of[f] in seamed])
        stray = over.difference(lapped.intersection(under).buffer(1e-4)).difference(half.buffer(SEAM_OFF))
        reach = shapely.get_coordinates(over)
        if stray.area > 1e-4 or float(shapely.distance(lines, shapely.points(reach)).max()) > overlap + SEAM_OFF:
            yield f"{cut.id} has film of its {name} side on the other side"


def _touch_as_drawn(mine: Sequence[str], film: BaseGeometry, other: BaseGeometry, plan: Plan) -> bool:
    """Whether films closer than a knife needs lie so in the artwork too, and are parted by a seam through the join."""
    panel_of = {fragment: panel.id for panel in plan.panels for fragment in panel.fragments}
    seams = _seam_neighbours(plan)
    here = [(a, one) for a, _, one in plan.fragments if a in mine and one.distance(other) < TOLERANCES.touch]
    there = [(b, two) for b, _, two in plan.fragments if b not in mine and two.distance(film) < TOLERANCES.touch]
    close = [(a, b) for a, one in here for b, two in there if one.distance(two) < TOLERANCES.touch - SLACK]
    return bool(close) and all(frozenset((panel_of[a], panel_of[b])) in seams for a, b in close)


def _halves_of(line: LineString, bounds: Sequence[float]) -> tuple[Polygon, Polygon]:
    """Return a wide area to the left and to the right of one walking along a line, as seen on the drawing."""
    points = list(line.coords)
    far = 4 * (abs(bounds[2] - bounds[0]) + abs(bounds[3] - bounds[1]) + line.length)

    def on(a: Sequence[float], b: Sequence[float]) -> tuple[float, float]:
        size = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
        return b[0] + (b[0] - a[0]) / size * far, b[1] + (b[1] - a[1]) / size * far

    path = [on(points[1], points[0]), *points[1:-1], on(points[-2], points[-1])]
    cut = shapely.ops.split(line.envelope.centroid.buffer(far / 2), LineString(path))
    (x0, y0), (x1, y1) = path[0], path[1]
    size = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    hand = shapely.Point((points[0][0] + points[1][0]) / 2 + (y1 - y0) / size * 1e-4,
                         (points[0][1] + points[1][1]) / 2 - (x1 - x0) / size * 1e-4)  # fmt: skip
    parts = sorted((part for part in cut.geoms if isinstance(part, Polygon)), key=lambda part: part.distance(hand))
    return parts[0], parts[1]


def _seam_neighbours(plan: Plan) -> set[frozenset[str]]:
    return {frozenset(part.panels) for part in plan.breaks if part.kind == "seam"}


def _across_corners(plan: Plan, seams: set[frozenset[str]]) -> set[frozenset[str]]:
    """Return the pairs whose overlaps meet where seams cross: on one piece, no farther than an overlap each way."""
    piece_of = {fragment: piece for fragment, piece, _ in plan.fragments}
    reach = max((part.overlap_mm for part in plan.breaks if part.kind == "seam"), default=0.0) + SEAM_OFF
    out = set()
    for one, other in itertools.combinations(plan.panels, 2):
        pair = frozenset((one.id, other.id))
        pieces = [{piece_of.get(f) for f in panel.fragments} for panel in (one, other)]
        between = any({one.id, third.id} in seams and {other.id, third.id} in seams for third in plan.panels)
        if pair in seams or one.colour != other.colour or not between or pieces[0].isdisjoint(pieces[1]):
            continue
        shared = one.film.intersection(other.film)
        boxes = [part.bounds for part in getattr(shared, "geoms", [shared]) if part.area > 1e-6]
        if boxes and all(b[2] - b[0] <= reach and b[3] - b[1] <= reach for b in boxes):
            out.add(pair)
    return out


def _check_trims(plan: Plan) -> Iterator[str]:
    lapped = _seam_neighbours(plan)
    marked = {frozenset(mark.panels) for mark in plan.marks}
    seamed = {name for pair in lapped for name in pair}
    lapped |= _across_corners(plan, lapped)
    children = {side: cut.id for cut in plan.cuts for side in (cut.left, cut.right)}

    def root(name: str) -> str:
        while name in children:
            name = children[name]
        return name

    for panel in plan.panels:
        if not panel.trim.is_valid or not panel.trim.buffer(1e-3).covers(panel.film):
            yield f"the trim of {panel.id} does not hold its film"
        for other in plan.panels:
            if other.id == panel.id or other.colour != panel.colour or frozenset((panel.id, other.id)) in lapped:
                continue
            if panel.trim.buffer(-1e-3).intersects(other.film):
                yield f"the trim of {panel.id} lies on film of {other.id}"
            # trims overlap to hold register marks; at a seam both go past it, also beside the panel across the corner
            same = root(panel.id) == root(other.id) and not {panel.id, other.id} <= seamed
            same = same and frozenset((panel.id, other.id)) not in marked
            if same and panel.id < other.id and panel.trim.intersection(other.trim).area > 1e-3:
                yield f"the trims of {panel.id} and {other.id} overlap"
        for line in panel.trim_lines:
            drawn = LineString(line)
            if drawn.distance(panel.film) < TOLERANCES.trim_from_film - 0.02:
                yield f"a trim line of {panel.id} is cut {drawn.distance(panel.film):.2f} mm from film"
            if not panel.trim.exterior.buffer(1e-3).covers(drawn):
                yield f"a trim line of {panel.id} leaves its trim outline"


def _check_breaks(plan: Plan) -> Iterator[str]:
    panels = {panel.id: panel for panel in plan.panels}
    stands = where_nodes_stand(plan)
    wanted: set[tuple[str, ...]] = set()
    allowed = {tuple(sorted(part.panels)) for part in plan.breaks if part.kind == "seam"}
    for edge in plan.edges:
        for colour in {panel.colour for panel in plan.panels} if edge.kind != "contact" else ():
            pairs = list(itertools.product(stands.get((colour, edge.a), ()), stands.get((colour, edge.b), ())))
            for one, other in pairs:
                if one[0] != other[0]:
                    (wanted if len(pairs) == 1 else allowed).add(tuple(sorted((one[0], other[0]))))
    yield from _check_seams(plan)
    got = [tuple(sorted(part.panels)) for part in plan.breaks]
    if len(set(got)) != len(got) or not wanted <= set(got) <= wanted | allowed:
        yield f"breaks are {sorted(got)}, but neighbours part at {sorted(wanted)}"
    for part in plan.breaks:
        first, second = (panels[name] for name in part.panels)
        line = LineString(part.line)
        if not any(LineString(cut.line).buffer(1e-3).covers(line) for cut in plan.cuts if cut.colour == first.colour):
            yield f"the line of {part.id} lies on no cut"
        gap = first.film.distance(second.film)
        if abs(gap - part.gap.mm) > 1e-3:
            yield f"{part.id} says a gap of {part.gap.mm:.3f} mm, the films are {gap:.3f} mm apart"
        clear = min(line.distance(first.film), line.distance(second.film))
        if abs(clear - part.clearance_mm) > 1e-3:
            yield f"{part.id} says a clearance of {part.clearance_mm:.3f} mm, its line has {clear:.3f}"


def _check_seams(plan: Plan) -> Iterator[str]:
    """Every parted piece hangs together by seams, and each seam lies where film of both its panels meets."""
    panels = {panel.id: panel for panel in plan.panels}
    holder = {f: panel.id for panel in plan.panels for f in panel.fragments}
    parts: dict[str, set[str]] = {}
    for fragment, piece, _ in plan.fragments:
        parts.setdefault(piece, set()).add(holder.get(fragment, ""))
    shapes = {fragment: shape for fragment, _, shape in plan.fragments}
    seams = [set(part.panels) for part in plan.breaks if part.kind == "seam"]
    for piece, held in parts.items():
        joined = {next(iter(sorted(held)))}
        while True:
            more = {name for seam in seams if seam & joined for name in seam & held} - joined
            if not more:
                break
            joined |= more
        if joined != held:
            yield f"piece {piece} is in panels that no seam joins: {sorted(held - joined)}"
    for part in plan.breaks:
        if part.kind != "seam":
            continue
        first, second = ([shapes[f] for f in panels[name].fragments] for name in part.panels)
        shared = unary_union(first).intersection(unary_union(second))
        room = LineString(part.line).buffer(part.overlap_mm + SEAM_OFF)
        if shared.is_empty or shared.difference(room).area > 1e-3:
            yield f"{part.id} is no seam: its films do not meet along its line"
        # strokes that slant and rounded corners leave less than the full strip
        full = part.seam_length * part.overlap_mm
        if part.overlap_mm and not 0.1 * full < shared.area < 1.01 * full + 2 * part.overlap_mm**2:
            yield f"{part.id} says {part.seam_length:.1f} mm of seam, the films overlap by {shared.area:.1f} mm²"


def _from_edge(panel: Panel, plan: Plan, axis: int) -> float:
    """Return what a tape from the reference edge reads at the trim box's nearest side (or middle)."""
    low, high = panel.trim.bounds[axis], panel.trim.bounds[axis + 2]
    extent = plan.project.board.width if axis == 0 else plan.project.board.height
    edge = plan.sign.reference[axis]
    if edge in ("left", "top"):
        return low
    return extent - high if edge in ("right", "bottom") else (low + high) / 2 - extent / 2


def _check_distances(plan: Plan) -> Iterator[str]:
    for panel in plan.panels:
        for axis, said in ((0, panel.from_reference.x), (1, panel.from_reference.y)):
            true = _from_edge(panel, plan, axis)
            if abs(true - said.length.mm) > 1e-6 or abs(said.length.error_mm) > plan.tape_step.mm / 2 + 1e-6:
                yield f"{panel.id} stands {true:.3f} mm from the {said.edge}, the plan says {said.length.mm:.3f}"
        if panel.bounds != panel.film.bounds:
            yield f"{panel.id} has other bounds than its film"


def _check_mats(plan: Plan) -> Iterator[str]:
    """Panels lie on their mat: film within the usable area, trims on the sheet and apart, one colour a mat."""
    panels = {panel.id: panel for panel in plan.panels}
    listed = sorted(name for mat in plan.mats for name in mat.panels)
    if listed != sorted(panels):
        yield f"the mats hold {listed}, the plan has {sorted(panels)}"
        return
    for mat in plan.mats:
        laid: list[tuple[str, MultiPolygon, Polygon]] = []
        usable = box(0, 0, mat.width, mat.length).buffer(0.001 + SLACK, join_style="mitre")
        sheet = box(0, 0, mat.width, mat.length).buffer(mat.border_mm + 0.002, join_style="mitre")
        for name in mat.panels:
            panel = panels[name]
            a, b, c, d, e, f = panel.to_mat
            film = shapely.affinity.affine_transform(panel.film, [a, c, b, d, e, f])
            trim = shapely.affinity.affine_transform(panel.trim, [a, c, b, d, e, f])
            if abs(abs(a * d - b * c) - 1) > 1e-9 or (a * d - b * c < 0) != mat.mirrored:
                yield f"{name} is not laid true to size, or mirrored wrongly, on {mat.id}"
            if panel.colour != mat.colour or panel.mat != mat.id:
                yield f"{name} is on {mat.id}, which is not its own"
            if not usable.covers(film):
                yield f"{name} leaves the usable area of {mat.id}"
            if not sheet.covers(trim):
                yield f"the trim of {name} leaves the sheet of {mat.id}"
            for other, other_film, other_trim in laid:
                if film.distance(other_film) < plan.project.plan.spacing - 0.002:
                    yield f"{name} and {other} lie {film.distance(other_film):.2f} mm apart on {mat.id}"
                if trim.distance(other_trim) < TOLERANCES.trim_apart - 0.002:
                    yield f"the trims of {name} and {other} lie too near on {mat.id}"
            laid.append((name, film, trim))


def _check_work(plan: Plan) -> Iterator[str]:
    if [panel.number for panel in plan.panels] != list(range(1, len(plan.panels) + 1)):
        yield "the panels are not numbered 1, 2, 3 … in the order of work"
    stuck = [step.panel for step in plan.steps if step.kind == "stick"]
    if stuck != [panel.id for panel in plan.panels]:
        yield f"the steps stick {stuck}, not each panel once in order"
    for step, number in zip(plan.steps, range(1, len(plan.steps) + 1), strict=True):
        if step.n != number:
            yield f"step {step.n} stands at place {number}"
