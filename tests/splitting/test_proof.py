"""What is called proved is proved: the night-long bench (`python -m tests.bench.proof`) in short."""

from __future__ import annotations

import pytest
from shapely.geometry import Polygon, box

from tests.bench.proof.all_kinds import judge_kind
from tests.bench.proof.guillotine import GUILLOTINES
from tests.bench.proof.kinds import KINDS
from tests.bench.proof.more_kinds import MORE
from tests.bench.proof.planted import PLANTED
from tests.bench.proof.stuck import STUCK
from tests.splitting.brute_force import Films, Order, Side, Trees

#: Seeds of a kind, fewer where a sign takes long.
SEEDS = {
    "hooks": 5, "tails": 6, "seams": 6, "hooked words": 6, "hooked lines": 6, "hooks, ornaments": 6, "leaning hooks": 4,
    "wished hooks": 7, "big letters": 3, "long script": 6, "long frames": 3, "guillotine hooks": 8,
    "guillotine words": 8, "wheels with hubs": 6, "two wheels": 6,
}  # fmt: skip


@pytest.mark.parametrize("kind", [*KINDS, *MORE, *STUCK, *GUILLOTINES])
def test_seeded_signs_keep_their_claims(kind: str) -> None:
    for seed in range(500, 500 + SEEDS.get(kind, 11)):
        assert (seed, judge_kind(kind, seed).faults) == (seed, ())


#: Seeds of planted signs that are soon parted.
SOON = {
    "planted boxes": range(500, 512),
    "planted hooks": (500,),
    "planted combs": (501,),
    "planted spirals": (500, 501),
}


@pytest.mark.parametrize("kind", PLANTED)
def test_a_planted_parting_is_never_bettered_by_hand(kind: str) -> None:
    for seed in SOON[kind]:
        assert (seed, judge_kind(kind, seed).faults) == (seed, ())


def _trees(shapes: list[Polygon], limits: tuple[float, float], words: tuple[Side, ...] = ()) -> Trees:
    joins = [(n, n + 1, shapes[n].distance(shapes[n + 1]), False) for n in range(len(shapes) - 1)]
    films = Films(shapes, [shape.bounds for shape in shapes], joins, words, [limits])
    return Trees(films, Order("words"), 1.0, lambda a, b: True, lambda a, b: True)


def test_the_brute_force_counts_what_is_plain() -> None:
    trees = _trees([box(0, 0, 10, 10), box(14, 0, 24, 10), box(44, 0, 54, 10)], (25, 10))
    assert trees.best() == (0, 2, 50, 2)
    assert trees.cost((frozenset({0}), frozenset({1, 2}))) == (0, 2, 250, 4)


def test_the_brute_force_bends_a_cut_at_hooks_alone() -> None:
    # one arm reaches over the other: no straight line parts them
    one = Polygon([(0, 0), (40, 0), (40, 25), (30, 25), (30, 10), (0, 10)])
    two = Polygon([(10, 15), (25, 15), (25, 35), (50, 35), (50, 45), (10, 45)])
    trees = _trees([one, two], (41, 31))
    a, b = frozenset({0}), frozenset({1})
    assert not trees.straight(a, b)
    assert trees.bendable(a, b)
    assert trees.best() == (0, 2, 200, 12)
    assert not _trees([one, box(60, 0, 70, 10)], (41, 31)).bendable(a, b)
