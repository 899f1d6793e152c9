"""Signs that no straight cut parts, though each two films of them leave one: wheels of blades, with and without more.

Every line between two blades runs into a third, so that only a way that winds between all of them opens such a wheel.
"""

from __future__ import annotations

import random
from collections.abc import Callable

from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box

from bigsign.project import PlanSettings, SeamSettings
from tests.bench.proof.kinds import Found, Sign
from tests.box_lettering import letters_from

__all__ = ["STUCK", "make_stuck"]

SIZE = 60.0  # mm across a wheel


def make_stuck(kind: str, seed: int) -> Sign:
    """Return the sign of one of these kinds and a seed, on a mat that holds any of its films but not a whole wheel."""
    rng = random.Random(f"{kind} {seed}")
    artwork, lettering = STUCK[kind](rng)
    spans = [(p.shape.bounds[2] - p.shape.bounds[0], p.shape.bounds[3] - p.shape.bounds[1]) for p in artwork.pieces]
    need = max(max(span) for span in spans) + 0.01
    usable = need * rng.uniform(1.0, 1.15), need * rng.uniform(1.0, 1.15)
    settings = PlanSettings(
        policy=rng.choice(("words", "panels")), placement_tolerance=rng.choice((0.5, 1.0, 4.0)),
        seams=SeamSettings(overlap=0.0),
    )  # fmt: skip
    return Sign(kind, seed, artwork, lettering, usable, rng.choice(("none", "quarter")), settings)


def _blades(rng: random.Random) -> list[Polygon]:
    """Return four blades round a middle that is left free."""
    wide, gap = SIZE * rng.uniform(0.12, 0.22), rng.uniform(0.5, 6.0)
    out = []
    for turn in range(4):
        blade = box(0, 0, SIZE - wide - gap, wide * rng.uniform(0.8, 1.0))
        out.append(rotate(blade, 90 * turn, origin=(SIZE / 2, SIZE / 2)))
    return out


def _wheel(rng: random.Random) -> Found:
    """Return a wheel alone, one word or two, as it lies or turned."""
    turn = rng.choice((0.0, 0.0, rng.uniform(0, 90)))
    blades = [rotate(blade, turn, origin=(SIZE / 2, SIZE / 2)) for blade in _blades(rng)]
    words = [blades] if rng.random() < 0.5 else [blades[:2], blades[2:]]
    return letters_from([words])


def _held(rng: random.Random) -> Found:
    """Return a wheel round a letter in its middle."""
    middle = SIZE / 2
    reach = SIZE * rng.uniform(0.05, 0.2)
    return letters_from([[_blades(rng)]], [box(middle - reach, middle - reach, middle + reach, middle + reach)])


def _lettered(rng: random.Random) -> Found:
    """Return a wheel beside a word of letters."""
    at, word = SIZE + rng.uniform(3, 10), []
    for _ in range(rng.randint(1, 4)):
        width = rng.uniform(8, 30)
        word.append(box(at, rng.uniform(0, 15), at + width, SIZE - rng.uniform(0, 15)))
        at += width + rng.uniform(1, 6)
    return letters_from([[_blades(rng), word]])


def _two(rng: random.Random) -> Found:
    """Return two wheels side by side."""
    across, down = SIZE + rng.uniform(2, 8), rng.uniform(-5, 5)
    second = [translate(blade, across, down) for blade in _blades(rng)]
    return letters_from([[_blades(rng), second]])


STUCK: dict[str, Callable[[random.Random], Found]] = {
    "wheels": _wheel, "wheels with hubs": _held, "wheels and words": _lettered, "two wheels": _two,
}  # fmt: skip
