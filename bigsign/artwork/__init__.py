"""Shapes at finished size: drawings and set lettering become pieces of film in the sign's frame."""

from bigsign.artwork.pieces import Artwork, KnownGlyph, KnownLine, Piece

__all__ = ["Artwork", "KnownGlyph", "KnownLine", "Piece"]
