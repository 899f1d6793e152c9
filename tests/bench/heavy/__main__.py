"""Bench of heavy input: `python -m tests.bench.heavy [WORD]`: what takes long must end in its budgets, or say so.

Each case runs the command in a process of its own with 60 s of processor time and 1 GB. Printed: seconds of processor
time, the most memory held, the exit code and the last words said. What it should be: none hangs, none passes 1 GB,
none ends in 70; what is refused names what is too many and how many there may be.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.heavy.cases import CASES, Case

SECONDS = 60
MEGABYTES = 1024


def judged(case: Case) -> tuple[bool, str]:
    """Return whether a case ended well, and a line of figures on it."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        case.lay(folder)
        with (folder / "said.txt").open("w+") as said:
            run = subprocess.Popen(
                [sys.executable, "-m", "bigsign", *case.words], cwd=folder, stdout=said, stderr=said,
                env={**os.environ, "PYTHONPATH": str(Path.cwd())},
                preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 5)),
            )  # fmt: skip
            _, status, used = os.wait4(run.pid, 0)
            code = run.returncode = os.waitstatus_to_exitcode(status)
            said.seek(0)
            last = (said.read().strip().splitlines() or ["nothing said"])[-1]
    seconds, held = used.ru_utime + used.ru_stime, used.ru_maxrss // 1024
    good = code in (0, 1, 2) and held <= MEGABYTES
    return good, f"{'ok' if good else 'BAD'} {seconds:5.1f} s {held:5d} MB exit {code}: {last[:160]}"


def main(word: str = "") -> int:
    """Run the cases whose name holds a word; return how many did not end well."""
    bad = 0
    for case in CASES:
        if word in case.name:
            good, line = judged(case)
            bad += not good
            print(f"{case.name}\n    {line}", flush=True)
    return bad


if __name__ == "__main__":
    sys.exit(1 if main(*sys.argv[1:2]) else 0)
