"""A brute force over cut trees, written apart from the search: every bipartition of every set, tested with shapely."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from itertools import combinations

from shapely.geometry import MultiPolygon, Polygon

Ways = Callable[[Sequence[Polygon], frozenset[int]], list[tuple[frozenset[int], frozenset[int]]]]


def linear_ways(shapes: Sequence[Polygon], group: frozenset[int]) -> list[tuple[frozenset[int], frozenset[int]]]:
    """Return every way a straight line parts a group: both hulls must be apart."""
    first = min(group)
    rest = sorted(group - {first})
    out = []
    for size in range(len(rest)):
        for chosen in combinations(rest, size):
            a = frozenset({first, *chosen})
            b = group - a
            hull = [MultiPolygon([shapes[i] for i in side]).convex_hull for side in (a, b)]
            if hull[0].distance(hull[1]) > 0.002:
                out.append((a, b))
    return out


def plumb_or_level_ways(
    shapes: Sequence[Polygon], group: frozenset[int]
) -> list[tuple[frozenset[int], frozenset[int]]]:
    """Return every way a plumb or level line parts a group."""
    out = []
    for axis in (0, 1):
        for at in sorted(shapes[i].bounds[axis + 2] for i in group):
            low = frozenset(i for i in group if shapes[i].bounds[axis + 2] <= at)
            high = frozenset(i for i in group if shapes[i].bounds[axis] > at)
            if low and high and low | high == group:
                out.append((low, high))
    return out


def best_cost(
    shapes: Sequence[Polygon],
    words: Sequence[int],
    edges: Sequence[tuple[int, int, float]],
    usable: tuple[float, float],
    policy: str,
    tolerance: float = 1.0,
    ways: Ways | None = None,
) -> tuple[int, int, int, int] | None:
    """Return the best (breaks, panels, risk in thousandths, largest area in cm²) over all cut trees.

    For the policy ``panels`` the first two are swapped.

    Parameters
    ----------
    words : the word of each shape; shapes are in reading order and consecutive ones of a word are joined.
    edges : (a, b, gap) of the adjacency graph.
    """

    def box(group: frozenset[int]) -> tuple[float, float]:
        boxes = [shapes[i].bounds for i in group]
        return (
            max(b[2] for b in boxes) - min(b[0] for b in boxes),
            max(b[3] for b in boxes) - min(b[1] for b in boxes),
        )

    def cut_cost(a: frozenset[int], b: frozenset[int]) -> tuple[int, int]:
        parted = [(i, j, gap) for i, j, gap in edges if (i in a and j in b) or (i in b and j in a)]
        risk = round(1000 * tolerance / max(min(gap for _, _, gap in parted), tolerance)) if parted else 0
        breaks = sum(abs(i - j) == 1 and words[i] == words[j] for i, j, _ in parted)
        return breaks, risk

    @cache
    def solve(group: frozenset[int]) -> tuple[int, int, int, int] | None:
        width, height = box(group)
        w, h = usable
        best = None
        if (width <= w + 0.001 and height <= h + 0.001) or (width <= h + 0.001 and height <= w + 0.001):
            best = (
                (0, 1, 0, round(width * height / 100)) if policy == "words" else (1, 0, 0, round(width * height / 100))
            )
        for a, b in (ways or linear_ways)(shapes, group):
            one, two = solve(a), solve(b)
            if one is None or two is None:
                continue
            breaks, risk = cut_cost(a, b)
            lead = (breaks, 0) if policy == "words" else (0, breaks)
            total = (
                one[0] + two[0] + lead[0], one[1] + two[1] + lead[1], one[2] + two[2] + risk, max(one[3], two[3]),
            )  # fmt: skip
            if best is None or total < best:
                best = total
        return best

    return solve(frozenset(range(len(shapes))))
