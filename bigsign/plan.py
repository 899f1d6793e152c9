"""The way through: a project in, the whole plan out; and the independent check of a plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from shapely.geometry import Polygon, box

from bigsign.artwork.pieces import Artwork
from bigsign.errors import Fault, InputError
from bigsign.findings import Finding
from bigsign.parting import part_lettering
from bigsign.placing.hinges import panel_hinge
from bigsign.placing.place import PlacedPanel, Placing, tape_marks
from bigsign.placing.rulers import Rulers
from bigsign.plan_assembly import assemble_panels, mat_sheets, sign_frame, site_frame, total_measures, with_marks
from bigsign.plan_check import check_plan
from bigsign.plan_records import Hinge, Plan, PlanEdge
from bigsign.project import DrawingSpec, Project
from bigsign.reading.lettering import Lettering
from bigsign.splitting.tree import Splitting, leaves
from bigsign.tape_error import tape_error
from bigsign.tolerances import TOLERANCES
from bigsign.units import to_tape
from bigsign.wording import speaking
from bigsign.work.order import work_order

__all__ = ["check_plan", "make_plan", "plan_lettering"]

Progress = Callable[[str], None]


def make_plan(project: Project, progress: Progress | None = None) -> Plan:
    """Return the plan of ``project``.

    Parameters
    ----------
    project : from :func:`bigsign.load_project`.
    progress : called with a few words at the start of each stage.

    Raises
    ------
    InputError
        If the artwork can't be used, doesn't fit the board, or a piece of it fits no mat.
    """
    from bigsign.artwork import make_artwork
    from bigsign.reading import read_lettering

    say = progress or (lambda _: None)
    say("setting lettering and reading drawings")
    artwork = make_artwork(project)
    check_on_board(project, artwork)
    say("reading letters, words and lines")
    lettering = read_lettering(artwork, project.given)
    plan = plan_lettering(project, artwork, lettering, progress)
    strange = [n for n in project.plan.template_panels if n > len(plan.panels)]
    if strange:
        raise InputError(
            Fault(
                f"a template of panel {strange[0]}",
                f"{project.file}, [plan] template_panels",
                f"numbers from 1 to {len(plan.panels)}, the panels of this plan",
            )
        )
    return plan


def plan_lettering(project: Project, artwork: Artwork, lettering: Lettering, progress: Progress | None = None) -> Plan:
    """Return the plan of artwork that has been read; for the parameters and errors see :func:`make_plan`."""
    with speaking(project.plan.language):
        return _plan_lettering(project, artwork, lettering, progress)


def _plan_lettering(
    project: Project, artwork: Artwork, lettering: Lettering, progress: Progress | None = None
) -> Plan:
    from bigsign.making import materials, weeding_findings
    from bigsign.nesting import NestItem, nest
    from bigsign.work.slip import slip_joins
    from bigsign.work.steps import make_steps

    say = progress or (lambda _: None)
    if project.plan.policy == "mats" and project.plan.weights is None:
        from bigsign.alternatives import fewest_mats

        return fewest_mats(project, artwork, lettering, say)
    rulers = Rulers.of(project.board, project.plan.tape_step)
    parted = part_lettering(project, artwork, lettering, say)
    splitting, placing, marks = parted.splitting, parted.placing, parted.marks
    order = work_order(placing.panels, placing.breaks, (project.board.width, project.board.height), parted.before)
    say("nesting panels on mats")
    items = [
        NestItem(panel.id, panel.colour, with_marks(panel.film, panel.id, marks), panel.trim)
        for panel in placing.panels
    ]
    nesting = nest(
        items,
        project.cutter,
        turning=project.turning,
        spacing=project.plan.spacing,
        colours=project.colour_names,
    )
    mats = mat_sheets(project, nesting)
    hinged = hinges(project, placing, order)
    panels = assemble_panels(project, artwork, lettering, placing, order, nesting, hinged, marks)
    sign, site = sign_frame(project), site_frame(project, artwork)
    taped = tape_marks(placing.panels, rulers)
    say("writing down the steps")
    texts = {glyph.id: glyph.text for glyph in lettering.glyphs}
    steps = make_steps(panels, placing.breaks, sign, site, taped, project.film, marks, texts)
    numbered = {step.panel: step.n for step in steps if step.kind == "stick"}
    return Plan(
        project=project,
        sign=sign,
        site=site,
        tape_step=project.plan.tape_step,
        measures=total_measures(splitting, lettering),
        search=tuple(tree.report for tree in splitting.trees),
        pieces=artwork.pieces,
        glyphs=lettering.glyphs,
        words=lettering.words,
        lines=lettering.lines,
        edges=plan_edges(splitting),
        cuts=placing.cuts,
        panels=tuple(panel.with_step(numbered[panel.id]) for panel in panels),
        tape_marks=taped,
        breaks=placing.breaks,
        mats=mats,
        steps=steps,
        tape_error=tape_error(sign),
        warnings=tuple(
            _unique(
                [
                    *artwork.findings,
                    *lettering.findings,
                    *splitting.findings,
                    *placing.findings,
                    *weeding_findings(artwork, lettering),
                ]
            )
        ),
        fragments=plan_fragments(splitting),
        slip=slip_joins(panels, placing.breaks, project.slip, project.plan.tape_step),
        marks=marks,
        materials=materials(
            panels,
            mats,
            len(taped) + (len(marks) if site.may_be_fresh else 0),
            project.plan.tape_step,
            heat=project.film.kind == "heat",
        ),
    )


def _unique(findings: Sequence[Finding]) -> list[Finding]:
    return list(dict.fromkeys(findings))


def check_on_board(project: Project, artwork: Artwork) -> None:
    """Raise InputError if there is no film, or film outside the board or inside its margin.

    One fault a side of the board, saying how far the film goes beyond it and what would be enough.
    """
    if not artwork.pieces:
        raise InputError(Fault("there is nothing to cut", project.file, "a [[lettering]] or [[artwork]] with film"))
    boxes = [piece.shape.bounds for piece in artwork.pieces]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    board, step = project.board, project.plan.tape_step
    slack = TOLERANCES.fit
    width, height = x1 - x0, y1 - y0
    room = (board.width - 2 * board.margin, board.height - 2 * board.margin)
    if width > room[0] + slack or height > room[1] + slack:
        size = f"{to_tape(width, step).tape} × {to_tape(height, step).tape}"
        has = f"{to_tape(room[0], step).tape} × {to_tape(room[1], step).tape}"
        raise InputError(
            Fault(
                f"the artwork is {size}, larger than the board inside its margin, {has}",
                f"{project.file} [sign]", "a larger board, a smaller margin or smaller artwork",
            )
        )  # fmt: skip
    beyond = {
        "left": board.margin - x0,
        "top": board.margin - y0,
        "right": x1 - (board.width - board.margin),
        "bottom": y1 - (board.height - board.margin),
    }
    faults = [
        Fault(
            f"artwork reaches {to_tape(by, step).tape} beyond the board's {side} margin"
            if board.margin
            else f"artwork reaches {to_tape(by, step).tape} over the board's {side} edge",
            _blocks_beyond(project, artwork, side),
            "move its centre, make it smaller, or enlarge the board",
        )
        for side, by in beyond.items()
        if by > slack
    ]
    inner = box(0, 0, board.width, board.height)
    if not faults and not board.outline.equals(inner):
        inner = board.outline.buffer(-board.margin + slack)
        if not all(inner.covers(piece.shape) for piece in artwork.pieces):
            faults.append(
                Fault("artwork reaches over the board's outline", f"{project.file} [sign]", "smaller artwork")
            )
    if faults:
        raise InputError(faults)


def _blocks_beyond(project: Project, artwork: Artwork, side: str) -> str:
    """Return where in the project the film farthest out on a side comes from."""
    axis, pick = {"left": (0, min), "top": (1, min), "right": (2, max), "bottom": (3, max)}[side]
    piece = pick(artwork.pieces, key=lambda p: p.shape.bounds[axis])
    if piece.source is not None:
        return f"{piece.source.file} line {piece.source.line}, {piece.source.element}"
    blocks = [block.where for block in project.blocks if not isinstance(block, DrawingSpec)]
    for line in artwork.known:
        if any(piece.id in glyph.pieces for glyph in line.glyphs):
            return f"{project.blocks[line.block].where}, line {line.text!r}"
    return blocks[0] if blocks else project.file


def hinges(project: Project, placing: Placing, order: Sequence[str]) -> Mapping[str, Hinge | None]:
    """Return the hinge of each panel; a side hinge goes to the side whose neighbour is up first."""
    rulers = Rulers.of(project.board, project.plan.tape_step)
    rank = {panel: at for at, panel in enumerate(order)}
    by_id = {panel.id: panel for panel in placing.panels}
    out: dict[str, Hinge | None] = {}
    for panel in placing.panels:
        up = [
            by_id[other]
            for part in placing.breaks
            if panel.id in part.panels
            for other in part.panels
            if other != panel.id and rank[other] < rank[panel.id]
        ]
        wanted = "none" if project.film.kind == "heat" else project.plan.hinge
        out[panel.id] = panel_hinge(panel.film, panel.trim, rulers, wanted, _right_first(panel, up))
    return out


def _right_first(panel: PlacedPanel, up: Sequence[PlacedPanel]) -> bool:
    """Whether the neighbours already up stand to the right of ``panel`` and none to its left."""
    middle = panel.film.envelope.centroid.x
    sides = [other.film.envelope.centroid.x > middle for other in up]
    return bool(sides) and all(sides)


def plan_edges(splitting: Splitting) -> tuple[PlanEdge, ...]:
    """Return every edge of the adjacency graphs, and whether it is parted between two panels."""
    out: list[PlanEdge] = []
    for tree in splitting.trees:
        panel_of = {atom: n for n, leaf in enumerate(leaves(tree.root)) for atom in leaf.atoms}
        parted = {join.edge for join in tree.graph.joins if panel_of[join.a] != panel_of[join.b]}
        out.extend(PlanEdge(e.a, e.b, e.kind, e.gap_mm, rank in parted) for rank, e in enumerate(tree.edges))
    return tuple(out)


def plan_fragments(splitting: Splitting) -> tuple[tuple[str, str, Polygon], ...]:
    """Return (id, piece, shape) of every fragment, in the order of the pieces."""
    found = {f.id: f for tree in splitting.trees for atom in tree.graph.atoms for f in atom.fragments}
    return tuple((f.id, f.piece, f.shape) for f in sorted(found.values(), key=lambda f: (f.piece, f.id)))
