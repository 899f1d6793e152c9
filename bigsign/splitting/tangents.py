"""Inner tangents of convex polygons: the lines to which every line that parts them can be moved."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

__all__ = ["inner_tangents"]

FloatArray = npt.NDArray[np.float64]


def inner_tangents(first: FloatArray, second: FloatArray) -> list[tuple[float, float, float]]:
    """Return the inner tangents of two disjoint convex polygons as (nx, ny, c).

    ``first`` lies at n·p ≤ c and ``second`` at n·p ≥ c, each touching the line; |n| = 1. At most two; of polygons that
    overlap what is returned parts nothing.
    """
    difference = (second[None, :, :] - first[:, None, :]).reshape(-1, 2)
    mx, my = second.mean(axis=0) - first.mean(axis=0)
    # angles from the middle direction: all within half a turn of each other, as the hulls are disjoint
    angles = np.arctan2(difference[:, 1] * mx - difference[:, 0] * my, difference[:, 0] * mx + difference[:, 1] * my)
    out = []
    for index, turn in ((int(angles.argmin()), 1.0), (int(angles.argmax()), -1.0)):
        dx, dy = difference[index]
        length = float(np.hypot(dx, dy))
        if length == 0.0:
            continue
        nx, ny = -dy / length * turn, dx / length * turn
        c = float((first @ (nx, ny)).max())
        out.append((float(nx), float(ny), c))
    return out
