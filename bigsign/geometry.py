"""Small helpers on shapely's shapes that several rooms need."""

from __future__ import annotations

import shapely
from shapely.geometry import Polygon

__all__ = ["polygons_of"]


def polygons_of(shape: shapely.Geometry) -> list[Polygon]:
    """Return the polygons of a shape; lines and points that an intersection left are dropped."""
    return [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]
