"""Spoilt drawings: reading one gives pieces of film, or an error that says what and where; nothing else."""

from __future__ import annotations

import os
import random
import re
import resource
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from shapely.geometry import Polygon

from bigsign.artwork.drawing import read_drawing
from bigsign.artwork.unite import Layer, unite_layers
from bigsign.errors import InputError
from bigsign.project import DrawingSpec
from tests.bench.fuzz.projects import SECONDS, TooLongError, within, wrong_words
from tests.bench.fuzz.spoil import spoilt_input

__all__ = ["Drawings", "bench"]

ROOT = Path(__file__).parents[3]
SIZES = (101.6, 304.8, 914.4)  # mm
NUMBERS = (
    "0", "-1", "1e308", "-1e308", "1e-308", "nan", "inf", "1e400", "0.0000001", "999999999", "50%", "3em", "1 2", "",
    "none", "auto", "--1", "1..2", "1e", "0x10", "½", "1,5",
)  # fmt: skip
"""What stands for a number of a drawing, right and wrong."""
WORDS = (
    "none", "inherit", "currentColor", "url(#a)", "url(#", "evenodd", "round", "visible", "hidden", "hsl(1,2%,3%)",
    "#12", "#1234567890", "rgba(1,2,3,.5)", "var(--x)", "calc(1px*2)", "context-fill", "matrix(1)", "rotate(45 1)",
    "scale(0)", "scale(1e9)", "skewX(90)", "translate(1e8 0)", "M0 0", "M0 0L", "z", "a1 1 0 0 1 0 0", "xMidYMid slice",
)  # fmt: skip
NAMES = ("use", "g", "clipPath", "mask", "symbol", "marker", "svg", "switch", "defs", "path", "rect", "style", "image")


class Drawings:
    """Good drawings, and by number what chance makes of them."""

    def __init__(self, seed: int, folder: Path | None = None) -> None:
        folders = [folder] if folder else [ROOT / "tests/drawings", ROOT / "tests/artwork/svg", ROOT / "demo_projects"]
        self.files = sorted(file for one in folders for file in one.rglob("*.svg") if file.stat().st_size < 100_000)
        self.texts = [file.read_bytes() for file in self.files]
        self.seed = seed

    def data(self, number: int) -> bytes:
        """Return input ``number``."""
        return spoilt_input(self.texts, self.seed, number, changed_drawing)

    def verdict(self, number: int) -> str:
        """Read an input; return "read", "refused", or what is wrong with how it was read."""
        width = SIZES[number % len(SIZES)]
        spec = DrawingSpec("spoilt.svg", self.data(number), width, None, (500.0, 500.0), {}, "sign.toml line 1")
        try:
            with within(SECONDS):
                drawing = read_drawing(spec)
                pieces = unite_layers([Layer(shape.colour, shape.shape, shape.source) for shape in drawing.shapes])
        except InputError as error:
            return wrong_words(error, r"sign\.toml line 1, spoilt\.svg( line \d+)?$|the artwork$") or "refused"
        except TooLongError:
            return f"TIME: more than {SECONDS} s"
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            return f"CRASH: {type(error).__name__}: {error} ({Path(last.filename).name}:{last.lineno})"
        if not pieces:  # film below all measure: "there is nothing to cut" (tests/test_prepare.py)
            return "refused"
        shapes = [piece.shape for piece in pieces]
        if not all(isinstance(shape, Polygon) and shape.is_valid and shape.area > 0 for shape in shapes):
            return "WRONG: film that is not valid"
        across = max(shape.bounds[2] for shape in shapes) - min(shape.bounds[0] for shape in shapes)
        return "read" if abs(across - width) < 0.2 else f"WRONG: {across} mm wide, not {width}"


def changed_drawing(text: str, chance: random.Random) -> str:
    """Return a drawing with some values, numbers, names or elements changed, as XML as far as chance allows."""
    for _ in range(chance.randint(1, 4)):
        way = chance.randrange(6)
        if way == 0:
            text = _one(r"-?\d*\.?\d+", text, chance, lambda _: chance.choice(NUMBERS))
        elif way == 1:
            text = _one(r'(?<==")[^"]*(?=")', text, chance, lambda _: chance.choice(WORDS + NUMBERS))
        elif way == 2:
            text = _one(r"(?<=<)[a-zA-Z]+", text, chance, lambda _: chance.choice(NAMES))
        elif way == 3:  # an element twice, or not at all
            text = _one(r"<[a-zA-Z][^<>]*/>", text, chance, lambda found: found * chance.choice((0, 2, 30)))
        elif way == 4:  # attributes of one element put into another
            pairs = re.findall(r'\s[a-z:-]+="[^"]*"', text)
            if pairs:
                text = _one(r"(?<=<)[a-zA-Z]+(?=[ /])", text, chance, str, chance.choice(pairs))
        else:
            text = _one(r"[MmLlHhVvCcSsQqTtAaZz](?=[ \d.-])", text, chance, lambda _: chance.choice("MmLlHVcsQtAaZz"))
    return text


def _one(pattern: str, text: str, chance: random.Random, new: Callable[[str], str], more: str = "") -> str:
    """Return a text with one match of a pattern changed, and more put after it."""
    found = list(re.finditer(pattern, text))
    if not found:
        return text
    match = chance.choice(found)
    return text[: match.start()] + new(match.group()) + more + text[match.end() :]


def bench(count: int, seed: int, first: int) -> int:
    """Print figures of ``count`` inputs; 0 if none failed. DRAWINGS in the environment names another folder."""
    named = os.environ.get("DRAWINGS")
    inputs = Drawings(seed, Path(named) if named else None)
    verdicts: Counter[str] = Counter()
    faults: list[str] = []
    for number in range(first, first + count):
        verdict = inputs.verdict(number)
        kind = verdict.partition(":")[0]
        verdicts[kind] += 1
        if kind.isupper():
            faults.append(f"  {number}  {verdict[:300]}")
            print(faults[-1], flush=True)
    shown = ", ".join(f"{word} {verdicts[word]}" for word in ("read", "refused", "CRASH", "TIME", "WRONG", "WORDS"))
    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(f"{count} drawings, seed {seed}, from {len(inputs.files)}: {shown.lower()}; at most {held} MB held")
    return 1 if faults else 0
