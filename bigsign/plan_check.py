"""The independent checker of a plan: it shares no code with what makes plans, and believes no number of theirs.

Everything is worked out again from the films, lines and outlines with shapely. An empty list means that the plan
holds; else each entry says what does not.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import shapely
import shapely.affinity
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.ops import unary_union

from bigsign.plan_records import CutLine, Panel, Plan
from bigsign.tolerances import TOLERANCES

__all__ = ["check_plan"]

SLACK = 1e-6


def check_plan(plan: Plan) -> list[str]:
    """Return everything that is wrong with ``plan``, in plain words; an empty list if nothing is."""
    return [
        *_check_film(plan),
        *_check_fit(plan),
        *_check_trees(plan),
        *_check_measures(plan),
        *_check_trims(plan),
        *_check_breaks(plan),
        *_check_distances(plan),
        *_check_mats(plan),
        *_check_work(plan),
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
    held: dict[str, list[str]] = {}
    piece_of = {fragment: piece for fragment, piece, _ in plan.fragments}
    for panel in plan.panels:
        for fragment in panel.fragments:
            held.setdefault(piece_of.get(fragment, "?"), []).append(panel.id)
    for piece in plan.pieces:
        if len(held.get(piece.id, ())) != 1:
            yield f"piece {piece.id} is in {len(held.get(piece.id, ()))} panels"


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
    """Each colour's cuts form one tree over its panels, and each line really parts its two sides."""
    sides = _sides(plan)
    for colour in {panel.colour for panel in plan.panels}:
        own = [cut for cut in plan.cuts if cut.colour == colour]
        names = sorted(panel.id for panel in plan.panels if panel.colour == colour)
        children = [side for cut in own for side in (cut.left, cut.right)]
        roots = [cut.id for cut in own if cut.id not in children] or names
        if len(roots) != 1 or len(own) != len(names) - 1 or len(set(children)) != len(children):
            yield f"{colour}: {len(own)} cuts do not make one tree over {len(names)} panels"
            continue
        if sorted(sides[roots[0]][1]) != names:
            yield f"{colour}: the cut tree does not hold every panel"
        for cut in own:
            yield from _check_cut(cut, sides[cut.left][0], sides[cut.right][0])


def _check_cut(cut: CutLine, left: MultiPolygon, right: MultiPolygon) -> Iterator[str]:
    line = LineString(cut.line)
    if line.intersects(left) or line.intersects(right):
        yield f"{cut.id} runs through film"
    if left.distance(right) < TOLERANCES.touch - SLACK:
        yield f"{cut.id} parts films {left.distance(right):.3f} mm apart"
    (x0, y0), (x1, y1) = cut.line[0], cut.line[-1]
    for film, sign, name in ((left, 1, "left"), (right, -1, "right")):
        points = shapely.get_coordinates(film)
        # on the drawing, y down: positive where a point lies to the left of one walking from start to end
        lefthand = (points[:, 0] - x0) * (y1 - y0) - (points[:, 1] - y0) * (x1 - x0)
        if (sign * lefthand < -SLACK).any():
            yield f"{cut.id} has film of its {name} side on the other side"


def _check_measures(plan: Plan) -> Iterator[str]:
    glyphs = {glyph.id: glyph for glyph in plan.glyphs}
    panel_of = {(panel.colour, node): panel.id for panel in plan.panels for node in panel.nodes}
    shapes = {piece.id: piece for piece in plan.pieces}
    breaks = 0
    for word in plan.words:
        for colour in {glyphs[g].colour for g in word.glyphs}:
            row = [g for g in word.glyphs if glyphs[g].colour == colour]
            breaks += sum(panel_of.get((colour, a)) != panel_of.get((colour, b)) for a, b in itertools.pairwise(row))
    if breaks != plan.measures.in_word_breaks:
        yield f"{breaks} in-word breaks, but the plan says {plan.measures.in_word_breaks}"
    if len(plan.panels) != plan.measures.panels:
        yield f"{len(plan.panels)} panels, but the plan says {plan.measures.panels}"
    boxes = [panel.film.bounds for panel in plan.panels]
    largest = max((b[2] - b[0]) * (b[3] - b[1]) for b in boxes)
    if abs(largest - plan.measures.largest_panel_area) > 0.01 * max(1.0, largest) * 1e-3:
        yield f"the largest panel is {largest:.1f} mm², but the plan says {plan.measures.largest_panel_area:.1f}"

    def film(node: str, colour: str) -> MultiPolygon:
        own = glyphs[node].pieces if node in glyphs else (node,)
        return MultiPolygon([shapes[p].shape for p in own if shapes[p].colour == colour])

    tolerance = plan.project.plan.placement_tolerance
    sides = _sides(plan)
    risk = 0
    for cut in plan.cuts:
        left, right = set(sides[cut.left][1]), set(sides[cut.right][1])
        gaps = []
        for edge in plan.edges:
            a, b = panel_of.get((cut.colour, edge.a)), panel_of.get((cut.colour, edge.b))
            if (a in left and b in right) or (a in right and b in left):
                gaps.append(film(edge.a, cut.colour).distance(film(edge.b, cut.colour)))
        if gaps:
            risk += round(1000 * tolerance / max(min(gaps), tolerance))
    if abs(risk / 1000 - plan.measures.risk) > 1e-9:
        yield f"risk {risk / 1000}, but the plan says {plan.measures.risk}"


def _check_trims(plan: Plan) -> Iterator[str]:
    for panel in plan.panels:
        if not panel.trim.is_valid or not panel.trim.buffer(1e-3).covers(panel.film):
            yield f"the trim of {panel.id} does not hold its film"
        for other in plan.panels:
            if other.id == panel.id or other.colour != panel.colour:
                continue
            if panel.trim.buffer(-1e-3).intersects(other.film):
                yield f"the trim of {panel.id} lies on film of {other.id}"
            if panel.id < other.id and panel.trim.intersection(other.trim).area > 1e-3:
                yield f"the trims of {panel.id} and {other.id} overlap"
        for line in panel.trim_lines:
            drawn = LineString(line)
            if drawn.distance(panel.film) < TOLERANCES.trim_from_film - 0.02:
                yield f"a trim line of {panel.id} is cut {drawn.distance(panel.film):.2f} mm from film"
            if not panel.trim.exterior.buffer(1e-3).covers(drawn):
                yield f"a trim line of {panel.id} leaves its trim outline"


def _check_breaks(plan: Plan) -> Iterator[str]:
    panels = {panel.id: panel for panel in plan.panels}
    of_node = {(panel.colour, node): panel.id for panel in plan.panels for node in panel.nodes}
    colours = {panel.colour for panel in plan.panels}
    wanted: set[tuple[str, ...]] = set()
    for edge in plan.edges:
        for colour in colours:
            a, b = of_node.get((colour, edge.a)), of_node.get((colour, edge.b))
            if a is not None and b is not None and a != b:
                wanted.add(tuple(sorted((a, b))))
    got = [tuple(sorted(part.panels)) for part in plan.breaks]
    if sorted(wanted) != sorted(got):
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
