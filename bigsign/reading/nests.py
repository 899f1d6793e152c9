"""What lies within what: frames around lettering, and the kernels of outline and inline letters.

A piece that encloses others is a letter if a piece of like size stands beside it and it holds few others, as an
outlined B holds its two counters. Else it is a frame, and what it encloses is read for itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from bigsign.reading.glyphs import Part

__all__ = ["Nests", "find_nests"]

HOLDS = 3  # an outlined or inlined letter holds at most this many pieces side by side
BESIDE = 1.2  # its neighbour is at most this many of its sizes away
LIKE = 0.55  # and at least this share of its size
DOT = 12.0  # the letter beside the dot of an inlined i is at most this many times as large
BIG_HOLE = 0.5  # a frame's hole is at least this share of its filled outline


@dataclass(frozen=True, slots=True)
class Nests:
    """Parts to be read, the pieces each of them holds within it, and the frames' pieces."""

    parts: tuple[Part, ...]
    kernels: dict[str, tuple[str, ...]]
    frames: tuple[str, ...]


def find_nests(parts: Sequence[Part]) -> Nests:
    """Return what is to be read of ``parts``."""
    shells = [n for n, part in enumerate(parts) if part.shape.interiors]
    if not shells:
        return Nests(tuple(parts), {}, ())
    filled = [Polygon(parts[n].shape.exterior) for n in shells]
    tree = shapely.STRtree([part.shape for part in parts])
    first, second = tree.query(filled, predicate="contains_properly")
    holder: dict[int, int] = {}  # the smallest that encloses a part
    for at in np.argsort([-filled[k].area for k in first.tolist()], kind="stable").tolist():
        holder[int(second[at])] = shells[int(first[at])]
    if not holder:
        return Nests(tuple(parts), {}, ())
    held: dict[int, list[int]] = {}
    for inner, outer in sorted(holder.items()):
        held.setdefault(outer, []).append(inner)
    frames = {n for n in held if not _is_letter(n, parts, holder, held, tree)}
    kernels: dict[str, list[str]] = {}
    for inner in sorted(holder):
        outer = holder[inner]
        if outer in frames:
            continue
        while outer in holder and holder[outer] not in frames:
            outer = holder[outer]
        kernels.setdefault(parts[outer].piece, []).append(parts[inner].piece)
    inside = {piece for pieces in kernels.values() for piece in pieces}
    return Nests(
        tuple(part for n, part in enumerate(parts) if n not in frames and part.piece not in inside),
        {piece: tuple(pieces) for piece, pieces in kernels.items()},
        tuple(parts[n].piece for n in sorted(frames)),
    )


def _size(part: Part) -> float:
    return max(part.box[2] - part.box[0], part.box[3] - part.box[1])


def _is_letter(
    at: int, parts: Sequence[Part], holder: dict[int, int], held: dict[int, list[int]], tree: shapely.STRtree
) -> bool:
    """Whether an enclosing piece is a letter: few pieces in it that don't fill a frame, and a like one beside it."""
    if at in holder and _is_letter(holder[at], parts, holder, held, tree):
        return True
    part, inner = parts[at], held[at]
    whole = Polygon(part.shape.exterior)
    hole = max(Polygon(ring).area for ring in part.shape.interiors)
    if len(inner) == 1 and hole <= BIG_HOLE * whole.area:
        return True
    if len(inner) > HOLDS:
        return False
    size = _size(part)
    x0, y0, x1, y1 = part.box
    reach = BESIDE * size
    for n in tree.query(shapely.box(x0 - reach, y0 - reach, x1 + reach, y1 + reach)).tolist():
        if n == at or holder.get(n) != holder.get(at):
            continue
        if LIKE < _size(parts[n]) / size < (DOT if len(inner) == 1 else 1 / LIKE):
            return True
    return False
