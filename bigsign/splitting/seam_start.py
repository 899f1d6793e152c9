"""Quick partings to begin a search with: greedy cuts, and even strips."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bigsign.budgets import BUDGETS
from bigsign.splitting.seam_cuts import Cutting, Group, Made, Node, gathered
from bigsign.splitting.seam_places import NUDGE, REACH, Place, cheapest_of_each_stretch
from bigsign.splitting.seam_records import Total

__all__ = ["starts"]

TRIED = 28  # lines of a group that are carried out at each greedy step
TIRED = 1200  # units of work of a guess after which fewer lines are
FEWER = 6
DEEPEST = 100  # cuts above a group: what gets nowhere is given up
GUESSES = ((0.0, False), (0.0, True), (0.5, True))  # share of lines shorter than a further cut; rows looked at or not
NOTHING = Total(0, 0, 0, 0.0)


def starts(cutting: Cutting, whole: Group) -> Node | None:
    """Return the best of several quick partings; None if none came to an end."""
    found = [_strips(cutting, whole, axis, size, 0) for axis in (0, 1) for size in cutting.rules.limits]
    lengths = sorted(place.cost.length for place in cutting.moves(whole) if place.cost.length > 0)
    for share, rows in GUESSES if lengths else ():
        found.append(_Greedy(cutting, lengths[int(share * len(lengths))], rows).part(whole, 0))
    return min((node for node in found if node is not None), key=lambda node: node.cost, default=None)


class _Greedy:
    """At each step the line that, with what is guessed to follow, costs least."""

    def __init__(self, cutting: Cutting, typical: float, rows: bool) -> None:
        self.cutting, self.typical, self.rows = cutting, typical, rows
        self.tired_by, self.spent_by = cutting.work + TIRED, cutting.work + BUDGETS.seam_guess
        self.lost: set[tuple[object, ...]] = set()

    def part(self, group: Group, depth: int) -> Node | None:
        """Return a parting of a group; None if none was found."""
        if self.cutting.fits(group):
            return Node(group, NOTHING)
        key = group.key
        if depth > DEEPEST or key in self.lost or self.cutting.work > self.spent_by:
            return None
        node = self.cut(group, depth)
        if node is None:
            self.lost.add(key)
        return node

    def cut(self, group: Group, depth: int) -> Node | None:
        """Return a parting of a group that does not fit."""
        count = TRIED if self.cutting.work < self.tired_by else FEWER
        tried = []
        for rank, place in enumerate(_spread(self.cutting.moves(group), count)):
            made = self.cutting.make(group, place.axis, place.at)
            if made is not None:
                rest = sum(self.guess(part) for part in made.groups)
                tried.append((made.cost.bodies, round(made.cost.length + rest, 6), rank, made))
        for _, _, _, made in sorted(tried, key=lambda entry: entry[:3])[:3]:
            node = _all_parted(group, made, lambda part: self.part(part, depth + 1))
            if node is not None:
                return node
        return None

    def guess(self, group: Group) -> float:
        """Return a guess at the seams a group still needs: as many as panels side by side need."""
        if self.cutting.fits(group):
            return 0.0
        x0, y0, x1, y1 = self.cutting.grown(group)
        panels = min(-int(-(x1 - x0) // w) * -int(-(y1 - y0) // h) for w, h in self.cutting.rules.limits)
        return max(self.typical * max(1, panels - 1), self.cutting.rows(group) if self.rows else 0.0)


def _spread(moves: Sequence[Place], count: int) -> list[Place]:
    """Return some of the lines, the cheapest and, along each axis, the cheapest of each stretch."""
    if len(moves) <= count:
        return list(moves)
    chosen: dict[Place, None] = dict.fromkeys(moves[: count // 3])
    for axis in (0, 1):
        along = [place for place in moves if place.axis == axis]
        chosen.update(dict.fromkeys(cheapest_of_each_stretch(along, count // 3)))
    return list(chosen)


def _strips(cutting: Cutting, group: Group, axis: int, size: tuple[float, float], depth: int) -> Node | None:
    """Return a parting into even strips along ``axis``, each then parted across, for panels of one size."""
    if cutting.fits(group):
        return Node(group, NOTHING)
    if depth > DEEPEST:
        return None
    bounds, overlap = cutting.grown(group), cutting.rules.overlap
    along = axis if bounds[axis + 2] - bounds[axis] > size[axis] else 1 - axis
    low, high, pitch = bounds[along], bounds[along + 2], size[along] - overlap
    if pitch <= 0:
        return None
    # as many even panels as are needed: each but the last shares an overlap with the next
    count = max(2, -int(-(high - low - overlap) // pitch))
    share = (high - low + (count - 1) * overlap) / count - (overlap if along == 1 else 0.0)
    for at in (*cutting.places.marks(along, low + share, REACH)[:1], low + share, low + pitch - NUDGE):
        made = cutting.make(group, along, at)
        if made is not None:
            node = _all_parted(group, made, lambda part: _strips(cutting, part, axis, size, depth + 1))
            if node is not None:
                return node
    return None


def _all_parted(group: Group, made: Made, part: Callable[[Group], Node | None]) -> Node | None:
    """Return a cut with the partings of all its groups; None as soon as one has none."""
    children = []
    for left in made.groups:
        node = part(left)
        if node is None:
            return None
        children.append(node)
    return gathered(group, made, children)
