"""The search for the best cut tree: exact, memoised over sets of units, bounded from below.

A state is a set of units; a move parts it by one of its straight separations. Costs of tiers 1 to 4 add over
the two sides and tier 5 is their maximum, so the best tree of a set is made of best trees of two of its parts and
the recursion is exact. Whatever can be shown to cost more than allowed is left out: cliques of units that can't
share a panel bound the panels, cliques within a word its breaks, lines of lettering the risk (`bounds`). The allowance
is raised a panel at a time (and a break at a time), so that the first tree found is of the best tier 2 and 3. A tree
that costs less than a bound says raises: a bound that does not hold is a fault of the library.
"""

from __future__ import annotations

from dataclasses import replace

from bigsign.splitting.cost import RISK_BITS, Family, Policy
from bigsign.splitting.search_records import Best, Found, Known, Other, Parting, units_of
from bigsign.splitting.separations import WEARY, Separations

__all__ = ["BoundBeatenError", "search"]

ANY_RISK = (1 << RISK_BITS) - 1
WORSE = 3  # breaks and panels more up to which a next best place is looked for


class _OutOfBudgetError(Exception):
    """The number of states allowed is used up."""


class _OpenedFreelyError(Exception):
    """A set that nothing else parts was opened by a line that winds freely: bounds that ask for straight lines fall."""


class BoundBeatenError(AssertionError):
    """A parting costs less than a bound says any parting must."""


def search(family: Family, separations: Separations, policy: Policy, budget: int, prune: bool = True) -> Found:
    """Return the best parting of all units of ``family``.

    Parameters
    ----------
    budget : states (sets of units whose separations are listed) to visit at most, lines that bend counted in as many
        as take as long; never seconds. A first parting may take four times as many.
    prune : False switches all lower bounds off; the tests hold one against the other.

    Raises
    ------
    BoundBeatenError
        If the parting found costs less than a bound: the bound's lemma does not hold here.
    """
    freed = False
    known = Known()
    while True:
        run = _Search(family, separations, policy, budget, prune, freed, known)
        try:
            found = run.run()
        except _OpenedFreelyError:
            freed, known = True, Known()
            continue
        if found.parting is None or _ways_run(found.parting, separations):
            run.hold_bounds(found)
            return found
        known.forget(separations.passages.shut)


def _ways_run(parting: Parting, separations: Separations) -> bool:
    """Whether a line runs along every cut; those along which none does are shut from then on."""
    if isinstance(parting, int):
        return True
    first, second = parting
    runs = separations.passages.runs(units_of(first), units_of(second))
    return all((runs, _ways_run(first, separations), _ways_run(second, separations)))


FIRST = 4  # times the budget may go into a first parting: without one there is no plan
FEW = 4  # of the best cuts along which no way runs are tried by lines that wind, after much work in vain
EXPLAIN = 400  # states more that may be visited to say what the next best places would have cost


class _Search:
    def __init__(
        self, family: Family, separations: Separations, policy: Policy, budget: int, prune: bool, freed: bool,
        known: Known,
    ) -> None:
        self.family, self.separations, self.policy = family, separations, policy
        self.budget, self.prune, self.freed = budget, prune, freed
        family.risk_bound.holds = not freed
        self.explaining = False
        self.states = 0
        self.level = (0, 0)
        self.known = known
        self.exact, self.above = known.exact, known.above
        self.floors, self.moves = known.floors, known.moves

    def run(self) -> Found:
        everything = self.family.everything
        floor = self.policy.unpack(self.floor(everything))
        self.level = (floor[0], floor[1])
        try:
            if self.known.rough is None:
                self.known.rough = self.descend(everything, {})
            if self.known.rough is None:
                return Found(None, 0, 0, True, self.states, (floor[0], floor[1], None))
            rough = self.cost_of(self.known.rough)
            found = self.climb(everything, floor, rough[0])
            if (found.cost, found.area) > rough:  # a line that winds led to what no other cut does
                self.level = (floor[0], floor[1])
                return replace(self.give_up(), freed=self.freed)
            return replace(found, others=self.next_best(everything), freed=self.freed)
        except _OutOfBudgetError:
            return replace(self.give_up(), freed=self.freed)

    def climb(self, units: int, floor: tuple[int, int, int], rough: int) -> Found:
        """Raise the allowance until a parting is found; what it finds then is the best."""
        if self.policy.weights is not None:
            best = self.solve(units, rough)
            if best is not None:
                return Found(
                    self.tree(units), best.cost, best.area, True, self.states, self.policy.unpack(best.cost)
                )
        most = len(self.family.boxes)
        top = self.policy.unpack(rough)
        lead, follow = (1, 0) if self.policy.name == "panels" else (0, 1)
        first = floor[lead]
        while True:
            second = floor[follow]
            last = top[follow] if top[lead] == first else most
            while second <= last:
                breaks, panels = (first, second) if lead == 0 else (second, first)
                self.level = (breaks, panels)
                allowed = self.policy.pack(breaks, panels, ANY_RISK)
                best = self.solve(units, allowed)
                if best is not None:
                    found = self.policy.unpack(best.cost)
                    return Found(self.tree(units), best.cost, best.area, True, self.states, found)
                second += 1
            first += 1

    def next_best(self, everything: int) -> dict[int, Other | None]:
        """Return, for each set that the best parting cuts, the next best cut of it."""
        self.budget = self.states + self.separations.effort + EXPLAIN
        self.explaining = True
        out: dict[int, Other | None] = {}
        stack = [everything]
        while stack:
            units = stack.pop()
            best = self.exact[units]
            if best is None or best.cut is None:
                continue
            stack.extend(best.cut)
            try:
                out[units] = self.runner_up(units, best, best.cut)
            except _OutOfBudgetError:
                break
        return out

    def runner_up(self, units: int, best: Best, chosen: tuple[int, int]) -> Other | None:
        """Return the best cut of ``units`` that leads to other panels; None if there is none."""
        second: tuple[int, int, int] | None = None
        ours = self.panels_of(units)
        limit = best.cost + self.policy.pack(WORSE, WORSE, ANY_RISK)
        for least, cost, side, other in self.cuts(units):
            if least > limit or (second is not None and least > second[0]):
                break
            if side in chosen:
                continue
            left = self.solve(side, limit - cost - self.floor(other))
            right = None if left is None else self.solve(other, limit - cost - left.cost)
            if left is None or right is None:
                continue
            total = (cost + left.cost + right.cost, max(left.area, right.area), side)
            if (second is None or total < second) and self.panels_of(side) | self.panels_of(other) != ours:
                second, limit = total, total[0]
        if second is None:
            return None
        here, there = self.policy.unpack(best.cost), self.policy.unpack(second[0])
        return Other(
            second[2], there[0] - here[0], there[1] - here[1], there[2] - here[2], second[1] - best.area
        )

    def panels_of(self, units: int) -> frozenset[int]:
        """Return the panels of the best parting of ``units``."""
        out = set()
        stack = [self.tree(units)]
        while stack:
            part = stack.pop()
            if isinstance(part, int):
                out.add(part)
            else:
                stack.extend(part)
        return frozenset(out)

    def give_up(self) -> Found:
        """Return the rough parting, with what was proved before the budget ran out."""
        bound = (self.level[0], self.level[1], None)
        if self.known.rough is None:
            return Found(None, 0, 0, False, self.states, bound)
        cost, area = self.cost_of(self.known.rough)
        return Found(self.known.rough, cost, area, False, self.states, bound)

    def floor(self, units: int) -> int:
        """Return a cost that no parting of ``units`` goes below."""
        found = self.floors.get(units)
        if found is None:
            if self.prune:
                least = self.family
                found = self.policy.pack(least.least_breaks(units), least.least_panels(units), least.least_risk(units))
            else:
                found = self.policy.pack(0, 1, 0)
            self.floors[units] = found
        return found

    def cuts(self, units: int) -> list[tuple[int, int, int, int]]:
        """Return the cuts of ``units`` as (least cost of all, cost of the cut, one side, other side), best first."""
        found = self.moves.get(units)
        if found is None:
            self.states += 1
            allowed = self.budget * (FIRST if self.known.rough is None else 1)
            if self.states + self.separations.effort > allowed:
                raise _OutOfBudgetError
            found = []
            for side in self.sides(units):
                other = units ^ side
                breaks, risk = self.family.cut(side, other)
                cost = self.policy.pack(breaks, 0, risk)
                found.append((cost + self.floor(side) + self.floor(other), cost, side, other))
            found.sort()
            self.moves[units] = found
        return found

    def sides(self, units: int) -> list[int]:
        """Return the separations of a set; where it has none, those by lines that wind freely."""
        found = self.separations.of(units)
        if not found:
            if self.explaining:  # ways that wind take long to look for, and say little of what another plan would cost
                raise _OutOfBudgetError
            found = self.separations.free(units)
            if found and not self.freed:
                raise _OpenedFreelyError
        return found

    def hold_bounds(self, found: Found) -> None:
        """Raise if a part of the parting costs less than its bound."""
        for units, best in self.exact.items() if found.parting is not None else ():
            if best is not None and best.cost < self.floor(units):
                raise BoundBeatenError(f"cost {best.cost} of {units:b} is below the bound {self.floor(units)}")

    def solve(self, units: int, allowed: int) -> Best | None:
        """Return the best parting of ``units`` if it costs ``allowed`` or less, else None."""
        if units in self.exact:
            best = self.exact[units]
            return best if best is not None and best.cost <= allowed else None
        if self.above.get(units, -1) >= allowed or self.floor(units) > allowed:
            return None
        if self.family.fits(units):
            # one panel is best in every tier: no break, fewest panels, no risk
            best = Best(self.policy.pack(0, 1, 0), self.family.area(units), None)
            self.exact[units] = best
            return best if best.cost <= allowed else None
        best = self.solve_cuts(units, allowed)
        if best is None:
            self.above[units] = max(self.above.get(units, -1), allowed)
        else:
            self.exact[units] = best
        return best

    def solve_cuts(self, units: int, allowed: int) -> Best | None:
        best: Best | None = None
        limit = allowed
        for least, cost, side, other in self.cuts(units):
            if least > limit:
                break
            one, two = (side, other) if self.floor(side) >= self.floor(other) else (other, side)
            left = self.solve(one, limit - cost - self.floor(two))
            if left is None:
                continue
            right = self.solve(two, limit - cost - left.cost)
            if right is None:
                continue
            total, area = cost + left.cost + right.cost, max(left.area, right.area)
            if best is None or (total, area) < (best.cost, best.area):
                best = Best(total, area, (side, other))
                limit = total
        return best

    def tree(self, units: int) -> Parting:
        best = self.exact[units]
        if best is None or best.cut is None:
            return units
        return self.tree(best.cut[0]), self.tree(best.cut[1])

    def descend(self, units: int, known: dict[int, Parting | None]) -> Parting | None:
        """Return a parting found by the most promising cut at each step; None: no parting exists."""
        if units not in known:
            known[units] = units if self.family.fits(units) else self.descend_cuts(units, known)
        return known[units]

    def descend_cuts(self, units: int, known: dict[int, Parting | None]) -> Parting | None:
        passages = self.separations.passages
        while True:
            shut: list[tuple[int, int]] = []
            begun, opened = passages.effort, False
            for _, _, side, other in self.cuts(units):
                if not passages.runs(side, other):
                    shut.append((side, other))
                    if opened or passages.effort - begun <= WEARY:
                        continue
                    opened = True
                    winding = next((pair for pair in shut[:FEW] if passages.opens_freely(*pair)), None)
                    if winding is None:
                        continue
                    if not self.freed:
                        raise _OpenedFreelyError
                    side, other = winding
                first = self.descend(side, known)
                second = None if first is None else self.descend(other, known)
                if first is not None and second is not None:
                    return first, second
            if not shut:
                return None
            del self.moves[units]  # without what is shut now, and if that is all, by lines that wind freely

    def cost_of(self, parting: Parting) -> tuple[int, int]:
        """Return (cost, largest panel's area in cm²) of a parting."""
        if isinstance(parting, int):
            return self.policy.pack(0, 1, 0), self.family.area(parting)
        first, second = parting
        breaks, risk = self.family.cut(units_of(first), units_of(second))
        one, two = self.cost_of(first), self.cost_of(second)
        return self.policy.pack(breaks, 0, risk) + one[0] + two[0], max(one[1], two[1])
