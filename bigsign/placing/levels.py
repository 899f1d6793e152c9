"""What a panel is levelled on: the feet of its flat letters, never trimmed paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import MultiPolygon

from bigsign.placing.rulers import Rulers
from bigsign.plan_records import Level, Point
from bigsign.tolerances import TOLERANCES

__all__ = ["FootLine", "foot_run", "panel_level"]

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class FootLine:
    """The glyphs' films of one line that stand in a panel, the line's quarter turns clockwise, and its baseline.

    ``base`` is the baseline's position across the line (y of a level line, x of an upright one).
    """

    films: tuple[MultiPolygon, ...]
    quarter: int
    base: float | None


def panel_level(lines: Sequence[FootLine], film: MultiPolygon, rulers: Rulers) -> Level | None:
    """Return the level of a panel: the line with most flat feet; else the lowest points, with their overshoot.

    Lines at other angles than quarter turns have no level line.
    """
    best: tuple[int, float, int, float, tuple[Point, ...]] | None = None
    for line in lines:
        feet = [foot for shape in line.films for foot in _flat_feet(shape, line.quarter)]
        if not feet:
            continue
        count, run, at, points = _most_level(feet, line.quarter)
        if best is None or (count, run) > best[:2]:
            best = (count, run, line.quarter, at, points)
    if best is not None:
        _, _, quarter, at, points = best
        return _record(quarter, at, points, rulers, flat=True, overshoot=0.0)
    source = lines[0] if lines else FootLine((film,), 0, None)
    shapes = source.films
    quarter = source.quarter
    lowest = max(_turned(shape, quarter)[:, 1].max() for shape in shapes)
    points = tuple(
        _back((float(p[0]), float(p[1])), quarter)
        for shape in shapes
        for p in [max(_turned(shape, quarter).tolist(), key=lambda p: (p[1], -p[0]))]
        if p[1] > lowest - TOLERANCES.flat_foot
    )
    base = source.base
    at = _back((0.0, float(lowest)), quarter)[_axis(quarter)]
    overshoot = 0.0 if base is None else abs(at - base)
    return _record(quarter, at, points, rulers, flat=False, overshoot=overshoot)


def foot_run(level: Level | None) -> float:
    """Return how far apart the first and the last flat foot of a level stand, mm."""
    if level is None or not level.flat or not level.points:
        return 0.0
    along = [point[0 if level.axis == "y" else 1] for point in level.points]
    return max(along) - min(along)


def _axis(quarter: int) -> int:
    return 1 if quarter % 2 == 0 else 0


def _record(
    quarter: int, at: float, points: tuple[Point, ...], rulers: Rulers, *, flat: bool, overshoot: float
) -> Level:
    axis = "y" if quarter % 2 == 0 else "x"
    ruler, sides = (rulers.y, ("top", "bottom")) if axis == "y" else (rulers.x, ("left", "right"))
    return Level(axis, at, ruler.distance(at, at, sides), points, overshoot, flat)


def _turned(shape: MultiPolygon, quarter: int) -> FloatArray:
    """Return the outline's points turned back so that the line reads level and feet are at the largest y."""
    points = shapely.get_coordinates(shape)
    for _ in range(quarter % 4):
        points = np.column_stack([points[:, 1], -points[:, 0]])
    return np.asarray(points, dtype=float)


def _back(point: Point, quarter: int) -> Point:
    """Undo the turn of :func:`_turned` for one point."""
    x, y = point
    for _ in range(quarter % 4):
        x, y = -y, x
    return x, y


def _flat_feet(shape: MultiPolygon, quarter: int) -> list[Point]:
    """Return the middle of the lowest level edge of each foot, in the turned frame.

    An edge is a foot where it lies within ``flat_foot`` of the glyph's lowest point and is longer than a curve
    flattened to within the drawing's tolerance could make it: 2 % of the glyph's height, and 0.5 mm.
    """
    lowest = _turned(shape, quarter)[:, 1]
    height = float(lowest.max() - lowest.min())
    feet = []
    for polygon in shape.geoms:
        ring = _turned(MultiPolygon([type(polygon)(polygon.exterior)]), quarter)
        a, b = ring[:-1], ring[1:]
        level = np.abs(a[:, 1] - b[:, 1]) < 1e-3 * max(height, 1.0)
        low = np.minimum(a[:, 1], b[:, 1]) > lowest.max() - TOLERANCES.flat_foot
        wide = np.abs(a[:, 0] - b[:, 0]) > max(0.5, 0.06 * height)
        for i in np.nonzero(level & low & wide)[0]:
            feet.append((float((a[i, 0] + b[i, 0]) / 2), float((a[i, 1] + b[i, 1]) / 2)))
    return feet


def _most_level(feet: Sequence[Point], quarter: int) -> tuple[int, float, float, tuple[Point, ...]]:
    """Return the largest group of feet within ``flat_foot`` of each other: (count, run, position, points)."""
    rows = sorted(feet, key=lambda foot: (foot[1], foot[0]))
    best: tuple[int, float, float, list[Point]] | None = None
    for start in range(len(rows)):
        group = [foot for foot in rows[start:] if foot[1] <= rows[start][1] + TOLERANCES.flat_foot]
        run = max(foot[0] for foot in group) - min(foot[0] for foot in group)
        at = float(np.median([foot[1] for foot in group]))
        if best is None or (len(group), run) > best[:2]:
            best = (len(group), run, at, group)
    assert best is not None
    count, run, at, group = best
    points = tuple(_back(foot, quarter) for foot in sorted(group))
    return count, run, _back((0.0, at), quarter)[_axis(quarter)], points
