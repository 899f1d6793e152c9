"""One sign, judged: against every tree where it is small, against its twins, and against its own certificate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from shapely.affinity import affine_transform

from bigsign.artwork.pieces import Artwork
from bigsign.project import Cutter
from bigsign.splitting.cost import Policy
from bigsign.splitting.families import hooks_of, make_family
from bigsign.splitting.limits import box_fits, panel_limits
from bigsign.splitting.search import search
from bigsign.splitting.separations import Separations
from bigsign.splitting.tree import Branch, CutTree, Node
from bigsign.splitting.units import enclosed_pairs, merge_units
from bigsign.splitting.wishes import resolve_wishes
from tests.bench.proof.kinds import Sign
from tests.bench.proof.seam_checks import larger, seam_faults
from tests.bench.proof.trees import MOST, cut_faults, partable, tree_faults
from tests.bench.proof.verdict import Verdict, parted
from tests.splitting.every_tree import truth_of

__all__ = ["Verdict", "judge", "moved", "parted", "tiers"]

SMALL = 6  # atoms for which every tree is tried
MIRRORS = {
    "mirrored": (-1.0, 0.0, 0.0, 1.0, 333.0, 0.0),
    "upside down": (1.0, 0.0, 0.0, -1.0, 0.0, 217.0),
    "moved": (1.0, 0.0, 0.0, 1.0, 113.3, 71.7),
    "turned": (0.0, 1.0, -1.0, 0.0, 411.0, 0.0),
}

SMALLER = (0.9, 0.0, 0.0, 0.9, 0.0, 0.0)


def tiers(trees: list[CutTree]) -> tuple[int, ...]:
    """Return the measures of trees in the policy's order, in whole units."""
    report = trees[0].report
    seams = [round(contact.length) for tree in trees for contact in tree.graph.contacts]
    breaks = sum(tree.measures.in_word_breaks for tree in trees)
    panels = sum(tree.measures.panels for tree in trees)
    risk = sum(round(1000 * tree.measures.risk) for tree in trees)
    lead = (panels, breaks) if report.policy == "panels" else (breaks, panels)
    # a whole and a half cm² may be rounded either way where a sign is moved
    area = max(round(tree.measures.largest_panel_area / 100 - 1e-6) for tree in trees)
    return (sum(seams), len(seams), *lead, risk, area)


def _key(sign: Sign, trees: list[CutTree]) -> tuple[float, ...]:
    found = tiers(trees)
    w = sign.settings.weights
    if w is None:
        return found
    weighed = w.in_word_breaks * found[2] + w.panels * found[3] + w.risk * found[4] / 1000
    return (*found[:2], round(weighed, 6), *found[2:])


def moved(sign: Sign, matrix: tuple[float, float, float, float, float, float]) -> Sign:
    """Return a sign with all its film and lettering moved by (a, b, c, d, e, f) as in SVG; the mat stays."""
    a, b, c, d, e, f = matrix
    shapes = {p.id: affine_transform(p.shape, [a, c, b, d, e, f]) for p in sign.artwork.pieces}
    pieces = tuple(replace(p, shape=shapes[p.id]) for p in sign.artwork.pieces)

    def to(point: tuple[float, float]) -> tuple[float, float]:
        return a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f

    glyphs = []
    for glyph in sign.lettering.glyphs:
        boxes = np.array([shapes[piece].bounds for piece in glyph.pieces])
        low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        glyphs.append(replace(glyph, bounds=(float(low[0]), float(low[1]), float(high[0]), float(high[1]))))
    turn = float(np.degrees(np.arctan2(b, a))) % 360
    lines = tuple(
        replace(line, baseline=(to(line.baseline[0]), to(line.baseline[1])), angle=turn)
        for line in sign.lettering.lines
    )
    lettering = replace(sign.lettering, glyphs=tuple(glyphs), lines=lines)
    return replace(sign, artwork=Artwork(pieces), lettering=lettering)


def judge(sign: Sign, rank: int) -> Verdict:
    """Return the verdict on a sign; ``rank`` chooses which of the twins are looked at."""
    trees = parted(sign)
    if trees is None:
        return Verdict(tuple(_refusal(sign, rank)), False, False, ("refusals",))
    proved = all(tree.report.proved for tree in trees)
    faults = [*_against_bounds(trees)]
    features = list(_features(sign, trees))
    tried = False
    for tree in trees:
        small = len(tree.graph.atoms) <= SMALL and sign.settings.weights is None
        tried = tried or len(tree.graph.atoms) <= MOST
        faults += _against_every_tree(sign, tree, small)
        faults += cut_faults(tree)
        for fault in tree_faults(sign, tree):
            if fault.startswith("beyond"):  # by a cut that crosses what hooks, not only its cores: no fault
                features.append("cuts across cores")
            else:
                faults.append(fault)
    faults += _against_twins(sign, trees, rank, proved)
    if any(tree.graph.contacts for tree in trees):
        name = list(MIRRORS)[rank % 2]
        faults += seam_faults(sign, trees, {name: moved(sign, MIRRORS[name]), "larger": larger(sign)})
    return Verdict(tuple(faults), proved, tried, tuple(features))


def _refusal(sign: Sign, rank: int) -> Iterator[str]:
    """Yield why a sign should not have been refused."""
    spans = [
        (p.shape.bounds[2] - p.shape.bounds[0], p.shape.bounds[3] - p.shape.bounds[1]) for p in sign.artwork.pieces
    ]
    whole = all(w <= sign.usable[0] and h <= sign.usable[1] for w, h in spans)
    name = list(MIRRORS)[rank % 3]
    if whole and partable(sign):
        yield "refused though partable"
    elif whole and not sign.settings.wishes and len(sign.artwork.pieces) > MOST:
        yield "refused, though all that is whole fits"
    elif parted(moved(sign, MIRRORS[name])) is not None:
        yield f"refused, though not when {name}"


def _against_bounds(trees: list[CutTree]) -> Iterator[str]:
    for tree in trees:
        order = ["seam_length", "seams", "in_word_breaks", "panels", "risk", "largest_panel_area"]
        if tree.report.policy == "panels":
            order[2], order[3] = order[3], order[2]
        for tier in order if tree.report.policy != "weights" else ():
            bound, cost = tree.report.bound[tier], getattr(tree.measures, tier)
            if bound is not None and bound > cost + 0.01:
                yield f"unsound: bound {bound} of {tier} above {cost}"
            if bound is None or bound < cost - 0.01:
                break


def _against_every_tree(sign: Sign, tree: CutTree, small: bool) -> Iterator[str]:
    """Compare with the search without bounds and, where small, with every tree; hold each bound against every set."""
    graph, settings = tree.graph, sign.settings
    if len(graph.atoms) > 9:
        return
    limits = panel_limits(Cutter("bench", "mat", *sign.usable), sign.turning)
    wishes = resolve_wishes(settings.wishes, sign.lettering)
    atoms_of = graph.atoms_of
    firm: list[list[int]] = [list(pair) for pair in enclosed_pairs(graph)]
    for wish in wishes:
        for group in wish.together:
            asked = sorted({atom for node in group for atom in atoms_of.get(node, ())})
            firm += [asked] if asked else []
    units, _ = merge_units(graph, firm, lambda box: box_fits(box, limits))
    hooks = hooks_of(units, graph)
    family = make_family(graph, units, limits, settings, wishes, hooks)
    policy = Policy.of(settings)
    separations = Separations([unit.hull for unit in units], hooks)
    free = search(family, separations, policy, 20_000, prune=False)
    if not free.proved or free.parting is None:
        return
    breaks, panels, risk = policy.unpack(free.cost)
    m = tree.measures
    ours = policy.pack(m.in_word_breaks, m.panels, round(1000 * m.risk))
    theirs = policy.pack(breaks, panels, risk)
    searched = not {"budget", "areas", "lines"} & set(tree.report.certificate.dropped)
    if searched and theirs < ours and not graph.contacts:
        yield f"worse: {policy.unpack(ours)} than without bounds {(breaks, panels, risk)}"
    if not small or len(units) != len(graph.atoms):
        return
    apart = [
        frozenset((i, j))
        for wish in wishes for a, b in wish.apart for i in atoms_of.get(a, ()) for j in atoms_of.get(b, ()) if i != j
    ]  # fmt: skip
    truth = truth_of(graph, hooks, limits, policy.name, settings.placement_tolerance, (), apart)
    if truth is None:
        yield "a plan where trying everything finds none"
        return
    if not graph.contacts:
        lead = (m.panels, m.in_word_breaks) if policy.name == "panels" else (m.in_word_breaks, m.panels)
        found = (*lead, round(1000 * m.risk), round(m.largest_panel_area / 100))
        if searched and found != truth.best:
            yield f"{'worse' if found > truth.best else 'unsound'}: {found}, where trying everything finds {truth.best}"
    family.risk_bound.holds = not free.freed
    for units_here, (least_breaks, least_panels, least_risk) in truth.least.items():
        if family.least_breaks(units_here) > least_breaks:
            yield f"unsound: bound of breaks of {units_here:b}"
        if family.least_panels(units_here) > least_panels:
            yield f"unsound: bound of panels of {units_here:b}"
        if family.least_risk(units_here) > least_risk:
            yield f"unsound: bound of risk of {units_here:b}"


def _against_twins(sign: Sign, trees: list[CutTree], rank: int, proved: bool) -> Iterator[str]:
    own = _key(sign, trees)
    name = list(MIRRORS)[rank % len(MIRRORS)]
    twin = moved(sign, MIRRORS[name])
    if name == "turned":
        twin = replace(twin, usable=(sign.usable[1], sign.usable[0]))
    found = parted(twin)
    if found is None:
        yield f"refused when {name}"
    elif not proved or not all(tree.report.proved for tree in found) or _edges(found) != _edges(trees):
        pass  # of two letters just as near a third, a mirror may read the other as its neighbour
    elif _key(sign, found)[:-1] != own[:-1] or abs(_key(sign, found)[-1] - own[-1]) > 1:  # half a cm² may round up
        yield f"unsound: {own}, {name} {_key(sign, found)}"
    larger = replace(sign, usable=(sign.usable[0] * 1.07, sign.usable[1] * 1.13))
    more = parted(larger if rank % 2 else replace(sign, turning="quarter"))
    if more is None:
        yield "refused on a larger mat, or with leave to turn"
    elif any(tree.graph.own_joins for tree in trees):
        pass  # a letter that fits the larger mat is whole there: the plan for the smaller one is none
    elif all(tree.report.proved for tree in more) and proved and _key(sign, more) > own:
        yield f"worse: {own}, on a larger mat or with leave to turn {_key(sign, more)}"
    whole = not any(tree.graph.contacts or tree.graph.own_joins for tree in trees)
    if sign.settings.weights is None and proved and whole:
        less = parted(moved(sign, SMALLER))
        if less is None:
            yield "refused at a smaller size"
        elif all(tree.report.proved for tree in less) and _key(sign, less)[2:4] > own[2:4]:
            yield f"worse: {own}, at a smaller size {_key(sign, less)}"  # gaps shrink, and so the risk may grow
    if sign.settings.weights is None and proved:
        either = {}
        for policy in ("words", "panels"):
            either[policy] = parted(replace(sign, settings=replace(sign.settings, policy=policy)))
        if None not in either.values():
            words, panels = (
                (sum(t.measures.in_word_breaks for t in made), sum(t.measures.panels for t in made))
                for made in (either["words"] or [], either["panels"] or [])
            )
            if words[0] > panels[0] or panels[1] > words[1]:
                yield f"worse: words {words}, panels {panels}"


def _edges(trees: list[CutTree]) -> set[tuple[frozenset[object], str, float]]:
    """Return the edges that were read, with their kinds and gaps, and between which pieces they were found nearest."""
    out: set[tuple[frozenset[object], str, float]] = set()
    for tree in trees:
        for edge in tree.graph.edges:
            out.add((frozenset((edge.a, edge.b)), edge.kind, round(edge.gap_mm, 3)))
        for join in tree.graph.joins:
            pieces = frozenset(frozenset(tree.graph.atoms[atom].pieces) for atom in (join.a, join.b))
            out.add((frozenset((join.edge, pieces)), "join", round(join.gap_mm, 3)))
    return out


def _features(sign: Sign, trees: list[CutTree]) -> Iterator[str]:
    def bends(node: Node) -> Iterator[str]:
        if isinstance(node, Branch):
            if node.way is not None:
                yield "free ways" if node.way.free else "bent cuts"
            yield from bends(node.first)
            yield from bends(node.second)

    for tree in trees:
        yield from bends(tree.root)
        if tree.measures.in_word_breaks:
            yield "broken words"
        if tree.graph.contacts:
            yield "seams"
        if tree.graph.own_joins:
            yield "letters in pieces"
        if tree.graph.layer:
            yield "layers"
    if len(trees[0].graph.line_of) < len({n for t in trees for a in t.graph.atoms for n in a.nodes}):
        yield "ornaments"
    if len(sign.lettering.lines) > 1:
        yield "several lines"
    yield f"policy {trees[0].report.policy}"
    yield f"turning {sign.turning}"
    if sum(tree.measures.panels for tree in trees) > len(trees):
        yield "parted"
