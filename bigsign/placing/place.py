"""The placing room's way through: cut trees in; panels with trims, hinges and levels, breaks and tape marks out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import shapely
from shapely.geometry import MultiPolygon, Polygon

from bigsign.artwork.pieces import Artwork
from bigsign.findings import Finding
from bigsign.placing.breaks import PanelShape, make_break
from bigsign.placing.cut_lines import LaidCut, lay_cuts
from bigsign.placing.levels import FootLine, panel_level
from bigsign.placing.rulers import Rulers
from bigsign.placing.trims import trim_outline
from bigsign.plan_records import Break, CutLine, Level, TapeMark
from bigsign.project import Project
from bigsign.reading.lettering import Lettering
from bigsign.splitting.tree import Edge, Splitting

__all__ = ["PlacedPanel", "Placing", "node_films", "place", "tape_marks"]


@dataclass(frozen=True, slots=True)
class PlacedPanel:
    """A panel where it stands on the board, before it has a number, a hinge and a mat."""

    id: str
    colour: str
    nodes: tuple[str, ...]
    pieces: tuple[str, ...]
    film: MultiPolygon
    trim: Polygon
    level: Level | None


@dataclass(frozen=True, slots=True)
class Placing:
    """Everything placed; ids of panels and cuts are those of plan.json."""

    panels: tuple[PlacedPanel, ...]
    breaks: tuple[Break, ...]
    cuts: tuple[CutLine, ...]
    findings: tuple[Finding, ...]


def node_films(artwork: Artwork, lettering: Lettering) -> dict[str, MultiPolygon]:
    """Return the film of every node: a glyph's pieces, an ornament's own."""
    shapes = {piece.id: piece.shape for piece in artwork.pieces}
    films = {glyph.id: MultiPolygon([shapes[p] for p in glyph.pieces]) for glyph in lettering.glyphs}
    films.update({ornament: MultiPolygon([shapes[ornament]]) for ornament in lettering.ornaments})
    return films


def place(project: Project, artwork: Artwork, lettering: Lettering, splitting: Splitting) -> Placing:
    """Return where everything stands on the board."""
    settings = project.plan
    rulers = Rulers.of(project.board, settings.tape_step)
    board = project.board.outline.bounds
    colour_of = {piece.id: piece.colour for piece in artwork.pieces}
    pieces_of = {glyph.id: glyph.pieces for glyph in lettering.glyphs} | {o: (o,) for o in lettering.ornaments}
    shapes = {piece.id: piece.shape for piece in artwork.pieces}
    turnings = [False] if project.turning == "none" else [False, True]
    panels: list[PlacedPanel] = []
    breaks: list[Break] = []
    cuts: list[CutLine] = []
    findings: list[Finding] = []
    for tree in splitting.trees:
        films = {
            node: MultiPolygon([shapes[p] for p in pieces_of[node] if colour_of[p] == tree.colour])
            for node in _nodes_of(tree.colour, pieces_of, colour_of)
        }
        laid = lay_cuts(tree.root, films, board, rulers, settings.clearance, settings.trim_margin)
        id_of: dict[str, str] = {}
        own: dict[str, PlacedPanel] = {}
        for path, leaf, region in laid.leaves:
            names = tuple(
                dict.fromkeys(p for node in leaf.nodes for p in pieces_of[node] if colour_of[p] == tree.colour)
            )
            film = MultiPolygon([shapes[name] for name in names])
            trim = trim_outline(film.bounds, region, board, rulers, settings.trim_margin, project.cutter, turnings)
            level = panel_level(_foot_lines(leaf.nodes, films, lettering), film, rulers)
            panel_id = f"panel-{len(panels) + 1:02d}"
            id_of[path] = panel_id
            own[path] = PlacedPanel(panel_id, tree.colour, leaf.nodes, names, film, trim, level)
            panels.append(own[path])
        for cut in laid.cuts:
            id_of[cut.path] = f"cut-{len(cuts) + 1:02d}"
            cuts.append(CutLine(id_of[cut.path], tree.colour, cut.line, cut.left, cut.right))
            findings.extend(_cut_findings(cut))
        cuts[-len(laid.cuts) or len(cuts) :] = [
            CutLine(cut.id, cut.colour, cut.line, id_of[cut.left], id_of[cut.right])
            for cut in cuts[-len(laid.cuts) or len(cuts) :]
        ]
        path_of = {node: path for path, leaf, _ in laid.leaves for node in leaf.nodes}
        parted: dict[tuple[str, str], list[Edge]] = {}
        for edge in tree.edges:
            pair = (path_of[edge.a], path_of[edge.b])
            if pair[0] != pair[1]:
                parted.setdefault((min(pair), max(pair)), []).append(edge)
        cut_at = {cut.path: cut for cut in laid.cuts}
        for (a, b), edges in sorted(parted.items(), key=lambda item: (own[item[0][0]].id, own[item[0][1]].id)):
            one, two = (own[a], own[b]) if own[a].id < own[b].id else (own[b], own[a])
            breaks.append(
                make_break(
                    f"break-{len(breaks) + 1:02d}",
                    PanelShape(one.id, one.film, one.trim),
                    PanelShape(two.id, two.film, two.trim),
                    edges, cut_at[_common(a, b)], lettering, films, rulers,
                )
            )  # fmt: skip
    return Placing(tuple(panels), tuple(breaks), tuple(cuts), tuple(findings))


def _common(a: str, b: str) -> str:
    """Return the path of the branch at which two paths part."""
    at = 0
    while at < min(len(a), len(b)) and a[at] == b[at]:
        at += 1
    return a[:at]


def _nodes_of(colour: str, pieces_of: Mapping[str, tuple[str, ...]], colour_of: Mapping[str, str]) -> list[str]:
    return [node for node, names in pieces_of.items() if any(colour_of[name] == colour for name in names)]


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
            remedy="Cut along this line with a fresh blade and a straightedge, or give these letters more space.",
        )
    ]


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
