"""Reading bench: `python -m tests.bench.reading [SEED] [KIND] [-v]`. Word F1 by kind, and faults without a doubt.

KIND picks the kinds whose names hold it; -v shows what was read wrongly.

Faces whose packages are not installed are named and left out; they come with the extra `bench`.
"""

from __future__ import annotations

import sys
import time

from bigsign.fonts import installed_families
from tests.bench.reading.kinds import KINDS
from tests.bench.reading.measure import Score, read_one, total

seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
only = sys.argv[2] if len(sys.argv) > 2 else ""
verbose = "-v" in sys.argv
there = frozenset(installed_families())
faces: set[str] = set()
texts: set[str] = set()
print(f"seed {seed}; a phrase is counted right or wrong, without or with a doubt said")
print(f"{'kind':<26}{'faces':>6}{'phrases':>9}{'words':>7}{'F1':>8}{'right':>8}{'doubted':>9}{'wrong':>7}{'unsaid':>8}")
groups: dict[str, list[Score]] = {}
for kind in KINDS:
    if only not in kind.name:
        continue
    started = time.perf_counter()
    scores: dict[str, list[Score]] = {}
    for case in kind.cases(seed, tuple(there)):
        score = read_one(case.artwork)
        scores.setdefault(case.face, []).append(score)
        texts.add(case.phrase)
        if verbose and score.wrong + score.wrong_in_doubt:
            print(
                f"    {case.face}: {case.phrase!r} {'in doubt' if score.wrong_in_doubt else 'UNSAID'}",
                score.hits,
                score.words,
                score.given,
            )
    if not scores:
        continue
    faces |= set(scores)
    one = total([score for found in scores.values() for score in found])
    groups.setdefault(kind.group, []).append(one)
    count = sum(len(found) for found in scores.values())
    print(
        f"{kind.name:<26}{len(scores):>6}{count:>9}{one.words:>7}{one.f1:>8.4f}{one.right:>8}{one.right_in_doubt:>9}"
        f"{one.wrong + one.wrong_in_doubt:>7}{one.wrong:>8}"
        + (f"  {time.perf_counter() - started:.1f} s" if verbose else "")
    )
    if verbose:
        print("    ", {face: round(total(found).f1, 3) for face, found in scores.items()})
for group, found in groups.items():
    one = total(found)
    print(f"all {group}: {one.words} words, F1 {one.f1:.4f}; left out, as sharing film with another word: {one.joined}")
print(f"{len(faces)} faces, {len(texts)} different phrases")
missing = sorted({face for kind in KINDS for face in kind.faces} - there)
if missing:
    print("not installed:", ", ".join(missing))
