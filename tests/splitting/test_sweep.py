"""Sweeps over films with edges of next to no extent along them: chords always come in twos."""

from __future__ import annotations

import random

import numpy as np
import pytest
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from bigsign.splitting.sweep import Sweep

SEEDS = 300


def jagged(seed: int) -> Polygon:
    """Return a comb whose flanks lean by less than places are told apart by, some by more."""
    chance = random.Random(seed)
    points: list[tuple[float, float]] = []
    x = 0.0
    for _ in range(chance.randint(2, 12)):
        lean = chance.choice((0.0, 3e-9, -3e-9, 4.9e-8, 5.1e-8, 1e-7, 1e-6, 0.3))
        width, height = chance.uniform(0.5, 4.0), chance.uniform(2.0, 30.0)
        points += [(x, 0.0), (x + lean, height / 2), (x, height), (x + width, height), (x + width - lean, 1.0)]
        x += width
    return Polygon([*points, (x, 0.0), (x, -5.0), (0.0, -5.0)])


def test_every_interval_has_whole_chords() -> None:
    tried = 0
    for seed in range(SEEDS):
        film = jagged(seed)
        if not film.is_valid:
            continue
        for axis in (0, 1):
            sweep = Sweep(film, axis, 15.0)
            for index in range(len(sweep.breaks) - 1):
                low, high = sweep.breaks[index : index + 2].tolist()
                chords = sweep.chords_in(index, low, high)
                assert len(chords) == sweep.counts[index]
                tried += 1
                if high - low < 1e-6:  # rounded flanks may cross there
                    continue
                middle = (low + high) / 2
                spans = sum(b - a for a, b in sweep.chords_at(middle))
                assert spans == pytest.approx(sweep.length(middle), abs=1e-4)
    assert tried > SEEDS


def test_a_lone_rounded_edge_would_be_noticed() -> None:
    film = orient(jagged(1))
    sweep = Sweep(film, 0, 15.0)
    first, last, base, slope = sweep._edges
    sweep._edges = (first[1:], last[1:], base[1:], slope[1:])  # as if an edge had been left out at one end only
    def all_chords() -> None:
        for index in range(len(sweep.breaks) - 1):
            low, high = sweep.breaks[index : index + 2].tolist()
            sweep.chords_in(index, low, high)

    with pytest.raises(ValueError, match="dimension"):
        all_chords()


def test_the_chords_of_many_intervals_are_those_of_each() -> None:
    for seed in range(SEEDS // 3):
        film = jagged(seed)
        if not film.is_valid:
            continue
        for axis in (0, 1):
            sweep = Sweep(film, axis, 15.0)
            count = len(sweep.breaks) - 1
            ranks = np.array(sorted(random.Random(seed).sample(range(count), count // 2)), dtype=np.intp)
            of, chords = sweep.chords_of(ranks)
            each = [sweep.chords_in(rank, *sweep.breaks[rank : rank + 2].tolist()) for rank in ranks.tolist()]
            assert of.tolist() == [rank for rank, own in zip(ranks.tolist(), each, strict=True) for _ in own]
            assert chords == pytest.approx(np.concatenate([np.empty((0, 4)), *each]))
