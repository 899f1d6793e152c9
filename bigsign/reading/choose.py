"""Which way each group of parts runs: stacked, level, turned or on an arc, by how well its rows are borne out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely

from bigsign.budgets import BUDGETS
from bigsign.geometry import Indexes, components, meeting
from bigsign.reading.columns import Column, find_columns
from bigsign.reading.connected import connected_rows
from bigsign.reading.directions import angle_candidates, arc_candidates
from bigsign.reading.evidence import Support, feet_of, is_sound, marks_over, support_of
from bigsign.reading.glyphs import Part
from bigsign.reading.rows import Row, rows_of
from bigsign.reading.views import Floats, View

__all__ = ["Chosen", "choose_ways"]

REACH = 3.2  # parts nearer than this many sizes (their geometric mean) belong to one group
ENOUGH = 0.75  # a view that bears out this share of a group's letters takes the whole group
BETTER = 1.25  # another view than level must be this many times as well borne out
UPSIDE = 1.15  # and one upside down this many times as well as the upright one
OVER = 1.25  # level letters stand upside down if so many times more of them hang from one line than stand on one
FEWEST = 3  # letters of a line turned by quarters
FEWEST_SLOPED = 4  # letters of a line turned by any other angle
FEWEST_ON_ARC = 5  # letters of a line on an arc: any three lie on a circle
ROUNDS = 6  # a group is taken apart into at most this many ways


@dataclass(slots=True)
class Chosen:
    """What is to be read level, the rows seen in other views, the columns."""

    level: list[Part] = field(default_factory=list)
    rows: list[tuple[View, Row]] = field(default_factory=list)
    columns: list[Column] = field(default_factory=list)
    looks: int = BUDGETS.read_looks
    """Parts that may still be looked at in views other than level."""


def choose_ways(parts: Sequence[Part]) -> Chosen:
    """Return how each of ``parts`` is to be looked at."""
    chosen = Chosen()
    for group in _groups(parts):
        _choose(group, chosen, ROUNDS)
    return chosen


def _groups(parts: Sequence[Part]) -> list[list[Part]]:
    """Return parts in groups that lie near each other."""
    boxes = np.array([part.box for part in parts])
    sizes = np.maximum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
    reach = REACH * sizes  # the larger of two reaches far enough for both
    grown = np.column_stack([boxes[:, :2] - reach[:, None], boxes[:, 2:] + reach[:, None]])

    def near() -> Iterator[tuple[Indexes, Indexes]]:
        for first, second in meeting(shapely.box(*boxes.T), shapely.box(*grown.T)):
            dx = np.maximum(boxes[second, 0] - boxes[first, 2], boxes[first, 0] - boxes[second, 2]).clip(0)
            dy = np.maximum(boxes[second, 1] - boxes[first, 3], boxes[first, 1] - boxes[second, 3]).clip(0)
            close = (first != second) & (np.hypot(dx, dy) <= REACH * np.sqrt(sizes[first] * sizes[second]))
            yield first[close], second[close]

    return [[parts[index] for index in group] for group in components(len(parts), near())]


def _choose(parts: list[Part], chosen: Chosen, rounds: int) -> None:
    columns = find_columns(parts)
    if columns:
        chosen.columns.extend(columns)
        return
    rows, _ = rows_of(parts)
    level = support_of(rows)
    if len(parts) < FEWEST or not rounds:
        chosen.level.extend(parts)
        return
    script = any(connected_rows(rows))
    if level.share >= ENOUGH:
        feet, heads = (sum(feet_of(row, head)[0] for row in rows) for head in (False, True))
        better = heads > OVER * feet and support_of(rows, head=True).value > UPSIDE * level.value + 1
        better = better and marks_over(rows) < 0
        if script or not better or not _turned_over(parts, level, chosen):
            chosen.level.extend(parts)
        return
    least = 2 * level.value + 3 if script else BETTER * level.value + 1
    best = _other_ways(parts, least, marks_over(rows) < 0, chosen)
    if best is None:
        sound = {part.piece for row in rows if is_sound(row) and len(row.parts) >= FEWEST for part in row.parts}
        rest = [part for part in parts if part.piece not in sound]
        if not sound or len(rest) < FEWEST:
            chosen.level.extend(parts)
            return
        chosen.level.extend(part for part in parts if part.piece in sound)
        for group in _groups(rest):
            _choose(group, chosen, rounds - 1)
        return
    rows, _ = rows_of(best.parts(parts))
    everything = support_of(rows).share >= ENOUGH
    taken = [row for row in rows if everything or _holds(best, row)]
    chosen.rows.extend((best, row) for row in taken)
    held = {part.piece for row in taken for part in row.parts}
    rest = [part for part in parts if part.piece not in held]
    if rest:
        for group in _groups(rest):
            _choose(group, chosen, rounds - 1)


def _turned_over(parts: list[Part], level: Support, chosen: Chosen) -> bool:
    """Take rows that are far better borne out upside down as such, and say whether they are."""
    view = View(angle=180.0)
    rows, loose = rows_of(view.parts(parts))
    if loose or support_of(rows).value <= UPSIDE * level.value + 1:
        return False
    chosen.rows.extend((view, row) for row in rows)
    return True


def _holds(view: View, row: Row) -> bool:
    """Whether a row is borne out by as many letters as its view asks for."""
    on, _, _ = feet_of(row)
    fewest = FEWEST_ON_ARC if view.centre is not None else FEWEST if view.angle % 90 == 0 else FEWEST_SLOPED
    return is_sound(row) and on >= fewest


def _worth(view: View, rows: Sequence[Row]) -> float:
    return support_of([row for row in rows if _holds(view, row)]).value


def _other_ways(parts: Sequence[Part], least: float, over: bool, chosen: Chosen) -> View | None:
    """Return the view, other than level, that is borne out best and better than ``least``.

    ``over``: level lines may stand upside down. Each view costs ``chosen`` a look at every part; where it has none
    left, what was found so far stands.
    """
    best: View | None = None
    for angle in angle_candidates(parts):
        chosen.looks -= len(parts)
        if chosen.looks < 0:
            return best
        view = View(angle=angle)
        if angle:
            view = _straightened(view, parts)
        upright, worth = view, _worth(view, rows_of(view.parts(parts))[0]) if view.angle else 0.0
        if not view.angle and not over:
            continue
        turned = View(angle=(view.angle + 180 + 180) % 360 - 180)
        other = _worth(turned, rows_of(turned.parts(parts))[0])
        if other > UPSIDE * worth + 0.5:
            upright, worth = turned, other
        if worth > least:
            best, least = upright, worth
    for view in arc_candidates(parts):
        chosen.looks -= len(parts)
        if chosen.looks < 0:
            return best
        view = _rounded(view, parts)
        worth = _worth(view, rows_of(view.parts(parts))[0])
        if worth > least + (0.5 if best is not None else 0.0):
            best, least = view, worth
    return best


def _largest(view: View, parts: Sequence[Part]) -> Row:
    rows, _ = rows_of(view.parts(parts))
    return max(rows, key=lambda row: len(row.parts))


def _feet(row: Row) -> Floats:
    """Return (u, v) of the feet of a row's tall parts."""
    boxes = np.array([part.box for part in row.parts])
    boxes = boxes[boxes[:, 3] - boxes[:, 1] >= 0.45 * row.height]
    return np.column_stack([(boxes[:, 0] + boxes[:, 2]) / 2, boxes[:, 3]])


def _straightened(view: View, parts: Sequence[Part]) -> View:
    """Return a view with its angle set by the feet of its longest row; quarter turns and whole degrees are kept."""
    row = _largest(view, parts)
    feet = _feet(row)
    if len(feet) < 3:
        return view
    run, rise = feet[:, 0], feet[:, 1]
    keep = np.abs(rise - np.median(rise)) <= 0.15 * row.height
    for _ in range(4):
        if keep.sum() < 3 or np.ptp(run[keep]) < row.height:
            return view
        slope, base = np.polyfit(run[keep], rise[keep], 1)
        off = np.abs(rise - base - slope * run)
        keep = off <= max(0.03 * row.height, 1.5 * float(np.median(off)))
    angle = view.angle + float(np.degrees(np.arctan(slope)))
    for step in (90.0, 1.0):
        if abs(angle - step * round(angle / step)) < (0.3 if step == 90 else 0.12):
            return View(angle=step * round(angle / step))
    return View(angle=round(angle, 3))


def _rounded(view: View, parts: Sequence[Part]) -> View:
    """Return an arc's view with its circle fitted to the feet of its longest row."""
    for tolerance in (0.3, 0.15, 0.08, 0.05):
        row = _largest(view, parts)
        feet = _feet(row)
        if not len(feet):  # marks alone, none as tall as the row is said to be
            return view
        feet = feet[np.abs(feet[:, 1] - np.median(feet[:, 1])) <= 3 * tolerance * row.height]
        if len(feet) < 4:
            return view
        points = np.array([view.back(float(u), float(v)) for u, v in feet])
        keep = np.ones(len(points), dtype=bool)
        circle = (0.0, 0.0, 0.0)
        for _ in range(4):
            fitted = _circle(points[keep])
            if fitted is None:
                return view
            circle = fitted
            off = np.abs(np.hypot(points[:, 0] - circle[0], points[:, 1] - circle[1]) - circle[2])
            keep = off <= max(tolerance * row.height, float(np.median(off)))
        if keep.sum() < 4 or not row.height < circle[2] < 60 * row.height:
            return view
        view = replace(
            view, centre=(circle[0], circle[1]), radius=circle[2] + (-0.5 if view.inward else 0.5) * row.height
        )
    return view


def _circle(points: Floats) -> tuple[float, float, float] | None:
    """Return the circle that fits points best: least squares of the algebraic distance, then a Gauss-Newton step."""
    if len(points) < 3:
        return None
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    system = np.column_stack([x, y, np.ones(len(x))])
    (a, b, c), _, rank, _ = np.linalg.lstsq(system, x * x + y * y, rcond=None)
    if rank < 3 or c + (a * a + b * b) / 4 <= 0:
        return None
    cx, cy = a / 2, b / 2
    r = float(np.sqrt(c + cx * cx + cy * cy))
    for _ in range(3):
        away = np.hypot(x - cx, y - cy)
        jacobian = np.column_stack([(cx - x) / away, (cy - y) / away, -np.ones(len(x))])
        step, *_ = np.linalg.lstsq(jacobian, r - away, rcond=None)
        cx, cy, r = cx + step[0], cy + step[1], r + step[2]
    return float(cx + middle[0]), float(cy + middle[1]), float(r)
