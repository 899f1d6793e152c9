"""The kinds of lettering the reading bench measures: faces, phrases, and what is done to them."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from bigsign.artwork.pieces import Artwork
from tests.bench.reading import phrases as texts
from tests.bench.reading.measure import MORE_PHRASES, MORE_UPRIGHT, PHRASES, UPRIGHT, phrase_artwork
from tests.bench.reading.shapes import (
    Shaper,
    arched,
    inlined,
    mixed_sizes,
    outlined,
    plain,
    slanted,
    stencilled,
    tracked,
    with_ornaments,
)

__all__ = ["KINDS", "Case", "Kind"]

SANS = (
    "Anton", "Archivo Black", "Lato", "Fira Sans", "Oswald", "Montserrat", "Russo One", "Righteous", "Titan One",
    "Fjalla One", "Karla", "League Spartan",
)  # fmt: skip
SERIF = ("Alfa Slab One", "Lora", "Playfair Display", "Roboto Slab", "Noto Serif", "Abril Fatface")
HEAVY = ("Anton", "Archivo Black", "Alfa Slab One", "Titan One", "Lato Black", "Lilita One", "Russo One")
SCRIPT = ("Lobster", "Pacifico", "Dancing Script", "Oleo Script", "Satisfy", "Yellowtail", "Lobster Two")
ITALIC = (
    "Lato Italic", "Lato Bold Italic", "Montserrat Italic", "Playfair Display Italic", "Lora Italic",
    "Fira Sans Italic",
    "Bitter Italic", "Barlow Black Italic", "Josefin Sans Italic", "Libre Baskerville Italic",
)  # fmt: skip
GREEK = ("Noto Sans", "Noto Serif", "Fira Sans", "Open Sans", "Roboto Slab", "Arimo", "Inter", "Comfortaa")
CYRILLIC = (
    "Noto Sans", "Noto Serif", "Russo One", "Oswald", "Lora", "Montserrat", "Playfair Display", "Rubik", "Comfortaa",
)  # fmt: skip
HEBREW = ("Heebo", "Rubik", "Frank Ruhl Libre", "Arimo", "Assistant", "Open Sans")
ARABIC = ("Amiri", "Cairo", "Tajawal", "Noto Kufi Arabic", "Noto Sans Arabic", "IBMPlex Sans Arabic")

Phrases = Callable[[int, random.Random], list[str]]


@dataclass(frozen=True, slots=True)
class Case:
    """A phrase as set: its face, its text, the artwork with its known lines."""

    face: str
    phrase: str
    artwork: Artwork


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind: ``count`` phrases in each face; ``turns`` are drawn from; ``group`` says what goal it has."""

    name: str
    group: str
    faces: tuple[str, ...]
    phrases: Phrases
    count: int
    shape: Shaper = plain
    turns: tuple[float, ...] = (0.0,)
    stacked: bool = False
    leadings: tuple[float, ...] = (1.4,)
    ornaments: bool = False

    def cases(self, seed: int, present: Sequence[str]) -> Iterator[Case]:
        """Yield the cases of the faces that are present: sizes 30 to 150 mm, the same for the same seed."""
        rng = random.Random(f"{self.name} {seed}")
        for face in self.faces:
            for phrase in self.phrases(self.count, rng):
                size, turn, leading = rng.uniform(30, 150), rng.choice(self.turns), rng.choice(self.leadings)
                if face not in present:
                    continue
                artwork = phrase_artwork(
                    face, phrase, size, shape=self.shape, rng=rng, turn=turn, stacked=self.stacked, leading=leading
                )
                yield Case(face, phrase, with_ornaments(artwork, size) if self.ornaments else artwork)


def _fixed(*phrases: str) -> Phrases:
    return lambda count, rng: list(phrases)


KINDS = (
    Kind("level, usual phrases", "level", UPRIGHT, _fixed(*PHRASES), len(PHRASES)),
    Kind("level, harder phrases", "level", UPRIGHT, _fixed(*MORE_PHRASES), len(MORE_PHRASES)),
    Kind("level, seeded phrases", "level", SANS + SERIF + MORE_UPRIGHT, texts.phrases, 12, leadings=(1.2, 1.4, 1.7)),
    Kind("level, with ornaments", "level", SANS + SERIF, texts.phrases, 4, ornaments=True),
    Kind("connected script", "hard", SCRIPT, texts.small_letters, 20),
    Kind("arc", "hard", SANS + SERIF, texts.phrases, 6, arched),
    Kind("slanted faces", "hard", ITALIC, texts.phrases, 10),
    Kind("slanted by shear", "hard", SANS + SERIF, texts.phrases, 6, slanted),
    Kind("stacked", "hard", SANS + SERIF, texts.phrases, 6, stacked=True),
    Kind("turned a quarter", "hard", SANS + SERIF, texts.phrases, 6, turns=(90.0, 180.0, 270.0)),
    Kind(
        "turned by any angle",
        "hard",
        SANS + SERIF,
        texts.phrases,
        6,
        turns=(-45.0, -30.0, -12.0, -5.0, 8.0, 20.0, 60.0),
    ),
    Kind("mixed sizes", "hard", SANS + SERIF, texts.phrases, 6, mixed_sizes),
    Kind("outline", "hard", HEAVY, texts.phrases, 10, outlined),
    Kind("inline", "hard", HEAVY, texts.phrases, 10, inlined),
    Kind("stencil, cut here", "hard", HEAVY, texts.phrases, 10, stencilled),
    Kind("stencil face", "hard", ("Black Ops One",), texts.phrases, 30),
    Kind("wide tracking, capitals", "hard", SANS + SERIF, texts.capitals, 6, tracked),
    Kind("Greek", "hard", GREEK, texts.greek, 12),
    Kind("Cyrillic", "hard", CYRILLIC, texts.cyrillic, 12),
    Kind("Hebrew", "hard", HEBREW, texts.hebrew, 16),
    Kind("Arabic", "hard", ARABIC, texts.arabic, 16),
    Kind("lines of one word", "apart", UPRIGHT, texts.single_words, 10),
    Kind("one word, wide tracking", "apart", SANS, texts.single_words, 8, tracked),
    Kind("formal script", "apart", ("Great Vibes",), texts.small_letters, 40),
)
