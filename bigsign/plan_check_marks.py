"""The independent check of register marks: worked out again from outlines, with none of the code that places them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import shapely
import shapely.affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box

from bigsign.plan_records import Panel, Plan, RegisterMark
from bigsign.tolerances import TOLERANCES

__all__ = ["check_marks"]

CLEAR = 2.0  # mm, from a mark to film
HELD = 0.98  # mm, from a mark to the edge of a trim outline: what a trim line keeps from what is cut
GIVE = 25.4 / 16  # mm, by which a trim margin may differ to reach a tape mark
UNLIKE = 0.12  # of a figure's area must differ, whichever way up two marks are laid on each other
ANGLES = range(0, 360, 15)


def check_marks(plan: Plan) -> Iterator[str]:
    """Yield everything that is wrong with the register marks of a plan, in plain words."""
    panels = {panel.id: panel for panel in plan.panels}
    if len({mark.id for mark in plan.marks}) != len(plan.marks):
        yield "two register marks have one id"
    for mark in plan.marks:
        if len(set(mark.panels)) != 2 or not set(mark.panels) <= set(panels):
            yield f"{mark.id} is not a mark of two panels"
            return
    for panel in plan.panels:
        own = tuple(mark.id for mark in plan.marks if panel.id in mark.panels)
        if own != panel.marks:
            yield f"{panel.id} lists marks {list(panel.marks)}, but {list(own)} are cut with it"
    for mark in plan.marks:
        yield from _check_place(plan, mark)
    for one, other in itertools.combinations(plan.marks, 2):
        if one.path.distance(other.path) < CLEAR:
            yield f"{one.id} and {other.id} are {one.path.distance(other.path):.2f} mm apart"
        if _alike(one.path, other.path):
            yield f"{one.id} and {other.id} look alike"
        if one.panels == other.panels and Point(one.at).distance(Point(other.at)) < 2 * plan.project.marks.size:
            yield f"{one.id} and {other.id} of one join stand close together"
    for panel in plan.panels:
        yield from _check_trim(plan, panel)
    yield from _check_mats(plan)
    yield from _check_joins(plan)
    yield from _check_steps(plan)


def _check_place(plan: Plan, mark: RegisterMark) -> Iterator[str]:
    if not mark.path.is_valid or not box(*mark.path.bounds).buffer(0.5).covers(Point(mark.at)):
        yield f"{mark.id} is no outline about its place"
    if not plan.sign.outline.covers(mark.path):
        yield f"{mark.id} leaves the board"
    for panel in plan.panels:
        if mark.path.distance(panel.film) < CLEAR and not _under(plan, mark, panel):
            yield f"{mark.id} is {mark.path.distance(panel.film):.2f} mm from film of {panel.id}"
        if panel.id not in mark.panels:
            continue
        if not panel.trim.buffer(1e-3).covers(mark.path.buffer(HELD)):
            yield f"the trim of {panel.id} does not hold {mark.id}"
        for line in panel.trim_lines:
            if LineString(line).distance(mark.path) < TOLERANCES.trim_from_film - 0.02:
                yield f"a trim line of {panel.id} is cut {LineString(line).distance(mark.path):.2f} mm from {mark.id}"


def _check_trim(plan: Plan, panel: Panel) -> Iterator[str]:
    """A trim outline goes no farther than its margin, and hangs marks on no thin tongue."""
    most = box(*plan.all_cut(panel).bounds).buffer(plan.project.plan.trim_margin + GIVE + 1e-3, join_style="mitre")
    if not most.covers(panel.trim):
        yield f"the trim of {panel.id} goes farther than its margin past what is cut with it"
    wide = panel.trim.buffer(-HELD)
    parts = list(getattr(wide, "geoms", [wide]))
    for mark in plan.marks_of(panel):
        if not any(part.intersects(mark.path) and part.intersects(panel.film) for part in parts):
            yield f"{mark.id} hangs on the trim of {panel.id} by a tongue under {2 * HELD:.1f} mm wide"
    yield from _check_past(plan, panel)


def _check_past(plan: Plan, panel: Panel) -> Iterator[str]:
    """At a marked join a trim outline goes past the line, as far as its margin and the other panel's film leave it."""
    margin = plan.project.plan.trim_margin
    mates = {name for mark in plan.marks_of(panel) for name in mark.panels if plan.panel(name).colour == panel.colour}
    strange = [other.trim for other in plan.panels if other.colour == panel.colour and other.id not in mates]
    for part in plan.breaks:
        drawn = LineString(part.line)
        if panel.id not in part.panels or not mates.issuperset(part.panels) or not _sheet_has_room(plan, panel, drawn):
            continue
        whole = next((c for c in (LineString(cut.line) for cut in plan.cuts) if c.buffer(1e-3).covers(drawn)), drawn)
        room = min(whole.distance(plan.panel(name).film) for name in mates - {panel.id}) - TOLERANCES.trim_from_film
        along = panel.trim.exterior.intersection(drawn.buffer(0.01))
        along = along.difference(shapely.union_all(strange).buffer(2 * margin))
        short = along.length > 0.25 * drawn.length and along.distance(plan.all_cut(panel)) < margin - GIVE - 0.02
        if short and room > plan.tape_step.mm:
            yield f"the trim of {panel.id} stops at the line of {part.id}, where there is room to go past it"


def _sheet_has_room(plan: Plan, panel: Panel, line: LineString) -> bool:
    """Whether a trim outline could be larger by its margin across a line, and still lie on the sheet."""
    cutter, margin = plan.project.cutter, plan.project.plan.trim_margin
    x0, y0, x1, y1 = panel.trim.bounds
    a0, b0, a1, b1 = line.bounds
    w, h = x1 - x0 + margin * (b1 - b0 > 1e-6), y1 - y0 + margin * (a1 - a0 > 1e-6)
    ways = [(w, h)] if plan.project.turning == "none" else [(w, h), (h, w)]
    sheet = cutter.width + 2 * cutter.border, cutter.length + 2 * cutter.border
    return cutter.border >= margin and any(a <= sheet[0] and b <= sheet[1] for a, b in ways)


def _under(plan: Plan, mark: RegisterMark, panel: Panel) -> bool:
    """Whether a panel of another colour is up before both of a mark, so that the mark lies on it and is not buried."""
    own = [plan.panel(name) for name in mark.panels]
    return all(panel.colour != one.colour and panel.number < one.number for one in own)


def _alike(one: MultiPolygon, other: MultiPolygon) -> bool:
    """Whether a mark, laid on another at any turn of 15 degrees, differs from it by little."""
    areas = one.area, other.area
    if min(areas) < (1 - UNLIKE) * max(areas):
        return False
    (ax, ay), (bx, by) = one.centroid.coords[0], other.centroid.coords[0]
    first = shapely.affinity.translate(one, -ax, -ay)
    second = shapely.affinity.translate(other, -bx, -by)
    return any(
        first.symmetric_difference(shapely.affinity.rotate(second, angle, origin=(0, 0))).area < UNLIKE * max(areas)
        for angle in ANGLES
    )


def _check_mats(plan: Plan) -> Iterator[str]:
    """Marks lie within the usable area of both panels' mats, and apart from what else is cut there."""
    panels = {panel.id: panel for panel in plan.panels}
    for mat in plan.mats:
        usable = box(0, 0, mat.width, mat.length).buffer(0.001 + 1e-6, join_style="mitre")
        own = [panels[name] for name in mat.panels if name in panels]
        laid = {}
        for panel in own:
            a, b, c, d, e, f = panel.to_mat
            parts = [*panel.film.geoms, *(p for mark in plan.marks_of(panel) for p in mark.path.geoms)]
            laid[panel.id] = shapely.affinity.affine_transform(MultiPolygon(parts), [a, c, b, d, e, f])
            for mark in plan.marks_of(panel):
                if not usable.covers(shapely.affinity.affine_transform(mark.path, [a, c, b, d, e, f])):
                    yield f"{mark.id} leaves the usable area of {mat.id}"
        for one, other in itertools.combinations(laid, 2):
            if laid[one].distance(laid[other]) < plan.project.plan.spacing - 0.002:
                yield f"what is cut of {one} and {other} lies too near on {mat.id}"


def _meet(a: MultiPolygon, b: MultiPolygon) -> bool:
    """Whether two films touch, overlap, or one has the other in a hole."""
    if a.intersects(b):
        return True
    holes = [Polygon(ring) for film in (a, b) for part in film.geoms for ring in part.interiors]
    return any(hole.intersects(a) and hole.intersects(b) for hole in holes)


def _check_joins(plan: Plan) -> Iterator[str]:
    """Every join that was to have marks has two, or a warning says that it has not."""
    use = plan.project.marks.use
    if use == "off":
        if plan.marks:
            yield "there are register marks, which were not asked for"
        return
    wanted = {frozenset(part.panels) for part in plan.breaks} if use == "on" else set()
    wanted |= {
        frozenset((one.id, other.id))
        for one, other in itertools.combinations(plan.panels, 2)
        if one.colour != other.colour and _meet(one.film, other.film)
    }
    count = {pair: sum(set(mark.panels) == pair for mark in plan.marks) for pair in wanted}
    lacking = sum(number != 2 for number in count.values())
    said = sum(finding.code == "place-no-mark" for finding in plan.warnings)
    if lacking > said:
        yield f"{lacking} joins have not two register marks, {said} warnings say so"
    colours = {panel.id: panel.colour for panel in plan.panels}
    for mark in plan.marks:
        alone = colours[mark.panels[0]] == colours[mark.panels[1]]
        if alone and use == "auto":
            yield f"{mark.id} is at a join of one colour, which was not asked for"
        if alone and not any(part.id == mark.break_id and set(part.panels) == set(mark.panels) for part in plan.breaks):
            yield f"{mark.id} is at no break of its panels"
    for part in plan.breaks:
        if part.butts and count.get(frozenset(part.panels)):
            yield f"{part.id} has register marks, but the plan says that its trims butt"


def _check_steps(plan: Plan) -> Iterator[str]:
    """Marks are laid on one another when the later panel is stuck, and taken off once all are up."""
    if not plan.marks:
        return
    kinds = [step.kind for step in plan.steps]
    if kinds[-2:] != ["peel", "finish"]:
        yield "no step before the last takes the register marks off"
    number = {panel.id: panel.number for panel in plan.panels}
    sticks = {step.panel: " ".join(step.actions) for step in plan.steps if step.kind == "stick"}
    for pair in {mark.panels for mark in plan.marks}:
        later = max(pair, key=number.__getitem__)
        first = next(mark.id for mark in plan.marks if mark.panels == pair)
        if first not in sticks.get(later, "").replace(".", " ").split():
            yield f"the step that sticks {later} lays {first} on nothing"
