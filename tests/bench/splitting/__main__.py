"""Splitting bench: `python -m tests.bench.splitting`. The search against a baseline run beside it.

Small cases (up to 9 letters, seeds 0 to 19): the brute force of the tests as baseline. Large ones: boxes in lines,
seed 1, with states and seconds.
"""

from __future__ import annotations

import random
import time

from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import tree_of
from tests.splitting.brute_force import best_cost
from tests.splitting.test_split import edges_of, flat, random_rows

mine = theirs = 0.0
equal = 0
for seed in range(20):
    rows = random_rows(seed)
    start = time.perf_counter()
    measures = tree_of(letters_from(rows), (90.0, 160.0)).measures
    middle = time.perf_counter()
    best = best_cost(*flat(rows), edges_of(rows), (90.0, 160.0), "words")
    end = time.perf_counter()
    mine, theirs = mine + middle - start, theirs + end - middle
    equal += best is not None and (measures.in_word_breaks, measures.panels) == best[:2]
print(f"20 small cases, seeds 0-19: {equal} equal")
print(f"search {mine:.2f} s, brute force {theirs:.2f} s, ratio {mine / theirs:.3f}")

rng = random.Random(1)
for lines, words in ((1, 4), (3, 4), (6, 6), (8, 8)):
    rows = [
        row_of_boxes(
            [[rng.uniform(20, 60) for _ in range(rng.randint(2, 8))] for _ in range(words)],
            height=60, letter_gap=8, word_gap=35, y=100.0 * line,
        )
        for line in range(lines)
    ]  # fmt: skip
    count = sum(len(word) for row in rows for word in row)
    for policy in ("words", "panels"):
        start = time.perf_counter()
        tree = tree_of(letters_from(rows), (292.1, 596.9), policy)
        spent = time.perf_counter() - start
        report = tree.report
        print(
            f"{count:>4} letters in {lines} lines, {policy:<6}: {tree.measures.panels:>2} panels, "
            f"{tree.measures.in_word_breaks:>2} breaks, proved {report.proved}, {report.states:>5} states, "
            f"{spent:6.2f} s"
        )
