"""Splitting bench: `python -m tests.bench.splitting [CASES] [FIRST]`. The search against an exact model of a solver.

Cases are seeded (`cases.py`); each is parted under both policies and held against the model of `model.py` in tiers 1
to 3 (no seams here; in-word breaks; panels), small ones in risk too. Times are processor seconds. Needs the extra
``bench``.
"""

from __future__ import annotations

import sys
from collections import Counter

from tests.bench.splitting.cases import FONTS, make_case
from tests.bench.splitting.measure import MOST_ATOMS, VERDICTS, Outcome, compare, time_lines

count = int(sys.argv[1]) if len(sys.argv) > 1 else 320
first = int(sys.argv[2]) if len(sys.argv) > 2 else 0

outcomes: list[Outcome] = []
compare(make_case(first), "words")  # what loads on first use is not timed
for seed in range(first, first + count):
    case = make_case(seed)
    for policy in ("words", "panels"):
        outcome = compare(case, policy)
        outcomes.append(outcome)
        if outcome.risk in ("worse", "below"):
            print(f"  seed {seed}, {policy}: risk {outcome.risk}: {case.name}")
        if outcome.verdict not in VERDICTS[:2]:
            print(f"  seed {seed}, {policy}: {outcome.verdict}; (breaks, panels) tool {outcome.tool}, ", end="")
            print(f"model {outcome.model}, bound {outcome.bound}, {outcome.rounds} rounds: {case.name}")

tally = Counter(outcome.verdict for outcome in outcomes)
same = sum(tally[verdict] for verdict in VERDICTS[:2])
print(f"{count} cases × 2 policies, seeds {first}-{first + count - 1}, {len(FONTS)} faces, 3 mats, 2 to 60 glyphs")
print(f"equal {same} of {len(outcomes)}: " + ", ".join(f"{verdict} {tally[verdict]}" for verdict in VERDICTS))
risks = Counter(outcome.risk for outcome in outcomes if outcome.risk)
print(f"risk, of equal plans of {MOST_ATOMS} shapes or fewer: ", end="")
print(", ".join(f"{how} {number}" for how, number in sorted(risks.items())))
cut = sum(outcome.bound_is_cut for outcome in outcomes)
asked = sum(outcome.rounds > 1 for outcome in outcomes)
print(f"the model's first answer can be cut straight {cut} times; asked again {asked}, most rounds", end=" ")
print(max(outcome.rounds for outcome in outcomes))
print("\n".join(time_lines(outcomes)))
slow = sorted(outcomes, key=lambda outcome: -outcome.ratio)[:5]
print("slowest by ratio (tool/model, s):", end=" ")
print(", ".join(f"seed {o.seed} {o.policy} {o.tool_seconds:.3f}/{o.model_seconds:.3f}" for o in slow))
