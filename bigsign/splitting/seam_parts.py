"""What seams leave of film: the parts with their overlaps, and which nodes stand in each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from bigsign.geometry import polygons_of
from bigsign.splitting.graph import Atom, Fragment, fragment_id
from bigsign.splitting.seam_clip import chords_of
from bigsign.splitting.seam_records import SeamCut, Seams, film_of
from bigsign.tolerances import TOLERANCES

__all__ = ["Part", "bridged", "carries", "leaves_slivers", "meets", "parts_of"]

HELD = 0.15  # a letter counts as standing in every fragment that holds this share of it, and in the largest


@dataclass(frozen=True, slots=True)
class Part:
    """A part of an atom: its film without overlap, the fragments with it, and its nodes."""

    core: MultiPolygon
    fragments: tuple[Fragment, ...]
    nodes: tuple[str, ...]


def leaves_slivers(atom: Atom, seams: Seams, sliver: float) -> bool:
    """Whether a seam leaves a sliver of one of several pieces that touch: the search saw them as one."""
    whole = {fragment.piece: fragment.shape for fragment in atom.fragments}
    if len(whole) == 1:
        return False
    for polygon in (polygon for part in seams.parts for polygon in part.geoms):
        for piece, own in _film_in(polygon, whole):
            if own.area < whole[piece].area - 1e-6 and any(
                meets(own, cut) and own.bounds[cut.axis + 2] - own.bounds[cut.axis] < sliver for cut in seams.cuts
            ):
                return True
    return False


def parts_of(atom: Atom, seams: Seams, regions: Mapping[str, BaseGeometry], overlap: float) -> list[Part]:
    """Return the parts of an atom in order."""
    whole = {fragment.piece: fragment.shape for fragment in atom.fragments}
    groups = [list(part.geoms) for part in seams.parts]
    groups.sort(key=lambda group: (round(MultiPolygon(group).bounds[0], 3), round(MultiPolygon(group).bounds[1], 3)))
    count: dict[str, int] = {}
    out = []
    for group in groups:
        fragments = []
        for polygon in sorted(group, key=lambda p: p.bounds):
            for piece, own in _film_in(polygon, whole):
                if abs(own.area - whole[piece].area) < 1e-6:
                    fragments.append(Fragment(fragment_id(piece), piece, whole[piece]))
                    continue
                count[piece] = count.get(piece, 0) + 1
                shape = _with_overlap(own, whole[piece], seams.cuts, overlap)
                fragments.append(Fragment(f"{fragment_id(piece)}-{count[piece]}", piece, shape))
        if fragments:  # else it is only what bridged two pieces that touch
            out.append(Part(film_of(MultiPolygon(group)), tuple(fragments), ()))
    held = _nodes_of([part.core for part in out], atom, regions)
    return [replace(part, nodes=nodes) for part, nodes in zip(out, held, strict=True)]


def _film_in(polygon: Polygon, whole: Mapping[str, Polygon]) -> list[tuple[str, Polygon]]:
    """Return the film of each piece in a part: one piece is the part itself, of several the bridges are taken out."""
    if len(whole) == 1:
        return [(next(iter(whole)), polygon)]
    return [
        (piece, part)
        for piece, shape in whole.items()
        for part in polygons_of(shape.intersection(polygon))
        if part.area > 1e-6
    ]


def bridged(film: MultiPolygon) -> MultiPolygon:
    """Return film with what lies between pieces that touch filled in, so that it hangs together."""
    parts = list(film.geoms)
    first, second = shapely.STRtree(parts).query(parts, predicate="dwithin", distance=TOLERANCES.touch)
    near = [_between(parts[a], parts[b]) for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True)) if a < b]
    return film_of(MultiPolygon(polygons_of(shapely.union_all([film, *near]))))


def _between(one: Polygon, other: Polygon) -> BaseGeometry:
    """Return what lies within half a knife's width of both of two pieces: only film that near the other counts."""
    reach = TOLERANCES.touch / 2 + 0.01
    grown = []
    for part, (x0, y0, x1, y1) in ((one, other.bounds), (other, one.bounds)):
        room = box(x0 - 3 * reach, y0 - 3 * reach, x1 + 3 * reach, y1 + 3 * reach)
        grown.append(part.intersection(room).buffer(reach))
    return grown[0].intersection(grown[1])


def _nodes_of(
    cores: Sequence[MultiPolygon], atom: Atom, regions: Mapping[str, BaseGeometry]
) -> list[tuple[str, ...]]:
    """Return the nodes that stand in each part."""
    held: list[list[str]] = [[] for _ in cores]
    for node in atom.nodes:
        shares = [core.intersection(regions[node]).area if node in regions else core.area for core in cores]
        total, most = sum(shares) or 1.0, max(shares)
        for part, share in zip(held, shares, strict=True):
            if share == most or share >= HELD * total:
                part.append(node)
    # a part without a letter of its own goes by the one it holds most of
    for part, core in zip(held, cores, strict=True):
        if not part:
            part.append(max(atom.nodes, key=lambda node: core.intersection(regions.get(node, core)).area))
    return [tuple(part) for part in held]


def carries(polygon: Polygon, cut: SeamCut) -> bool:
    """Whether a polygon lies on the side of a cut that laps the other: above a level one, right of a plumb one."""
    bounds = polygon.bounds
    return abs((bounds[0] if cut.axis == 0 else bounds[3]) - cut.at) < 1e-6


def meets(polygon: Polygon, cut: SeamCut) -> bool:
    """Whether a polygon ends at a cut."""
    bounds = polygon.bounds
    return min(abs(bounds[cut.axis] - cut.at), abs(bounds[cut.axis + 2] - cut.at)) < 1e-6


def _with_overlap(polygon: Polygon, piece: Polygon, cuts: Sequence[SeamCut], overlap: float) -> Polygon:
    """Return a fragment with the overlap it carries, the overlap's corners rounded."""
    made: BaseGeometry = polygon
    for cut in cuts if overlap > 0 else ():
        if not carries(polygon, cut):
            continue
        for low, high in chords_of([MultiPolygon([polygon])], cut.axis, cut.at):
            corner = min(overlap, high - low) / 2.01
            reach = (low, cut.at - overlap, high, cut.at + overlap)
            lap = box(*(reach if cut.axis == 1 else (reach[1], reach[0], reach[3], reach[2])))
            lap = lap.buffer(-corner).buffer(corner, quad_segs=12)
            beyond = (low, cut.at, high, cut.at + overlap) if cut.axis == 1 else (cut.at - overlap, low, cut.at, high)
            tab = lap.intersection(box(*beyond)).intersection(piece)
            line = ((low, cut.at), (high, cut.at)) if cut.axis == 1 else ((cut.at, low), (cut.at, high))
            own = [part for part in polygons_of(tab) if part.distance(LineString(line)) < 1e-6]
            made = shapely.union_all([made, *own])
    return max(polygons_of(made), key=lambda part: part.area)
