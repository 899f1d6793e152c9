"""Checks of what lies over what: the order of work lays every piece after the film beneath it."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from bigsign.plan_records import Plan
from bigsign.splitting.certificate import names_in

__all__ = ["check_layers", "frame_panels", "lies_over", "most_beneath", "strata_of_panels"]

DUST = 1e-6  # mm²: pieces that share less only butt


def check_layers(plan: Plan) -> Iterator[str]:
    """Yield panels stuck before the film beneath theirs, and panels with film over film of their own."""
    panel_of = {fragment: panel for panel in plan.panels for fragment in panel.fragments}
    own: dict[str, list[tuple[str, shapely.Polygon]]] = {}
    for fragment, piece, shape in plan.fragments:
        own.setdefault(piece, []).append((fragment, shape))
    told = set()
    for lower, upper in lies_over(plan):
        for below, one in own.get(lower, ()):
            for above, two in own.get(upper, ()):
                first, then = panel_of.get(below), panel_of.get(above)
                if first is None or then is None or first.number < then.number or (first.id, then.id) in told:
                    continue
                if one.intersection(two).area > DUST:
                    told.add((first.id, then.id))
                    yield f"{then.id} is stuck before {first.id}, on whose film it lies"


def lies_over(plan: Plan) -> list[tuple[str, str]]:
    """Return the ids of pieces that overlap, the lower first; pieces are given from the bottom up."""
    shapes = [piece.shape for piece in plan.pieces]
    first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    return [
        (plan.pieces[a].id, plan.pieces[b].id)
        for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True))
        if a < b and not shapes[a].touches(shapes[b])
    ]


def strata_of_panels(plan: Plan) -> dict[str, str]:
    """Return the name of the stratum that each panel says it is of; that of its frame and holes too."""
    named = {
        name: report.layer.split("/")[0] if report.layer.startswith("stratum-") else ""
        for report in plan.search
        for name in names_in(report.certificate.tree)
    }
    return {panel.id: named.get(panel.fragments[0], "") if panel.fragments else "" for panel in plan.panels}


def frame_panels(plan: Plan) -> set[str]:
    """Return the ids of the panels that hold frames parted by themselves, as the layers of the plan's searches say."""
    pieces = {piece.id for piece in plan.pieces}
    frames = [report for report in plan.search if report.layer.split("/")[-1] in pieces]
    named = {name for report in frames for name in names_in(report.certificate.tree)}
    return {panel.id for panel in plan.panels if not named.isdisjoint(panel.fragments)}


def most_beneath(plan: Plan) -> int:
    """Return how many pieces lie one over another beneath a piece at most."""
    under: dict[str, int] = {}
    rank = {piece.id: n for n, piece in enumerate(plan.pieces)}
    for lower, upper in sorted(lies_over(plan), key=lambda pair: rank[pair[1]]):
        under[upper] = max(under.get(upper, 0), under.get(lower, 0) + 1)
    return max(under.values(), default=0)
