"""Shapes at finished size: drawings and set lettering become pieces of film in the sign's frame."""

from bigsign.artwork.make import make_artwork
from bigsign.artwork.pieces import Artwork, KnownGlyph, KnownLine, Piece

__all__ = ["Artwork", "KnownGlyph", "KnownLine", "Piece", "make_artwork"]
