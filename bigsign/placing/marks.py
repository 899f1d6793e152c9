"""Register marks: where two panels each carry a mark at one place of the sign, so that one can be laid on the other.

A mark stands in waste: clear of all film of the sign or, if there is no such place, on film of another colour that lies
under both its panels. Both their trim outlines are drawn out round it (``marked_trims``). Marks of a join of one colour
stand by the ends of what runs along its break; those of panels of different colours by the ends of where their films
meet. A mark for which there is no such place is left out, and that is said.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union
from shapely.prepared import PreparedGeometry, prep

from bigsign.budgets import BUDGETS
from bigsign.findings import Finding
from bigsign.placing.mark_shapes import mark_shape
from bigsign.placing.marked_trims import Held, MarkedTrims
from bigsign.placing.place import OFF, PlacedPanel, Placing
from bigsign.placing.rulers import Rulers
from bigsign.placing.taken import CLEAR, ROUNDING, Taken
from bigsign.plan_records import Break, Point, RegisterMark
from bigsign.project import Project
from bigsign.reading.lettering import Bounds
from bigsign.tolerances import TOLERANCES

__all__ = ["CLEAR", "films_meet", "place_marks"]

STEP = 2.0  # mm, between places that are tried
ASIDE = 40.0  # mm, how far to the side of a break a mark may stand
OFF_MARKS = 4.0  # mm, how much farther off a place on coarse tape marks both ways may be than one off them
FAR = 120.0  # mm, how far from where films of different colours meet a mark may stand
LIKE_A_TRIM = 50  # places that take as long to look at as a trim outline to draw, and one more for so many
LISTED = 100  # places that take as long to list as one to look at
CORNERS = 20  # corners of all film


@dataclass(frozen=True, slots=True)
class _Join:
    """Two panels to be marked: ids, the break if they are of one colour, and the ends by which marks are wanted.

    ``line``: the ends lie on a line along which the first coordinate counts, not about a place.
    """

    panels: tuple[str, str]
    break_id: str
    ends: tuple[Point, Point]
    along: bool


def place_marks(
    project: Project, placing: Placing, before: Mapping[str, Collection[str]]
) -> tuple[Placing, tuple[RegisterMark, ...], int]:
    """Return the placing with trim outlines drawn out round register marks, and the marks: none if not asked for.

    Also how many joins lack a mark for which there is a place that only the usable area forbids.

    Parameters
    ----------
    before : for each panel the panels that must be up before it.
    """
    if project.marks.use == "off" or (project.marks.use == "auto" and len({p.colour for p in placing.panels}) < 2):
        return placing, (), 0
    marker = _Marker(project, placing, before)
    findings: list[Finding] = []
    cramped = 0
    for join in _joins(placing, project.marks.use):
        had = len(marker.marks)
        cramped += marker.mark(join)
        lacking = 2 - (len(marker.marks) - had)
        if lacking:
            findings.append(_not_found(join, lacking) if marker.spent else _no_room(join, lacking))
    marked = {mark.panels for mark in marker.marks}
    breaks = tuple(replace(part, butts=part.butts and part.panels not in marked) for part in placing.breaks)
    panels = tuple(marker.panels.values())
    placed = replace(placing, panels=panels, breaks=breaks, findings=(*placing.findings, *findings))
    return placed, tuple(marker.marks), cramped


def films_meet(a: MultiPolygon, b: MultiPolygon) -> bool:
    """Whether films of two colours overlap, touch, or one lies in a hole of the other."""
    if a.distance(b) < TOLERANCES.touch:
        return True
    return any(
        bool(one.interiors) and Polygon(one.exterior).intersects(other)
        for whole, other in ((a, b), (b, a))
        for one in whole.geoms
    )


def _joins(placing: Placing, use: str) -> Iterator[_Join]:
    panels = {panel.id: panel for panel in placing.panels}
    if use == "on":
        for part in placing.breaks:
            first, second = (panels[name] for name in part.panels)
            yield _Join(part.panels, part.id, _along_break(part, first.film, second.film), True)
    for first, second in itertools.combinations(placing.panels, 2):
        if first.colour != second.colour and films_meet(first.film, second.film):
            x0, y0, x1, y1 = _shared(first.film, second.film)
            middle = ((x0 + x1) / 2, (y0 + y1) / 2)
            ends = ((x0, middle[1]), (x1, middle[1])) if x1 - x0 >= y1 - y0 else ((middle[0], y0), (middle[0], y1))
            yield _Join((first.id, second.id), "", ends, False)


def _shared(a: MultiPolygon, b: MultiPolygon) -> tuple[float, float, float, float]:
    """Return the box of where two films overlap or touch, or of the one that lies in the other's holes."""
    filled = [unary_union([Polygon(part.exterior) for part in film.geoms]) for film in (a, b)]
    found: BaseGeometry = filled[0].buffer(TOLERANCES.touch).intersection(filled[1])
    x0, y0, x1, y1 = found.bounds
    return x0, y0, x1, y1


def _along_break(part: Break, first: MultiPolygon, second: MultiPolygon) -> tuple[Point, Point]:
    """Return the ends of the film beside a break, on the break's line drawn out straight."""
    start, end = np.array(part.line[0]), np.array(part.line[-1])
    way = (end - start) / float(np.hypot(*(end - start)))
    far = 1e4 * way
    beside = LineString([start - far, *part.line, end + far]).buffer(ASIDE / 2, cap_style="flat")
    near = unary_union([film.intersection(beside) for film in (first, second)])
    points = shapely.get_coordinates(near)
    if not len(points):
        points = np.array([start, end])
    run = (points - start) @ way
    spans = [start + low * way for low in (float(run.min()), float(run.max()))]
    return (float(spans[0][0]), float(spans[0][1])), (float(spans[1][0]), float(spans[1][1]))


def _no_room(join: _Join, lacking: int) -> Finding:
    names = " and ".join(join.panels)
    what = "no room for register marks" if lacking == 2 else "room for one register mark only"
    return Finding(
        "place-no-mark",
        f"Between {names} there is {what}, clear of film and within both trims and the usable area.",
        remedy="Set these panels by their trim edges and tape marks, or make the marks smaller ([marks] size).",
    )


def _not_found(join: _Join, lacking: int) -> Finding:
    names = " and ".join(join.panels)
    return Finding(
        "place-no-mark",
        f"Between {names} {'no register mark was' if lacking == 2 else 'only one register mark was'} found before the "
        f"{BUDGETS.mark_places:,} places that are looked at were used up.",
        remedy="Set these panels by their trim edges and tape marks, or plan each colour as a drawing of its own.",
    )


def _both_ways(names: tuple[str, str]) -> tuple[tuple[str, str], tuple[str, str]]:
    return names, names[::-1]


class _Marker:
    """Places marks one after the other; each narrows the room for the next."""

    def __init__(self, project: Project, placing: Placing, before: Mapping[str, Collection[str]]) -> None:
        self.project = project
        self.panels: dict[str, PlacedPanel] = {panel.id: panel for panel in placing.panels}
        self.bounds: dict[str, Bounds] = {panel.id: panel.film.bounds for panel in placing.panels}  # with marks
        self.marks: list[RegisterMark] = []
        self.rulers = Rulers.of(project.board, project.plan.tape_step)
        self.drawer = MarkedTrims(project, placing)
        self.held: dict[str, list[Held]] = {panel.id: [] for panel in placing.panels}
        self.board = project.board.outline.buffer(-OFF)
        shapely.prepare(self.board)
        self.before = before
        self.taken = Taken(placing.panels)
        corners = sum(int(shapely.get_num_coordinates(panel.film)) for panel in placing.panels)
        self.looked, self.trim_takes = 0, LIKE_A_TRIM + corners // CORNERS

    @property
    def spent(self) -> bool:
        """Whether as many places were looked at as are for all marks of a plan."""
        return self.looked >= BUDGETS.mark_places

    def mark(self, join: _Join) -> bool:
        """Place up to two marks for a join; return whether one is lacking that only the usable area forbids."""
        length = float(np.hypot(join.ends[0][0] - join.ends[1][0], join.ends[0][1] - join.ends[1][1]))
        among = prep(self.drawer.room_of(join.panels) if join.along else self.board)
        first: Point | None = None
        cramped = False
        for end in (0, 1):
            if self.spent:
                break
            name, shape = mark_shape(len(self.marks), self.project.marks.size)
            least = max(length / 3, 3 * self.project.marks.size)
            places = [
                at for at in self._places(join, end, shape)
                if first is None or float(np.hypot(at[0] - first[0], at[1] - first[1])) >= least
            ]  # fmt: skip
            refused, had = False, len(self.marks)
            under = self._under(join)
            for free in (set[str](), under) if under else (set[str](),):
                if len(self.marks) == had:
                    found, lacked = self._stand(join, name, shape, places, among, free, refused)
                    refused, first = refused or lacked, first if found is None else found
            cramped = cramped or (refused and len(self.marks) == had)
        return cramped

    def _stand(
        self, join: _Join, name: str, shape: MultiPolygon, places: Sequence[Point],
        among: PreparedGeometry[BaseGeometry], free: Collection[str], refused: bool,
    ) -> tuple[Point | None, bool]:  # fmt: skip
        """Place a mark at the first place it can have; return that, and whether only the usable area forbade one.

        Parameters
        ----------
        free : panels on whose film it may stand.
        refused : whether the usable area has forbidden a place before: then no other such is looked at.
        """
        tries = 0
        x0, y0, x1, y1 = shape.bounds
        for at in self.taken.open(places, shape, free):
            if self.spent:
                break
            self.looked += 1
            fits = self._fits(join.panels, (at[0] + x0, at[1] + y0, at[0] + x1, at[1] + y1))
            if (refused and not fits) or (fits and tries == BUDGETS.mark_tries):
                continue
            path = translate(shape, *at)
            if self.taken.holds(path, free) or not self.board.covers(path) or not among.covers(path):
                continue
            pairs = [(panel, (*self.held[panel], Held(path, other))) for panel, other in _both_ways(join.panels)]
            if not all(self.drawer.may_hold(panel, held) for panel, held in pairs):
                continue
            if not fits:
                refused = True
                continue
            tries += 1
            self.looked += self.trim_takes
            trims = self._trims(join.panels, path)
            if trims is not None:
                self._keep(join, name, at, path, trims)
                return at, refused
        return None, refused

    def _under(self, join: _Join) -> set[str]:
        """Return the panels of other colours that lie under both of a join, and on nothing: they are up before both."""
        colours = {self.panels[name].colour for name in join.panels}
        shared = set(self.before[join.panels[0]]) & set(self.before[join.panels[1]])
        return {name for name in shared if not self.before[name] and self.panels[name].colour not in colours}

    def _keep(
        self, join: _Join, name: str, at: Point, path: MultiPolygon, trims: Mapping[str, Polygon]
    ) -> None:
        mark_id = f"R{len(self.marks) + 1}"
        place = self.rulers.point(at)
        self.marks.append(RegisterMark(mark_id, name, at, path, join.panels, join.break_id or None, place))
        self.taken.add(path)
        for panel_id, other in _both_ways(join.panels):
            self.held[panel_id].append(Held(path, other))
        for panel_id, trim in trims.items():
            self.panels[panel_id] = replace(self.panels[panel_id], trim=trim)
            self.bounds[panel_id] = MultiPolygon([box(*self.bounds[panel_id]), box(*path.bounds)]).bounds

    def _fits(self, names: tuple[str, str], mark: Bounds) -> bool:
        """Whether each panel's film, with its marks and this one, fits the usable area one way up."""
        cutter = self.project.cutter
        for name in names:
            x0, y0, x1, y1 = self.bounds[name]
            w, h = max(x1, mark[2]) - min(x0, mark[0]), max(y1, mark[3]) - min(y0, mark[1])
            ways = [(w, h)] if self.project.turning == "none" else [(w, h), (h, w)]
            if not any(a <= cutter.width and b <= cutter.length for a, b in ways):
                return False
        return True

    def _places(self, join: _Join, end: int, shape: MultiPolygon) -> list[Point]:
        """Return the places to try for the mark of an end, the best first: along a break the outermost and nearest to
        its line; else the nearest to the end; on tape marks where that costs little. What a mark adds to the boxes of
        what is cut with each panel counts as much as the way that it stands off.
        """
        at, other = np.array(join.ends[end]), np.array(join.ends[1 - end])
        length = float(np.hypot(*(other - at)))
        inward = (other - at) / length if length > 1e-6 else np.array([1.0, 0.0])
        aside = np.array([-inward[1], inward[0]])
        x0, y0, x1, y1 = shape.bounds
        out = CLEAR + max(x1 - x0, y1 - y0) / 2 + 2 * ROUNDING
        if join.along:
            depth = np.arange(-out, max(length / 2, STEP), STEP)
            across = np.arange(-ASIDE, ASIDE + STEP / 2, STEP)
        else:
            depth = np.arange(-FAR, max(length / 2, STEP) + STEP, STEP)
            across = np.arange(-FAR, FAR + STEP / 2, STEP)
        t, s = (grid.ravel() for grid in np.meshgrid(depth, across, indexing="ij"))
        points = at + t[:, None] * inward + s[:, None] * aside
        taped = self._on_marks(points)
        points, off = np.concatenate([taped, points]), np.repeat([0.0, OFF_MARKS], [len(taped), len(points)])
        t, s = (points - at) @ inward, (points - at) @ aside
        within = (t > depth[0] - 1e-6) & (t < depth[-1] + 1e-6) & (np.abs(s) < across[-1] + 1e-6)
        points, off, t, s = points[within], off[within], t[within], s[within]
        cost = off + (t + np.abs(s) if join.along else np.hypot(t, s))
        for name in join.panels:
            fx0, fy0, fx1, fy1 = self.bounds[name]
            cost += np.maximum(fx0 - points[:, 0] - x0, 0) + np.maximum(points[:, 0] + x1 - fx1, 0)
            cost += np.maximum(fy0 - points[:, 1] - y0, 0) + np.maximum(points[:, 1] + y1 - fy1, 0)
        ranks = np.lexsort((s, t, np.round(cost, 6)))
        self.looked += len(points) // LISTED
        return [(x, y) for x, y in np.round(points[ranks], 3).tolist()]

    def _on_marks(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the places on coarse tape marks both ways, within the box of some points."""
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        xs, ys = (self.rulers.coarse_marks(axis, float(a), float(b)) for axis, a, b in ((0, x0, x1), (1, y0, y1)))
        return np.array([(x, y) for x in xs for y in ys]).reshape(-1, 2)

    def _trims(self, names: tuple[str, str], path: MultiPolygon) -> dict[str, Polygon] | None:
        """Return both panels' trim outlines drawn out round a mark, or None if either can't be."""
        trims = {panel.id: panel.trim for panel in self.panels.values()}
        for name, other in _both_ways(names):
            trim = self.drawer.trim(name, (*self.held[name], Held(path, other)), trims)
            if trim is None:
                return None
            trims[name] = trim
        return {name: trims[name] for name in names}
