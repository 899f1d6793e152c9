"""Checks of a plan's measures: breaks, panels, risk, areas and seams, counted again from its films and cuts."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.plan_records import Plan
from bigsign.splitting.certificate import names_in
from bigsign.tolerances import TOLERANCES

__all__ = ["check_measures", "where_nodes_stand"]

Sides = Mapping[str, tuple[MultiPolygon, tuple[str, ...]]]
Stand = list[tuple[str, BaseGeometry]]


def check_measures(plan: Plan, sides: Sides) -> Iterator[str]:
    """Yield what is wrong with the measures; ``sides``: the film and the panels under each cut and panel id."""
    stands = where_nodes_stand(plan)
    fewest = most = 0
    for low, high in _breaks_in_words(plan, stands):
        fewest, most = fewest + low, most + high
    for low, high in _breaks_within(plan):
        fewest, most = fewest + low, most + high
    if not fewest <= plan.measures.in_word_breaks <= most:
        yield f"{fewest} in-word breaks, but the plan says {plan.measures.in_word_breaks}"
    if len(plan.panels) != plan.measures.panels:
        yield f"{len(plan.panels)} panels, but the plan says {plan.measures.panels}"
    boxes = [panel.film.bounds for panel in plan.panels]
    largest = max((b[2] - b[0]) * (b[3] - b[1]) for b in boxes)
    if abs(largest - plan.measures.largest_panel_area) > 0.01 * max(1.0, largest) * 1e-3:
        yield f"the largest panel is {largest:.1f} mm², but the plan says {plan.measures.largest_panel_area:.1f}"

    tolerance = plan.project.plan.placement_tolerance
    # a letter that a seam parts stands in two panels: then a neighbour may be near either, and the risk has a range
    least = most_risk = 0
    for cut in plan.cuts:
        left, right = set(sides[cut.left][1]), set(sides[cut.right][1])
        sure: list[float] = []
        maybe: list[float] = []
        for part in plan.breaks:
            a, b = part.panels
            if part.kind == "seam" and ((a in left and b in right) or (a in right and b in left)):
                sure.append(0.0)
        for edge in plan.edges:
            if edge.kind == "contact":
                continue
            pairs = list(itertools.product(stands.get((cut.colour, edge.a), ()), stands.get((cut.colour, edge.b), ())))
            for one, other in pairs:
                if (one[0] in left and other[0] in right) or (one[0] in right and other[0] in left):
                    (sure if len(pairs) == 1 else maybe).append(float(one[1].distance(other[1])))
        least += round(1000 * tolerance / max(min(sure), tolerance)) if sure else 0
        most_risk += round(1000 * tolerance / max(min(sure + maybe), tolerance)) if sure or maybe else 0
    # beside a seam the search takes a knife's width off the film: a gap there may round the other way
    slack = 2.0 * len(plan.cuts) if any(part.kind == "seam" for part in plan.breaks) else 1e-6
    if not least - slack <= plan.measures.risk * 1000 <= most_risk + slack:
        yield f"risk {least / 1000}, but the plan says {plan.measures.risk}"
    seam = sum(part.seam_length for part in plan.breaks)
    if abs(seam - plan.measures.seam_length) > 1e-3:
        yield f"the breaks have {seam:.2f} mm of seam, but the plan says {plan.measures.seam_length:.2f}"


def _touch(ones: Sequence[str], others: Sequence[str], shapes: dict[str, Polygon]) -> bool:
    """Whether two glyphs share film, or lie so close that they count as touching."""
    return any(a == b or shapes[a].distance(shapes[b]) < TOLERANCES.touch for a in ones for b in others)


def _breaks_in_words(plan: Plan, stands: Mapping[tuple[str, str], Stand]) -> Iterator[tuple[int, int]]:
    """Yield the least and the most breaks between two letters of a word that follow each other in a layer of a colour.

    Letters that follow each other and share no layer are parted, unless one lies on the other.
    """
    glyphs = {glyph.id: glyph for glyph in plan.glyphs}
    shapes = {piece.id: piece.shape for piece in plan.pieces}
    layers = _layers_of(plan)
    strata_in = {panel.id: {layers.in_fragment[f] for f in panel.fragments} for panel in plan.panels}
    for word in plan.words:
        for colour in {glyphs[g].colour for g in word.glyphs}:
            row = [g for g in word.glyphs if glyphs[g].colour == colour]
            within = {g: set().union(*(layers.in_piece[piece] for piece in glyphs[g].pieces)) for g in row}
            for a, b in itertools.pairwise(row):
                if within[a].isdisjoint(within[b]) and not _touch(glyphs[a].pieces, glyphs[b].pieces, shapes):
                    yield 1, 1
            for layer in sorted(set().union(*within.values())):
                for a, b in itertools.pairwise(g for g in row if layer in within[g]):
                    ones, others = (
                        [piece for piece in glyphs[g].pieces if layer in layers.in_piece[piece]] for g in (a, b)
                    )
                    panels = [[one[0] for one in stands[colour, g] if layer in strata_in[one[0]]] for g in (a, b)]
                    if not _touch(ones, others, shapes):
                        parted = {one != other for one in panels[0] for other in panels[1]}
                        if parted:
                            yield min(parted), max(parted)


@dataclass(frozen=True)
class _Layers:
    """The number of the layer of each fragment, and those of each piece, as the searches of the plan have them."""

    in_fragment: Mapping[str, int]
    in_piece: Mapping[str, set[int]]


def _layers_of(plan: Plan) -> _Layers:
    layer_of = {name: n for n, report in enumerate(plan.search) for name in names_in(report.certificate.tree)}
    in_fragment = {fragment: layer_of.get(fragment, -1) for fragment, _, _ in plan.fragments}
    in_piece: dict[str, set[int]] = {}
    for fragment, piece, _ in plan.fragments:
        in_piece.setdefault(piece, set()).add(in_fragment[fragment])
    return _Layers(in_fragment, in_piece)


def _breaks_within(plan: Plan) -> Iterator[tuple[int, int]]:
    """Yield the least and the most breaks between the pieces of each letter that is parted between them.

    Pieces count as joined by the shortest links that hold them together; one that a seam parts may count or not. What
    goes up in different layers is parted by no choice, and counts for nothing.
    """
    layers = _layers_of(plan).in_piece
    shapes = {piece.id: piece.shape for piece in plan.pieces}
    panel_of = {fragment: panel.id for panel in plan.panels for fragment in panel.fragments}
    stands: dict[str, set[str]] = {}
    for fragment, piece, _ in plan.fragments:
        stands.setdefault(piece, set()).add(panel_of[fragment])
    for glyph in plan.glyphs:
        for layer in sorted({n for piece in glyph.pieces for n in layers.get(piece, ())}):
            own = [piece for piece in glyph.pieces if layer in layers.get(piece, ())]
            if len(own) < 2 or len(set().union(*(stands[piece] for piece in own))) < 2:
                continue
            left, held = own[1:], own[:1]
            while left:
                gap, a, b = min((shapes[a].distance(shapes[b]), a, b) for a in held for b in left)
                left.remove(b)
                held.append(b)
                if gap >= TOLERANCES.touch:
                    yield int(stands[a].isdisjoint(stands[b])), int(stands[a] | stands[b] != stands[a] & stands[b])


def where_nodes_stand(plan: Plan) -> dict[tuple[str, str], Stand]:
    """Return, by colour and node, the panels it stands in with its film there, overlaps at seams taken off."""
    glyphs = {glyph.id: glyph for glyph in plan.glyphs}
    piece_of = {fragment: piece for fragment, piece, _ in plan.fragments}
    films = {fragment: shape for fragment, _, shape in plan.fragments}
    panels = {panel.id: panel for panel in plan.panels}
    under: dict[str, list[str]] = {}
    for part in plan.breaks:
        if part.upper is not None:
            under.setdefault(part.upper, []).extend(name for name in part.panels if name != part.upper)
    out: dict[tuple[str, str], Stand] = {}
    for panel in plan.panels:
        for node in panel.nodes:
            own = glyphs[node].pieces if node in glyphs else (node,)
            film: BaseGeometry = MultiPolygon([films[f] for f in panel.fragments if piece_of.get(f) in own])
            for other in under.get(panel.id, ()):
                film = film.difference(panels[other].film)
            out.setdefault((panel.colour, node), []).append((panel.id, film))
    return out
