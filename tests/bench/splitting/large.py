"""Large signs: `python -m tests.bench.splitting.large`. Boxes in lines, seed 1: panels, proof, states and seconds.

The largest, of 20 lines of 20 words, is parted by `words` only.

No baseline here: from 183 letters on the model of `model.py` does not settle within its limit.
"""

from __future__ import annotations

import random
import time

from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import tree_of


def main() -> None:
    """Part signs of 19 to about 2,000 letters, those of up to 323 under both policies."""
    rng = random.Random(1)
    for lines, words in ((1, 4), (3, 4), (6, 6), (8, 8), (20, 20)):
        rows = [
            row_of_boxes(
                [[rng.uniform(20, 60) for _ in range(rng.randint(2, 8))] for _ in range(words)],
                height=60, letter_gap=8, word_gap=35, y=100.0 * line,
            )
            for line in range(lines)
        ]  # fmt: skip
        count = sum(len(word) for row in rows for word in row)
        for policy in ("words", "panels") if lines < 20 else ("words",):
            start = time.process_time()
            tree = tree_of(letters_from(rows), (292.1, 596.9), policy)
            spent = time.process_time() - start
            report = tree.report
            print(
                f"{count:>4} letters in {lines} lines, {policy:<6}: {tree.measures.panels:>2} panels, "
                f"{tree.measures.in_word_breaks:>2} breaks, proved {report.proved}, {report.states:>5} states, "
                f"{spent:6.2f} s"
            )


if __name__ == "__main__":
    main()
