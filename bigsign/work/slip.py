"""The slip budget: what error to expect in each gap, by measuring, by butting and by register marks.

A *slip* is how far a panel may end up from where it was meant to lie: its *offset* across and down (each at most the
offset limit), and its *tilt* (the ends of its longer side at most the tilt limit out of level with each other), turning
about the middle of its film. Slips of different panels are independent, and taken as small, so that they add: at limits
near 1 mm, panels really turned can be off by a few per cent more than the worst case here.

What a panel's place was *meant* to be is what the three ways of working differ in:

- ``edge``: its planned place, measured from the reference edges. A gap feels the slips of its own two panels.
- ``butt``: beside one panel that is up, the one at the tightest join, turned and shifted as that panel is. Where two
  chains meet, the gap feels the slips of all panels of both back to where they part.
- ``marks``: midway between the places that the marks of all neighbours which are up would give it.

The worst case is the sum of all that is felt. Root-sum-square takes each limit as uniform, of standard deviation
limit / √3 (JCGM 100:2008, 4.3.7), and is the standard deviation of the gap's error.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.ops import nearest_points

from bigsign.plan_records import Break, Panel, Point, SlipJoin
from bigsign.project import SlipSettings
from bigsign.units import TapeStep, to_tape
from bigsign.wording import phrase

__all__ = ["COVERAGE", "METHODS", "SHOWS", "slip_joins"]

METHODS = ("edge", "butt", "marks")
#: An error shows in a gap once it is more than this share of it; common practice, no source.
SHOWS = 0.25
#: Hardly an error is more than this many standard deviations (about 95 % are less: JCGM 100:2008, 6.3.3, from memory).
COVERAGE = 2.0
AS_NARROW = 0.1  # mm: a gap this little wider than the narrowest is as narrow
TIGHTEST = ("seam", "letter", "word", "line", "ornament")

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place where a gap is measured, and the unit vector along which, from the first panel to the second."""

    at: Point
    along: Point


def slip_joins(
    panels: Sequence[Panel], breaks: Sequence[Break], limits: SlipSettings, step: TapeStep
) -> tuple[SlipJoin, ...]:
    """Return the slip budget: three records a break, in the order of :data:`METHODS`.

    Parameters
    ----------
    panels : in the order of work.
    step : how finely the tape is read.

    A gap's error is the largest over the places where it is measured: the narrowest ones, and those of ``Break.gaps``.
    """
    index = {panel.id: n for n, panel in enumerate(panels)}
    felt = {method: _weights(method, panels, breaks, index) for method in METHODS}
    out: list[SlipJoin] = []
    for part in breaks:
        first, second = sorted(part.panels, key=index.__getitem__)
        spots = list(_spots(part, panels[index[first]], panels[index[second]]))
        for method in METHODS:
            weights = felt[method]
            gap = [_error(spot, weights[index[second]] - weights[index[first]], panels, limits) for spot in spots]
            place = [_error(spot, weights[index[second]], panels, limits) for spot in spots]
            worst, rss = max(error[0] for error in gap), max(error[1] for error in gap)
            room = part.overlap_mm if part.kind == "seam" else SHOWS * part.gap.mm
            state = "shows" if COVERAGE * rss > room else "may" if worst > room else "fine"
            key = f"slip.shows.{method}" if state == "shows" else f"slip.{state}"
            out.append(
                SlipJoin(
                    break_id=part.id,
                    method=method,
                    worst=to_tape(worst, step),
                    rss=to_tape(rss, step),
                    place_worst=to_tape(max(error[0] for error in place), step),
                    place_rss=to_tape(max(error[1] for error in place), step),
                    shows=state == "shows",
                    advice=phrase(key, n=panels[index[second]].number, other=panels[index[first]].number),
                )
            )
    return tuple(out)


def _weights(method: str, panels: Sequence[Panel], breaks: Sequence[Break], index: dict[str, int]) -> FloatArray:
    """Return, a row a panel, how much of each panel's slip is in its error of place."""
    weights = np.eye(len(panels))
    if method == "edge":
        return weights
    for n, panel in enumerate(panels):
        up: dict[int, tuple[int, float]] = {}
        for part in breaks:
            if panel.id in part.panels:
                other = index[next(name for name in part.panels if name != panel.id)]
                if other < n:
                    up[other] = (TIGHTEST.index(part.kind), part.gap.mm)
        if not up:
            continue  # the first panel, and the first of a colour: measured from the edges
        held = sorted(up) if method == "marks" else [min(up, key=lambda other: (*up[other], other))]
        weights[n] += weights[held].mean(axis=0)
    return weights


def _spots(part: Break, first: Panel, second: Panel) -> Iterator[_Spot]:
    """Yield the places where a break's gap is measured: wherever it is narrowest, and the heights it is given for.

    Along a stretch of equal width (flat feet over flat heads) the two ends are taken: a tilt tells there most.
    """
    a, b = (points.coords[0] for points in nearest_points(first.film, second.film))
    way = np.array([b[0] - a[0], b[1] - a[1]])
    gap = float(np.hypot(*way))
    if gap < 1e-6:  # films that touch or overlap: across the break line
        (x0, y0), (x1, y1) = part.line[0], part.line[-1]
        way = np.array([y1 - y0, x0 - x1])
    way = way / float(np.hypot(*way))
    along = (float(way[0]), float(way[1]))
    near = first.film.boundary.intersection(second.film.buffer(gap + AS_NARROW))
    stretch = np.vstack([[a], shapely.get_coordinates(near)])
    run = stretch @ np.array([-way[1], way[0]])
    for end in (int(run.argmin()), int(run.argmax())):
        yield _Spot((float(stretch[end, 0]), float(stretch[end, 1])), along)
    for height in part.gaps:
        # along a level line only the height matters to the lever of a turning panel, and the other way about
        if height.along == "x":
            yield _Spot((0.0, height.at_mm), (1.0, 0.0))
        elif height.along == "y":
            yield _Spot((height.at_mm, 0.0), (0.0, 1.0))


def _error(spot: _Spot, weights: FloatArray, panels: Sequence[Panel], limits: SlipSettings) -> tuple[float, float]:
    """Return (worst case, root-sum-square) along a spot's direction where each panel's slip counts by its weight."""
    nx, ny = spot.along
    worst = square = 0.0
    for weight, panel in zip(weights, panels, strict=True):
        if weight == 0.0:
            continue
        x0, y0, x1, y1 = panel.bounds
        lever = (spot.at[0] - (x0 + x1) / 2) * ny - (spot.at[1] - (y0 + y1) / 2) * nx
        parts = (limits.offset * nx, limits.offset * ny, limits.tilt / max(x1 - x0, y1 - y0) * lever)
        worst += abs(float(weight)) * sum(abs(part) for part in parts)
        square += float(weight) ** 2 * sum(part**2 for part in parts) / 3
    return worst, float(square**0.5)
