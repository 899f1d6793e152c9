"""One case, parted by the library and by the model, compared in tiers 1 to 3, with the processor time of both."""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from bigsign.errors import InputError
from bigsign.project import Cutter, PlanSettings
from bigsign.splitting.split import split
from bigsign.splitting.tree import CutTree, leaves
from bigsign.tolerances import TOLERANCES
from tests.bench.splitting.cases import CLASSES, Case
from tests.bench.splitting.facts import Facts, facts_of, measure
from tests.bench.splitting.model import solve
from tests.bench.splitting.risk import gaps_of, least_risk
from tests.splitting.straight_cuts import hull_of, stuck_groups

__all__ = [
    "MOST_ATOMS", "VERDICTS", "Outcome", "compare", "groups_of", "is_plan", "risk_verdict", "size_class", "time_lines",
    "verdict_of",
]  # fmt: skip

#: What may come out, best first. Those after ``unsettled`` are faults of one of the two.
VERDICTS = ("equal", "equal: no plan", "stepped", "unsettled", "worse", "below the bound", "not a plan")

MOST_ATOMS = 20  # whose risk is compared


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came out of one case and policy.

    Parameters
    ----------
    verdict : ``equal`` (both proved, the same), ``equal: no plan`` (neither has one), ``stepped`` (the library's plan
        is not parted by straight cuts and better than any that is), ``unsettled`` (one of them proved no answer),
        ``worse`` (the library proved what the model betters), ``below the bound`` or ``not a plan`` (the library says
        what can't be).
    tool, model, bound : (in-word breaks, panels).
    bound_is_cut : whether straight cuts part the model's first answer, before anything was forbidden.
    risk : how the risk compares, of plans that are equal: ``equal``, ``bent`` (lower, by cuts that bend), ``worse``,
        ``below`` (than any plan's), ``many`` (too many plans to list), or "" where it was not compared.
    """

    seed: int
    policy: str
    glyphs: int
    verdict: str
    tool: tuple[int, int] | None
    model: tuple[int, int] | None
    bound: tuple[int, int] | None
    bound_is_cut: bool
    rounds: int
    tool_seconds: float
    model_seconds: float
    solver_seconds: float
    risk: str = ""

    @property
    def ratio(self) -> float:
        """Processor time of the library by that of the model."""
        return self.tool_seconds / self.model_seconds


def compare(case: Case, policy: str) -> Outcome:
    """Part a case both ways; each time runs from artwork and reading to the plan."""
    start = time.process_time()
    tree = _part(case, policy)
    middle = time.process_time()
    facts = facts_of(case.artwork, case.lettering)
    answer = solve(facts, case.usable, case.turning, policy)
    end = time.process_time()
    tool: tuple[int, int] | None = None
    if tree is None:
        verdict = "unsettled" if not answer.exact else "equal: no plan" if answer.best is None else "worse"
    else:
        tool = tree.measures.in_word_breaks, tree.measures.panels
        groups = groups_of(tree, facts)
        straight = not stuck_groups([hull_of([facts.hulls[i] for i in group]) for group in groups])
        if not is_plan(tree, groups, facts, case):
            verdict = "not a plan"
        else:
            verdict = verdict_of(policy, tool, answer.best, answer.bound, answer.exact, tree.report.proved, straight)
    return Outcome(
        case.seed, policy, len(case.lettering.glyphs), verdict, tool, answer.best, answer.bound, answer.bound_is_cut,
        answer.rounds, middle - start, end - middle, answer.solver_seconds,
        risk_verdict(case, policy, tree, facts) if verdict == "equal" and tree and tree.report.proved else "",
    )  # fmt: skip


def risk_verdict(case: Case, policy: str, tree: CutTree, facts: Facts) -> str:
    """Return how the risk of a proved plan compares with the least of any plan as good in breaks and panels."""
    gaps = gaps_of(case.artwork, case.lettering, facts)
    if len(facts.boxes) > MOST_ATOMS or gaps is None:
        return ""
    best = tree.measures.in_word_breaks, tree.measures.panels
    found = least_risk(facts, gaps, case.usable, case.turning, policy, best, PlanSettings().placement_tolerance)
    ours = round(1000 * tree.measures.risk)
    if found is None:
        return "many"
    if ours == found:
        return "equal"
    bends = tree.report.certificate.cuts != "straight"
    return "worse" if ours > found else "bent" if bends else "below"


def _part(case: Case, policy: str) -> CutTree | None:
    cutter = Cutter("bench", "mat", *case.usable)
    try:
        (tree,) = split(case.artwork, case.lettering, cutter, case.turning, PlanSettings(policy=policy)).trees
    except InputError:
        return None
    return tree


def verdict_of(
    policy: str,
    tool: tuple[int, int],
    best: tuple[int, int] | None,
    bound: tuple[int, int] | None,
    exact: bool,
    proved: bool,
    straight: bool,
) -> str:
    """Return the verdict (see ``Outcome``) of a plan whose own measures hold.

    Parameters
    ----------
    exact, proved : whether the model proved ``best``, and the library ``tool``.
    straight : whether straight cuts part the library's plan.
    """
    def key(found: tuple[int, int]) -> tuple[int, int]:
        return found if policy == "words" else (found[1], found[0])

    if bound is not None and key(tool) < key(bound):
        return "below the bound"
    if exact and (best is None or key(tool) < key(best)):
        return "below the bound" if straight else "stepped"
    if bound is not None and tool == bound and proved:
        return "equal"  # even where the model did not get to a plan that can be cut: nothing is better
    if not exact or not proved:
        return "unsettled"
    return "equal" if tool == best else "worse"


def groups_of(tree: CutTree, facts: Facts) -> list[list[int]]:
    place = {node: at for at, atom in enumerate(facts.atoms) for node in atom}
    return [sorted({place[node] for node in leaf.nodes}) for leaf in leaves(tree.root)]


def is_plan(tree: CutTree, groups: Sequence[Sequence[int]], facts: Facts, case: Case) -> bool:
    """Whether the library's panels are a plan with the measures it states, going by the facts alone."""
    ways = {case.usable} if case.turning == "none" else {case.usable, case.usable[::-1]}
    for group in groups:
        boxes = [facts.boxes[i] for i in group]
        width = max(b[2] for b in boxes) - min(b[0] for b in boxes)
        height = max(b[3] for b in boxes) - min(b[1] for b in boxes)
        slack = TOLERANCES.fit + 0.003  # boxes are in whole µm, rounded outwards
        if not any(width / 1000 <= w + slack and height / 1000 <= h + slack for w, h in ways):
            return False
    panel = {i: at for at, group in enumerate(groups) for i in group}
    whole = sorted(i for group in groups for i in group) == list(range(len(facts.boxes)))
    stays = all(panel[a] == panel[b] for a, b in facts.stay)
    m = tree.measures
    return whole and stays and m.seams == 0 and measure(facts, groups) == (m.in_word_breaks, m.panels)


def size_class(glyphs: int) -> tuple[int, int]:
    """Return the size class of so many glyphs."""
    return next(size for size in CLASSES if size[0] <= glyphs <= size[1])


def time_lines(outcomes: Iterable[Outcome]) -> list[str]:
    """Return the times by size class and of all cases where both have a plan, as lines to print.

    The last line is of the cases where the model was solved once: nothing had to be forbidden.
    """
    timed = [outcome for outcome in outcomes if outcome.tool is not None and outcome.model is not None]
    rows = [(f"{size[0]} to {size[1]}", [o for o in timed if size_class(o.glyphs) == size]) for size in CLASSES]
    rows += [("all", timed), ("once", [o for o in timed if o.rounds == 1])]
    out = ["  glyphs    cases    tool s   model s  (solver s)  ratio  median ratio  tool slower"]
    for name, own in rows:
        if own:
            tool, model = sum(o.tool_seconds for o in own), sum(o.model_seconds for o in own)
            solver, middle = sum(o.solver_seconds for o in own), median(o.ratio for o in own)
            slower = sum(o.ratio > 1 for o in own)
            out.append(
                f"  {name:<9} {len(own):>5} {tool:>9.2f} {model:>9.2f}  ({solver:>8.2f}) {tool / model:>6.2f} "
                f"{middle:>13.2f} {slower:>12}"
            )
    return out
