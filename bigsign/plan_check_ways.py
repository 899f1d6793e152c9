"""Checks of the line of a cut: where it bends, and what it says of itself. Worked out from the films alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import networkx as nx
import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign.plan_records import CutLine, Plan
from bigsign.tolerances import TOLERANCES

__all__ = ["check_way"]

STEP = 0.5  # mm between the places of a free way that are looked at
TENTH = 0.1  # of the clear room: how far off its middle a free way may run where it passes a hook
SLACK = 0.1  # mm


def check_way(cut: CutLine, left: Sequence[str], right: Sequence[str], plan: Plan) -> Iterator[str]:
    """Yield what is wrong with the way of a cut: bends without need, more legs than hooks allow, too near film."""
    legs = len(cut.line) - 1
    if cut.way not in ("straight", "legs", "free", "seam"):
        yield f"{cut.id} goes a way called {cut.way!r}"
    elif cut.way == "straight" and legs > 1:
        yield f"{cut.id} has {legs} legs and is called straight"
    elif cut.way == "legs":
        hooks = len(_hooked(_neighbours(left, cut.colour, plan), _neighbours(right, cut.colour, plan)))
        if legs > 1 + 2 * hooks:
            yield f"{cut.id} has {legs} legs, where {hooks} neighbours leave no straight way"
    elif cut.way == "free":
        yield from _check_free(cut, left, right, plan)


def _check_free(cut: CutLine, left: Sequence[str], right: Sequence[str], plan: Plan) -> Iterator[str]:
    """A free way keeps off film by as much as a knife needs, or there is room for, and to the middle at hooks."""
    films = [_film(side, plan) for side in (left, right)]
    clear = min(LineString(cut.line).distance(film) for film in films)
    if clear < min(0.9 * TOLERANCES.line_room, 0.2 * films[0].distance(films[1])):
        yield f"{cut.id} winds {clear:.3f} mm from film"
    if any(finding.code == "place-tight" for finding in plan.warnings):
        return  # the plan says of a line that it passes film more closely than asked for
    ones, others = _neighbours(left, cut.colour, plan), _neighbours(right, cut.colour, plan)
    hooks = unary_union([ones[a].intersection(others[b]) for a, b in _hooked(ones, others)])
    if hooks.is_empty:  # a wheel: no two of its blades hook, but all together do
        hooks = films[0].convex_hull.intersection(films[1].convex_hull)
    passing = LineString(cut.line).intersection(hooks)
    for part in getattr(passing, "geoms", [passing]):
        for at in np.arange(0.0, part.length, STEP):
            away = [part.interpolate(at).distance(film) for film in films]
            if abs(away[0] - away[1]) / 2 > TENTH * sum(away) + SLACK:
                yield f"{cut.id} winds {min(away):.2f} mm from film where {sum(away):.2f} mm are clear"
                return


def _film(side: Sequence[str], plan: Plan) -> BaseGeometry:
    return unary_union([panel.film for panel in plan.panels if panel.id in side])


def _neighbours(side: Sequence[str], colour: str, plan: Plan) -> list[BaseGeometry]:
    """Return the hulls of what stands on a side: whole words, other letters, and pieces by themselves."""
    piece_of = {fragment: piece for fragment, piece, _ in plan.fragments}
    films = {fragment: shape for fragment, _, shape in plan.fragments}
    own = [f for panel in plan.panels if panel.id in side for f in panel.fragments]
    glyphs = {glyph.id: glyph for glyph in plan.glyphs}
    out = []
    alone = dict.fromkeys(own)
    everywhere = [f for panel in plan.panels if panel.colour == colour for f in panel.fragments]
    words = [{piece for glyph in word.glyphs for piece in glyphs[glyph].pieces} for word in plan.words]
    # films too close for a knife between them are one, letters or not
    letters = [set(glyph.pieces) for glyph in plan.glyphs] + [{piece_of[f]} for f in everywhere]
    for pieces in _hanging_together([*words, *letters], plan):
        whole = [f for f in everywhere if piece_of[f] in pieces]
        if len(whole) > 1 and set(whole) <= set(own):
            out.append(MultiPolygon([films[f] for f in whole]).convex_hull)
            for f in whole:
                alone.pop(f, None)
    parted = {piece for piece, count in Counter(piece_of.values()).items() if count > 1}
    for pieces in words:  # what a seam left of a piece that several words share belongs to one of them
        held = [f for f in own if piece_of[f] in pieces]
        if pieces & parted and len(held) > 1:
            out.append(MultiPolygon([films[f] for f in held]).convex_hull)
    for pieces in _hanging_together(letters, plan):
        whole = [f for f in everywhere if piece_of[f] in pieces]
        if len(whole) > 1 and set(whole) <= set(alone):
            out.append(MultiPolygon([films[f] for f in whole]).convex_hull)
    return out + [films[f].convex_hull for f in alone]


def _hanging_together(words: Sequence[set[str]], plan: Plan) -> list[set[str]]:
    """Return the pieces of words, those of words that share film or touch together."""
    walk: nx.Graph[str] = nx.Graph()
    for word in words:
        nx.add_path(walk, sorted(word))
    shapes = {piece.id: piece.shape for piece in plan.pieces if piece.id in walk}
    names = list(shapes)
    tree = shapely.STRtree(list(shapes.values()))
    first, second = tree.query(list(shapes.values()), predicate="dwithin", distance=TOLERANCES.touch)
    walk.add_edges_from((names[a], names[b]) for a, b in zip(first.tolist(), second.tolist(), strict=True))
    return [set(found) for found in nx.connected_components(walk)]


def _hooked(ones: Sequence[BaseGeometry], others: Sequence[BaseGeometry]) -> list[tuple[int, int]]:
    """Return the ranks of those whose hulls meet."""
    pairs = shapely.STRtree(list(others)).query(list(ones), predicate="dwithin", distance=TOLERANCES.way)
    return [(int(a), int(b)) for a, b in pairs.T]
