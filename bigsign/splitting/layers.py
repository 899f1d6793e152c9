"""Layers of a colour: strata, since what lies over other film goes up after it, and frames that don't fit.

A frame goes up by itself, so that the words inside it need not break. No trim outline crosses it, so what it holds in
one of its holes shares no panel with what lies elsewhere: each hole is a layer too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.reading.lettering import Lettering
from bigsign.splitting.graph import ColourGraph, build_graph, colours_of
from bigsign.splitting.limits import box_fits
from bigsign.splitting.strata import strata_of
from bigsign.splitting.units import enclosed_pairs

__all__ = ["glyph_outlines", "layered_graphs"]


def layered_graphs(
    artwork: Artwork, lettering: Lettering, limits: Sequence[tuple[float, float]]
) -> Iterator[ColourGraph]:
    """Yield the adjacency graph of each colour and stratum: first each frame that is too big for what it encloses."""
    stratum_of = strata_of(artwork.pieces)
    for colour in colours_of(artwork):
        own = {piece.id: stratum_of[piece.id] for piece in artwork.pieces if piece.colour == colour}
        for stratum in sorted(set(own.values())):
            others = [piece for piece, at in own.items() if at != stratum]
            name = f"stratum-{stratum}" if stratum else ""
            whole = replace(build_graph(artwork, lettering, colour, others, layer=name), stratum=stratum)
            frames = []
            for index in sorted({frame for frame, _ in enclosed_pairs(whole)}):
                atom = whole.atoms[index]
                if not box_fits(atom.bounds, limits):
                    frames.append(atom.pieces)
            if not frames:
                yield whole
                continue
            for pieces in frames:
                frame = build_graph(artwork, lettering, colour, only=pieces, layer=_named(name, pieces[0]))
                yield replace(frame, stratum=stratum, frame=True)
            gone = {*others, *(piece for pieces in frames for piece in pieces)}
            left = [piece for piece in artwork.pieces if piece.colour == colour and piece.id not in gone]
            shapes = {piece.id: piece.shape for piece in artwork.pieces}
            held = _holes_of(left, [(piece, shapes[piece]) for pieces in frames for piece in pieces])
            for hole in sorted(set(held.values())):
                only = [piece for piece, at in held.items() if at == hole]
                part = build_graph(artwork, lettering, colour, only=only, layer=_named(name, hole))
                yield replace(part, stratum=stratum)


def _named(stratum: str, part: str) -> str:
    return "/".join(filter(None, (stratum, part)))


def _holes_of(pieces: Sequence[Piece], frames: Sequence[tuple[str, Polygon]]) -> dict[str, str]:
    """Return the name of the smallest hole of a frame that holds each piece, by its id; "" outside of all."""
    holes = sorted(
        ((Polygon(ring), f"in-{frame}-{n}") for frame, shape in frames for n, ring in enumerate(shape.interiors, 1)),
        key=lambda hole: hole[0].area,
    )
    tree = shapely.STRtree([hole for hole, _ in holes])
    out = dict.fromkeys((piece.id for piece in pieces), "")
    places = [piece.shape.representative_point() for piece in pieces]
    inside, found = tree.query(places, predicate="within")
    for n, hole in sorted(zip(inside.tolist(), found.tolist(), strict=True), reverse=True):
        out[pieces[n].id] = holes[hole][1]
    return out


def glyph_outlines(artwork: Artwork, lettering: Lettering) -> dict[str, BaseGeometry]:
    """Return what each known glyph that shares a piece covers of it, by glyph id."""
    found = {
        (glyph.pieces, glyph.outline.bounds): glyph.outline for line in artwork.known for glyph in line.glyphs
    }
    return {
        glyph.id: found[glyph.pieces, glyph.bounds]
        for glyph in lettering.glyphs
        if (glyph.pieces, glyph.bounds) in found
    }
