"""How far letters lean: the direction in which their long straight edges run, where most of them agree."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from bigsign.reading.glyphs import Part

__all__ = ["lean_of"]

STRAIGHT = 0.12  # of the height: shorter edges are bits of curves
WITHIN = 35.0  # degrees from upright: strokes beyond are diagonals
LEAST = 4.0  # degrees: letters that lean less are upright
AGREE = 2.5  # degrees: edges of one lean differ by no more
AGREE_CURVED = 6.0  # those of scripts by no more than this
SURE = 2.0  # edges along the lean outweigh the upright ones, and those leaning the other way, so many times


def lean_of(parts: Sequence[Part], height: float, curved: bool = False) -> float:
    """Return how many degrees the letters of a row lean forward; 0 where they stand upright or don't agree.

    ``curved``: bits of curves count too, as scripts have few straight edges.
    """
    ends = []
    for part in parts:
        for ring in (part.shape.exterior, *part.shape.interiors):
            points = shapely.get_coordinates(ring)
            ends.append(points[1:] - points[:-1])
    edges = np.concatenate(ends)
    agree = AGREE_CURVED if curved else AGREE
    edges = edges[np.hypot(edges[:, 0], edges[:, 1]) >= (0 if curved else STRAIGHT * height)]
    edges = np.where(edges[:, 1:] < 0, -edges, edges)
    edges = edges[edges[:, 1] > 0]
    leans = np.degrees(np.arctan2(-edges[:, 0], edges[:, 1]))
    weights = np.hypot(edges[:, 0], edges[:, 1])[np.abs(leans) <= WITHIN]
    leans = leans[np.abs(leans) <= WITHIN]
    if not len(leans):
        return 0.0

    def weight(at: float) -> float:
        return float(weights[np.abs(leans - at) <= agree].sum())

    best = max(sorted(set(np.round(leans * 2) / 2)), key=lambda at: (weight(at), -abs(at)))
    near = np.abs(leans - best) <= agree
    lean = float((leans[near] * weights[near]).sum() / weights[near].sum())
    if abs(lean) < LEAST or weight(lean) < 0.5 * height:
        return 0.0
    if weight(lean) < SURE * weight(0.0) or weight(lean) < SURE * weight(-lean):
        return 0.0
    return round(lean, 2)
