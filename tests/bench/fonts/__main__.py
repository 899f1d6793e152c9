"""Fonts bench: `python -m tests.bench.fonts DIR [COUNT] [SEED]`: fonts of the world, from file to lettering read.

DIR holds font files at any depth, as packages carry them; each folder counts as a set, and sets take turns. Of each
file one face or named instance is taken by seed, and a word of letters that it has; a project that asks for it is
loaded and prepared. Right is what has the area of film that fontTools' own reading of the outlines gives, placed by
HarfBuzz and united by skia-pathops (nonzero): other programs than those that set it draw and unite.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
import traceback
import unicodedata
from collections import Counter
from pathlib import Path

import uharfbuzz as hb
from fontTools.unicodedata import script

from bigsign.errors import InputError
from bigsign.fonts import find_font
from bigsign.fonts.faces import faces_of
from bigsign.prepare import prepare
from bigsign.project import FontFile
from bigsign.project_file import load_project
from bigsign.tolerances import TOLERANCES
from tests.bench.fonts.others import area_by_others

SUFFIXES = (".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2", ".otb")
SHARE = 0.005  # of the film's area that may be amiss, or what lies between its curves and their chords
SHARED = ("Zyyy", "Zinh", "Zzzz")  # no script of their own: a word of them is set in several runs
WIDTH = 254.0  # mm, of the word
WARNED = {"font-colour", "font-script"}
VERDICTS = ("right", "warned", "refused", "wrong", "crash")


def chosen(folder: Path, count: int, seed: int) -> list[Path]:
    """Return so many fonts by seed; each folder takes its turn."""
    sets: dict[Path, list[Path]] = {}
    for file in sorted(file for file in folder.rglob("*") if file.suffix.lower() in SUFFIXES):
        sets.setdefault(file.parent, []).append(file)
    rng = random.Random(seed)
    for files in sets.values():
        rng.shuffle(files)
    out: list[Path] = []
    while len(out) < count and any(sets.values()):
        for name in sorted(sets):
            if sets[name] and len(out) < count:
                out.append(sets[name].pop())
    return out


def face_name(file: Path, rng: random.Random) -> str:
    """Return what a project calls the file, or one of its faces or instances."""
    faces = [] if file.suffix.lower() in (".woff", ".woff2") else faces_of(file)
    return f"{file}#{rng.choice(faces).name}" if len(faces) > 1 else str(file)


def word(font: FontFile, rng: random.Random) -> str:
    """Return "FRESH" where a font has it, else (and of every other font) letters of one script, with some marks."""
    codes = sorted(hb.Face(font.data, font.index).unicodes)
    if {ord(char) for char in "FRESH"} <= set(codes) and rng.random() < 0.5:
        return "FRESH"
    letters = [chr(c) for c in codes if unicodedata.category(chr(c))[0] == "L" and script(chr(c)) not in SHARED]
    if not letters:
        kinds = [(chr(c), unicodedata.category(chr(c))) for c in codes]
        signs = [char for char, kind in kinds if kind[0] in "LNPS" or kind == "Co"]
        return "".join(rng.sample(signs, min(len(signs), 4))) or "A"
    one = script(rng.choice(letters))
    own = [char for char in letters if script(char) == one]
    marks = [chr(c) for c in codes if script(chr(c)) == one and unicodedata.category(chr(c))[0] == "M"]
    text = ""
    for _ in range(5):
        text += rng.choice(own) + (rng.choice(marks) if marks and rng.random() < 0.4 else "")
    return unicodedata.normalize("NFC", text)


def judged(file: Path, folder: Path, seed: int) -> tuple[str, str]:
    """Return the verdict on a font and what was said."""
    rng = random.Random(f"{seed} {file.name}")
    project = folder / "sign.toml"
    try:
        name = face_name(file, rng)
        font = find_font(name, folder)
        text = word(font, rng)
        project.write_text(
            '[sign]\nwidth = "400 in"\nheight = "400 in"\n[cutter]\nuse = "desktop-12"\n[[lettering]]\n'
            f'width = "10 in"\nfont = {json.dumps(name)}\nlines = [{json.dumps(text, ensure_ascii=False)}]\n',
            "utf-8",
        )
        made = prepare(load_project(project)).artwork
    except InputError as error:
        return "refused", str(error.faults[0])
    except Exception as error:
        where = traceback.extract_tb(error.__traceback__)[-1]
        return "crash", f"{type(error).__name__}: {error} ({Path(where.filename).name} line {where.lineno})"
    found = sum(piece.shape.area for piece in made.pieces) / WIDTH**2
    chords = TOLERANCES.flatten * sum(piece.shape.length for piece in made.pieces) / WIDTH**2
    wanted = area_by_others(font, text)
    if abs(found - wanted) > max(SHARE * wanted, chords):
        return "wrong", f"{name} {text!r}: film {found:.5f}, others {wanted:.5f}"
    codes = sorted({finding.code for finding in made.findings} & WARNED)
    return ("warned", f"{', '.join(codes)}: {text}") if codes else ("right", "")


def main() -> None:
    """Judge the fonts, print a line for each that is not right, then the figures."""
    folder = Path(sys.argv[1])
    count, seed = (int(text) for text in (*sys.argv[2:4], *("200", "1")[len(sys.argv[2:4]) :]))
    tally: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as work:
        for file in chosen(folder, count, seed):
            verdict, said = judged(file, Path(work), seed)
            tally[verdict] += 1
            if verdict != "right":
                print(f"{verdict:8} {file.name}: {said}", flush=True)
    print(f"{tally.total()} fonts, seed {seed}: " + ", ".join(f"{name} {tally[name]}" for name in VERDICTS))


if __name__ == "__main__":
    main()
