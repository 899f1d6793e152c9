"""The bench's own parts: the model against a brute force, and the judge against bad answers. Needs the extra bench."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Polygon, box

from bigsign.project import Cutter, PlanSettings
from bigsign.splitting.split import split
from bigsign.splitting.tree import Leaf, leaves
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import tree_of
from tests.splitting.brute_force import best_cost

pytest.importorskip("ortools", reason="the extra bench is not installed")

from tests.bench.splitting.cases import Case, make_case
from tests.bench.splitting.facts import facts_of, measure
from tests.bench.splitting.measure import groups_of, is_plan, risk_verdict, verdict_of
from tests.bench.splitting.model import solve
from tests.bench.splitting.risk import least_risk_of_tree
from tests.splitting.straight_cuts import Points

USABLE = (90.0, 160.0)


def small_rows(seed: int) -> list[list[list[Polygon]]]:
    """Return one or two lines of boxes, up to eight in all."""
    rng = random.Random(seed)
    rows = []
    for line in range(rng.choice((1, 2))):
        words = [[rng.uniform(15, 60) for _ in range(rng.randint(1, 3))] for _ in range(rng.randint(1, 2))]
        rows.append(row_of_boxes(words, height=50, letter_gap=6, word_gap=24, x=rng.uniform(0, 40), y=70.0 * line))
    return rows


@pytest.mark.parametrize("policy", ["words", "panels"])
@pytest.mark.parametrize("seed", range(10))
def test_the_model_equals_a_brute_force_over_straight_cut_trees(seed: int, policy: str) -> None:
    rows = small_rows(seed)
    facts = facts_of(*letters_from(rows))
    shapes = [shape for row in rows for word in row for shape in word]
    numbers = [number for number, word in enumerate(w for row in rows for w in row) for _ in word]
    edges = [(i, i + 1, 6.0) for i in range(len(shapes) - 1) if numbers[i] == numbers[i + 1]]
    expected = best_cost(shapes, numbers, edges, USABLE, policy)
    assert expected is not None
    answer = solve(facts, USABLE, "quarter", policy)
    assert answer.exact
    assert answer.best is not None
    assert (answer.best if policy == "words" else answer.best[::-1]) == expected[:2]


def test_the_model_goes_on_until_its_answer_can_be_cut() -> None:
    """Four arms round a middle: two panels would do, of arms that face each other, if it were not for the cuts."""
    arms = [box(0, 0, 18, 8), box(20, 0, 28, 18), box(10, 20, 28, 28), box(0, 10, 8, 28)]
    answer = solve(facts_of(*letters_from([[[arm] for arm in arms]])), (28.0, 28.0), "none", "words")
    assert (answer.best, answer.rounds) == ((0, 1), 1)
    answer = solve(facts_of(*letters_from([[[arm] for arm in arms]])), (18.0, 18.0), "none", "words")
    assert answer.exact
    assert answer.best is None
    assert answer.bound == (0, 4)
    assert answer.rounds == 2


def test_the_judge_turns_bad_plans_down() -> None:
    row = row_of_boxes([[30.0] * 4, [30.0] * 5], height=50, letter_gap=6, word_gap=24)
    artwork, lettering = letters_from([row])
    facts, case = facts_of(artwork, lettering), Case(0, "", artwork, lettering, USABLE, "quarter")
    tree = tree_of((artwork, lettering), USABLE)
    groups = groups_of(tree, facts)
    assert is_plan(tree, groups, facts, case)
    assert not is_plan(tree, groups[1:], facts, case)
    assert not is_plan(tree, [*groups, groups[0]], facts, case)
    wrong = replace(tree, measures=replace(tree.measures, panels=tree.measures.panels - 1))
    assert not is_plan(wrong, groups, facts, case)
    whole = Leaf(tuple(node for leaf in leaves(tree.root) for node in leaf.nodes))
    one = replace(tree, root=whole, measures=replace(tree.measures, panels=1, in_word_breaks=0))
    assert measure(facts, groups_of(one, facts)) == (0, 1)
    assert not is_plan(one, groups_of(one, facts), facts, case)


@pytest.mark.parametrize(
    ("tool", "best", "bound", "exact", "proved", "straight", "verdict"),
    [
        ((1, 3), (1, 3), (0, 3), True, True, True, "equal"),
        ((1, 3), None, (1, 3), False, True, True, "equal"),
        ((1, 4), (1, 3), (0, 3), True, True, True, "worse"),
        ((1, 4), (1, 3), (0, 3), True, False, True, "unsettled"),
        ((1, 4), None, (0, 3), False, True, True, "unsettled"),
        ((0, 3), (1, 3), (0, 3), True, True, False, "stepped"),
        ((0, 3), (1, 3), (0, 3), True, True, True, "below the bound"),
        ((0, 2), (1, 3), (0, 3), True, True, False, "below the bound"),
    ],
)
def test_the_judge_tells_what_came_out(
    tool: tuple[int, int],
    best: tuple[int, int] | None,
    bound: tuple[int, int],
    exact: bool,
    proved: bool,
    straight: bool,
    verdict: str,
) -> None:
    assert verdict_of("words", tool, best, bound, exact, proved, straight) == verdict


def _box(x: float, y: float, w: float, h: float) -> Points:
    return np.array([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])


def test_risk_of_a_row_is_the_sum_of_its_gaps() -> None:
    hulls = [_box(0, 0, 10, 10), _box(12, 0, 10, 10), _box(27, 0, 10, 10)]
    assert least_risk_of_tree([[0], [1], [2]], hulls, {(0, 1): 2.0, (1, 2): 5.0}, 1.0) == 700
    assert least_risk_of_tree([[0, 1], [2]], hulls, {(0, 1): 2.0, (1, 2): 5.0}, 1.0) == 200


def test_one_cut_may_take_two_leaves_off_a_hub() -> None:
    hulls = [_box(0, 0, 10, 40), _box(14, 0, 10, 10), _box(15, 30, 10, 10)]
    # both leaves go at once by the wider gap's line, then they part from each other, where no edge is
    assert least_risk_of_tree([[0], [1], [2]], hulls, {(0, 1): 4.0, (0, 2): 5.0}, 1.0) == 250
    wheel = [_box(0, 0, 50, 8), _box(52, 0, 8, 50), _box(10, 52, 50, 8), _box(0, 10, 8, 50)]
    assert least_risk_of_tree([[0], [1], [2], [3]], wheel, {(0, 1): 2.0}, 1.0) is None


def test_a_risk_that_is_not_the_least_is_told() -> None:
    case = make_case(0)
    (tree,) = split(
        case.artwork, case.lettering, Cutter("bench", "mat", *case.usable), case.turning, PlanSettings()
    ).trees
    facts = facts_of(case.artwork, case.lettering)
    assert risk_verdict(case, "words", tree, facts) == "equal"
    for more, word in ((0.01, "worse"), (-0.01, "below")):
        wrong = replace(tree, measures=replace(tree.measures, risk=tree.measures.risk + more))
        assert risk_verdict(case, "words", wrong, facts) == word
