"""Checks of what a plan claims of its parting: each certificate read again from its films and cuts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from shapely.geometry import Polygon

from bigsign.plan_records import Plan
from bigsign.splitting.certificate import CLASSES, DROPPED, TIERS, Certificate, CertTree
from bigsign.splitting.tree import SearchReport

__all__ = ["check_certificates"]

SLACK = 1e-6
ROUNDED = 0.01  # mm and mm² by which sums of floats may differ

Boxes = Mapping[str, tuple[float, float, float, float]]


def check_certificates(plan: Plan) -> Iterator[str]:
    """Yield what is wrong with the certificates of a plan."""
    fragments = {fragment: shape for fragment, _, shape in plan.fragments}
    held = [name for report in plan.search for panel in _panels(report.certificate.tree) for name in panel]
    if sorted(held) != sorted(fragments):
        yield "the certificates do not hold every fragment once"
        return
    for report in plan.search:
        where = f"the certificate of {report.colour}{' ' + report.layer if report.layer else ''}"
        for fault in (
            *_check_tree(report, plan),
            *_check_cost(report.certificate, fragments),
            *_check_bound(report),
            *_check_class(report, plan),
            *_check_witness(report.certificate, fragments, plan),
        ):
            yield f"{where} {fault}"
    for tier in ("in_word_breaks", "risk", "seams", "seam_length"):
        total = sum(report.certificate.cost[tier] for report in plan.search)
        less = plan.measures.in_word_breaks - total if tier == "in_word_breaks" else 0
        if less > 0 and any(report.layer for report in plan.search):
            continue  # a word may break between layers, which no search of one sees
        if abs(total - getattr(plan.measures, tier)) > ROUNDED:
            yield f"the certificates cost {total} in {tier}, but the plan says {getattr(plan.measures, tier)}"


def _panels(tree: CertTree) -> list[frozenset[str]]:
    if all(isinstance(part, str) for part in tree):
        return [frozenset(str(part) for part in tree)]
    return [panel for part in tree if not isinstance(part, str) for panel in _panels(part)]


def _splits(tree: CertTree) -> list[frozenset[frozenset[str]]]:
    """Return, for each cut of a tree, the fragments of its two sides."""
    if all(isinstance(part, str) for part in tree):
        return []
    sides = [part for part in tree if not isinstance(part, str)]
    own = frozenset(frozenset().union(*_panels(side)) for side in sides)
    return [own, *(split for side in sides for split in _splits(side))]


def _check_tree(report: SearchReport, plan: Plan) -> Iterator[str]:
    """Its panels are the plan's, and each of its cuts is one of the plan's with the same two sides."""
    panels = {panel.id: frozenset(panel.fragments) for panel in plan.panels if panel.colour == report.colour}
    tree = report.certificate.tree
    if not set(_panels(tree)) <= set(panels.values()):
        yield "has panels that the plan has not"
        return
    cuts = {cut.id: cut for cut in plan.cuts}

    def under(name: str, depth: int = 0) -> frozenset[str]:
        if name in panels or depth > len(cuts):
            return panels.get(name, frozenset())
        return under(cuts[name].left, depth + 1) | under(cuts[name].right, depth + 1)

    made = {frozenset((under(c.left), under(c.right))) for c in plan.cuts if c.colour == report.colour}
    if not set(_splits(tree)) <= made:
        yield "has cuts that the plan has not"


def _check_cost(certificate: Certificate, fragments: Mapping[str, Polygon]) -> Iterator[str]:
    panels = _panels(certificate.tree)
    if certificate.cost["panels"] != len(panels):
        yield f"says {certificate.cost['panels']} panels, its tree has {len(panels)}"
    areas = []
    for panel in panels:
        x0, y0, x1, y1 = _box([fragments[name].bounds for name in panel])
        areas.append((x1 - x0) * (y1 - y0))
    if abs(max(areas) - certificate.cost["largest_panel_area"]) > 1e-6 * max(areas) + ROUNDED:
        yield f"says the largest panel has {certificate.cost['largest_panel_area']:.1f} mm², it has {max(areas):.1f}"


def _check_bound(report: SearchReport) -> Iterator[str]:
    """No bound lies above the cost, in the order that the policy asks; nothing is proved of what was dropped."""
    found = report.certificate
    if set(found.cost) != set(TIERS) or set(found.bound) != set(TIERS):
        yield "does not speak of every tier"
        return
    if report.policy != "weights":
        order = list(TIERS)
        if report.policy == "panels":
            order[2], order[3] = order[3], order[2]
        for tier in order:
            bound = found.bound[tier]
            if bound is None or bound < found.cost[tier] - ROUNDED:
                break
            if bound > found.cost[tier] + ROUNDED:
                yield f"has a bound of {bound} for {tier}, above its cost of {found.cost[tier]}"
    if report.proved != (not found.dropped and all(
        bound is not None and abs(bound - found.cost[tier]) < SLACK for tier, bound in found.bound.items()
    )):  # fmt: skip
        yield "is called proved, and is not"


def _check_class(report: SearchReport, plan: Plan) -> Iterator[str]:
    """The cuts are of the class searched, and whatever was dropped is named by a code that is known."""
    found = report.certificate
    if found.cuts not in CLASSES:
        yield f"speaks of cuts called {found.cuts!r}"
        return
    unknown = [code for code in found.dropped if code not in DROPPED]
    if unknown:
        yield f"dropped what nobody knows: {unknown}"
    fragments = frozenset().union(*_panels(found.tree))
    own = {panel.id for panel in plan.panels if set(panel.fragments) <= fragments}
    bends = [cut for cut in plan.cuts if cut.way in ("legs", "free") and {cut.left, cut.right} & own]
    if bends and found.cuts == "straight":
        yield f"speaks of straight cuts, and {bends[0].id} bends"
    if found.cost["seams"] and not {"seams", "seam-places", "seam-rules"} & set(found.dropped):
        yield "calls a plan with seams the best, whatever other places they may have"


def _check_witness(certificate: Certificate, fragments: Mapping[str, Polygon], plan: Plan) -> Iterator[str]:
    """No two of the sets that are named as a reason for so many panels go on a panel together."""
    boxes = []
    for names in certificate.apart:
        known = [fragments[name].bounds for name in names if name in fragments]
        if not known:
            yield f"names fragments that are not there: {names}"
            return
        boxes.append(_box(known))
    cutter = plan.project.cutter
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            x0, y0, x1, y1 = _box([one, other])
            ways = [(x1 - x0, y1 - y0)] + ([(y1 - y0, x1 - x0)] if plan.project.turning != "none" else [])
            if any(w <= cutter.width + SLACK and h <= cutter.length + SLACK for w, h in ways):
                yield "calls two sets apart that go on one panel"
                return
    if len(boxes) > certificate.cost["panels"]:
        yield f"has {certificate.cost['panels']} panels, fewer than the {len(boxes)} sets it calls apart"


def _box(boxes: Sequence[tuple[float, float, float, float]]) -> tuple[float, float, float, float]:
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )
