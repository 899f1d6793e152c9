"""Lettering built from plain shapes, for tests that need exact sizes: each letter a box, a ring or any polygon."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.affinity import translate
from shapely.geometry import Polygon, box

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.reading.lettering import Glyph, Lettering, Line, Word

Letter = Polygon


def letters_from(
    lines: Sequence[Sequence[Sequence[Polygon]]], ornaments: Sequence[Polygon] = (), colour: str = "#000000"
) -> tuple[Artwork, Lettering]:
    """Return artwork and lettering of lines of words of letters, each a polygon in place; all lines one block."""
    pieces: list[Piece] = []
    glyphs: list[Glyph] = []
    words: list[Word] = []
    rows: list[Line] = []
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    for r, line in enumerate(lines):
        line_id, in_line = f"l{r + 1}", []
        for letters in line:
            word_id = f"w{len(words) + 1:02d}"
            own = []
            for shape in letters:
                piece, glyph = f"p{len(pieces) + 1:03d}", f"g{len(glyphs) + 1:03d}"
                pieces.append(Piece(piece, colour, shape))
                text = alphabet[len(glyphs) % 26]
                glyphs.append(Glyph(glyph, text, (piece,), word_id, line_id, shape.bounds, colour))
                own.append(glyph)
            text = "".join(alphabet[(len(glyphs) - len(own) + i) % 26] for i in range(len(own)))
            words.append(Word(word_id, text, tuple(own), line_id))
            in_line.append(word_id)
        shapes = [shape for letters in line for shape in letters]
        foot = max(shape.bounds[3] for shape in shapes)
        head = min(shape.bounds[1] for shape in shapes)
        left, right = min(s.bounds[0] for s in shapes), max(s.bounds[2] for s in shapes)
        text = " ".join(word.text or "" for word in words if word.id in in_line)
        rows.append(Line(line_id, text, tuple(in_line), ((left, foot), (right, foot)), 0.0, foot - head, 0))
    extra = []
    for shape in ornaments:
        pieces.append(Piece(f"p{len(pieces) + 1:03d}", colour, shape))
        extra.append(pieces[-1].id)
    return Artwork(tuple(pieces)), Lettering(tuple(glyphs), tuple(words), tuple(rows), tuple(extra))


def row_of_boxes(
    words: Sequence[Sequence[float]],
    *,
    height: float,
    letter_gap: float,
    word_gap: float,
    x: float = 0.0,
    y: float = 0.0,
) -> list[list[Polygon]]:
    """Return a line of words of boxes, given the widths of their letters."""
    out = []
    for widths in words:
        row = []
        for width in widths:
            row.append(box(x, y, x + width, y + height))
            x += width + letter_gap
        x += word_gap - letter_gap
        out.append(row)
    return out


def shifted(shapes: Sequence[Sequence[Polygon]], dx: float, dy: float) -> list[list[Polygon]]:
    """Return a line of words moved by (dx, dy)."""
    return [[translate(shape, dx, dy) for shape in word] for word in shapes]
