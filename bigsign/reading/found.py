"""Records between the readers and the lettering: lines as found, before they have ids."""

from __future__ import annotations

from dataclasses import dataclass

from bigsign.reading.lettering import Bounds

__all__ = ["FoundGlyph", "FoundLine"]


@dataclass(frozen=True, slots=True)
class FoundGlyph:
    """A glyph: its text where known, its pieces, its film's box, its colour, the number of its word in the line."""

    text: str | None
    pieces: tuple[str, ...]
    bounds: Bounds
    colour: str
    word: int


@dataclass(frozen=True, slots=True)
class FoundLine:
    """A line in reading order; for ``arc`` see ``Line``.

    ``source`` keeps lines of different origins (blocks, drawings) in different blocks. ``gaps`` are the looks of the
    gaps between glyphs, where they were asked for; ``words`` the texts of its words, where they were given.
    """

    text: str | None
    glyphs: tuple[FoundGlyph, ...]
    baseline: tuple[tuple[float, float], tuple[float, float]]
    angle: float
    cap_height: float
    source: int
    stacked: bool = False
    rtl: bool = False
    doubt: str = ""
    arc: tuple[float, float, float] | None = None
    gaps: tuple[float, ...] = ()
    words: tuple[str, ...] | None = None

    @property
    def bounds(self) -> Bounds:
        """Box of the line's film."""
        boxes = [glyph.bounds for glyph in self.glyphs]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )
