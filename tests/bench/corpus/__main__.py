"""Corpus bench: `python -m tests.bench.corpus DIR [COUNT] [SEED]`: drawings of the world the whole way.

DIR holds SVG files at any depth, as packages of icons, flags, maps or emoji carry them; each folder of files counts
as a set, and sets take turns. Each drawing is planned at 4, 12 or 36 in wide on one small mat, in a process of its own
with 60 s and 1 GB, checked, written, and held against a rendering by resvg. What it should be: 97 % right or with a
warning that fits, none that falls over, hangs, or is wrong in silence.
"""

from __future__ import annotations

import json
import random
import signal
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

SIZES = (101.6, 304.8, 914.4)  # mm: 4, 12 and 36 in
SECONDS = 60  # of processor time, so that other work on the machine does not count
MEGABYTES = 1024
VERDICTS = ("right", "warned", "refused", "wrong", "crash", "hang", "memory")


def chosen(folder: Path, count: int, seed: int) -> list[tuple[Path, float]]:
    """Return so many drawings with their widths, by seed; each folder of drawings takes its turn."""
    sets: dict[Path, list[Path]] = {}
    for file in sorted(folder.rglob("*.svg")):
        sets.setdefault(file.parent, []).append(file)
    rng = random.Random(seed)
    for files in sets.values():
        rng.shuffle(files)
    out: list[tuple[Path, float]] = []
    while len(out) < count and any(sets.values()):
        for name in sorted(sets):
            if sets[name] and len(out) < count:
                out.append((sets[name].pop(), rng.choice(SIZES)))
    return out


def judged(file: Path, width: float) -> tuple[str, str, float]:
    """Return the verdict on a drawing, what was said, and the seconds it took."""
    start = time.monotonic()
    command = [sys.executable, "-m", "tests.bench.corpus.one", str(file), str(width), "12x12", str(SECONDS)]
    try:
        run = subprocess.run(command, capture_output=True, text=True, timeout=10 * SECONDS, check=False)
    except subprocess.TimeoutExpired:
        return "hang", f"over {10 * SECONDS} s, most of it waiting", time.monotonic() - start
    if run.returncode == -signal.SIGXCPU:
        return "hang", f"over {SECONDS} s", time.monotonic() - start
    try:
        found = json.loads(run.stdout.splitlines()[-1])
    except (IndexError, ValueError):
        return "crash", run.stderr.strip().splitlines()[-1][:200] if run.stderr.strip() else "no word", 0.0
    verdict = "memory" if found["mb"] > MEGABYTES and found["verdict"] != "crash" else found["verdict"]
    return verdict, found["said"], time.monotonic() - start


def main(folder: str, count: int = 60, seed: int = 1) -> int:
    """Judge drawings, print what is not right and a table; return the number that fell over, hung or are wrong."""
    total: Counter[str] = Counter()
    slowest: list[tuple[float, str]] = []
    for file, width in chosen(Path(folder), count, seed):
        verdict, said, took = judged(file, width)
        total[verdict] += 1
        name = f"{file.parent.name}/{file.name} at {width / 25.4:.0f} in"
        slowest.append((took, name))
        if verdict != "right":
            print(f"  {verdict}: {name}: {said}", flush=True)
    print(f"{sum(total.values())} drawings, seed {seed}: " + ", ".join(f"{v} {total[v]}" for v in VERDICTS))
    print("slowest: " + ", ".join(f"{name} {took:.0f} s" for took, name in sorted(slowest, reverse=True)[:5]))
    return sum(total[verdict] for verdict in ("wrong", "crash", "hang", "memory"))


if __name__ == "__main__":
    words = sys.argv[1:]
    if not words:
        sys.exit(__doc__)
    sys.exit(1 if main(words[0], *(int(word) for word in words[1:3])) else 0)
