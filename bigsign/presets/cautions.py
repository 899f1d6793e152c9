"""The cautions that apply to a sign.

Each caution of the data names what it applies to (``when``); what of that holds for a sign is said by
:func:`conditions`, from the board's size and the [site] table.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bigsign.plan_needs import SiteFrame

__all__ = ["CONDITIONS", "Caution", "cautions_for", "conditions"]

TALL = 1200.0  # mm: above this some work is done above the head, or the board stands high; common practice, no source
REACH = 1800.0  # mm: what is higher above where one stands is worked from a ladder; common practice, no source
MUCH = 50  # per cent of a pane under dark film (film supplier tips: keep film under half of a pane)

#: Everything a caution may apply to.
CONDITIONS = (
    "always", "high", "solvent", "old-paint", "old-paint-unknown", "fresh-paint", "glass", "glass-little",
    "glass-much", "loads", "street",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: its kind, its signal word (ANSI Z535), its text, and what of it stands before a step.

    ``values`` fill the gaps of the text, in every language.
    """

    kind: str
    signal: str
    text: str
    step: str = ""
    values: tuple[tuple[str, int], ...] = ()


@cache
def _all() -> tuple[tuple[str, Caution], ...]:
    data = tomllib.loads((resources.files("bigsign.presets") / "cautions.toml").read_text("utf-8"))
    return tuple((c["when"], Caution(c["kind"], c["signal"], c["text"], c["step"])) for c in data["caution"])


def conditions(board_width: float, board_height: float, site: SiteFrame) -> Iterator[str]:
    """Yield what of ``CONDITIONS`` holds for a board of this size in mm at this place."""
    yield "always"
    known = site.foot is not None
    if site.foot is not None and site.foot.mm + board_height > REACH:
        yield "high"
    if not known and max(board_width, board_height) >= TALL:
        yield "high"
    if site.solvent:
        yield "solvent"
    if site.surface == "painted" and site.old_paint is not False:
        yield "old-paint" if site.old_paint else "old-paint-unknown"
    if site.may_be_fresh:
        yield "fresh-paint"
    if site.surface == "glass":
        yield "glass"
        yield "glass-much" if site.dark_percent > MUCH else "glass-little"
    if site.hung is not False:
        yield "loads"
    if site.street is not False:
        yield "street"


def cautions_for(board_width: float, board_height: float, site: SiteFrame) -> tuple[Caution, ...]:
    """Return the cautions for a board of this size in mm at this place, the gravest first."""
    rank = {"DANGER": 0, "WARNING": 1, "CAUTION": 2, "NOTICE": 3}
    hold = set(conditions(board_width, board_height, site))
    values = (("covered", site.covered_percent), ("dark", site.dark_percent))
    found = [
        replace(caution, text=caution.text.format(**dict(values)), values=values)
        for when, caution in _all()
        if when in hold
    ]
    return tuple(sorted(found, key=lambda caution: rank[caution.signal]))
