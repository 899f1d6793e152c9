"""Tape rulers laid from the reference edges: which positions on the board stand on a mark."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from bigsign.plan_records import EdgeDistance, FromReference, Point
from bigsign.project import Board
from bigsign.reading.lettering import Bounds
from bigsign.units import TapeStep, to_tape

__all__ = ["Ruler", "Rulers"]

HAIR = 1e-6  # mm: a position this near a mark is on it


@dataclass(frozen=True, slots=True)
class Ruler:
    """A tape along one axis, read from a reference edge.

    Parameters
    ----------
    edge : left, right, top, bottom or middle.
    origin : the edge's position on the axis, mm.
    extent : the board's size along the axis, mm.
    step : how finely the tape is read.
    """

    edge: str
    origin: float
    extent: float
    step: TapeStep

    def marks(self, low: float, high: float, coarse: bool = False) -> Iterator[float]:
        """Yield the positions in [low, high] that stand on a mark, from low to high."""
        pitch = (self.step.coarse if coarse else self.step).mm
        first = math.ceil((low - self.origin - HAIR) / pitch)
        last = math.floor((high - self.origin + HAIR) / pitch)
        for count in range(first, last + 1):
            yield self.origin + count * pitch

    def distance(self, low: float, high: float, sides: tuple[str, str]) -> EdgeDistance:
        """Return the distance from the edge to the nearest side of something that spans [low, high].

        ``sides`` names the low and the high side. From a middle the distance is to the centre line, negative
        to the left of it or above it.
        """
        if self.edge == "middle":
            return EdgeDistance("middle", "centre", to_tape((low + high) / 2 - self.origin, self.step))
        if self.edge in ("left", "top"):
            return EdgeDistance(self.edge, sides[0], to_tape(low - self.origin, self.step))
        return EdgeDistance(self.edge, sides[1], to_tape(self.origin - high, self.step))


@dataclass(frozen=True, slots=True)
class Rulers:
    """Both tapes: ``x`` along the board's width, ``y`` down it."""

    x: Ruler
    y: Ruler

    def coarse_marks(self, axis: int, low: float, high: float) -> list[float]:
        """Return the coarse marks between two places of an axis (0: x, 1: y)."""
        return list((self.y if axis else self.x).marks(low, high, coarse=True))

    @classmethod
    def of(cls, board: Board, step: TapeStep) -> Rulers:
        """Lay the tapes from the board's reference edges."""
        at = {"left": 0.0, "top": 0.0, "right": board.width, "bottom": board.height}
        horizontal, vertical = board.reference
        return cls(
            Ruler(horizontal, at.get(horizontal, board.width / 2), board.width, step),
            Ruler(vertical, at.get(vertical, board.height / 2), board.height, step),
        )

    def box(self, bounds: Bounds) -> FromReference:
        """Return where a box stands."""
        return FromReference(
            self.x.distance(bounds[0], bounds[2], ("left", "right")),
            self.y.distance(bounds[1], bounds[3], ("top", "bottom")),
        )

    def point(self, at: Point) -> FromReference:
        """Return where a point stands."""
        return self.box((at[0], at[1], at[0], at[1]))
