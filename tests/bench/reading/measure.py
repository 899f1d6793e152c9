"""Set phrases, forget their text, read them back: word F1 by font.

A word counts as found when exactly its glyphs' pieces make one word of the reading.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from bigsign.artwork.pieces import Artwork, KnownGlyph, KnownLine
from bigsign.artwork.setting import set_lettering
from bigsign.artwork.unite import Layer, unite_layers
from bigsign.fonts import find_font
from bigsign.project import LetteringSpec
from bigsign.reading.read import read_lettering

__all__ = [
    "MORE_PHRASES", "MORE_UPRIGHT", "PHRASES", "UPRIGHT", "Score", "phrase_artwork", "read_all", "word_score",
    "words_of",
]  # fmt: skip

#: Upright faces whose letters stand apart, from installed packages (OFL or Apache licences): six families, one of
#: them in five weights.
UPRIGHT = (
    "Anton", "Alfa Slab One", "Archivo Black", "Luckiest Guy", "Permanent Marker", "Lato", "Lato Black",
    "Lato Bold", "Lato Light", "Lato Thin",
)  # fmt: skip

#: Families of their own, read where their packages are installed ("fontpkg-" and the name with hyphens).
MORE_UPRIGHT = (
    "Abril Fatface", "Andada Pro", "Arvo", "Barlow", "Bebas Neue", "Bitter", "Bungee", "Cabin", "Chakra Petch",
    "Cinzel", "Comfortaa", "Crimson Text", "Domine", "Dosis", "EBGaramond", "Fira Sans", "Fjalla One", "Fredoka",
    "IBMPlex Sans", "IBMPlex Serif", "Inter", "Josefin Sans", "Jost", "Kanit", "Karla", "League Spartan",
    "Libre Baskerville",
)  # fmt: skip

#: Invented phrases of two words or more; a bar parts lines.
PHRASES = (
    "FRESH EGGS|& HONEY", "Seed Library", "TAKE A SEED|LEAVE A SEED", "Clay Studio|Open Friday", "Boat Shed 12",
    "Marrow Lane|Farm Stand", "Tomatoes, beans & peas", "WAIT FOR MAY", "Mud to mug:|come in", "Rowing at six",
    "PLEASE RING|THE BELL", "Café Tomàt", "Jam: 3 jars left", "A quiet table", "Tall AVA Yields",
    "Kiln is hot!", "50% more beans", "Turn left|at the pump", "Hello “Pip”", "Fir & Pine|Est. 1999",
)  # fmt: skip

#: Harder ones: letters with room beside them (A, L, T), commas, quotes, single letters and figures as words.
MORE_PHRASES = (
    "Wildflower Honey", "SUMMER SQUASH|FALL APPLES", "Open 9:30 to 5", "Paddles & Oars", "MILK|&|BREAD",
    "Borrow, sow, return", "Naïve façade café", "Übung Äpfel Öl", "VILLA AVAILABLE", "“Good day” sign",
    'Say "when" now', "100% wool yarn", "Fiddle i j ; :", "LITTLE ATTIC", "Pots; jugs = fun", "Rent a kayak",
    "TO THE WATER", "JAM TART|HALF PRICE", "Bring a friend!", "Why wait? Ask", "Seed: A to Z", "IN A JAR",
    "ROW 7 BED 12", "Apple (green)", "Marsh Kettle", "OARS FOR HIRE", "Pumpkins & Gourds",
    "Kids’ Pottery|Saturday 2–4", "Pickles, eggs, bread", "PULL THE ROPE|TWICE", "Vine Tomatoes", "Glaze & fire",
    "Return by 6:30", "Fresh cut flowers", "WET PAINT", "Mint, dill, rye", "Loft ladder", "Two for $5",
    "Jetty closed", "AVOCADO TREE", "Yard eggs daily", "Sow in April|Pick in July", "Bättre glögg",
    "UPPER SHELF|LOWER SHELF", "Tide table 24", "Hand thrown mugs", "A new leaf",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Score:
    """Word F1, words set, and phrases read right and wrong, each without and with a doubt said."""

    f1: float
    words: int
    right: int
    right_in_doubt: int
    wrong_in_doubt: int
    wrong: int


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


def read_all(font: str, phrases: Sequence[str], rng: random.Random) -> Score:
    """Set the phrases at sizes drawn from ``rng`` (30 to 150 mm capitals), read them back, and compare."""
    right = wanted = given = 0
    kinds = {(ok, doubt): 0 for ok in (True, False) for doubt in (True, False)}
    for phrase in phrases:
        artwork = phrase_artwork(font, phrase, rng.uniform(30, 150))
        bare = replace(artwork, known=())
        truth, read = words_of(artwork), words_of(bare)
        right += len(truth & read)
        wanted += len(truth)
        given += len(read)
        kinds[truth == read, bool(read_lettering(bare).findings)] += 1
    f1 = 2 * right / (wanted + given) if wanted + given else 0.0
    return Score(f1, wanted, kinds[True, False], kinds[True, True], kinds[False, True], kinds[False, False])


def word_score(fonts: Sequence[str], phrases: Sequence[str], seed: int = 1) -> dict[str, tuple[float, int]]:
    """Return, by font, (word F1, words) over all phrases at sizes drawn with ``seed``."""
    rng = random.Random(seed)
    scores = {font: read_all(font, phrases, rng) for font in fonts}
    return {font: (score.f1, score.words) for font, score in scores.items()}
