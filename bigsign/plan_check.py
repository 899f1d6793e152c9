"""The independent checker of a plan: it shares no code with what makes plans, and believes no number of theirs.

Everything is worked out again from the films, lines and outlines with shapely. An empty list means that the plan
holds; else each entry says what does not.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import shapely
import shapely.affinity
import shapely.ops
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign.plan_check_certificates import check_certificates
from bigsign.plan_check_cuts import SEAM_OFF, check_trees, seam_neighbours, sides_of_cuts
from bigsign.plan_check_layers import check_layers, frame_panels, lies_over, strata_of_panels
from bigsign.plan_check_marks import check_marks
from bigsign.plan_check_materials import check_materials
from bigsign.plan_check_measures import check_measures, where_nodes_stand
from bigsign.plan_records import Break, Panel, Plan
from bigsign.tolerances import TOLERANCES

__all__ = ["check_plan"]

SLACK = 1e-6
ROUNDED_OFF = 0.6  # of the strip along a seam that an overlap with rounded corners covers at least


def check_plan(plan: Plan) -> list[str]:
    """Return everything that is wrong with ``plan``, in plain words; an empty list if nothing is."""
    return [
        *_check_film(plan),
        *_check_fit(plan),
        *check_trees(plan),
        *check_measures(plan, sides_of_cuts(plan)),
        *_check_trims(plan),
        *check_layers(plan),
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


def _passed_between(panel: Panel, other: Panel, frames: Sequence[Panel]) -> bool:
    """Whether frames that are up by then pass between film of a panel, so that no trim outline keeps off them."""
    if all(frame.id != other.id for frame in frames) or other.number > panel.number:
        return False
    up = unary_union([frame.film for frame in frames if frame.colour == panel.colour and frame.number < panel.number])
    return not any(part.covers(panel.film) for part in shapely.get_parts(panel.trim.difference(up)))


def _check_trims(plan: Plan) -> Iterator[str]:
    lapped = seam_neighbours(plan)
    marked = {frozenset(mark.panels) for mark in plan.marks}
    seamed = {name for pair in lapped for name in pair}
    lapped |= _across_corners(plan, lapped)
    panel_of = {fragment: panel.id for panel in plan.panels for fragment in panel.fragments}
    holds: dict[str, set[str]] = {}
    for fragment, piece, _ in plan.fragments:
        holds.setdefault(piece, set()).add(panel_of.get(fragment, ""))
    # film of the same colour that another lies between: as with other colours, the upper panel's trim lies on it
    over = {frozenset((a, b)) for low, high in lies_over(plan) for a in holds[low] for b in holds[high] if a != b}
    strata = strata_of_panels(plan)
    frames = [panel for panel in plan.panels if panel.id in frame_panels(plan)]
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
            if frozenset((panel.id, other.id)) in over or strata[panel.id] != strata[other.id]:
                continue
            if panel.trim.buffer(-1e-3).intersects(other.film) and not _passed_between(panel, other, frames):
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
    piece_of = {fragment: piece for fragment, piece, _ in plan.fragments}
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
        full = part.seam_length * part.overlap_mm
        # across the corner of two seams that miss each other by a hair the films overlap by what they leave
        hair = part.seam_length < SEAM_OFF
        ones, others = ([(piece_of[f], shapes[f]) for f in panels[name].fragments] for name in part.panels)
        both = {piece for piece, _ in ones} & {piece for piece, _ in others}  # of films that only touch there is none
        parted = [unary_union([shape for piece, shape in side if piece in both]) for side in (ones, others)]
        least = -1.0 if hair or not both else ROUNDED_OFF * min(full, _strip(part, parted[0], parted[1]))
        if part.overlap_mm and not least < shared.area < 1.01 * full + 2 * part.overlap_mm**2:
            yield f"{part.id} says {part.seam_length:.1f} mm of seam, the films overlap by {shared.area:.1f} mm²"


def _strip(part: Break, first: BaseGeometry, second: BaseGeometry) -> float:
    """Return the area of the film square to a seam's chords as far as the overlap goes: less where strokes slant."""
    film, sides = first.union(second), [0.0, 0.0]
    near = first.buffer(1e-3).intersection(second.buffer(1e-3))
    for a, b in itertools.pairwise(part.line):
        size = math.dist(a, b)
        out = ((b[1] - a[1]) / size * part.overlap_mm, (a[0] - b[0]) / size * part.overlap_mm)
        for chord in shapely.get_parts(near.intersection(LineString((a, b)))):
            if chord.length < SEAM_OFF:
                continue
            ends = chord.coords
            for side, sign in enumerate((1.0, -1.0)):
                far = [(x + sign * out[0], y + sign * out[1]) for x, y in reversed(ends)]
                within = shapely.get_parts(film.intersection(Polygon([*ends, *far])))
                sides[side] += sum(one.area for one in within if one.distance(chord) < SEAM_OFF)
    return min(sides)


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
