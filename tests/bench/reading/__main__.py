"""Reading bench: `python -m tests.bench.reading [SEED]`. Word F1 by font, and how many faults came without a doubt.

Faces whose packages are not installed are named and left out; the ten that the tests use are always there.
"""

from __future__ import annotations

import random
import sys

from bigsign.fonts import installed_families
from tests.bench.reading.measure import MORE_PHRASES, MORE_UPRIGHT, PHRASES, UPRIGHT, Score, read_all


def _total(title: str, scores: list[Score], phrases: int) -> None:
    words = sum(score.words for score in scores)
    f1 = sum(score.f1 * score.words for score in scores) / words
    kinds = [sum(getattr(s, k) for s in scores) for k in ("right", "right_in_doubt", "wrong_in_doubt", "wrong")]
    print(f"{title}: {len(scores)} faces × {phrases} phrases, {words} words, seed {seed}: F1 {f1:.4f}")
    print("  phrases right {}, right in doubt {}, wrong in doubt {}, wrong without a doubt {}".format(*kinds))


seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
there = set(installed_families())
more = tuple(font for font in MORE_UPRIGHT if font in there)
missing = [font for font in MORE_UPRIGHT if font not in there]
for title, fonts, phrases in (
    ("usual phrases", UPRIGHT, PHRASES),
    ("harder phrases", UPRIGHT, MORE_PHRASES),
    ("more faces, all phrases", more, PHRASES + MORE_PHRASES),
):
    rng = random.Random(seed)
    scores = {font: read_all(font, phrases, rng) for font in fonts}
    for font, score in scores.items():
        print(f"  {font:<18} F1 {score.f1:.4f}  words {score.words}")
    if scores:
        _total(title, list(scores.values()), len(phrases))
if missing:
    print("not installed:", ", ".join(missing))
