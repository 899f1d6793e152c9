"""What is called proved is proved: the night-long bench (`python -m tests.bench.proof`) in short."""

from __future__ import annotations

import pytest

from tests.bench.proof.judge import judge
from tests.bench.proof.kinds import KINDS, make_sign
from tests.bench.proof.planted import PLANTED, judge_planted


@pytest.mark.parametrize("seed", range(500, 518))
@pytest.mark.parametrize("kind", KINDS)
def test_a_seeded_sign_keeps_its_claim(kind: str, seed: int) -> None:
    assert judge(make_sign(kind, seed), seed).faults == ()


@pytest.mark.parametrize("kind", PLANTED)
def test_a_planted_parting_is_never_bettered_by_hand(kind: str) -> None:
    for seed in range(500, 512 if kind == "planted boxes" else 502):
        assert judge_planted(kind, seed).faults == ()
