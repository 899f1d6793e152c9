"""Every kind of the bench by its name, and what judges a sign of it."""

from __future__ import annotations

from tests.bench.proof.guillotine import GUILLOTINES, judge_guillotine
from tests.bench.proof.judge import judge
from tests.bench.proof.kinds import KINDS, make_sign
from tests.bench.proof.more_kinds import MORE, make_more
from tests.bench.proof.planted import PLANTED, judge_planted
from tests.bench.proof.stuck import STUCK, make_stuck
from tests.bench.proof.verdict import Verdict

__all__ = ["ALL", "judge_kind"]

ALL = (*KINDS, *MORE, *STUCK, *GUILLOTINES, *PLANTED)


def judge_kind(kind: str, seed: int) -> Verdict:
    """Return the verdict on the sign of a kind and a seed; what falls over is a fault."""
    try:
        if kind in PLANTED:
            return judge_planted(kind, seed)
        if kind in GUILLOTINES:
            return judge_guillotine(kind, seed)
        if kind in STUCK:
            return judge(make_stuck(kind, seed), seed)
        return judge(make_more(kind, seed) if kind in MORE else make_sign(kind, seed), seed)
    except Exception as error:  # a bench goes on, and says what fell over
        return Verdict((f"crash: {type(error).__name__} {error}"[:200],), False, False, ())
