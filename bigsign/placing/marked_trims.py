"""Trim outlines of panels with register marks: past the cuts of marked joins, round what is cut with the panel.

The box of a panel's film and marks is grown by the trim margin. A cut beyond which the panel has no mate (a panel of
its colour with which it shares a mark) cuts the box off. Past a cut with mates the box reaches until it is
near their film, all along one line; a mark that stands farther over is held by a tab as wide as its own margins.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from shapely.geometry import MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union
from shapely.prepared import PreparedGeometry, prep

from bigsign.geometry import polygons_of
from bigsign.placing.cut_lines import sides_of
from bigsign.placing.place import OFF, PlacedPanel, Placing
from bigsign.placing.rulers import Rulers
from bigsign.placing.trims import preferred_margins, sheet_allows
from bigsign.plan_records import CutLine, Point
from bigsign.project import Project
from bigsign.reading.lettering import Bounds

__all__ = ["Held", "MarkedTrims"]

FAR = 1000.0  # mm beyond board and film
FAR_OFF = 1e5  # mm, beyond any board
DUST = 1e-6  # mm²: film that shares less only touches
HAIR = 1e-6  # mm: outlines that share a cut are joined over rounding
NARROW = 4.0  # mm: scissors follow no tongue narrower than this; common practice, no source
LONG = 25.4  # mm: a tab longer than this would fold over; common practice, no source


@dataclass(frozen=True, slots=True)
class Held:
    """A mark that a panel's trim outline must hold, and the panel that has it too."""

    path: MultiPolygon
    other: str


@dataclass(frozen=True, slots=True)
class _Beside:
    """A cut above a panel: all on the panel's side of it, the cut's line, and the panels on the other side.

    ``passed``: the trim outline reaches over it as it is, for a seam.
    """

    half: Polygon
    line: tuple[Point, ...]
    beyond: frozenset[str]
    passed: bool


class MarkedTrims:
    """Draws trim outlines round register marks; knows the cuts beside each panel."""

    def __init__(self, project: Project, placing: Placing) -> None:
        self.project = project
        self.rulers = Rulers.of(project.board, project.plan.tape_step)
        self.panels = {panel.id: panel for panel in placing.panels}
        self.turnings: Sequence[bool] = [False] if project.turning == "none" else [False, True]
        self.board: Bounds = project.board.outline.bounds
        bounds = [self.board, *(panel.film.bounds for panel in placing.panels)]
        self.far = box(
            min(b[0] for b in bounds) - FAR, min(b[1] for b in bounds) - FAR,
            max(b[2] for b in bounds) + FAR, max(b[3] for b in bounds) + FAR,
        )  # fmt: skip
        self.seams = {frozenset(part.panels) for part in placing.breaks if part.kind == "seam"}
        self.beside = _cuts_beside(self.panels, placing.cuts, self.far, self.seams)
        self.regions = {name: _common([one.half for one in found], self.far) for name, found in self.beside.items()}
        self.rooms: dict[tuple[str, frozenset[str]], PreparedGeometry[BaseGeometry]] = {}
        self.known: dict[tuple[str, frozenset[str]], tuple[BaseGeometry, BaseGeometry]] = {}

    def room_of(self, names: Sequence[str]) -> BaseGeometry:
        """Return what the cuts leave to some panels together."""
        return unary_union([self.regions[name].buffer(HAIR, join_style="mitre") for name in names])

    def may_hold(self, name: str, held: Sequence[Held]) -> bool:
        """Whether the cuts leave a panel's trim outline room to hold the last of its marks all round."""
        panel, mates = self.panels[name], self._mates(name, held)
        key = (name, mates)
        if key not in self.rooms:
            self.rooms[key] = prep(self._zones(panel, mates)[1].buffer(0.02 - OFF, join_style="mitre"))
        return self.rooms[key].covers(held[-1].path)

    def _mates(self, name: str, held: Sequence[Held]) -> frozenset[str]:
        return frozenset(one.other for one in held if self.panels[one.other].colour == self.panels[name].colour)

    def trim(self, name: str, held: Sequence[Held], trims: Mapping[str, Polygon]) -> Polygon | None:
        """Return the trim outline of a panel with its marks, or None if none holds them.

        Parameters
        ----------
        trims : the trim outlines of all panels as they are now.
        """
        panel, mates = self.panels[name], self._mates(name, held)
        bounds = MultiPolygon([*panel.film.geoms, *(part for one in held for part in one.path.geoms)]).bounds
        margin = self.project.plan.trim_margin
        for wanted in dict.fromkeys((max(margin, OFF), max(margin / 2, OFF), OFF)):
            drawn = self._drawn(panel, held, mates, self._grown(bounds, margin), wanted, trims)
            if drawn is None:
                continue
            if self._on_sheet(bounds, drawn):
                return drawn
            for turned in self.turnings:
                whole = self._fitted(bounds, drawn.bounds, turned)
                short = self._drawn(panel, held, mates, whole, wanted, trims)
                if short is not None and self._on_sheet(bounds, short):
                    return short
        return None

    def _on_sheet(self, bounds: Bounds, trim: Polygon) -> bool:
        return any(sheet_allows(bounds, trim.bounds, self.project.cutter, turned) for turned in self.turnings)

    def _grown(self, bounds: Bounds, margin: float) -> Bounds:
        """Return a box grown by the margin to tape marks, on the board."""
        sides = [preferred_margins(bounds, side, self.rulers, margin)[0] for side in range(4)]
        return self._on_board(bounds, sides)

    def _on_board(self, bounds: Bounds, sides: Sequence[float]) -> Bounds:
        return (
            max(bounds[0] - sides[0], min(self.board[0], bounds[0])),
            max(bounds[1] - sides[1], min(self.board[1], bounds[1])),
            min(bounds[2] + sides[2], max(self.board[2], bounds[2])),
            min(bounds[3] + sides[3], max(self.board[3], bounds[3])),
        )

    def _fitted(self, bounds: Bounds, reached: Bounds, turned: bool) -> Bounds:
        """Return a box grown to tape marks as far as the sheet allows.

        ``reached``: the bounds of the trim outline that was too large; where a cut ended it, it stays.
        """
        margin, cutter = self.project.plan.trim_margin, self.project.cutter
        caps = [abs(reached[side] - bounds[side]) for side in range(4)]
        sides = [min(margin, cutter.border)] * 4
        for axis in (0, 1):
            choices = [
                [min(choice, caps[side]) for choice in preferred_margins(bounds, side, self.rulers, margin)]
                for side in (axis, axis + 2)
            ]
            ranks = product(range(len(choices[0])), range(len(choices[1])))
            for low, high in sorted(ranks, key=lambda pair: (max(pair), sum(pair), pair)):
                film, trim = [0.0] * 4, [0.0] * 4
                film[axis], film[axis + 2] = bounds[axis], bounds[axis + 2]
                trim[axis], trim[axis + 2] = bounds[axis] - choices[0][low], bounds[axis + 2] + choices[1][high]
                if sheet_allows(_bounds(film), _bounds(trim), cutter, turned):
                    sides[axis], sides[axis + 2] = choices[0][low], choices[1][high]
                    break
        return self._on_board(bounds, sides)

    def _drawn(
        self, panel: PlacedPanel, held: Sequence[Held], mates: frozenset[str], whole: Bounds, margin: float,
        trims: Mapping[str, Polygon],
    ) -> Polygon | None:  # fmt: skip
        """Return the outline within a box, tabs of a margin about marks past it, or None if it doesn't hold all."""
        near, room = self._zones(panel, mates)
        within = unary_union([near, room]).intersection(box(*whole))
        own = panel.trim.intersection(within) if panel.frame else near.intersection(within)
        others = self._others(panel, within)
        # a mark that stands well within needs no tab; a bump of a few mm would only be hard to cut along
        past = [one.path for one in held if not own.covers(one.path.buffer(max(margin / 2, OFF), join_style="mitre"))]
        tabs = [self._tab(path.bounds, own, margin) for path in past]
        drawn = unary_union([own, unary_union(tabs).intersection(room)]).intersection(within).difference(others)
        for name, trim in trims.items():
            if name not in mates and self._clear_of(panel, self.panels[name]) and drawn.intersects(trim):
                drawn = drawn.difference(trim) if drawn.intersection(trim).area > HAIR else drawn
        opened = drawn.buffer(-NARROW / 2, join_style="mitre").buffer(NARROW / 2, join_style="mitre")
        drawn = unary_union([opened.intersection(drawn), panel.trim.intersection(drawn)])
        parts = polygons_of(drawn)
        if not parts:
            return None
        found = max(parts, key=lambda part: part.intersection(panel.film).area)
        cover = found.buffer(1e-3)
        if len(found.interiors) > len(panel.trim.interiors) or not cover.covers(panel.film):
            return None
        # where it is cut off before film and other trims what holds a mark may be left a tongue
        wide = polygons_of(found.buffer(-OFF))
        hung = (any(part.intersects(one.path) and part.intersects(panel.film) for part in wide) for one in held)
        return found if all(cover.covers(one.path.buffer(OFF - 0.01)) for one in held) and all(hung) else None

    def _clear_of(self, panel: PlacedPanel, rival: PlacedPanel) -> bool:
        """Whether the trim outline of a panel may not overlap that of another with which it has no mark."""
        same = (panel.colour, panel.layer) == (rival.colour, rival.layer) and panel.id != rival.id
        return same and self._apart(panel, rival)

    def _apart(self, panel: PlacedPanel, rival: PlacedPanel) -> bool:
        """Whether the trim outlines of two panels may not overlap: no seam lets either over the cut between them."""
        seamed = any(rival.id in pair for pair in self.seams)
        return not seamed or not any(one.passed and rival.id in one.beyond for one in self.beside[panel.id])

    def _others(self, panel: PlacedPanel, within: BaseGeometry) -> BaseGeometry:
        """Return what a trim outline keeps off: film of other panels of the colour, and what is near it."""
        out = []
        for other in self.panels.values():
            sheets = (panel.colour, panel.stratum), (other.colour, other.stratum)
            if other.id == panel.id or sheets[0] != sheets[1] or not within.intersects(other.film):
                continue
            # at a seam of both it passes over the other's film; where seams cross, film may meet in a point alone
            if frozenset((panel.id, other.id)) in self.seams or panel.film.intersection(other.film).area > DUST:
                continue
            near = other.film.intersection(within.buffer(OFF))
            room = min(float(panel.film.distance(other.film)) / 2, OFF)
            out.append(near.buffer(room, join_style="mitre", mitre_limit=2.0) if room > HAIR else near)
        return unary_union(out)

    def _zones(self, panel: PlacedPanel, mates: frozenset[str]) -> tuple[BaseGeometry, BaseGeometry]:
        """Return what the cuts leave to a trim outline, and what they leave to its tabs."""
        key = (panel.id, mates)
        if key not in self.known:
            near: BaseGeometry = self.far
            room: BaseGeometry = self.far
            for one in self.beside[panel.id]:
                if one.passed:
                    continue
                friends = sorted(mates & one.beyond)
                # past the end of this cut, a cut that crosses it may lead to a mate on both its sides
                open_to = unary_union([one.half, self.room_of(sorted(mates))]) if friends else one.half
                past = self._past(one, friends) if friends else 0.0
                near = near.intersection(one.half.buffer(past, join_style="mitre") if past else one.half)
                room = room.intersection(open_to)
            self.known[key] = (near, room)
        return self.known[key]

    def _past(self, cut: _Beside, friends: Sequence[str]) -> float:
        """Return how far past a cut a trim outline may reach all along: on a tape mark if the cut is on one axis."""
        most = min(float(cut.half.distance(self.panels[name].film)) for name in friends) - OFF
        if most <= 0:
            return 0.0
        (x0, y0), (x1, y1) = cut.line[0], cut.line[-1]
        axis = 0 if abs(x0 - x1) < HAIR else 1
        if len(cut.line) > 2 or (axis == 1 and abs(y0 - y1) > HAIR):
            return most
        at = cut.line[0][axis]
        high = bool(cut.half.bounds[axis] < at - HAIR)  # the far side is the high one
        ends = (at, at + most) if high else (at - most, at)
        ruler = self.rulers.y if axis else self.rulers.x
        for coarse in (True, False):
            found = [abs(mark - at) for mark in ruler.marks(*ends, coarse=coarse)]
            if found and (max(found) >= most / 2 or not coarse):
                return max(found)
        return 0.0

    def _tab(self, mark: Bounds, own: BaseGeometry, margin: float) -> BaseGeometry:
        """Return a mark's box with its margins, drawn out straight to the outline if that is near."""
        sides = [preferred_margins(mark, side, self.rulers, margin)[0] if margin > OFF else OFF for side in range(4)]
        plate = box(mark[0] - sides[0], mark[1] - sides[1], mark[2] + sides[2], mark[3] + sides[3])
        reach = float(own.distance(plate))
        if reach == 0 or reach > LONG:
            return plate
        x0, y0, x1, y1 = plate.bounds
        found: list[Polygon] = []
        for axis, beside in ((0, box(-FAR_OFF, y0, FAR_OFF, y1)), (1, box(x0, -FAR_OFF, x1, FAR_OFF))):
            part = own.intersection(beside)
            if part.is_empty or part.area < margin**2:
                continue
            low, high = part.bounds[axis], part.bounds[axis + 2]
            ends: list[float] = [x0, y0, x1, y1]
            if low > ends[axis + 2]:
                ends[axis + 2] = low + margin
            elif high < ends[axis]:
                ends[axis] = high - margin
            found.append(box(ends[0], ends[1], ends[2], ends[3]))
        if found:
            return min(found, key=lambda arm: arm.area)
        near = own.intersection(plate.buffer(reach + margin, join_style="mitre"))
        return unary_union([plate, near]).convex_hull


def _bounds(values: Sequence[float]) -> Bounds:
    return values[0], values[1], values[2], values[3]


def _common(shapes: Iterable[Polygon], far: Polygon) -> BaseGeometry:
    found: BaseGeometry = far
    for shape in shapes:
        found = found.intersection(shape)
    return found


def _cuts_beside(
    panels: Mapping[str, PlacedPanel], cuts: Sequence[CutLine], far: Polygon, seams: Collection[frozenset[str]]
) -> dict[str, list[_Beside]]:
    """Return the cuts above each panel, from the outermost."""
    by_id = {cut.id: cut for cut in cuts}

    def under(name: str) -> frozenset[str]:
        cut = by_id.get(name)
        return frozenset((name,)) if cut is None else under(cut.left) | under(cut.right)

    out: dict[str, list[_Beside]] = {name: [] for name in panels}
    for cut in cuts:
        halves = sides_of(cut.line, far)
        ends = under(cut.left), under(cut.right)
        for half, own, beyond in ((halves[0], ends[0], ends[1]), (halves[1], ends[1], ends[0])):
            for name in sorted(own):
                seamed = any(frozenset((name, other)) in seams for other in beyond)
                passed = seamed or panels[name].film.difference(half).area > HAIR
                out[name].append(_Beside(half, cut.line, beyond, passed))
    return out
