"""Fuzzing bench: `python -m tests.bench.fuzz WHAT COUNT SEED [FIRST]`: spoilt inputs, none of which may fall over.

WHAT is `projects`: project files, changed as texts of TOML and as bytes; or `drawings`: drawings of the world, changed
as XML and as bytes (the environment's DRAWINGS names a folder of others). Each input follows from SEED and its number
alone, so one that failed comes again by `WHAT 1 SEED NUMBER`. Prints figures, and the inputs that failed.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

from tests.bench.fuzz import drawings, projects

KINDS: dict[str, Callable[[int, int, int], int]] = {"drawings": drawings.bench, "projects": projects.bench}


def main(words: list[str]) -> int:
    """Run a bench; 0 if nothing failed."""
    if len(words) not in (3, 4) or words[0] not in KINDS or not all(word.isdecimal() for word in words[1:]):
        print(__doc__)
        return 2
    count, seed, *first = (int(word) for word in words[1:])
    return KINDS[words[0]](count, seed, first[0] if first else 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
