"""Corpus bench: `python -m tests.bench.corpus DIR [COUNT] [SEED] [read]`: drawings of the world the whole way.

DIR holds SVG files at any depth, as packages of icons, flags, maps, emoji or clip art carry them; each folder directly
in it counts as a set, and sets take turns. Each drawing is planned at 4, 12 or 36 in wide on one small mat, in a
process of its own with 60 s and 1 GB, checked, written, and held against a rendering by resvg; with `read` it is only
read and held against the rendering. What it should be: 97 % right, the others with a warning that fits or one error,
none that falls over, hangs, or is wrong in silence.
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from pathlib import Path

from tests.bench.corpus.one import judge_apart

SIZES = (101.6, 304.8, 914.4)  # mm: 4, 12 and 36 in
SECONDS = 60
MEGABYTES = 1024
VERDICTS = ("right", "warned", "refused", "wrong", "crash", "hang", "memory")


def chosen(folder: Path, count: int, seed: int) -> list[tuple[Path, float]]:
    """Return so many drawings with their widths, by seed; each set of drawings takes its turn."""
    sets: dict[str, list[Path]] = {}
    for file in sorted(folder.rglob("*.svg")):
        if file.is_file():
            sets.setdefault(file.relative_to(folder).parts[0], []).append(file)
    rng = random.Random(seed)
    for files in sets.values():
        rng.shuffle(files)
    out: list[tuple[Path, float]] = []
    while len(out) < count and any(sets.values()):
        for name in sorted(sets):
            if sets[name] and len(out) < count:
                out.append((sets[name].pop(), rng.choice(SIZES)))
    return out


def main(folder: str, count: int, seed: int, whole: bool) -> int:
    """Judge drawings, print what is not right and a table; return the number that fell over, hung or are wrong."""
    total: Counter[str] = Counter()
    slowest: list[tuple[float, str]] = []
    for file, width in chosen(Path(folder), count, seed):
        start = time.monotonic()
        try:
            verdict, said, held = judge_apart(file, width, SECONDS, whole)
        except KeyboardInterrupt:  # what is known by now is told
            break
        if held > MEGABYTES and verdict not in ("crash", "hang"):
            verdict = "memory"
        total[verdict] += 1
        name = f"{file.relative_to(folder)} at {width / 25.4:.0f} in"
        if sum(total.values()) % 100 == 0:
            print(f"  {sum(total.values())} drawings", flush=True)
        slowest.append((time.monotonic() - start, name))
        if verdict != "right":
            print(f"  {verdict}: {name}: {said}", flush=True)
    print(f"{sum(total.values())} drawings, seed {seed}: " + ", ".join(f"{v} {total[v]}" for v in VERDICTS))
    print("slowest: " + ", ".join(f"{name} {took:.0f} s" for took, name in sorted(slowest, reverse=True)[:5]))
    return sum(total[verdict] for verdict in ("wrong", "crash", "hang", "memory"))


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != "read"]
    if not words:
        sys.exit(__doc__)
    numbers = [int(word) for word in words[1:3]] + [60, 1][len(words) - 1 :]
    sys.exit(1 if main(words[0], numbers[0], numbers[1], "read" not in sys.argv) else 0)
