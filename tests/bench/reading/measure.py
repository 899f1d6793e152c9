"""Set phrases, forget their text, read them back: word F1 by font.

A word counts as found when exactly its glyphs' pieces make one word of the reading.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from bigsign.artwork.pieces import Artwork, KnownGlyph, KnownLine
from bigsign.artwork.setting import set_lettering
from bigsign.artwork.unite import Layer, unite_layers
from bigsign.fonts import find_font
from bigsign.project import LetteringSpec
from bigsign.reading.read import read_lettering

__all__ = ["PHRASES", "UPRIGHT", "phrase_artwork", "word_score", "words_of"]

#: Upright faces whose letters stand apart, from installed packages (OFL or Apache licences).
UPRIGHT = (
    "Anton", "Alfa Slab One", "Archivo Black", "Luckiest Guy", "Permanent Marker", "Lato", "Lato Black",
    "Lato Bold", "Lato Light", "Lato Thin",
)  # fmt: skip

#: Invented phrases of two words or more; a bar parts lines.
PHRASES = (
    "FRESH EGGS|& HONEY", "Seed Library", "TAKE A SEED|LEAVE A SEED", "Clay Studio|Open Friday", "Boat Shed 12",
    "Marrow Lane|Farm Stand", "Tomatoes, beans & peas", "WAIT FOR MAY", "Mud to mug:|come in", "Rowing at six",
    "PLEASE RING|THE BELL", "Café Tomàt", "Jam: 3 jars left", "A quiet table", "Tall AVA Yields",
    "Kiln is hot!", "50% more beans", "Turn left|at the pump", "Hello “Pip”", "Fir & Pine|Est. 1999",
)  # fmt: skip


def phrase_artwork(font: str, phrase: str, cap: float = 60.0) -> Artwork:
    """Return a phrase set in a font, with its known lines."""
    file = find_font(font, Path())
    spec = LetteringSpec(
        tuple(phrase.split("|")), file, {}, cap, None, None, 1.4, "centre", 0.0, False, "#000000",
        (1000.0, 500.0), "bench",
    )  # fmt: skip
    block = set_lettering(spec)
    layers = [Layer("#000000", glyph.outline) for line in block.lines for glyph in line.glyphs]
    pieces = unite_layers(layers)
    lines = []
    for line in block.lines:
        glyphs = tuple(
            KnownGlyph(
                glyph.text,
                glyph.outline,
                tuple(p.id for p in pieces if p.shape.intersection(glyph.outline).area > 1e-6),
                glyph.word,
            )
            for glyph in line.glyphs
        )
        lines.append(KnownLine(line.text, glyphs, line.baseline, 0.0, block.cap_height, 0))
    return Artwork(pieces, tuple(lines))


def words_of(artwork: Artwork) -> set[frozenset[str]]:
    """Return the words of a reading, each as the set of its pieces."""
    found = read_lettering(artwork)
    pieces = {glyph.id: glyph.pieces for glyph in found.glyphs}
    return {frozenset(p for glyph in word.glyphs for p in pieces[glyph]) for word in found.words}


def word_score(fonts: Sequence[str], phrases: Sequence[str], seed: int = 1) -> dict[str, tuple[float, int]]:
    """Return, by font, (word F1, words) over all phrases at sizes drawn with ``seed`` (30 to 150 mm capitals)."""
    rng = random.Random(seed)
    out: dict[str, tuple[float, int]] = {}
    for font in fonts:
        right = wanted = given = 0
        for phrase in phrases:
            artwork = phrase_artwork(font, phrase, rng.uniform(30, 150))
            truth, read = words_of(artwork), words_of(replace(artwork, known=()))
            right += len(truth & read)
            wanted += len(truth)
            given += len(read)
        out[font] = (2 * right / (wanted + given) if wanted + given else 0.0, wanted)
    return out
