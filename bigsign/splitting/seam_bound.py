"""What no parting by seams goes below: bounds on their total length and number, each with the lemma it rests on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from bigsign.splitting.limits import box_fits, size_fits
from bigsign.splitting.seam_charge import Measure, pack, unpack
from bigsign.splitting.seam_lattice import lattice
from bigsign.splitting.seam_records import SeamRules
from bigsign.splitting.seam_relaxed import Relaxed, Strips
from bigsign.splitting.seam_spans import row_bound
from bigsign.splitting.sweep import Sweep

__all__ = ["Proof", "least_chords", "prove", "strips_of"]

CELLS = 40  # strips along an axis, besides those that necks and limits ask for
NECKS = 24  # necks of an axis that strips end at
WORK = 1000  # clips a measure may take
SAME = 1e-3  # mm of true length, from the rounding down of charges: less is no difference
HAIR = 2e-4  # mm
POINTS = 160  # of a shape's outline looked at


@dataclass(frozen=True, slots=True)
class Proof:
    """What is known of all partings: least total length in mm, least whole mm, least chords; ``met`` by an answer.

    ``hints``: where it is not met, strips (axis, low, high) of cuts that would cost less if they could be made as
    the bounds have it.
    """

    length: float
    whole: int
    chords: int
    met: bool
    hints: tuple[tuple[int, float, float], ...] = ()


def prove(film: MultiPolygon, rules: SeamRules, length: float, whole: int, chords: int) -> Proof:
    """Return what no parting of ``film`` goes below, and whether an answer meets it.

    Parameters
    ----------
    length, whole, chords : of the answer: its total length in mm, in whole millimetres a chord, and its chords.
    """
    fewest = least_chords(film, rules)
    bound, bound_whole = min(length, row_bound((Sweep(film, 0, 0.0), Sweep(film, 1, 0.0)), rules)), 0
    if bound >= length - SAME and fewest >= chords:
        return Proof(bound, whole, chords, True)
    met = False
    hints: dict[tuple[int, float, float], None] = {}
    for whole_measure, strips in _families(film, rules):
        # true lengths first: they are bounds of either measure's answers; whole ones where those came near
        for measure in (Measure.TRUE, whole_measure):
            true = measure is Measure.TRUE
            if met or (not true and bound < length - chords):
                continue
            limit = pack(length if true else float(whole), chords)
            relaxed = Relaxed(film, rules, strips, measure, WORK)
            found = relaxed.least(limit)
            hints.update(dict.fromkeys(relaxed.chosen() if found < limit else ()))
            total, joined = unpack(found)
            if true:
                bound = max(bound, min(total, length))
                met = total >= length - SAME and joined >= chords
            else:
                bound_whole = max(bound_whole, math.ceil(total - 1e-6))
                met = found >= limit
    return Proof(bound, whole if met else min(bound_whole, whole), chords if met else fewest, met, tuple(hints))


def _families(film: MultiPolygon, rules: SeamRules) -> Iterator[tuple[Measure, tuple[Strips, Strips]]]:
    places = lattice(film, rules)
    if places is not None:
        yield Measure.WHOLE_BUT_ON_SEAMS, places
        return
    yield Measure.WHOLE, (strips_of(film, rules, 0), strips_of(film, rules, 1))


def strips_of(film: MultiPolygon, rules: SeamRules, axis: int) -> list[tuple[float, float]]:
    """Return strips that hold every place a line may have, in order; mm.

    Their ends are where the relaxation loses least: at the farthest places from the ends at which parts fit, at the
    narrowest necks, where edges lie along the line, and evenly between.
    """
    sweep = Sweep(film, axis, rules.angle)
    low, high = sweep.low, sweep.high
    wanted = {low, high}
    for size in {pair[axis] for pair in rules.limits}:
        pitch = max(size - rules.overlap, 1.0)
        for n in range(min(40, int((high - low) / pitch) + 1)):
            far = [end + sign * (reach + n * pitch) for end, sign in ((low, 1), (high, -1)) for reach in (size, pitch)]
            # what lies just beyond reach has a strip of its own: a line there doesn't count as one within reach
            wanted |= {at + beyond for at in far for beyond in (-HAIR, 0.0, HAIR)}
    necks = sorted(sweep.necks(), key=lambda neck: neck.length)[:NECKS]
    wanted |= {at for neck in necks for at in (neck.low, neck.high)}
    steps = sweep.steps()
    if len(steps) <= NECKS:
        wanted |= {float(sweep.breaks[rank]) for rank in steps}
    ends = sorted(round(at, 6) for at in wanted if low < at < high)
    out: list[tuple[float, float]] = []
    widest = (high - low) / CELLS
    at = low - 1.0
    for end in [*ends, high + 1.0]:
        if end - at < HAIR / 2 and out and end < high:
            continue
        count = max(1, math.ceil((min(end, high) - max(at, low)) / widest - 1e-9))
        places = np.linspace(at, end, count + 1).tolist()
        out.extend(pairwise(places))
        at = end
    return out


def least_chords(film: MultiPolygon, rules: SeamRules) -> int:
    """Return a number of chords below which no parting is.

    Lemma. A cut along one chord either makes one part more or opens one hole: parts less holes grow by one with each.
    Points of which no two fit one panel lie in parts of their own, and a hole that fits no panel has to be opened.
    Overlaps make parts larger, so that they lessen nothing.
    """
    holes = [ring.bounds for part in film.geoms for ring in part.interiors]
    loops = sum(not box_fits(hole, rules.limits) for hole in holes)
    unfit = [part for part in film.geoms if not box_fits(part.bounds, rules.limits)]
    return sum(_apart(shapely.get_coordinates(part.exterior), rules.limits) - 1 for part in unfit) + loops


def _apart(points: np.ndarray[tuple[int, ...], np.dtype[np.float64]], limits: Sequence[tuple[float, float]]) -> int:
    """Return how many points were found of which no two fit one panel; two at least for a part that doesn't fit."""
    points = points[:: max(1, len(points) // POINTS)]
    best = 2
    for order in (np.lexsort((points[:, 1], points[:, 0])), np.lexsort((points[:, 0], points[:, 1]))):
        chosen: list[tuple[float, float]] = []
        for x, y in points[order].tolist():
            if not any(size_fits(abs(x - a), abs(y - b), limits) for a, b in chosen):
                chosen.append((x, y))
        best = max(best, len(chosen))
    return best
