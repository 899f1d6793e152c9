"""Putting the plan together: what the rooms found, as the records of the plan."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import shapely
from shapely.affinity import affine_transform
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import linemerge

from bigsign.artwork.pieces import Artwork
from bigsign.colours import is_dark
from bigsign.placing.place import PlacedPanel, Placing
from bigsign.placing.rulers import Rulers
from bigsign.plan_needs import SiteFrame
from bigsign.plan_records import CheckMeasure, Hinge, MatSheet, Neighbour, Panel, Point, RegisterMark, SignFrame, Size
from bigsign.project import Project
from bigsign.reading.lettering import Bounds, Lettering
from bigsign.splitting.tree import Measures, Splitting
from bigsign.tolerances import TOLERANCES
from bigsign.units import TapeStep, to_tape
from bigsign.wording import phrase

if TYPE_CHECKING:
    from bigsign.nesting.records import Nesting

__all__ = ["assemble_panels", "mat_sheets", "panel_text", "sign_frame", "site_frame", "total_measures", "with_marks"]

SIDES = ("left", "top", "right", "bottom")


def sign_frame(project: Project) -> SignFrame:
    """Return the board as the plan shows it."""
    board, step = project.board, project.plan.tape_step
    return SignFrame(
        project.name,
        project.revision,
        to_tape(board.width, step),
        to_tape(board.height, step),
        to_tape(math.hypot(board.width, board.height), step),
        board.outline,
        board.margin,
        board.reference,
    )


def site_frame(project: Project, artwork: Artwork) -> SiteFrame:
    """Return the place the sign goes to, with the shares of the board that film covers."""
    site = project.site
    foot = None if site.foot is None else to_tape(site.foot, project.plan.tape_step)
    films = [piece.shape for piece in artwork.pieces]
    dark = [piece.shape for piece in artwork.pieces if is_dark(piece.colour)]
    covered, under_dark = (_percent(shapely.union_all(found), project.board.outline) for found in (films, dark))
    return SiteFrame(
        site.surface, site.old_paint, site.fresh_paint, site.solvent, foot, site.hung, site.street, covered, under_dark
    )


def _percent(part: BaseGeometry, whole: Polygon) -> int:
    """Return a share in whole per cent, rounded up: what is over half never reads as half."""
    return math.ceil(round(100 * part.area / whole.area, 6))


def total_measures(splitting: Splitting, lettering: Lettering, artwork: Artwork) -> Measures:
    """Return the measures of all colours together: sums, and the largest panel of any.

    A word with letters in two layers of a colour breaks between them too, without a cut, unless they touch.
    """
    found = [tree.measures for tree in splitting.trees]
    return Measures(
        sum(m.seam_length for m in found),
        sum(m.seams for m in found),
        sum(m.in_word_breaks for m in found) + _breaks_between_layers(splitting, lettering, artwork),
        sum(m.panels for m in found),
        round(sum(m.risk for m in found), 3),
        max(m.largest_panel_area for m in found),
    )


def _breaks_between_layers(splitting: Splitting, lettering: Lettering, artwork: Artwork) -> int:
    if len({tree.colour for tree in splitting.trees}) == len(splitting.trees):
        return 0
    shapes = {piece.id: piece.shape for piece in artwork.pieces}
    films = {glyph.id: MultiPolygon([shapes[piece] for piece in glyph.pieces]) for glyph in lettering.glyphs}
    colour_of = {glyph.id: glyph.colour for glyph in lettering.glyphs}
    layers: dict[str, set[str]] = {}
    for tree in splitting.trees:
        for node in (node for atom in tree.graph.atoms for node in atom.nodes):
            layers.setdefault(node, set()).add(tree.graph.layer)
    count = 0
    for word in lettering.words:
        for colour in {colour_of[glyph] for glyph in word.glyphs}:
            for a, b in pairwise(glyph for glyph in word.glyphs if colour_of[glyph] == colour):
                apart = layers.get(a, {""}).isdisjoint(layers.get(b, {""}))
                count += apart and float(films[a].distance(films[b])) >= TOLERANCES.touch
    return count


def mat_sheets(project: Project, nesting: Nesting) -> tuple[MatSheet, ...]:
    """Return the mats in order, numbered, with the names of their cut files."""
    from bigsign.nesting.records import mat_file

    cutter, step = project.cutter, project.plan.tape_step
    out = []
    for number, mat in enumerate(nesting.mats, 1):
        name = project.colour_names.get(mat.colour, mat.colour)
        border = cutter.border
        out.append(
            MatSheet(
                id=f"mat-{number:02d}",
                cutter=cutter.name,
                mat=cutter.mat,
                colour=mat.colour,
                colour_name=name,
                width=cutter.width,
                length=cutter.length,
                border_mm=border,
                used_length=mat.used_length,
                mirrored=False,
                file=mat_file(number, name),
                panels=mat.panels,
                usable=_size((0, 0, cutter.width, cutter.length), step),
                load=_size((0, 0, cutter.width + 2 * border, mat.used_length + 2 * border), step),
            )
        )
    return tuple(out)


def assemble_panels(
    project: Project,
    artwork: Artwork,
    lettering: Lettering,
    placing: Placing,
    order: Sequence[str],
    nesting: Nesting,
    hinges: Mapping[str, Hinge | None],
    marks: Sequence[RegisterMark] = (),
) -> tuple[Panel, ...]:
    """Return the panels in the order of work, numbered from 1. Their step is filled in when the steps are known."""
    rulers = Rulers.of(project.board, project.plan.tape_step)
    by_id = {panel.id: panel for panel in placing.panels}
    mat_of = {panel: f"mat-{n:02d}" for n, mat in enumerate(nesting.mats, 1) for panel in mat.panels}
    out = []
    for number, panel_id in enumerate(order, 1):
        panel = by_id[panel_id]
        to_mat = nesting.to_mat[panel_id]
        usable = (project.cutter.width, project.cutter.length)
        film = with_marks(panel.film, panel_id, marks)
        lines = trim_lines(panel.trim, film, usable, to_mat) if project.plan.weed_box else ()
        neighbours = tuple(
            Neighbour(other, part.id)
            for part in placing.breaks
            if panel_id in part.panels
            for other in part.panels
            if other != panel_id
        )
        out.append(
            Panel(
                id=panel_id,
                number=number,
                colour=panel.colour,
                fragments=tuple(fragment.id for fragment in panel.fragments),
                nodes=panel.nodes,
                text=panel_text(panel.nodes, lettering),
                film=panel.film,
                bounds=panel.film.bounds,
                size=_size(panel.film.bounds, project.plan.tape_step),
                trim=panel.trim,
                trim_size=_size(panel.trim.bounds, project.plan.tape_step),
                from_reference=rulers.box(panel.trim.bounds),
                hinge=hinges[panel_id],
                level=panel.level,
                trim_lines=lines,
                check=_check(panel, rulers, project),
                neighbours=neighbours,
                mat=mat_of[panel_id],
                to_mat=to_mat,
                step=0,
                marks=tuple(mark.id for mark in marks if panel_id in mark.panels),
                unlined=unlined_sides(panel.trim, lines) if project.plan.weed_box else SIDES,
            )
        )
    return tuple(out)


def with_marks(film: MultiPolygon, panel_id: str, marks: Sequence[RegisterMark]) -> MultiPolygon:
    """Return all that is cut with a panel: its film and its register marks."""
    own = [part for mark in marks if panel_id in mark.panels for part in mark.path.geoms]
    return MultiPolygon([*film.geoms, *own]) if own else film


def panel_text(nodes: Sequence[str], lettering: Lettering) -> str:
    """Return the text of a panel: glyphs in reading order, a space between words, a new line between lines."""
    inside = set(nodes)
    rows: list[str] = []
    words = {word.id: word for word in lettering.words}
    glyphs = {glyph.id: glyph for glyph in lettering.glyphs}
    for line in lettering.lines:
        parts = [
            "".join(glyphs[g].text or "" for g in words[word].glyphs if g in inside)
            for word in line.words
            if any(g in inside for g in words[word].glyphs)
        ]
        if any(parts):
            rows.append(" ".join(part for part in parts if part))
    return "\n".join(rows)


def _size(bounds: Bounds, step: TapeStep) -> Size:
    return Size(to_tape(bounds[2] - bounds[0], step), to_tape(bounds[3] - bounds[1], step))


def _check(panel: PlacedPanel, rulers: Rulers, project: Project) -> CheckMeasure:
    """Return the closing check: the level line where there is one, else the trim's upper edge."""
    tolerance = to_tape(project.plan.placement_tolerance, project.plan.tape_step)
    if panel.level is not None:
        what = phrase("check.what.flat" if panel.level.flat else "check.what.low")
        return CheckMeasure(what, panel.level.from_reference, tolerance)
    return CheckMeasure(phrase("check.what.trim"), rulers.box(panel.trim.bounds).y, tolerance)


def trim_lines(
    trim: Polygon, film: MultiPolygon, usable: tuple[float, float], to_mat: Sequence[float]
) -> tuple[tuple[Point, ...], ...]:
    """Return the parts of the trim outline that are kiss-cut, in the sign's frame.

    They lie inside the usable area (width × length, mm) as the panel stands on its mat, and at least
    ``trim_from_film`` from film. Each part is an open line; one that runs all round ends where it began.
    """
    a, b, c, d, e, f = to_mat
    outline = affine_transform(LineString(trim.exterior.coords), [a, c, b, d, e, f])
    # a trim laid along the usable area's edge is cut: only the last binary digit says that it is outside
    edge = TOLERANCES.fit
    seen = outline.intersection(box(-edge, -edge, usable[0] + edge, usable[1] + edge))
    determinant = a * d - b * c
    ia, ib, ic, id_ = d / determinant, -b / determinant, -c / determinant, a / determinant
    back = affine_transform(seen, [ia, ic, ib, id_, -(ia * e + ic * f), -(ib * e + id_ * f)])
    clear = back.difference(film.buffer(TOLERANCES.trim_from_film, 32))
    if clear.is_empty:
        return ()
    merged = linemerge(clear) if isinstance(clear, MultiLineString) else clear
    parts = merged.geoms if isinstance(merged, MultiLineString) else [merged]
    lines = [tuple((float(x), float(y)) for x, y in part.coords) for part in parts if part.length > 0.5]
    return tuple(sorted(lines))


def unlined_sides(trim: Polygon, lines: Sequence[Sequence[Point]]) -> tuple[str, ...]:
    """Return the sides of the trim's box of which the greater part carries no cut line."""
    cut = shapely.union_all([LineString(line) for line in lines]).buffer(1e-3) if lines else None
    x0, y0, x1, y1 = trim.bounds
    spans = dict(zip(SIDES, (((x0, y0), (x0, y1)), ((x0, y0), (x1, y0)), ((x1, y0), (x1, y1)), ((x0, y1), (x1, y1))),
                     strict=True))  # fmt: skip
    out = []
    for side, ends in spans.items():
        edge = LineString(ends).intersection(trim.exterior.buffer(1e-6))
        bare = edge if cut is None else edge.difference(cut)
        if bare.length > max(0.5, 0.5 * edge.length):
            out.append(side)
    return tuple(out)
