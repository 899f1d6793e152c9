"""Seeded cases for the splitting bench: phrases of 2 to 60 glyphs, many faces, one to four lines, three mats."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from pathlib import Path

from bigsign.artwork import make_artwork
from bigsign.artwork.pieces import Artwork
from bigsign.fonts import find_font
from bigsign.project import LetteringSpec
from bigsign.reading import read_lettering
from bigsign.reading.lettering import Lettering
from tests.bench.splitting.facts import facts_of, kept_boxes
from tests.planning import project_of

__all__ = ["CLASSES", "FONTS", "MATS", "Case", "make_case"]

#: Faces of the packages that the extras ``test`` and ``bench`` install; four are connected scripts.
FONTS = (
    "Anton", "Alfa Slab One", "Archivo Black", "Luckiest Guy", "Permanent Marker", "Lato", "Lato Black", "Lato Light",
    "Lobster", "Pacifico", "Dancing Script", "Great Vibes", "Arvo", "Barlow", "Bebas Neue", "Bitter", "Bungee",
    "Cabin", "Cinzel", "EBGaramond", "Fira Sans", "IBMPlex Sans", "IBMPlex Serif", "Inter", "Josefin Sans",
    "Libre Baskerville",
)  # fmt: skip

WORDS = (
    "A", "&", "TO", "At", "12", "3", "jam", "EGGS", "Oars", "Kiln", "Seed", "Lane", "Open", "Take", "Café", "FRESH",
    "Honey", "Leave", "AVOW", "Pears", "Marrow", "Studio", "Ferry,", "BEANS", "Library", "Pottery", "Yield.",
    "Boathouse", "Wildflower", "RASPBERRY", "9:30", "i.", "LATVIAN", "quay",
)  # fmt: skip

#: Usable areas in mm of cutters with a 12 × 12, 12 × 24 and 8 × 12 in mat.
MATS = {"12x12": (292.1, 292.1), "12x24": (292.1, 596.9), "8x12": (203.2, 292.1)}

#: Size classes: least and most glyphs.
CLASSES = ((2, 10), (11, 20), (21, 40), (41, 60))


@dataclass(frozen=True, slots=True)
class Case:
    """One case: artwork of one colour, what is known of its lettering, the usable area and how panels may turn."""

    seed: int
    name: str
    artwork: Artwork
    lettering: Lettering
    usable: tuple[float, float]
    turning: str


def make_case(seed: int) -> Case:
    """Return the case of ``seed``: size classes and mats take turns, the rest is drawn."""
    rng = random.Random(f"splitting {seed}")
    least, most = CLASSES[seed % len(CLASSES)]
    mat = list(MATS)[seed // len(CLASSES) % len(MATS)]
    usable = MATS[mat]
    phrase = _phrase(rng, rng.randint(least, most))
    turning = rng.choice(("quarter", "quarter", "none"))
    across = rng.uniform(0.8, 5.5) * usable[0]
    spec = LetteringSpec(
        phrase, find_font(rng.choice(FONTS), Path()), {}, 100.0, None, None, rng.uniform(1.15, 1.9),
        rng.choice(("left", "centre", "right")), rng.choice((0.0,) * 6 + (90.0, 12.5)), False, "#000000",
        (3000.0, 1000.0), "bench",
    )  # fmt: skip
    boxes = kept_boxes(facts_of(*_set(spec)))
    scale = across / (max(box[2] for box in boxes) - min(box[0] for box in boxes))
    # whatever has to stay whole fits: seams through film are another matter
    for box in boxes:
        scale = min(scale, _largest_scale(box[2] - box[0], box[3] - box[1], usable, turning))
    artwork, lettering = _set(replace(spec, cap_height=100.0 * scale))
    name = (
        f"{' / '.join(phrase)} in {spec.font.name}, capitals {100 * scale:.0f} mm, leading {spec.leading:.2f}, "
        f"{spec.align}, turned {spec.turn:g}°, {mat}, turning {turning}"
    )
    return Case(seed, name, artwork, lettering, usable, turning)


def _set(spec: LetteringSpec) -> tuple[Artwork, Lettering]:
    artwork = make_artwork(replace(project_of(6000.0, 2000.0), blocks=(spec,)))
    return artwork, read_lettering(artwork)


def _largest_scale(width: float, height: float, usable: tuple[float, float], turning: str) -> float:
    ways = [(width, height)] if turning == "none" else [(width, height), (height, width)]
    return 0.995 * max(min(usable[0] / w, usable[1] / h) for w, h in ways)


def _phrase(rng: random.Random, glyphs: int) -> tuple[str, ...]:
    """Return one to four lines of words that hold ``glyphs`` characters in all; the last word is cut to fit."""
    words: list[str] = []
    left = glyphs
    while left:
        word = rng.choice(WORDS)[:left]
        words.append(word)
        left -= len(word)
    lines = min(rng.randint(1, 4), len(words))
    ends = sorted(rng.sample(range(1, len(words)), lines - 1))
    return tuple(" ".join(words[a:b]) for a, b in zip([0, *ends], [*ends, len(words)], strict=True))
