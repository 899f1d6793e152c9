"""What a reader sees: glyphs, words, lines and ornaments; known ones kept, the rest found from shapes."""

from bigsign.reading.lettering import Glyph, Lettering, Line, Word
from bigsign.reading.read import read_lettering

__all__ = ["Glyph", "Lettering", "Line", "Word", "read_lettering"]
