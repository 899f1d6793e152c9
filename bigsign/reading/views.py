"""Ways of looking at a sign so that a line of letters lies level and its letters stand upright.

A view turns the board back by the line's angle or unrolls an arc, then takes out the letters' lean. Positions are mm:
u along the line in reading direction of left-to-right text, v across it, heads towards smaller v.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from bigsign.reading.glyphs import Part

__all__ = ["LEVEL", "Floats", "View"]

Floats = npt.NDArray[np.float64]

STEP = 0.02  # radians: edges of an arc's letters are parted into runs this short before they are bent


@dataclass(frozen=True, slots=True)
class View:
    """A level line's view by default.

    Parameters
    ----------
    angle : degrees clockwise by which the line is turned; on an arc it has no meaning.
    centre : of the arc, None for straight lines.
    radius : mm, where lengths along the arc are true.
    inward : heads point to the arc's centre.
    seam : direction (radians) from the centre in which the arc is cut open.
    lean : degrees the letters lean forward.
    base : v at which taking out the lean moves nothing.
    """

    angle: float = 0.0
    centre: tuple[float, float] | None = None
    radius: float = 0.0
    inward: bool = False
    seam: float = 0.0
    lean: float = 0.0
    base: float = 0.0

    def forward(self, points: Floats) -> Floats:
        """Return (u, v) of sign points, n × 2."""
        if self.centre is not None:
            x, y = points[:, 0] - self.centre[0], points[:, 1] - self.centre[1]
            away = np.hypot(x, y)
            along = np.mod(np.arctan2(y, x) - self.seam, 2 * np.pi) * self.radius
            flat = np.column_stack([along, self.radius - away])
            flat = -flat if self.inward else flat
        elif self.angle:
            cos, sin = _cos_sin(self.angle)
            flat = points @ np.array([[cos, -sin], [sin, cos]])
        else:
            flat = points
        if self.lean:
            lean = math.tan(math.radians(self.lean))
            flat = np.column_stack([flat[:, 0] + lean * (flat[:, 1] - self.base), flat[:, 1]])
        return np.asarray(flat, dtype=np.float64)

    def back(self, u: float, v: float) -> tuple[float, float]:
        """Return the sign point of a place in the view."""
        u -= math.tan(math.radians(self.lean)) * (v - self.base) if self.lean else 0.0
        if self.centre is not None:
            u, v = (-u, -v) if self.inward else (u, v)
            direction = u / self.radius + self.seam
            away = self.radius - v
            return self.centre[0] + away * math.cos(direction), self.centre[1] + away * math.sin(direction)
        if not self.angle:
            return u, v
        cos, sin = _cos_sin(self.angle)
        return u * cos - v * sin, u * sin + v * cos

    def parts(self, parts: Sequence[Part]) -> list[Part]:
        """Return parts as they look in this view."""
        if self == LEVEL:
            return list(parts)
        shapes = np.array([part.shape for part in parts], dtype=object)
        if self.centre is not None:
            shapes = shapely.segmentize(shapes, STEP * self.radius)
        seen = shapely.transform(shapes, self.forward)
        bounds = shapely.bounds(seen)
        return [
            Part(part.piece, shape, (float(b[0]), float(b[1]), float(b[2]), float(b[3])))
            for part, shape, b in zip(parts, seen, bounds, strict=True)
        ]


def _cos_sin(angle: float) -> tuple[float, float]:
    """Return cosine and sine of degrees, exact for quarter turns."""
    radians = math.radians(angle)
    return round(math.cos(radians), 15), round(math.sin(radians), 15)


LEVEL = View()
