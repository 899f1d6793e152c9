"""An exact model of a parting for a constraint solver (CP-SAT), written apart from the library's search.

It shares with the library the artwork, the reading and two tolerances, and nothing of graph, cuts, cost or search.
Shapes that share film are one *atom*. A Boolean says that an atom is in a panel; a panel's extents are whole
micrometres and must fit one way up or the other. Breaks and panels are minimised together, weighted so that the first
counts before the second. Step-cutting is left out at first: the answer is tested by `tests.splitting.straight_cuts`,
a smallest part of it that straight cuts can't part is forbidden, and the model is solved again, until an answer can be
cut (then it is the optimum over plans parted by straight cuts) or the rounds are used up (then it is only a bound).
One worker, a fixed seed, and a limit in the solver's deterministic time: answers do not depend on the machine.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from bigsign.tolerances import TOLERANCES
from tests.bench.splitting.facts import Facts, measure
from tests.splitting.straight_cuts import core_that_cannot_be_cut, hull_of, stuck_groups

__all__ = ["Answer", "PlanModel", "solve"]

ROUNDS = 400
DETERMINISTIC_TIME = 20.0  # of the solver, in all rounds; about as many seconds
SAFE = 2  # µm: extents are rounded outwards to whole µm, so this much is allowed over the usable area


@dataclass(frozen=True, slots=True)
class Answer:
    """What the model found.

    Parameters
    ----------
    exact : proved: ``best`` is the optimum over plans that straight cuts part (None: there is no such plan).
    best : (in-word breaks, panels), and ``groups`` the atoms of each panel.
    bound : (in-word breaks, panels) of the first answer, before anything was forbidden, where that was proved: no plan
        that fits is better, whatever its cuts. ``bound_is_cut``: straight cuts part that first answer.
    rounds : how often the model was solved; ``solver_seconds`` the solver's share of the time.
    """

    exact: bool
    best: tuple[int, int] | None
    bound: tuple[int, int] | None
    bound_is_cut: bool
    rounds: int
    groups: tuple[tuple[int, ...], ...]
    solver_seconds: float


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The ways up allowed, in µm."""

    ways: tuple[tuple[int, int], ...]

    @classmethod
    def of(cls, usable: tuple[float, float], turning: str) -> _Sizes:
        w, h = (round(1000 * (side + TOLERANCES.fit)) + SAFE for side in usable)
        return cls(((w, h),) if turning == "none" else ((w, h), (h, w)))

    def fit(self, facts: Facts, atoms: list[int]) -> bool:
        boxes = [facts.boxes[i] for i in atoms]
        width = max(b[2] for b in boxes) - min(b[0] for b in boxes)
        height = max(b[3] for b in boxes) - min(b[1] for b in boxes)
        return any(width <= w and height <= h for w, h in self.ways)


def _most_panels(facts: Facts, sizes: _Sizes, policy: str) -> int:
    """Return a number of panels that the best plan surely does not exceed: of a simple plan that can be cut."""

    def fill(parts: list[list[int]], into: list[list[int]]) -> None:
        here: list[int] = []
        for part in parts:
            if here and not sizes.fit(facts, here + part):
                into.append(here)
                here = []
            here = here + part
        if here:
            into.append(here)

    plan: list[list[int]] = []
    for line in facts.lines:
        if policy == "panels":
            fill([[i] for i in line], plan)
        else:  # the fewest breaks possible: each word in as few runs as it can be
            for word in facts.words:
                if word[0] in line:
                    fill([[i] for i in word], plan)
    if policy == "words":
        joined: list[list[int]] = []
        fill(plan, joined)
        if len({i for group in joined for i in group}) == len(facts.boxes) and _valid(facts, sizes, joined):
            return len(joined)
    return len(plan) if _valid(facts, sizes, plan) else len(facts.boxes)


def _valid(facts: Facts, sizes: _Sizes, plan: list[list[int]]) -> bool:
    """Whether this is a plan: each atom once, what stays together does, all fits, and straight cuts part it."""
    panel = {i: at for at, group in enumerate(plan) for i in group}
    return (
        sum(len(group) for group in plan) == len(panel) == len(facts.boxes)
        and all(sizes.fit(facts, group) for group in plan)
        and all(panel[a] == panel[b] for a, b in facts.stay)
        and not stuck_groups([hull_of([facts.hulls[i] for i in group]) for group in plan])
    )


class PlanModel:
    """The model of a case; ``terms`` are its sums of breaks and of panels."""

    @classmethod
    def of(cls, facts: Facts, usable: tuple[float, float], turning: str, policy: str) -> PlanModel:
        """Return the model of atoms on a mat."""
        return cls(facts, _Sizes.of(usable, turning), policy)

    def __init__(self, facts: Facts, sizes: _Sizes, policy: str) -> None:
        self.facts, self.sizes = facts, sizes
        self.model = model = cp_model.CpModel()
        n = len(facts.boxes)
        self.most = most = _most_panels(facts, sizes, policy)
        # atom i can only be in a panel of number i or less; a panel's number follows that of its first atom
        self.x = [[model.new_bool_var(f"x{i},{p}") for p in range(min(i + 1, most))] for i in range(n)]
        self.used = [model.new_bool_var(f"u{p}") for p in range(most)]
        self.same: dict[tuple[int, int], cp_model.IntVar] = {}
        for row in self.x:
            model.add_exactly_one(row)
        for p in range(most):
            self._extents(p)
            for i in range(p, n):
                model.add_implication(self.x[i][p], self.used[p])
                if p:
                    model.add_bool_or([self.x[i][p].negated(), *(self.x[k][p - 1] for k in range(p - 1, i))])
            if p:
                model.add_implication(self.used[p], self.used[p - 1])
            model.add_bool_or([self.used[p].negated(), *(self.x[i][p] for i in range(p, n))])
        for i, j in facts.stay:
            model.add(self.together(i, j) == 1)
        breaks = sum(1 - self.together(a, b) for a, b in facts.follows)
        panels = sum(self.used)
        self.terms = breaks, panels
        if policy == "words":
            model.minimize(breaks * (most + 1) + panels)
        else:
            model.minimize(panels * (len(facts.follows) + 1) + breaks)

    def _extents(self, p: int) -> None:
        """Hold panel p's extents within the usable area, one way up or the other."""
        model, facts = self.model, self.facts
        least = [min(box[side] for box in facts.boxes) for side in (0, 1)]
        most = [max(box[side] for box in facts.boxes) for side in (2, 3)]
        turned = model.new_bool_var(f"t{p}") if len(self.sizes.ways) > 1 else None
        for side in (0, 1):
            low = model.new_int_var(least[side], most[side], f"lo{p},{side}")
            high = model.new_int_var(least[side], most[side], f"hi{p},{side}")
            for i in range(p, len(facts.boxes)):
                model.add(low <= facts.boxes[i][side]).only_enforce_if(self.x[i][p])
                model.add(high >= facts.boxes[i][side + 2]).only_enforce_if(self.x[i][p])
            if turned is None:
                model.add(high - low <= self.sizes.ways[0][side])
            else:
                upright, lying = (way[side] for way in self.sizes.ways)
                model.add(high - low <= upright + (lying - upright) * turned)
        for i in range(p, len(facts.boxes)):  # implied by the extents, and a help to the solver
            for j in range(i + 1, len(facts.boxes)):
                if not self.sizes.fit(facts, [i, j]):
                    model.add_bool_or([self.x[i][p].negated(), self.x[j][p].negated()])

    def together(self, i: int, j: int) -> cp_model.IntVar:
        """Return the Boolean that says whether two atoms share a panel."""
        i, j = min(i, j), max(i, j)
        if (i, j) not in self.same:
            same = self.same[i, j] = self.model.new_bool_var(f"s{i},{j}")
            for p, there in enumerate(self.x[j]):
                here = self.x[i][p] if p < len(self.x[i]) else None
                if here is None:
                    self.model.add_implication(same, there.negated())
                    continue
                self.model.add_bool_or([here.negated(), there.negated(), same])
                self.model.add_bool_or([same.negated(), here.negated(), there])
                self.model.add_bool_or([same.negated(), there.negated(), here])
        return self.same[i, j]

    def forbid(self, core: list[list[int]]) -> None:
        """Forbid that the atoms of ``core`` are grouped just so."""
        within = [self.together(a, b).negated() for group in core for a, b in pairwise(group)]
        between = [
            self.together(a[0], b[0]) for at, a in enumerate(core) for b in core[at + 1 :]
        ]  # fmt: skip
        self.model.add_bool_or([*within, *between])

    def groups(self, solver: cp_model.CpSolver) -> tuple[tuple[int, ...], ...]:
        """Return the atoms of each panel of a solution."""
        out: dict[int, list[int]] = {}
        for i, row in enumerate(self.x):
            out.setdefault(next(p for p, var in enumerate(row) if solver.boolean_value(var)), []).append(i)
        return tuple(tuple(out[p]) for p in sorted(out))


def solve(facts: Facts, usable: tuple[float, float], turning: str, policy: str) -> Answer:
    """Return the best plan by the model: fewest breaks, then panels (``words``), or the other way round."""
    held = PlanModel.of(facts, usable, turning, policy)
    spent = seconds = 0.0
    bound: tuple[int, int] | None = None
    for rounds in range(1, ROUNDS + 1):
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = max(0.01, DETERMINISTIC_TIME - spent)
        status = solver.solve(held.model)
        spent += solver.response_proto.deterministic_time
        seconds += solver.user_time
        if status == cp_model.INFEASIBLE:
            return Answer(True, None, bound, False, rounds, (), seconds)
        if status != cp_model.OPTIMAL:
            break
        groups = held.groups(solver)
        core = core_that_cannot_be_cut(groups, facts.hulls)
        bound = bound or measure(facts, groups)
        if not core:
            return Answer(True, measure(facts, groups), bound, rounds == 1, rounds, groups, seconds)
        held.forbid(core)
    return Answer(False, None, bound, False, rounds, (), seconds)
