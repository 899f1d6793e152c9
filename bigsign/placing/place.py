"""The placing room's way through: cut trees in; panels with trims, hinges and levels, breaks and tape marks out."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import shapely
from shapely.geometry import MultiPolygon, Polygon

from bigsign.findings import Finding
from bigsign.geometry import polygons_of
from bigsign.placing.breaks import PanelShape, Parted, make_break
from bigsign.placing.cut_lines import CrossedError, LaidCut, LaidTree, Wanted, lay_cuts
from bigsign.placing.levels import FootLine, panel_level
from bigsign.placing.rulers import Rulers
from bigsign.placing.trims import trim_outline
from bigsign.plan_records import Break, CutLine, Level, TapeMark
from bigsign.project import Project
from bigsign.reading.lettering import Lettering
from bigsign.splitting.graph import Fragment
from bigsign.splitting.tree import BarredCut, CutTree, Leaf, Node, Splitting, leaves

__all__ = ["PlacedPanel", "Placing", "place", "tape_marks"]

OFF = 1.0  # mm: a trim outline cut back before other film keeps this far from it where there is room
TORN = 1e-3  # mm²: more film than a rounding that a trim outline no longer holds


@dataclass(frozen=True, slots=True)
class PlacedPanel:
    """A panel where it stands on the board, before it has a number, a hinge and a mat."""

    id: str
    colour: str
    nodes: tuple[str, ...]
    fragments: tuple[Fragment, ...]
    film: MultiPolygon
    trim: Polygon
    level: Level | None
    path: str = ""
    layer: str = ""
    stratum: int = 0
    frame: bool = False

    @property
    def pieces(self) -> tuple[str, ...]:
        """Ids of the pieces that have film in this panel."""
        return tuple(dict.fromkeys(fragment.piece for fragment in self.fragments))


@dataclass(frozen=True, slots=True)
class Placing:
    """Everything placed; ids of panels and cuts are those of plan.json.

    ``laps``: (lower, upper) ids of panels between which film laps at a seam. ``over``: (panel, frame) ids where a
    panel's trim outline lies on the film of a frame that passes between film of its own.
    """

    panels: tuple[PlacedPanel, ...]
    breaks: tuple[Break, ...]
    cuts: tuple[CutLine, ...]
    findings: tuple[Finding, ...]
    laps: tuple[tuple[str, str], ...] = ()
    over: tuple[tuple[str, str], ...] = ()


def place(project: Project, lettering: Lettering, splitting: Splitting) -> Placing:
    """Return where everything stands on the board."""
    rulers = Rulers.of(project.board, project.plan.tape_step)
    placed: list[_PlacedTree] = []
    for tree in splitting.trees:
        placed.append(_place_tree(project, tree, lettering, rulers, _lines_of(placed, tree.colour)))
    ids = {panel.id: f"panel-{n:02d}" for n, panel in enumerate((p for t in placed for p in t.panels), 1)}
    ids |= {cut.id: f"cut-{n:02d}" for n, cut in enumerate((c for t in placed for c in t.cuts), 1)}
    panels: list[PlacedPanel] = []
    breaks: list[Break] = []
    cuts: list[CutLine] = []
    findings: list[Finding] = []
    laps: dict[tuple[str, str], None] = {}
    over: list[tuple[str, str]] = []
    for tree, laid in zip(splitting.trees, placed, strict=True):
        sheet = tree.colour, tree.graph.stratum  # film of another stratum lies beneath or above, as another colour's
        others = [panel for other in placed for panel in other.panels if (panel.colour, panel.stratum) == sheet]
        kept = [_keep_off(panel, others, laid.laps) for panel in laid.panels]
        over += [(ids[panel.id], ids[frame]) for panel, crossed in kept for frame in crossed]
        own = [replace(panel, id=ids[panel.id]) for panel, _ in kept]
        panels.extend(own)
        cuts.extend(replace(cut, id=ids[cut.id], left=ids[cut.left], right=ids[cut.right]) for cut in laid.cuts)
        at = {ids[panel.id]: panel for panel in laid.panels}
        shapes = {panel.id: (at[panel.id].path, panel) for panel in own}
        breaks.extend(_breaks(tree, shapes, laid.tree, lettering, rulers, len(breaks)))
        findings.extend(finding for cut in laid.tree.cuts for finding in _cut_findings(cut))
        laps |= dict.fromkeys((ids[under], ids[upper]) for under, upper in laid.laps)
    return Placing(tuple(panels), tuple(breaks), tuple(cuts), tuple(findings), tuple(laps), tuple(over))


@dataclass(frozen=True, slots=True)
class _PlacedTree:
    """A tree as laid out, ids by path; ``laps``: (lower, upper) panels with a seam between."""

    tree: LaidTree
    panels: tuple[PlacedPanel, ...]
    cuts: tuple[CutLine, ...]
    laps: tuple[tuple[str, str], ...]


def _lines_of(placed: Sequence[_PlacedTree], colour: str) -> tuple[tuple[int, float], ...]:
    """Return (axis, place) of the plumb and level lines of other colours."""
    out: dict[tuple[int, float], None] = {}
    for tree in placed:
        for cut in tree.cuts if tree.panels[0].colour != colour else ():
            (x0, y0), (x1, y1) = cut.line[0], cut.line[-1]
            if len(cut.line) == 2 and (abs(x0 - x1) < 1e-6 or abs(y0 - y1) < 1e-6):
                out[(0, x0) if abs(x0 - x1) < 1e-6 else (1, y0)] = None
    return tuple(out)


def _place_tree(
    project: Project, tree: CutTree, lettering: Lettering, rulers: Rulers, shared: tuple[tuple[int, float], ...]
) -> _PlacedTree:
    settings, graph = project.plan, tree.graph
    board = project.board.outline.bounds
    turnings = [False] if project.turning == "none" else [False, True]
    wanted = Wanted(settings.clearance, settings.trim_margin, shared)
    laid = lay_cuts(tree.root, graph, board, rulers, wanted)
    pieces_of = {glyph.id: glyph.pieces for glyph in lettering.glyphs}
    name = f"{tree.colour}/{graph.layer}/"
    panels = []
    for found in laid.leaves:
        fragments = tuple(dict.fromkeys(f for atom in found.leaf.atoms for f in graph.atoms[atom].fragments))
        film = MultiPolygon([fragment.shape for fragment in fragments])
        trim = trim_outline(film.bounds, found.loose, board, rulers, settings.trim_margin, project.cutter, turnings)
        if graph.frame:
            trim = _along_film(trim, film, settings.trim_margin)
        films = {
            node: MultiPolygon([f.shape for f in fragments if f.piece in pieces_of.get(node, (node,))])
            for node in found.leaf.nodes
        }
        level = panel_level(_foot_lines(found.leaf.nodes, films, lettering), film, rulers)
        panels.append(
            PlacedPanel(
                name + found.path, tree.colour, found.leaf.nodes, fragments, film, trim, level, found.path, graph.layer,
                graph.stratum, graph.frame,
            )
        )
    panels = _trims_apart(panels, laid, tree)
    cuts = tuple(
        CutLine(name + cut.path, tree.colour, cut.line, name + cut.left, name + cut.right, cut.chosen.way)
        for cut in laid.cuts
    )
    path_of = {atom: name + found.path for found in laid.leaves for atom in found.leaf.atoms}
    laps = tuple(dict.fromkeys((path_of[c.under], path_of[c.upper]) for c in graph.contacts))
    return _PlacedTree(laid, tuple(panels), cuts, laps)


def _along_film(trim: Polygon, film: MultiPolygon, margin: float) -> Polygon:
    """Return the trim outline of part of a frame: along its film, not round all that the frame encloses."""
    near = film.buffer(margin, join_style="mitre", mitre_limit=2.0).intersection(trim)
    parts = polygons_of(near)
    return parts[0] if len(parts) == 1 else trim


def _keep_off(
    panel: PlacedPanel, others: Sequence[PlacedPanel], laps: Collection[tuple[str, str]]
) -> tuple[PlacedPanel, list[str]]:
    """Return the panel with a trim outline that lies on no film of another, but where a seam laps them.

    With it the ids of those on whose film it lies none the less: panels of frames, which are up by then, that pass
    between film of this one.
    """
    trim = panel.trim
    crossing: list[PlacedPanel] = []
    for other in others:
        if other.id == panel.id or (panel.id, other.id) in laps or (other.id, panel.id) in laps:
            continue
        # across the corner of crossing seams both overlaps lie on the same film, and so on each other
        if panel.film.intersection(other.film).area > 1e-6:
            continue
        if trim.buffer(-1e-3).intersects(other.film):
            if other.frame and not panel.frame:
                crossing.append(other)
            else:
                trim = _cut_back(trim, panel.film, [other])
    short = _cut_back(trim, panel.film, crossing) if crossing else trim
    if panel.film.difference(short).area > 1e-6:
        return replace(panel, trim=trim), [other.id for other in crossing]
    return replace(panel, trim=short), []


def _cut_back(trim: Polygon, film: MultiPolygon, others: Sequence[PlacedPanel]) -> Polygon:
    """Return what a trim outline has off the film of others: the part that holds most of the panel's film."""
    near = [other.film.buffer(min(float(film.distance(other.film)) / 2, OFF), quad_segs=8) for other in others]
    return max(polygons_of(trim.difference(shapely.union_all(near))), key=lambda part: part.intersection(film).area)


def _trims_apart(
    panels: Sequence[PlacedPanel], laid: LaidTree, tree: CutTree
) -> list[PlacedPanel]:
    """Return panels whose trims overlap only where a seam lies between: a trim past its own seam ends at all others.

    Raises CrossedError where that would take film of a panel off its carrier.
    """
    out, contacts = list(panels), tree.graph.contacts
    cut_at = {cut.path: cut for cut in laid.cuts}
    atoms = {found.path: set(found.leaf.atoms) for found in laid.leaves}
    seamed = {(c.under, c.upper) for c in contacts} | {(c.upper, c.under) for c in contacts}
    for a, b in combinations(range(len(out)), 2):
        over = out[a].trim.intersection(out[b].trim)
        paths = out[a].path, out[b].path
        meet = not set(out[a].pieces).isdisjoint(out[b].pieces)  # where seams cross, overlaps reach past the corner
        if meet or over.area < 1e-6 or any((i, j) in seamed for i in atoms[paths[0]] for j in atoms[paths[1]]):
            continue
        common = _common(*paths)
        for n, path in ((a, paths[0]), (b, paths[1])):
            # an overlap at a seam with a third panel may pass this cut: it stays on the panel's own carrier
            beyond = over.difference(cut_at[common].side(path[len(common)] == "1"))
            own = out[n].film.intersection(beyond)
            beyond = beyond.difference(own.buffer(OFF, join_style="mitre")) if own.area > 1e-6 else beyond
            left = polygons_of(out[n].trim.difference(beyond))
            if left and beyond.area > 1e-9:
                film = out[n].film
                trim = max(left, key=lambda part: part.intersection(film).area)
                if out[n].trim.covers(film) and film.difference(trim).area > TORN:
                    raise CrossedError(BarredCut(tree.colour, tree.graph.layer, _sides(tree.root, common)))
                out[n] = replace(out[n], trim=trim)
    return out


def _sides(root: Node, path: str) -> frozenset[frozenset[int]]:
    """Return the atoms on both sides of the cut at a path."""
    node = root
    for step in path:
        assert not isinstance(node, Leaf)
        node = node.second if step == "1" else node.first
    assert not isinstance(node, Leaf)
    sides = (node.first, node.second)
    return frozenset(frozenset(atom for leaf in leaves(side) for atom in leaf.atoms) for side in sides)


def _breaks(
    tree: CutTree,
    panels: Mapping[str, tuple[str, PlacedPanel]],
    laid: LaidTree,
    lettering: Lettering,
    rulers: Rulers,
    count: int,
) -> list[Break]:
    """Return a break for each pair of panels that share a parted edge."""
    graph = tree.graph
    path_of = {atom: found.path for found in laid.leaves for atom in found.leaf.atoms}
    panel_at = dict(panels.values())
    parted: dict[tuple[str, str], list[Parted]] = {}
    for join in graph.joins:
        a, b = path_of[join.a], path_of[join.b]
        if a != b:
            films = (graph.atoms[join.a].film, graph.atoms[join.b].film)
            upper = panel_at[path_of[join.seam.upper]].id if join.seam is not None and join.seam.overlap else None
            found = Parted(graph.edges[join.edge], join.gap_mm, films[0], films[1], join.seam, upper)
            parted.setdefault((min(a, b), max(a, b)), []).append(found)
    cut_at = {cut.path: cut for cut in laid.cuts}
    out: list[Break] = []
    for (a, b), edges in sorted(parted.items(), key=lambda item: (panel_at[item[0][0]].id, panel_at[item[0][1]].id)):
        one, two = sorted((panel_at[a], panel_at[b]), key=lambda panel: panel.id)
        out.append(
            make_break(
                f"break-{count + len(out) + 1:02d}",
                PanelShape(one.id, one.film, one.trim),
                PanelShape(two.id, two.film, two.trim),
                edges, cut_at[_common(a, b)], lettering, rulers,
            )
        )  # fmt: skip
    return out


def _common(a: str, b: str) -> str:
    """Return the path of the branch at which two paths part."""
    at = 0
    while at < min(len(a), len(b)) and a[at] == b[at]:
        at += 1
    return a[:at]


def _foot_lines(nodes: tuple[str, ...], films: Mapping[str, MultiPolygon], lettering: Lettering) -> list[FootLine]:
    """Return the lines (at quarter turns, not stacked) that have glyphs among ``nodes``."""
    glyphs = {glyph.id: glyph for glyph in lettering.glyphs}
    by_line: dict[str, list[MultiPolygon]] = {}
    for node in nodes:
        if node in glyphs:
            by_line.setdefault(glyphs[node].line, []).append(films[node])
    out = []
    for line in lettering.lines:
        turns = line.angle / 90
        if line.id in by_line and abs(turns - round(turns)) < 1e-6 and line.arc is None:
            quarter = round(turns) % 4
            base = line.baseline[0][1] if quarter % 2 == 0 else line.baseline[0][0]
            out.append(FootLine(tuple(by_line[line.id]), quarter, None if line.stacked else base))
    return out


def _cut_findings(cut: LaidCut) -> list[Finding]:
    if not cut.chosen.tight:
        return []
    return [
        Finding(
            "place-tight",
            f"A break line passes film at {cut.chosen.clearance:.2f} mm, closer than the clearance asked for.",
            remedy=f"{_tool(cut)}, or give these letters more space.",
        )
    ]


def _tool(cut: LaidCut) -> str:
    if cut.chosen.way == "free":
        return "Trim along the line that the cutter cut, with a fine knife"
    return "Cut along this line with a fresh blade and a straightedge"


def tape_marks(panels: tuple[PlacedPanel, ...], rulers: Rulers) -> tuple[TapeMark, ...]:
    """Return the marks to tape on the board: both ends of the top edge of every trim, each place once."""
    places: dict[tuple[int, int], tuple[float, float]] = {}
    for panel in panels:
        points = shapely.get_coordinates(panel.trim)
        top = points[points[:, 1] < panel.trim.bounds[1] + 1e-6]
        ends = [top[top[:, 0].argmin()], top[top[:, 0].argmax()]]
        for x, y in ends:
            places.setdefault((round(x * 100), round(y * 100)), (float(x), float(y)))
    ordered = sorted(places.values(), key=lambda p: (round(p[1], 2), round(p[0], 2)))
    return tuple(TapeMark(f"T{n}", at, rulers.point(at)) for n, at in enumerate(ordered, 1))
