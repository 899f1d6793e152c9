"""Is what is called proved proved? `python -m tests.bench.proof [COUNT] [FIRST SEED] [KIND]`: COUNT signs of each kind.

Each sign is parted by the library and judged (`judge`): with bounds and without, against every tree where it is small
(of the lines that are tried up to six atoms, of cuts that keep to cores up to nine), every bound on every set, its cuts
and measures one by one, against its twins (mirrored, moved, turned with the mat; a larger mat, leave to turn, the
other policy), and, for planted signs, against the parting they were made from. To judge a single sign again:
`python -m tests.bench.proof 1 SEED KIND`.
"""

from __future__ import annotations

import sys
import time
from collections import Counter

from tests.bench.proof.all_kinds import ALL, judge_kind

__all__ = ["main"]

COUNTED = ("unsound", "worse", "refused", "crash")


def main(count: int = 160, first: int = 0, only: str | None = None) -> int:
    """Judge signs of all kinds, print a line a kind and how often each thing occurred; return the number of faults."""
    total: Counter[str] = Counter()
    features: Counter[str] = Counter()
    cases = 0
    heads = ("signs", "proved", "every tree", *COUNTED, "other")
    print(f"{'kind':<18}" + "".join(f" {head:>{max(7, len(head))}}" for head in heads) + f" {'s':>7}", flush=True)
    for kind in [only] if only else ALL:
        start = time.process_time()
        row: Counter[str] = Counter()
        for seed in range(first, first + count):
            found = judge_kind(kind, seed)
            row.update(signs=1, proved=int(found.proved), **{"every tree": int(found.tried)})
            features.update(set(found.features))
            for name in {_sort(fault) for fault in found.faults}:
                row[name] += 1
            for fault in found.faults:
                total[_sort(fault)] += 1
                print(f"  {kind} {seed}: {fault}", flush=True)
        cases += count
        cells = "".join(f" {row[head]:>{max(7, len(head))}}" for head in heads)
        print(f"{kind:<18}{cells} {time.process_time() - start:>7.1f}", flush=True)
    print("signs with: " + ", ".join(f"{name} {n}" for name, n in sorted(features.items())))
    rest = ", ".join(f"{total[name]} {name}" for name in ("refused", "crash", "other"))
    print(f"{total['unsound']} unsound, {total['worse']} worse, {rest} over {cases} cases")
    return sum(total.values())


def _sort(fault: str) -> str:
    """Return which sort a fault is of."""
    return next((name for name in COUNTED if fault.startswith(name)), "other")


if __name__ == "__main__":
    words = sys.argv[1:]
    count, first = [*(int(word) for word in words[:2]), *(160, 0)[len(words[:2]) :]]
    sys.exit(1 if main(count, first, " ".join(words[2:]) or None) else 0)
