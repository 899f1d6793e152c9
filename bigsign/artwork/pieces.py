"""The records the artwork room yields.

Glossary: a *piece* is one connected region of film of one colour. A *known glyph* or *known line* comes from
set lettering, where the text is known; drawings have none. Frame: mm, origin at the board's top-left corner,
x right, y down.
"""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import MultiPolygon, Polygon

from bigsign.findings import Finding, Source

__all__ = ["Artwork", "KnownGlyph", "KnownLine", "Piece"]


@dataclass(frozen=True, slots=True)
class Piece:
    """One connected region of film.

    Parameters
    ----------
    id : "p001" …, bottom to top, in reading order within a layer.
    colour : "#rrggbb", lower case.
    shape : valid polygon with holes, mm, sign frame.
    source : the drawing's file, line and element, or None for set lettering.
    """

    id: str
    colour: str
    shape: Polygon
    source: Source | None = None


@dataclass(frozen=True, slots=True)
class KnownGlyph:
    """A character (grapheme cluster, or several joined in a ligature) as set by the shaper.

    ``outline`` is the glyph's own outline before anything is united; ``pieces`` are the pieces that hold it
    (shared with its neighbours in connected lettering). ``word`` counts words within the line from 0.
    """

    text: str
    outline: MultiPolygon
    pieces: tuple[str, ...]
    word: int


@dataclass(frozen=True, slots=True)
class KnownLine:
    """A line as set: its glyphs in reading order, its baseline in the sign's frame, its angle and cap height.

    ``baseline`` runs in reading direction of left-to-right text (from the line's left end to its right one,
    before the turn); ``angle`` is clockwise in degrees as seen on the drawing. ``stacked`` lines run down a
    column, their baseline is the column's middle line. ``block`` counts the project's lettering blocks.
    """

    text: str
    glyphs: tuple[KnownGlyph, ...]
    baseline: tuple[tuple[float, float], tuple[float, float]]
    angle: float
    cap_height: float
    block: int
    stacked: bool = False
    rtl: bool = False


@dataclass(frozen=True, slots=True)
class Artwork:
    """All film of the sign: pieces bottom to top, and what is known of the lettering among them."""

    pieces: tuple[Piece, ...]
    known: tuple[KnownLine, ...] = ()
    findings: tuple[Finding, ...] = ()
