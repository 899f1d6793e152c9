"""What a panel's film may measure: (width, height) in mm, one pair for each way up on the mat, tolerance included."""

from __future__ import annotations

from collections.abc import Sequence

from bigsign.project import Cutter
from bigsign.tolerances import TOLERANCES

__all__ = ["Box", "Limits", "box_fits", "panel_limits", "size_fits"]

Box = tuple[float, float, float, float]
Limits = Sequence[tuple[float, float]]


def panel_limits(cutter: Cutter, turning: str) -> list[tuple[float, float]]:
    """Return the limits of a cutter's mat, for film as drawn or turned as ``turning`` allows."""
    width, length = cutter.width + TOLERANCES.fit, cutter.length + TOLERANCES.fit
    return [(width, length)] if turning == "none" or width == length else [(width, length), (length, width)]


def size_fits(width: float, height: float, limits: Limits) -> bool:
    """Whether film of this size can be one panel."""
    return any(width <= w and height <= h for w, h in limits)


def box_fits(box: Box, limits: Limits) -> bool:
    """Whether film with this box (x0, y0, x1, y1) can be one panel."""
    return size_fits(box[2] - box[0], box[3] - box[1], limits)
