"""Layers of a colour: frames that don't fit go up by themselves, so that the words inside need not break for them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry.base import BaseGeometry

from bigsign.artwork.pieces import Artwork
from bigsign.reading.lettering import Lettering
from bigsign.splitting.graph import ColourGraph, build_graph, colours_of
from bigsign.splitting.limits import box_fits
from bigsign.splitting.units import enclosed_pairs

__all__ = ["glyph_outlines", "layered_graphs"]


def layered_graphs(
    artwork: Artwork, lettering: Lettering, limits: Sequence[tuple[float, float]]
) -> Iterator[ColourGraph]:
    """Yield the adjacency graph of each colour: first each frame that is too big to go with what it encloses."""
    for colour in colours_of(artwork):
        whole = build_graph(artwork, lettering, colour)
        frames = []
        for index in sorted({frame for frame, _ in enclosed_pairs(whole)}):
            atom = whole.atoms[index]
            if not box_fits(atom.bounds, limits):
                frames.append(atom.pieces)
        if not frames:
            yield whole
            continue
        for pieces in frames:
            yield build_graph(artwork, lettering, colour, only=pieces, layer=pieces[0])
        rest = build_graph(artwork, lettering, colour, without=[piece for pieces in frames for piece in pieces])
        if rest.atoms:
            yield rest


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
