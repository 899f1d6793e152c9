"""What to know of a panel before weeding it: holes to pick out, small film to watch, film to weed late."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import Polygon

from bigsign.making.weeding import across
from bigsign.plan_records import Panel, Plan
from bigsign.reading.lettering import Glyph

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
    pieces = {piece for name, piece, _ in plan.fragments if name in set(panel.fragments)}
    parts = list(panel.film.geoms)
    here = [glyph for glyph in plan.glyphs if not pieces.isdisjoint(glyph.pieces)]
    holed = {_letter_of(Polygon(ring), here) for part in parts for ring in part.interiors}
    fine = {name for finding in plan.warnings if finding.code in LATE for name in finding.pieces}
    return WeedingNotes(
        sum(len(part.interiors) for part in parts),
        tuple(glyph.id for glyph in here if glyph.id in holed),
        tuple(part for part in parts if across(part) < WATCH),
        bool(fine & pieces),
    )


def _letter_of(hole: Polygon, glyphs: Sequence[Glyph]) -> str | None:
    """Return the glyph a hole belongs to: of those whose box holds it, for letters may share film, the nearest."""
    x, y = hole.centroid.x, hole.centroid.y
    around = [g for g in glyphs if g.bounds[0] <= x <= g.bounds[2] and g.bounds[1] <= y <= g.bounds[3]]
    nearest = min(around, key=lambda g: abs(g.bounds[0] + g.bounds[2] - 2 * x), default=None)
    return nearest.id if nearest is not None else None
