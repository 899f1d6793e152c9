"""Parting, placing and marking in one: the panels, what lies between them, and room left for their register marks.

The best parting may leave a panel that fills the usable area, and so no room to cut a mark with it. Where marks
are asked for at every join, the lettering is then parted for a smaller area, a little at a time, until what lacked
room has it. No seam through film is taken for a mark: a seam shows for ever, and marks only help to place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bigsign.artwork.pieces import Artwork
from bigsign.budgets import BUDGETS
from bigsign.errors import Fault, InputError
from bigsign.findings import Finding
from bigsign.placing.cut_lines import CrossedError
from bigsign.placing.marks import place_marks
from bigsign.placing.place import Placing, place
from bigsign.placing.rulers import Rulers
from bigsign.placing.taken import CLEAR
from bigsign.plan_records import RegisterMark
from bigsign.project import Cutter, Project
from bigsign.reading.lettering import Lettering
from bigsign.splitting.limits import panel_limits
from bigsign.splitting.split import seamed, split
from bigsign.splitting.tree import BarredCut, CutTree, Splitting, leaves
from bigsign.units import to_tape
from bigsign.work.order import layer_rule, work_order

__all__ = ["Parted", "panels_by_area", "part_lettering"]

MOST_BARRED = 12  # cuts that turn out not to be laid out before giving up
ROOMS = (1, 2, 4)  # marks with their clear space, by which the area is lowered; tried in this order

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Parted:
    """The parting, where all stands on the board, and the marks.

    ``before``: for each panel the panels that must be up before it; ``cramped``: joins that lack a mark for want of
    usable area.
    """

    splitting: Splitting
    placing: Placing
    before: Mapping[str, set[str]]
    marks: tuple[RegisterMark, ...]
    cramped: int

    @property
    def lacking(self) -> int:
        """How many joins lack a mark, for whatever reason."""
        return sum(finding.code == "place-no-mark" for finding in self.placing.findings)

    @property
    def seams(self) -> tuple[float, int]:
        """Length and number of the seams through film."""
        found = [tree.measures for tree in self.splitting.trees]
        return round(sum(m.seam_length for m in found), 3), sum(m.seams for m in found)


def part_lettering(project: Project, artwork: Artwork, lettering: Lettering, say: Progress) -> Parted:
    """Return the best parting, placed and marked; with `[marks] use = "on"` one that leaves the marks room.

    Raises
    ------
    InputError
        As :func:`bigsign.splitting.split.split`.
    """
    _check_count(artwork, project)
    first = _marked(project, artwork, *_parted(project, artwork, lettering, say, 0.0))
    tried = [_panels(first.splitting)]
    if project.marks.use != "on" or not first.cramped:
        return first
    for count in ROOMS:
        less = count * (project.marks.size + CLEAR)
        if less >= min(project.cutter.width, project.cutter.length) / 2:
            break
        say(f"leaving {to_tape(less, project.plan.tape_step).tape} of the usable area to register marks")
        try:
            splitting, unmarked = _parted(project, artwork, lettering, say, less)
        except InputError:  # a piece or a wish that needs the whole area
            break
        if _panels(splitting) in tried:
            continue
        tried.append(_panels(splitting))
        found = _marked(project, artwork, splitting, unmarked)
        if found.seams > first.seams:
            break
        if not found.cramped and found.lacking < first.lacking:
            return _with_room(found, first, less, project)
    return first


def panels_by_area(artwork: Artwork, cutter: Cutter) -> float:
    """Return a number of panels that no parting stays below: none holds more film than the usable area has."""
    return sum(piece.shape.area for piece in artwork.pieces) / (cutter.width * cutter.length)


def _check_count(artwork: Artwork, project: Project) -> None:
    """Refuse a sign that must have more panels than ``BUDGETS.panels``, before any is made."""
    least = panels_by_area(artwork, project.cutter)
    if least > BUDGETS.panels:
        raise InputError([_too_many(least)])


def _too_many(panels: float) -> Fault:
    right = f"at most {BUDGETS.panels:,}: a larger mat, a smaller sign, or the sign in parts"
    return Fault(f"it would take {panels:,.0f} panels or more", "the artwork on this mat", right)


def _parted(
    project: Project, artwork: Artwork, lettering: Lettering, say: Progress, less: float
) -> tuple[Splitting, Placing]:
    """Part for a usable area that is less by so many mm either way, by cuts that can be laid out on the board."""
    rulers = Rulers.of(project.board, project.plan.tape_step)
    cutter = project.cutter
    area = replace(cutter, width=cutter.width - less, length=cutter.length - less) if less else cutter
    limits = panel_limits(area, project.turning)
    film = seamed(artwork, lettering, limits, project.plan, rulers.coarse_marks)
    barred: list[BarredCut] = []
    while True:
        splitting = split(artwork, lettering, area, project.turning, project.plan, say, barred=barred, film=film)
        if (count := sum(len(leaves(tree.root)) for tree in splitting.trees)) > BUDGETS.panels:
            raise InputError([_too_many(count)])
        say("placing break lines, trims and hinges")
        try:
            return splitting, place(project, lettering, splitting)
        except CrossedError as error:
            if error.cut in barred or len(barred) >= MOST_BARRED:
                raise InputError([_crossed(error.cut)]) from error
            barred.append(error.cut)


def _crossed(cut: BarredCut) -> Fault:
    return Fault(
        f"the {cut.colour} film hooks into itself so often that no cuts were found that can follow one another",
        "the artwork",
        "more space between its lines or letters, or a larger mat",
    )


def _panels(splitting: Splitting) -> list[frozenset[str]]:
    """Return the nodes of each panel: the same panels again would have no more room."""
    return [frozenset(leaf.nodes) for tree in splitting.trees for leaf in leaves(tree.root)]


def _numbered(project: Project, artwork: Artwork, placing: Placing) -> Placing:
    """Return a placing whose panels stand in the order of work and are named by it: panel-04 is Panel 4 on paper."""
    before = layer_rule(placing.panels, artwork, placing.laps)
    order = work_order(placing.panels, placing.breaks, (project.board.width, project.board.height), before)
    names = {old: f"panel-{number:02d}" for number, old in enumerate(order, 1)}

    def pair(ids: tuple[str, str]) -> tuple[str, str]:
        return names[ids[0]], names[ids[1]]

    at = {panel.id: panel for panel in placing.panels}
    panels = [replace(at[panel], id=names[panel]) for panel in order]
    breaks = [
        replace(part, panels=pair(part.panels), upper=None if part.upper is None else names[part.upper])
        for part in placing.breaks
    ]
    cuts = [
        replace(cut, left=names.get(cut.left, cut.left), right=names.get(cut.right, cut.right)) for cut in placing.cuts
    ]
    laps = tuple(pair(lap) for lap in placing.laps)
    over = sorted(pair(crossing) for crossing in placing.over)
    findings = (*placing.findings, *_over_findings(over))
    return replace(
        placing, panels=tuple(panels), breaks=tuple(breaks), cuts=tuple(cuts), laps=laps, over=tuple(over),
        findings=findings,
    )  # fmt: skip


def _over_findings(over: Sequence[tuple[str, str]]) -> Iterator[Finding]:
    """Yield a finding for each panel whose trim outline lies on film of a frame: (panel, frame's panel)."""
    frames: dict[str, list[str]] = {}
    for panel, frame in over:
        frames.setdefault(panel, []).append(frame)
    for panel, others in frames.items():
        yield Finding(
            "place-over-film",
            f"The film of {panel} lies on both sides of that of {', '.join(others)}, which is up by then.",
            remedy="Its transfer tape reaches across: don't rub it down there, and peel it off slowly.",
        )


def _marked(project: Project, artwork: Artwork, splitting: Splitting, unmarked: Placing) -> Parted:
    """Mark a parting, for the whole of the usable area."""
    unmarked = _numbered(project, artwork, unmarked)
    before = layer_rule(unmarked.panels, artwork, unmarked.laps)
    placing, marks, cramped = place_marks(project, unmarked, before)
    return Parted(splitting, placing, before, marks, cramped)


def _with_room(found: Parted, first: Parted, less: float, project: Project) -> Parted:
    """Return a parting that left room, saying so; what was proved for the whole area still bounds it."""
    whole = {(tree.colour, tree.graph.layer): tree for tree in first.splitting.trees}
    trees = tuple(_bounded(tree, whole.get((tree.colour, tree.graph.layer)), less) for tree in found.splitting.trees)
    tape = to_tape(less, project.plan.tape_step).tape
    said = Finding(
        "place-mark-room",
        f"The lettering is parted as if the usable area were {tape} smaller each way: else {first.cramped} of its "
        f"joins would lack register marks for want of room.",
        remedy="Nothing is needed; fewer, larger panels come of [marks] use = \"auto\" or \"off\".",
    )
    placing = replace(found.placing, findings=(*found.placing.findings, said))
    return replace(found, splitting=replace(found.splitting, trees=trees), placing=placing)


def _bounded(tree: CutTree, whole: CutTree | None, less: float) -> CutTree:
    """Return a tree whose report tells of the whole usable area: best of all only if as good as the best there."""
    method = f"{tree.report.method}; usable area less {less:g} mm for register marks"
    found = tree.report.certificate
    if whole is None:
        certificate = replace(found, dropped=("mark-room", *found.dropped), apart=())
    else:  # best of all only if as good as the best of the whole area
        known = whole.report.certificate
        dropped = known.dropped if tree.measures == whole.measures else ("mark-room", *known.dropped)
        certificate = replace(found, bound=known.bound, dropped=dropped, apart=known.apart)
    return replace(tree, report=replace(tree.report, method=method, certificate=certificate))
