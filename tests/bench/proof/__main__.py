"""Is what is called proved proved? `python -m tests.bench.proof [COUNT] [FIRST SEED] [KIND]`: COUNT signs of each kind.

Each sign is parted by the library and judged (`judge`): with bounds and without, against every tree where it has six
atoms or fewer, every bound on every set of these, against its twins (mirrored, moved, turned with the mat; a larger
mat, leave to turn, the other policy), and, for planted signs, against the parting they were made from.
"""

from __future__ import annotations

import sys
import time
from collections import Counter

from tests.bench.proof.judge import Verdict, judge
from tests.bench.proof.kinds import KINDS, make_sign
from tests.bench.proof.planted import PLANTED, judge_planted

__all__ = ["main"]


def main(count: int = 320, first: int = 0, only: str | None = None) -> int:
    """Judge signs of all kinds, print a line a kind, and return the number of faults."""
    faults: Counter[str] = Counter()
    features: Counter[str] = Counter()
    cases = 0
    print(f"{'kind':<18} {'signs':>6} {'proved':>7} {'every tree':>11} {'faults':>7} {'s':>7}")
    for kind in [only] if only else [*KINDS, *PLANTED]:
        start, proved, tried, wrong = time.process_time(), 0, 0, 0
        for seed in range(first, first + count):
            try:
                found = judge_planted(kind, seed) if kind in PLANTED else judge(make_sign(kind, seed), seed)
            except Exception as error:  # a bench goes on, and says what fell over
                found = Verdict((f"crash: {type(error).__name__} {error}"[:200],), False, False, ())
            proved, tried, wrong = proved + found.proved, tried + found.tried, wrong + bool(found.faults)
            features.update(found.features)
            for fault in found.faults:
                faults[fault.split(":")[0].split(" ")[0]] += 1
                print(f"  {kind} {seed}: {fault}")
        cases += count
        spent = time.process_time() - start
        print(f"{kind:<18} {count:>6} {proved:>7} {tried:>11} {wrong:>7} {spent:>7.1f}", flush=True)
    print("occurred: " + ", ".join(f"{name} {n}" for name, n in sorted(features.items())))
    others = sum(n for name, n in faults.items() if name not in ("unsound", "worse"))
    print(f"{faults['unsound']} unsound, {faults['worse']} worse, {others} other faults over {cases} cases")
    return sum(faults.values())


if __name__ == "__main__":
    words = sys.argv[1:]
    count, first = [*(int(word) for word in words[:2]), *(320, 0)[len(words[:2]) :]]
    sys.exit(1 if main(count, first, " ".join(words[2:]) or None) else 0)
