"""Records of seams: what they must keep to, what they cost, where they run."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from shapely.geometry import MultiPolygon, Polygon

__all__ = ["Bounds", "Cost", "SeamCut", "SeamRules", "Seams", "Shape", "Total", "film_of", "whole_mm"]

Shape = Polygon | MultiPolygon
Bounds = tuple[float, float, float, float]


def whole_mm(length: float) -> int:
    """Return a chord's length in whole mm, as seams are compared; a half goes up, save for the last digits' sake."""
    return math.floor(length + 0.5 - 1e-6)


class Total(NamedTuple):
    """What seams cost as they are compared: letters' bodies cut, whole mm a chord, chords, then true length in mm."""

    bodies: int
    whole: int
    chords: int
    length: float

    def plus(self, other: Total) -> Total:
        """Return the sum."""
        length = round(self.length + other.length, 6)
        return Total(self.bodies + other.bodies, self.whole + other.whole, self.chords + other.chords, length)

    def minus(self, other: Total) -> Total:
        """Return the difference."""
        length = round(self.length - other.length, 6)
        return Total(self.bodies - other.bodies, self.whole - other.whole, self.chords - other.chords, length)


class Cost(NamedTuple):
    """What seams cost, in order: letters' bodies cut, total chord length in mm, number of chords."""

    bodies: int
    length: float
    chords: int

    def plus(self, other: Cost) -> Cost:
        """Return the sum."""
        return Cost(self.bodies + other.bodies, self.length + other.length, self.chords + other.chords)


@dataclass(frozen=True, slots=True)
class SeamRules:
    """What seams must keep to; lengths in mm.

    Parameters
    ----------
    limits : (width, height) a panel's film may have, one pair for each way up.
    overlap : by which one side laps the other; 0 butts.
    sliver : least reach of a part from its seam.
    angle : degrees; no seam meets an edge more nearly along it.
    bodies : number of letters whose body a line cuts, given (axis, place); a seam through fewer comes first.
    marks : the tape marks of a stretch (axis, low, high), in order. Of places equally good those on marks come first.
    used : (axis, place) of seams of other pieces; of places equally good these come before all.
    """

    limits: tuple[tuple[float, float], ...]
    overlap: float = 0.0
    sliver: float = 6.0
    angle: float = 15.0
    bodies: Callable[[int, float], int] | None = None
    marks: Callable[[int, float, float], Sequence[float]] | None = None
    used: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True, slots=True)
class SeamCut:
    """A seam line: ``axis`` 0 plumb at x = at, 1 level at y = at; the chords it cuts, (low, high) along it."""

    axis: int
    at: float
    chords: tuple[tuple[float, float], ...]

    @property
    def total(self) -> Total:
        """What the cut costs, letters' bodies aside."""
        lengths = [high - low for low, high in self.chords]
        return Total(0, sum(whole_mm(length) for length in lengths), len(lengths), round(sum(lengths), 6))

    @property
    def length(self) -> float:
        """Total length through film, mm."""
        return sum(high - low for low, high in self.chords)


@dataclass(frozen=True, slots=True)
class Seams:
    """The parts of a shape (without overlap) and the cuts.

    Parameters
    ----------
    exact : proved that no parting by whole plumb and level lines, each part by lines of its own, is shorter or as
        short with fewer chords, in whole millimetres a chord or in true length.
    bound : total length in mm that no such parting goes below.
    chords_bound : number of chords below which none goes that is as short; where not ``exact``, below which none goes.
    """

    parts: tuple[MultiPolygon, ...]
    cuts: tuple[SeamCut, ...]
    cost: Cost
    exact: bool
    bound: float = 0.0
    chords_bound: int = 0


def film_of(shape: Shape) -> MultiPolygon:
    """Return the shape as a multipolygon, its parts in a fixed order."""
    parts: list[Polygon] = list(shape.geoms) if isinstance(shape, MultiPolygon) else [shape]
    parts.sort(key=lambda part: part.bounds)
    return MultiPolygon(parts)
