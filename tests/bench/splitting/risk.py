"""Tier 4 against the model: of all plans that are best in breaks and panels, the least risk of any of their cut trees.

The model lists the groupings (each found is forbidden, and the model solved again); for each, every tree of straight
cuts between its panels is tried by a sweep of directions. Edges and gaps are read here anew, from the films and the
order of reading. Risk is in thousandths; cases with too many groupings, or lines that nothing joins, are left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import pairwise

import numpy as np
import shapely
from ortools.sat.python import cp_model

from bigsign.artwork.pieces import Artwork
from bigsign.reading.lettering import Lettering
from tests.bench.splitting.facts import Facts
from tests.bench.splitting.model import PlanModel
from tests.splitting.straight_cuts import Points, arc_between, hull_of

__all__ = ["MOST_GROUPINGS", "gaps_of", "least_risk", "least_risk_of_tree"]

MOST_GROUPINGS = 60
MOST_ROUNDS = 200
Gaps = dict[tuple[int, int], float]


def gaps_of(artwork: Artwork, lettering: Lettering, facts: Facts) -> Gaps | None:
    """Return the clear distance of each edge between two atoms, mm; None where the edges do not join all atoms."""
    shapes = {piece.id: piece.shape for piece in artwork.pieces}
    films = {glyph.id: shapely.union_all([shapes[p] for p in glyph.pieces]) for glyph in lettering.glyphs}
    words = {word.id: word for word in lettering.words}
    rows = [[glyph for word in line.words for glyph in words[word].glyphs] for line in lettering.lines]
    pairs = [pair for row in rows for pair in pairwise(row)]
    for at, (line, other) in enumerate(pairwise(lettering.lines)):
        if line.block == other.block:
            (x0, y0), (x1, y1) = line.baseline
            along = np.array([x1 - x0, y1 - y0]) / np.hypot(x1 - x0, y1 - y0)
            runs = {g: shapely.get_coordinates(films[g]) @ along for g in (*rows[at], *rows[at + 1])}
            pairs += [
                (a, b) for a in rows[at] for b in rows[at + 1]
                if runs[a].min() < runs[b].max() and runs[b].min() < runs[a].max()
            ]  # fmt: skip
    place = {node: at for at, atom in enumerate(facts.atoms) for node in atom}
    out: Gaps = {}
    for a, b in pairs:
        i, j = sorted((place[a], place[b]))
        if i != j:
            out[i, j] = min(out.get((i, j), np.inf), float(films[a].distance(films[b])))
    joined = {0}
    for _ in facts.boxes:
        joined |= {k for pair in out if joined & set(pair) for k in pair}
    return out if len(joined) == len(facts.boxes) else None


def least_risk(
    facts: Facts, gaps: Gaps, usable: tuple[float, float], turning: str, policy: str, best: tuple[int, int],
    tolerance: float,
) -> int | None:
    """Return the least risk of the plans with these (breaks, panels); None: there are too many to list."""
    held = PlanModel.of(facts, usable, turning, policy)
    breaks, panels = held.terms
    held.model.add(breaks == best[0])
    held.model.add(panels == best[1])
    found: int | None = None
    listed = 0
    for _ in range(MOST_ROUNDS):
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = 5.0
        status = solver.solve(held.model)
        if status == cp_model.INFEASIBLE:
            return found
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE) or listed == MOST_GROUPINGS:
            return None
        groups = held.groups(solver)
        risk = least_risk_of_tree(groups, facts.hulls, gaps, tolerance)
        if risk is not None:
            listed += 1
            found = risk if found is None else min(found, risk)
        held.forbid([list(group) for group in groups])
    return None


def least_risk_of_tree(
    groups: Sequence[Sequence[int]], hulls: Sequence[Points], gaps: Gaps, tolerance: float
) -> int | None:
    """Return the least risk of a tree of straight cuts that parts these groups; None: there is no such tree."""
    outlines = [hull_of([hulls[i] for i in group]) for group in groups]
    panel = {i: at for at, group in enumerate(groups) for i in group}
    between: dict[frozenset[int], float] = {}
    for (i, j), gap in gaps.items():
        key = frozenset((panel[i], panel[j]))
        between[key] = min(between.get(key, np.inf), gap)

    @cache
    def solve(panels: frozenset[int]) -> int | None:
        if len(panels) == 1:
            return 0
        best: int | None = None
        for side in _sides(sorted(panels), outlines):
            one, two = solve(side), solve(panels - side)
            if one is None or two is None:
                continue
            parted = [between[key] for a in side for b in panels - side if (key := frozenset((a, b))) in between]
            risk = round(1000 * tolerance / max(min(parted), tolerance)) if parted else 0
            best = one + two + risk if best is None else min(best, one + two + risk)
        return best

    return solve(frozenset(range(len(groups))))


def _sides(panels: Sequence[int], outlines: Sequence[Points]) -> set[frozenset[int]]:
    """Return one side of each two that a straight line parts: the one with the first panel."""
    ends = set()
    for at, a in enumerate(panels):
        for b in panels[at + 1 :]:
            arc = arc_between(outlines[a], outlines[b])
            if arc is not None:
                ends |= {end % np.pi for end in arc}
    marks = np.array(sorted(ends))
    middles = (marks + np.append(marks[1:], marks[:1] + np.pi)) / 2
    out = set()
    for angle in middles.tolist():
        u = np.array([np.cos(angle), np.sin(angle)])
        shadows = sorted((float((outlines[g] @ u).min()), float((outlines[g] @ u).max()), g) for g in panels)
        reach = shadows[0][1]
        for at in range(1, len(shadows)):
            if shadows[at][0] > reach:
                side = frozenset(g for _, _, g in shadows[:at])
                out.add(side if panels[0] in side else frozenset(panels) - side)
            reach = max(reach, shadows[at][1])
    return out
