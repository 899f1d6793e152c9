"""The cautions that apply to a sign."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

__all__ = ["Caution", "cautions_for"]

TALL = 1200.0  # mm: above this some work is done above the head, or the board stands high; common practice, no source


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: its kind, its signal word (ANSI Z535), its text, and what of it stands before a step."""

    kind: str
    signal: str
    text: str
    step: str = ""


@cache
def _all() -> tuple[tuple[str, Caution], ...]:
    data = tomllib.loads((resources.files("bigsign.presets") / "cautions.toml").read_text("utf-8"))
    return tuple((c["when"], Caution(c["kind"], c["signal"], c["text"], c["step"])) for c in data["caution"])


def cautions_for(board_width: float, board_height: float) -> tuple[Caution, ...]:
    """Return the cautions for a board of this size in mm, the gravest first."""
    rank = {"DANGER": 0, "WARNING": 1, "CAUTION": 2, "NOTICE": 3}
    tall = max(board_width, board_height) >= TALL
    found = [caution for when, caution in _all() if when == "always" or (when == "tall" and tall)]
    return tuple(sorted(found, key=lambda caution: rank[caution.signal]))
