"""Laying the cut tree out on the board: a line for each cut, and the region it leaves to each panel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon, box

from bigsign.placing.break_lines import ChosenLine, choose_line, reference_span
from bigsign.placing.rulers import Rulers
from bigsign.placing.trims import clip_half_plane
from bigsign.plan_records import Point
from bigsign.reading.lettering import Bounds
from bigsign.splitting.tree import Branch, Leaf, Node

__all__ = ["LaidCut", "LaidTree", "lay_cuts"]


@dataclass(frozen=True, slots=True)
class LaidCut:
    """A cut with its line from edge to edge of the region it parts; the sides as one walks along it, by path.

    A path names a node of the tree: "" the root, then "0" for first and "1" for second at each branch.
    """

    path: str
    line: tuple[Point, Point]
    left: str
    right: str
    chosen: ChosenLine


@dataclass(frozen=True, slots=True)
class LaidTree:
    """The cuts in order from the root, and each leaf's path, nodes and region."""

    cuts: tuple[LaidCut, ...]
    leaves: tuple[tuple[str, Leaf, Polygon], ...]


def lay_cuts(
    root: Node,
    films: Mapping[str, MultiPolygon],
    board: Bounds,
    rulers: Rulers,
    clearance: float,
    margin: float,
) -> LaidTree:
    """Return the lines of all cuts of a tree.

    Parameters
    ----------
    films : the film of each node of the adjacency graph.
    board : the whole region to divide; widened to hold the film where that hangs over.
    """
    everything = MultiPolygon([polygon for film in films.values() for polygon in film.geoms])
    x0, y0, x1, y1 = everything.bounds
    region = box(min(board[0], x0 - 1), min(board[1], y0 - 1), max(board[2], x1 + 1), max(board[3], y1 + 1))
    cuts: list[LaidCut] = []
    leaves: list[tuple[str, Leaf, Polygon]] = []
    stack: list[tuple[str, Node, Polygon]] = [("", root, region)]
    while stack:
        path, node, region = stack.pop()
        if isinstance(node, Leaf):
            leaves.append((path, node, region))
            continue
        cut, first, second = _lay(path, node, region, films, rulers, clearance, margin)
        cuts.append(cut)
        stack.extend(((path + "1", node.second, second), (path + "0", node.first, first)))
    return LaidTree(tuple(cuts), tuple(leaves))


def _lay(
    path: str,
    node: Branch,
    region: Polygon,
    films: Mapping[str, MultiPolygon],
    rulers: Rulers,
    clearance: float,
    margin: float,
) -> tuple[LaidCut, Polygon, Polygon]:
    hulls = [_hull(side, films) for side in (node.first, node.second)]
    x0, y0, x1, y1 = shapely.union_all(hulls).bounds
    low_x, high_x = reference_span(rulers.x, x0 - margin, x1 + margin)
    low_y, high_y = reference_span(rulers.y, y0 - margin, y1 + margin)
    chosen = choose_line(hulls[0], hulls[1], rulers, clearance, (low_x, low_y, high_x, high_y))
    keep = [(hull.centroid.x, hull.centroid.y) for hull in hulls]
    first = clip_half_plane(region, chosen.start, chosen.end, keep[0])
    second = clip_half_plane(region, chosen.start, chosen.end, keep[1])
    line = _through(region, chosen)
    (ax, ay), (bx, by) = line
    # on the drawing (y down) the left hand of one walking along (dx, dy) points to (dy, -dx)
    lefthand = (keep[0][0] - ax) * (by - ay) - (keep[0][1] - ay) * (bx - ax)
    left, right = (path + "0", path + "1") if lefthand > 0 else (path + "1", path + "0")
    return LaidCut(path, line, left, right, chosen), first, second


def _hull(node: Node, films: Mapping[str, MultiPolygon]) -> Polygon:
    parts: list[Polygon] = []
    stack = [node]
    while stack:
        here = stack.pop()
        if isinstance(here, Leaf):
            parts.extend(polygon for name in here.nodes for polygon in films[name].geoms)
        else:
            stack.extend((here.first, here.second))
    hull = MultiPolygon(parts).convex_hull
    assert isinstance(hull, Polygon)
    return hull


def _through(region: Polygon, chosen: ChosenLine) -> tuple[Point, Point]:
    """Return the chosen line from edge to edge of the region, in the direction it was chosen."""
    (x0, y0), (x1, y1) = chosen.start, chosen.end
    bounds = region.bounds
    far = 2 * (bounds[2] - bounds[0] + bounds[3] - bounds[1]) / max(1e-9, ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5)
    long = LineString([(x0 - (x1 - x0) * far, y0 - (y1 - y0) * far), (x1 + (x1 - x0) * far, y1 + (y1 - y0) * far)])
    ends = shapely.get_coordinates(long.intersection(region))
    along = (ends - (x0, y0)) @ (x1 - x0, y1 - y0)
    first, last = ends[along.argmin()], ends[along.argmax()]
    return (float(first[0]), float(first[1])), (float(last[0]), float(last[1]))
