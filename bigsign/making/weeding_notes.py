"""What to know of a panel before weeding it: holes to pick out, small film to watch, film to weed late."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import Polygon

from bigsign.making.weeding import across
from bigsign.plan_records import Panel, Plan

__all__ = ["WATCH", "WeedingNotes", "weeding_notes"]

#: Film smaller than this both ways comes up with the waste beside it unless held; mm, common practice, no source.
WATCH = 12.0
LATE = ("film-thin", "film-small")


@dataclass(frozen=True, slots=True)
class WeedingNotes:
    """What to mind of one panel.

    Parameters
    ----------
    holes : how many there are in its film. ``holed``: the ids of the glyphs with holes.
    small : the film to hold down, in the sign's frame.
    late : whether its film is so fine that it is taped first and weeded from the back.
    """

    holes: int
    holed: tuple[str, ...]
    small: tuple[Polygon, ...]
    late: bool


def weeding_notes(plan: Plan, panel: Panel) -> WeedingNotes:
    """Return what to mind while weeding a panel."""
    shapes = {piece.id: piece.shape for piece in plan.pieces}
    pieces = {piece for name, piece, _ in plan.fragments if name in set(panel.fragments)}
    parts = list(panel.film.geoms)
    holed = tuple(
        glyph.id
        for glyph in plan.glyphs
        if any(name in pieces and shapes[name].interiors for name in glyph.pieces)
    )
    fine = {name for finding in plan.warnings if finding.code in LATE for name in finding.pieces}
    return WeedingNotes(
        sum(len(part.interiors) for part in parts),
        holed,
        tuple(part for part in parts if across(part) < WATCH),
        bool(fine & pieces),
    )
