"""Laying padded boxes on mats by rule: quick, good, and the same every time.

Every box is tried in the corners that the boxes already there leave: its left side on the mat's edge or on
another's right side, its top on the mat's edge or under another. The *rule* says which corner is best, the
*order* which box comes first. Several of both are tried and the best layout is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from bigsign.nesting.boxes import EPSILON, Placed, Pose

__all__ = ["Layout", "best_by_rules", "corners", "layout_key", "used_length"]

Layout = tuple[tuple[Placed, ...], ...]
"""The mats, each a tuple of placed boxes."""

Rule = Callable[[Pose, float, float], tuple[float, ...]]


def _lowest(pose: Pose, x: float, y: float) -> tuple[float, ...]:
    return (round(y + pose.trim_low, 3), pose.turned, round(y, 3), round(x, 3))


def _topmost(pose: Pose, x: float, y: float) -> tuple[float, ...]:
    return (round(y, 3), round(x, 3), pose.turned)


def _leftmost(pose: Pose, x: float, y: float) -> tuple[float, ...]:
    return (round(x + pose.width, 3), round(y, 3), pose.turned)


def _drawn(pose: Pose, x: float, y: float) -> tuple[float, ...]:
    return (pose.turned, round(y + pose.trim_low, 3), round(x, 3))


RULES: tuple[Rule, ...] = (_lowest, _topmost, _leftmost, _drawn)

SLACK = 1.0  # mm² by which boxes on a mat may overlap for their epsilons


def _long_side(poses: Sequence[Pose]) -> tuple[float, ...]:
    return (-max(poses[0].width, poses[0].height), -poses[0].area)


def _area(poses: Sequence[Pose]) -> tuple[float, ...]:
    return (-poses[0].area,)


def _wide(poses: Sequence[Pose]) -> tuple[float, ...]:
    return (-poses[0].width, -poses[0].height)


def _tall(poses: Sequence[Pose]) -> tuple[float, ...]:
    return (-poses[0].height, -poses[0].width)


def _short_side(poses: Sequence[Pose]) -> tuple[float, ...]:
    return (-min(poses[0].width, poses[0].height), -poses[0].area)


def _as_given(poses: Sequence[Pose]) -> tuple[float, ...]:
    return ()


ORDERS = (_long_side, _area, _wide, _tall, _short_side, _as_given)


def corners(placed: Sequence[Placed], pose: Pose) -> tuple[np.ndarray, np.ndarray]:
    """Return x and y of every free corner where ``pose`` can stand on a mat with ``placed`` on it."""
    xs = [pose.x_low, *(p.x + p.pose.width for p in placed)]
    ys = [pose.y_low, *(p.y + p.pose.height for p in placed)]
    x = np.unique(np.array([v for v in xs if pose.x_low - EPSILON <= v <= pose.x_high + EPSILON]))
    y = np.unique(np.array([v for v in ys if pose.y_low - EPSILON <= v <= pose.y_high + EPSILON]))
    gx, gy = (grid.ravel() for grid in np.meshgrid(np.clip(x, pose.x_low, pose.x_high), y))
    if not placed or not gx.size:
        return gx, gy
    boxes = np.array([(p.x, p.y, p.x + p.pose.width, p.y + p.pose.height) for p in placed])
    free = ~(
        (gx[:, None] < boxes[:, 2] - EPSILON)
        & (gx[:, None] + pose.width > boxes[:, 0] + EPSILON)
        & (gy[:, None] < boxes[:, 3] - EPSILON)
        & (gy[:, None] + pose.height > boxes[:, 1] + EPSILON)
    ).any(axis=1)
    return gx[free], gy[free]


def used_length(mat: Sequence[Placed]) -> float:
    """Return how far down a mat its trim outlines reach."""
    return max((p.y + p.pose.trim_low for p in mat), default=0.0)


def layout_key(layout: Layout) -> tuple[float, ...]:
    """Return what makes a layout good, least first: mats, length in mm, items turned, nearness to origins."""
    return (
        len(layout),
        sum(round(used_length(mat)) for mat in layout),
        sum(p.pose.turned for mat in layout for p in mat),
        round(sum(p.x + p.y for mat in layout for p in mat), 3),
    )


def _best_corner(placed: Sequence[Placed], item: int, poses: Sequence[Pose], rule: Rule) -> Placed | None:
    best: tuple[tuple[float, ...], Placed] | None = None
    for pose in poses:
        for x, y in zip(*corners(placed, pose), strict=True):
            key = rule(pose, float(x), float(y))
            if best is None or key < best[0]:
                best = (key, Placed(item, pose, float(x), float(y)))
    return best[1] if best else None


def _pack(items: Sequence[int], poses: Sequence[Sequence[Pose]], rule: Rule) -> Layout:
    mats: list[list[Placed]] = []
    filled: list[float] = []  # mm² of each mat that its items' boxes take
    for item in items:
        own = min(pose.width * pose.height for pose in poses[item])
        room = max((p.x_high - p.x_low + p.width) * (p.y_high - p.y_low + p.height) for p in poses[item])
        for rank, mat in enumerate(mats):
            if filled[rank] + own > room + SLACK:  # boxes that do not overlap have no room there
                continue
            placed = _best_corner(mat, item, poses[item], rule)
            if placed is not None:
                mat.append(placed)
                filled[rank] += placed.pose.width * placed.pose.height
                break
        else:
            first = _best_corner((), item, poses[item], rule)
            assert first is not None, "an item that fits no empty mat never comes here"
            mats.append([first])
            filled.append(first.pose.width * first.pose.height)
    return tuple(tuple(mat) for mat in mats)


def best_by_rules(items: Sequence[int], poses: Sequence[Sequence[Pose]]) -> Layout:
    """Return the best layout of ``items`` over all orders and rules.

    ``poses[i]`` are the poses of item i; each item of ``items`` must have one at least.
    """
    best: tuple[tuple[float, ...], Layout] | None = None
    tried: set[tuple[int, ...]] = set()
    for order in ORDERS:
        queue = tuple(sorted(items, key=lambda i: (*order(poses[i]), i)))
        if queue in tried:
            continue
        tried.add(queue)
        for rule in RULES:
            layout = _pack(queue, poses, rule)
            key = layout_key(layout)
            if best is None or key < best[0]:
                best = (key, layout)
    assert best is not None
    return best[1]
