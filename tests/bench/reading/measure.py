"""Set phrases, forget their text, read them back: word F1 by font.

A word counts as found when exactly its glyphs' pieces make one word of the reading. Words that share a piece with
another word (a capital's flourish joined to the word before) can't be told apart by pieces and are left out.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import shapely

from bigsign.artwork.pieces import Artwork, KnownGlyph, KnownLine, Piece
from bigsign.artwork.setting import SetBlock, set_lettering
from bigsign.artwork.unite import Layer, unite_layers
from bigsign.fonts import find_font
from bigsign.project import LetteringSpec
from bigsign.reading.read import read_lettering
from tests.bench.reading.shapes import Shaper, plain

__all__ = [
    "MORE_PHRASES", "MORE_UPRIGHT", "PHRASES", "UPRIGHT", "Score", "phrase_artwork", "read_all", "read_one", "total",
    "word_pieces", "word_score", "words_of",
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
    """Words right, set and read; words left out; phrases read right and wrong, each without and with a doubt said."""

    hits: int
    words: int
    given: int
    joined: int
    right: int
    right_in_doubt: int
    wrong_in_doubt: int
    wrong: int

    @property
    def f1(self) -> float:
        """Harmonic mean of the shares of set words that were read and of read words that were set."""
        return 2 * self.hits / (self.words + self.given) if self.words + self.given else 1.0


def total(scores: Sequence[Score]) -> Score:
    """Return the sum of scores."""
    names = Score.__slots__
    return Score(*(sum(getattr(score, name) for score in scores) for name in names))


def phrase_artwork(
    font: str,
    phrase: str,
    cap: float = 60.0,
    *,
    shape: Shaper = plain,
    rng: random.Random | None = None,
    turn: float = 0.0,
    stacked: bool = False,
    leading: float = 1.4,
) -> Artwork:
    """Return a phrase set in a font, with its known lines; ``shape`` bends or cuts what was set."""
    file = find_font(font, Path())
    spec = LetteringSpec(
        tuple(phrase.split("|")), file, {}, cap, None, None, leading, "centre", turn, stacked, "#000000",
        (1000.0, 500.0), "bench",
    )  # fmt: skip
    block = shape(set_lettering(spec), rng or random.Random(1))
    pieces = unite_layers([Layer("#000000", glyph.outline) for line in block.lines for glyph in line.glyphs])
    return Artwork(pieces, tuple(_known(block, pieces)))


def _known(block: SetBlock, pieces: Sequence[Piece]) -> list[KnownLine]:
    tree = shapely.STRtree([piece.shape for piece in pieces])
    lines = []
    for line in block.lines:
        glyphs = []
        for glyph in line.glyphs:
            near = sorted(tree.query(glyph.outline, predicate="intersects").tolist())
            held = tuple(pieces[n].id for n in near if pieces[n].shape.intersection(glyph.outline).area > 1e-6)
            glyphs.append(KnownGlyph(glyph.text, glyph.outline, held, glyph.word))
        lines.append(
            KnownLine(
                line.text, tuple(glyphs), line.baseline, block.angle, block.cap_height, 0, block.stacked, line.rtl
            )
        )
    return lines


def words_of(artwork: Artwork) -> set[frozenset[str]]:
    """Return the words of a reading, each as the set of its pieces."""
    found = read_lettering(artwork)
    pieces = {glyph.id: glyph.pieces for glyph in found.glyphs}
    return {frozenset(p for glyph in word.glyphs for p in pieces[glyph]) for word in found.words}


def word_pieces(artwork: Artwork) -> list[frozenset[str]]:
    """Return the pieces of each word that is known of an artwork."""
    return [
        frozenset(p for glyph in line.glyphs if glyph.word == word for p in glyph.pieces)
        for line in artwork.known
        for word in dict.fromkeys(glyph.word for glyph in line.glyphs)
    ]


def read_one(artwork: Artwork) -> Score:
    """Forget what is known of an artwork, read it back, and compare."""
    truth = word_pieces(artwork)
    held = Counter(p for word in truth for p in word)
    joined = {p for word in truth if any(held[q] > 1 for q in word) for p in word}
    wanted = {word for word in truth if not word & joined}
    found = read_lettering(replace(artwork, known=()))
    pieces = {glyph.id: glyph.pieces for glyph in found.glyphs}
    read = {frozenset(p for glyph in word.glyphs for p in pieces[glyph]) for word in found.words}
    given = {word for word in read if not word <= joined}
    good, doubt = wanted == given, any(one.code == "reading-doubt" for one in found.findings)
    return Score(
        len(wanted & given), len(wanted), len(given), len(truth) - len(wanted),
        good and not doubt, good and doubt, doubt and not good, not good and not doubt,
    )  # fmt: skip


def read_all(font: str, phrases: Sequence[str], rng: random.Random) -> Score:
    """Set the phrases at sizes drawn from ``rng`` (30 to 150 mm capitals), read them back, and compare."""
    return total([read_one(phrase_artwork(font, phrase, rng.uniform(30, 150))) for phrase in phrases])


def word_score(fonts: Sequence[str], phrases: Sequence[str], seed: int = 1) -> dict[str, tuple[float, int]]:
    """Return, by font, (word F1, words) over all phrases at sizes drawn with ``seed``."""
    rng = random.Random(seed)
    scores = {font: read_all(font, phrases, rng) for font in fonts}
    return {font: (score.f1, score.words) for font, score in scores.items()}
