"""Parting film that is too big for the cut area: straight seams, plumb and level, of the least total length.

A shape is cut by one whole line, its parts by lines of their own, until every part fits; all cuts of a piece are
chosen together. Quick partings come first (`seam_start`); then cuts at necks and at places tied to them, to the ends
or to other cuts by the usable area are tried in order of cost, as far as the budget goes; small branches of a large
tree are searched again on their own. The search proves nothing: that is done apart (`seam_bound`), and only an answer
that meets a bound is called exact. Upper film laps lower film at a level seam, and right film left film at a plumb one.
"""


from __future__ import annotations

from dataclasses import replace

import shapely
from shapely.geometry import MultiPolygon

from bigsign.splitting.seam_bound import Proof, prove
from bigsign.splitting.seam_clip import chords_of
from bigsign.splitting.seam_cuts import Cutting, Group, Node, gathered
from bigsign.splitting.seam_parallel import parallel
from bigsign.splitting.seam_places import Which
from bigsign.splitting.seam_records import Cost, SeamRules, Seams, Shape, Total, film_of
from bigsign.splitting.seam_start import starts

__all__ = ["chords_of", "find_seams"]

WORK = 1000  # units of work of a search
BRANCH = 150  # units of work of a branch that is searched again
LIGHT = 600  # points of a film that is not too detailed to be searched once more
SLIGHT = 0.01  # mm
NEAR = 0.5  # of an answer's length
POLISH = 3000  # units of work after which no more branches are
PARTS = 8  # of a branch that is searched again, at most
SHRUNK = (0.97, 0.93, 0.88, 0.8, 0.7)  # of the usable area, where nothing was found: what fits there fits here
NOTHING = Total(0, 0, 0, 0.0)


def find_seams(shape: Shape, rules: SeamRules) -> Seams | None:
    """Return the seams that part ``shape`` into parts that fit, of the least cost found; None if there are none.

    Costs are compared by letters' bodies cut, then whole millimetres a chord, then chords, then true length.
    """
    film = film_of(shape)
    found = _started(film, rules) or _searched(film, rules, "all", None)
    for share in SHRUNK if found is None else ():
        smaller = replace(rules, limits=tuple((w * share, h * share) for w, h in rules.limits))
        found = _started(film, smaller)
        if found is not None:
            break
    if found is None:
        return None
    proof = _proof(film, rules, found)
    if not proof.met:
        first = found
        found = _hinted(film, rules, proof, found)
        light = shapely.get_num_coordinates(film) < LIGHT and len(rules.limits) > 1 and len(found.parts()) <= 2 * PARTS
        for pair in rules.limits if light else ():
            # leave to turn a mat must not lead to more: what is found for it one way up counts as well
            upright = replace(rules, limits=(pair,))
            one_way = _searched(film, upright, "all", _started(film, upright))
            if one_way is not None and one_way.cost < found.cost:
                found = one_way
        found = _searched(film, rules, "all", found) or found
        # a bound far below an answer is one that the budget cut short: it comes out the same again
        if first.cost.length - found.cost.length > SLIGHT and proof.length > NEAR * found.cost.length:
            proof = _joined(proof, _proof(film, rules, found))
    return _seams(found, proof)


def _proof(film: MultiPolygon, rules: SeamRules, found: Node) -> Proof:
    return prove(film, rules, found.cost.length, found.cost.whole, found.cost.chords)


def _joined(one: Proof, other: Proof) -> Proof:
    """Return what two proofs say together, the second for a better answer."""
    return replace(other, length=max(one.length, other.length), chords=max(one.chords, other.chords))


def _seams(found: Node, proof: Proof) -> Seams:
    # a line that cuts fewer letters' bodies comes first however long it is: a cost with none is the least there
    exact = proof.met and found.cost.bodies == 0
    cuts = found.cuts()
    cost = Cost(found.cost.bodies, sum(cut.length for cut in cuts), found.cost.chords)
    return Seams(found.parts(), cuts, cost, exact, min(proof.length, cost.length), min(proof.chords, cost.chords))


def _started(film: MultiPolygon, rules: SeamRules) -> Node | None:
    """Return a good parting: at the farthest places from the ends at which parts fit, then at necks as well."""
    cutting = Cutting(rules, "few")
    best = starts(cutting, cutting.whole(film))
    rows = Cutting(rules)
    for axis in (0, 1):
        found = parallel(rows, rows.whole(film), axis)
        if found is not None and (best is None or found.cost < best.cost):
            best = found
    return _searched(film, rules, "few", _searched(film, rules, "ends", best))


def _searched(film: MultiPolygon, rules: SeamRules, which: Which, known: Node | None) -> Node | None:
    """Return the best parting found over some places, ``known`` or better."""
    search = _Search(Cutting(rules, which))
    whole = search.cutting.whole(film)
    search.spent_by = WORK if which != "ends" else WORK // 2
    best = search.best(whole, None if known is None else known.cost) or known
    return best if best is None or which == "ends" else search.polished(best)


def _hinted(film: MultiPolygon, rules: SeamRules, proof: Proof, known: Node) -> Node:
    """Return the best parting with cuts where a proof hints at them, ``known`` or better."""
    if not proof.hints:
        return known
    search = _Search(Cutting(rules, hints=proof.hints))
    search.spent_by = WORK
    return search.best(search.cutting.whole(film), known.cost) or known


class _Search:
    """Branch and bound over the places of one piece; ``spent_by``: the count of work at which it stops."""

    def __init__(self, cutting: Cutting) -> None:
        self.cutting, self.spent_by = cutting, 0
        self.known: dict[tuple[object, ...], Node] = {}
        self.above: dict[tuple[object, ...], Total | None] = {}

    @property
    def spent(self) -> bool:
        return self.cutting.work >= self.spent_by

    def best(self, group: Group, limit: Total | None) -> Node | None:
        """Return the best parting of a group that costs less than ``limit``, as far as the budget goes."""
        if self.cutting.fits(group):
            return Node(group, NOTHING)
        key = group.key
        if key in self.known:
            found = self.known[key]
            return found if limit is None or found.cost < limit else None
        if key in self.above:
            tried = self.above[key]
            if tried is None or (limit is not None and limit <= tried):
                return None
        best = self.halved(group, limit)
        bound = limit if best is None else best.cost
        for place in self.cutting.moves(group):
            if self.spent or (bound is not None and place.cost >= bound):
                break
            found_here = self.cut(group, place.axis, place.at, bound)
            if found_here is not None and (bound is None or found_here.cost < bound):
                best, bound = found_here, found_here.cost
        if self.spent:
            return best
        if best is None:
            self.above[key] = limit
        else:
            self.known[key] = best
        return best

    def halved(self, group: Group, limit: Total | None) -> Node | None:
        """Return the cheapest parting by one line that costs less than ``limit``."""
        for place in self.cutting.halving(group):
            if self.spent or (limit is not None and place.cost >= limit):
                return None
            made = self.cutting.make(group, place.axis, place.at)
            if made is not None and all(self.cutting.fits(part) for part in made.groups):
                return gathered(group, made, [Node(part, NOTHING) for part in made.groups])
        return None

    def cut(self, group: Group, axis: int, at: float, bound: Total | None) -> Node | None:
        """Return the best parting that begins with a line, None if there is none or it costs ``bound`` or more."""
        made = self.cutting.make(group, axis, at)
        if made is None:
            return None
        # what doesn't fit costs its cheapest line at least
        waiting = [NOTHING if self.cutting.fits(part) else self.least(part) for part in made.groups]
        if any(least is None for least in waiting):
            return None
        total = made.cost
        for least in waiting:
            total = total.plus(least or NOTHING)
        children = []
        for part, least in zip(made.groups, waiting, strict=True):
            if bound is not None and total >= bound:
                return None
            total = total.minus(least or NOTHING)
            found = self.best(part, None if bound is None else bound.minus(total))
            if found is None:
                return None
            total = total.plus(found.cost)
            children.append(found)
        return gathered(group, made, children)

    def least(self, group: Group) -> Total | None:
        """Return what a group that doesn't fit costs at least, give or take a mm; None if no line may part it."""
        moves = self.cutting.moves(group)
        if not moves:
            return None
        rows = self.cutting.rows(group)
        return max(moves[0].cost, Total(0, int(rows) - 1, 1, max(0.0, rows - 1.0)))

    def polished(self, node: Node) -> Node:
        """Return a parting with its branches of few parts searched again on their own, the smallest first."""
        if node.made is None:
            return node
        children = [self.polished(child) for child in node.children]
        made = gathered(node.group, node.made, children)
        if 2 <= len(made.parts()) <= PARTS and self.cutting.work < POLISH:
            self.spent_by = self.cutting.work + BRANCH
            return self.best(node.group, made.cost) or made
        return made
