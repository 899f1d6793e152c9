"""Reading bench: `python -m tests.bench.reading [SEED]`. Word F1 by font over all phrases, and the total."""

from __future__ import annotations

import sys

from tests.bench.reading.measure import PHRASES, UPRIGHT, word_score

seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
scores = word_score(UPRIGHT, PHRASES, seed)
for font, (f1, words) in scores.items():
    print(f"{font:<18} F1 {f1:.3f}  words {words}")
total = sum(f1 * words for f1, words in scores.values()) / sum(words for _, words in scores.values())
print(f"{len(UPRIGHT)} fonts × {len(PHRASES)} phrases, seed {seed}: F1 {total:.4f}")
