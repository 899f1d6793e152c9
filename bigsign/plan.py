"""The way through: a project in, the whole plan out; and the independent check of a plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from shapely.geometry import Polygon

from bigsign.artwork.pieces import Artwork
from bigsign.findings import Finding
from bigsign.parting import part_lettering
from bigsign.placing.hinges import panel_hinge
from bigsign.placing.place import PlacedPanel, Placing, tape_marks
from bigsign.placing.rulers import Rulers
from bigsign.plan_assembly import assemble_panels, mat_sheets, sign_frame, site_frame, total_measures, with_marks
from bigsign.plan_check import check_plan
from bigsign.plan_records import Hinge, Plan, PlanEdge
from bigsign.prepare import check_template, prepare
from bigsign.project import Project
from bigsign.reading.lettering import Lettering
from bigsign.splitting.tree import Splitting, leaves
from bigsign.tape_error import tape_error
from bigsign.wording import speaking

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
        If the artwork can't be used, doesn't fit the board, or a piece of it fits no mat; if a wish can't hold, or a
        template is asked for of a panel that there is not.
    """
    begun = prepare(project, progress)
    plan = plan_lettering(project, begun.artwork, begun.lettering, progress)
    check_template(project, len(plan.panels))
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
    order = [panel.id for panel in placing.panels]  # parting has put and named them in the order of work
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
    steps = make_steps(panels, placing.breaks, sign, site, taped, project.film, marks, texts, placing.over)
    numbered = {step.panel: step.n for step in steps if step.kind == "stick"}
    return Plan(
        project=project,
        sign=sign,
        site=site,
        tape_step=project.plan.tape_step,
        measures=total_measures(splitting, lettering, artwork),
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
