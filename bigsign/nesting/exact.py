"""Fewest mats for a few items: which sets fit one mat, then the fewest sets that hold all.

Any layout of boxes can be pushed up and left until each box rests on the mat's edge or on another box both
ways, and boxes resting on one another never form a ring along the diagonal. So trying every box in every free
corner, one after another, meets a layout if there is one. The search counts states, never seconds; where the
budget runs out the answer is "not found", and not called proved.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from bigsign.budgets import BUDGETS
from bigsign.nesting.boxes import EPSILON, Placed, Pose
from bigsign.nesting.packing import Layout, best_by_rules, corners, layout_key

__all__ = ["MOST_ITEMS", "Budget", "fewest_mats", "fits_one", "least_mats", "surely_too_much", "two_fit"]

#: Sets of items double with each one more; eight panels of one colour are as many as most signs have.
MOST_ITEMS = 8

STATES_A_SET = 4_000


class Budget:
    """States left to look at; ``ran_out`` tells whether any answer had to be given up."""

    def __init__(self, states: int = BUDGETS.nest_states) -> None:
        self.left = states
        self.ran_out = False

    def take(self) -> bool:
        """Take one state; False if there is none left."""
        if self.left <= 0:
            self.ran_out = True
            return False
        self.left -= 1
        return True


def _extent(poses: Sequence[Sequence[Pose]]) -> tuple[float, float]:
    """Return the size of a box that holds every place a padded box may take: never too small."""
    every = [pose for options in poses for pose in options]
    across = max(p.x_high + p.width for p in every) - min(p.x_low for p in every)
    along = max(p.y_high + p.height for p in every) - min(p.y_low for p in every)
    return across, along


def surely_too_much(items: Sequence[int], poses: Sequence[Sequence[Pose]]) -> bool:
    """Whether ``items`` cannot share a mat: by area, or as those over half as wide must stand in a column."""
    across, along = _extent([poses[i] for i in items])
    if sum(poses[i][0].area for i in items) > across * along + EPSILON:
        return True
    wide = [i for i in items if all(2 * p.width > across + EPSILON for p in poses[i])]
    if sum(min(p.height for p in poses[i]) for i in wide) > along + EPSILON:
        return True
    tall = [i for i in items if all(2 * p.height > along + EPSILON for p in poses[i])]
    return sum(min(p.width for p in poses[i]) for i in tall) > across + EPSILON


def fits_one(
    items: Sequence[int], poses: Sequence[Sequence[Pose]], budget: Budget
) -> tuple[Placed, ...] | None:
    """Return a layout of ``items`` on one mat; None if there is none, or if ``budget.ran_out`` first."""
    if surely_too_much(items, poses):
        return None
    ruled = best_by_rules(items, poses)
    if len(ruled) == 1:
        return ruled[0]
    own = Budget(min(STATES_A_SET, budget.left))
    found = _search((), tuple(sorted(items, key=lambda i: (-poses[i][0].area, i))), poses, own, set())
    budget.left -= min(STATES_A_SET, budget.left) - own.left
    budget.ran_out = budget.ran_out or (found is None and own.ran_out)
    return found


def _search(
    placed: tuple[Placed, ...],
    rest: tuple[int, ...],
    poses: Sequence[Sequence[Pose]],
    budget: Budget,
    seen: set[tuple[tuple[int, bool, float, float], ...]],
) -> tuple[Placed, ...] | None:
    if not rest:
        return placed
    options: list[Placed] = []
    for item in rest:
        mine = [
            Placed(item, pose, float(x), float(y))
            for pose in poses[item]
            for x, y in zip(*corners(placed, pose), strict=True)
        ]
        if not mine:  # boxes placed later only take room away
            return None
        options.extend(mine)
    options.sort(key=lambda p: (round(p.x + p.y, 6), p.item, p.pose.turned))
    for option in options:
        if not budget.take():
            return None
        after = (*placed, option)
        state = tuple(sorted((p.item, p.pose.turned, round(p.x, 5), round(p.y, 5)) for p in after))
        if state in seen:
            continue
        seen.add(state)
        found = _search(after, tuple(i for i in rest if i != option.item), poses, budget, seen)
        if found is not None:
            return found
    return None


def two_fit(one: Sequence[Pose], other: Sequence[Pose]) -> bool:
    """Whether two items can share a mat: one beside the other, or one under the other, in some poses."""
    return any(
        max(a.x_low + a.width, b.x_low) <= b.x_high + EPSILON
        or max(b.x_low + b.width, a.x_low) <= a.x_high + EPSILON
        or max(a.y_low + a.height, b.y_low) <= b.y_high + EPSILON
        or max(b.y_low + b.height, a.y_low) <= a.y_high + EPSILON
        for a in one
        for b in other
    )


def least_mats(items: Sequence[int], poses: Sequence[Sequence[Pose]]) -> int:
    """Return a bound that ``items`` cannot go below: by area, and by items no two of which share a mat."""
    if not items:
        return 0
    across, along = _extent([poses[i] for i in items])
    by_area = max(1, -int(-(sum(poses[i][0].area for i in items) - EPSILON) // (across * along)))
    apart = {(a, b) for a, b in combinations(sorted(items), 2) if not two_fit(poses[a], poses[b])}
    degree = {i: sum(i in pair for pair in apart) for i in items}
    clique: list[int] = []
    for item in sorted(items, key=lambda i: (-degree[i], i)):
        if all((min(item, other), max(item, other)) in apart for other in clique):
            clique.append(item)
    return max(by_area, len(clique))


def fewest_mats(items: Sequence[int], poses: Sequence[Sequence[Pose]], budget: Budget) -> Layout:
    """Return a layout of up to MOST_ITEMS items on fewest mats; proved unless ``budget.ran_out``.

    Among parting of equal number, the best layout by :func:`bigsign.nesting.packing.layout_key` is kept.
    """
    members = tuple(sorted(items))
    full = (1 << len(members)) - 1
    one_mat: dict[int, tuple[Placed, ...] | None] = {}
    for mask in sorted(range(1, full + 1), key=lambda m: (m.bit_count(), m)):
        smaller = [mask & ~(1 << k) for k in range(len(members)) if mask >> k & 1]
        if any(sub and one_mat[sub] is None for sub in smaller):
            one_mat[mask] = None
            continue
        one_mat[mask] = fits_one([members[k] for k in range(len(members)) if mask >> k & 1], poses, budget)
    best: dict[int, Layout] = {0: ()}
    for mask in range(1, full + 1):
        first = mask & -mask  # the least item of what is left is on some mat: try each that holds it
        choice: Layout | None = None
        sub = mask
        while sub:
            mat = one_mat[sub]
            if sub & first and mat is not None:
                layout = (mat, *best[mask & ~sub])
                if choice is None or layout_key(layout) < layout_key(choice):
                    choice = layout
            sub = (sub - 1) & mask
        assert choice is not None, "every item fits a mat alone"
        best[mask] = choice
    return best[full]
