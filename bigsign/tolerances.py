"""Every tolerance of the library in one frozen record, each with its reason. All in mm."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["TOLERANCES", "Tolerances"]


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Named tolerances in mm.

    Parameters
    ----------
    flatten : farthest a flattened curve may run from the true one, at finished size. A drag knife's own
        play is several times this.
    conserve : no point of a panel's film lies farther than this from the artwork's outline, nor the other
        way round.
    fit : film may exceed the usable area by this much and still fit, so that 23 in fits 23 in whatever
        the last binary digit says.
    touch : films closer than this, of one colour, are not parted: a knife or scissors needs a way between.
    way : least distance between the hulls of two sides for a straight cut to pass between them.
    line_room : least distance of a break line from film, where the wanted clearance cannot be had.
    trim_from_film : a trim line is only kiss-cut this far from film.
    trim_apart : trim outlines on a mat keep this distance.
    flat_foot : feet count as level with each other within this.
    sliver : pieces smaller than this square (mm on a side) are dust of an import, reported and left out.
    """

    flatten: float = 0.02
    conserve: float = 0.03
    fit: float = 0.001
    touch: float = 0.2
    way: float = 0.002
    line_room: float = 0.1
    trim_from_film: float = 1.0
    trim_apart: float = 1.0
    flat_foot: float = 0.1
    sliver: float = 0.05


TOLERANCES = Tolerances()
