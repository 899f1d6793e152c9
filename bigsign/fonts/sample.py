"""A sheet of samples: each face's name, and a line set in the face itself as outlines; what can't be drawn is said.

Rows are in mm, y down, from the row's own upper left corner.
"""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from bigsign.artwork.flatten import Close, Command, CubicTo, LineTo, MoveTo, QuadTo, control_points, transform
from bigsign.artwork.scripts import script_words
from bigsign.artwork.shaping import Face
from bigsign.errors import InputError
from bigsign.fonts.find import read_face
from bigsign.fonts.installed import InstalledFace
from bigsign.project import FontFile

__all__ = ["ROW", "WIDTH", "SampleRow", "drawn", "sample_rows", "sample_texts"]

TEXT = "Fresh Eggs & Honey 1234567890"
SHORTER = "Fresh Eggs 123 "
USUAL = ("Latn", "Grek", "Cyrl", "Zyyy")
MOST_LETTERS = 16  # of a font without those of the text: its own first ones
MOST_CHARACTERS = 40  # of a font's own sample text
FAMILY, SAMPLE_TEXT = 1, 19  # of the name table
WIDTH, ROW = 170.0, 19.0  # mm: of a line, and from row to row
TALLEST, CAP, TOP = 12.0, 7.5, 5.5  # mm: of a line's ink, of its capitals, and where its room begins
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class SampleRow:
    """A face on the sheet: its name, the line set in it, or a note of why there is none.

    ``ends``: of the line's commands, where each of the font's glyphs ends; none: the line is one.
    """

    name: str
    line: tuple[Command, ...]
    note: str = ""
    ends: tuple[int, ...] = ()

    @property
    def glyphs(self) -> list[tuple[Command, ...]]:
        """The glyphs of the line, to be filled each by itself, as film is."""
        ends = self.ends or ((len(self.line),) if self.line else ())
        return [self.line[start:end] for start, end in pairwise((0, *ends))]

    @property
    def label(self) -> str:
        """What is written above the line."""
        return f"{self.name}: {self.note}" if self.note else self.name


def sample_rows(installed: Iterable[InstalledFace]) -> list[SampleRow]:
    """Return a row for each face, in order; a face that nothing can be drawn of has a note."""
    return [_row(one) for one in installed]


def _row(one: InstalledFace) -> SampleRow:
    name = one.face.name
    try:
        line, ends = _line(read_face(one))
    except InputError as error:
        return SampleRow(name, (), error.faults[0].what.replace(f"the font {name!r} ", ""))
    except Exception as error:  # a font may be broken in ways nobody has thought of; the others are still drawn
        return SampleRow(name, (), f"can't be drawn ({type(error).__name__})")
    return SampleRow(name, line, "" if line else "has no letters that can be drawn", ends)


def _line(font: FontFile) -> tuple[tuple[Command, ...], tuple[int, ...]]:
    """Return a line in place, and where its glyphs end; nothing if no text can be drawn."""
    face = Face(font, {})
    for text in sample_texts(font):
        glyphs = face.shape(text)
        if any(glyph.missing for glyph in glyphs):
            continue
        outline: list[Command] = []
        ends: list[int] = []
        for glyph in glyphs:
            ends.extend(len(outline) + end for end in glyph.ends)
            outline.extend(glyph.outline)
        box = _box(outline)
        if box is None or box[2] <= box[0] or box[3] <= box[1]:
            continue
        scale = min(CAP / (0.7 * face.upem), WIDTH / (box[2] - box[0]), TALLEST / (box[3] - box[1]))
        middle = TOP + TALLEST / 2
        place = (scale, 0.0, 0.0, -scale, -scale * box[0], middle + scale * (box[1] + box[3]) / 2)
        return tuple(transform(outline, place)), tuple(ends)
    return (), ()


def sample_texts(font: FontFile) -> list[str]:
    """Return what could be set of a font: the usual text, the font's own sample, its first letters.

    A font made for another script shows letters of that beside the usual text.
    """
    import uharfbuzz as hb

    face = hb.Face(font.data, font.index)
    codes = sorted(face.unicodes)
    has = set(codes)
    own = " ".join((face.get_name(SAMPLE_TEXT) or "").split())[:MOST_CHARACTERS]
    letters = [chr(c) for c in codes if unicodedata.category(chr(c))[0] == "L"]
    signs = [chr(c) for c in codes if unicodedata.category(chr(c))[0] in "NPS" or unicodedata.category(chr(c)) == "Co"]
    texts = [_usual_text(letters, face.get_name(FAMILY) or "")] if {ord(char) for char in TEXT} <= has else []
    apart = " " if ord(" ") in has else ""
    texts += [own, "".join(letters[:MOST_LETTERS]), apart.join(signs[:MOST_LETTERS])]
    return [text for text in texts if text.strip()]


def _usual_text(letters: Sequence[str], family: str) -> str:
    """Return the usual text, for a script that most letters or the family's name tell of with letters of that."""
    from fontTools.unicodedata import script

    scripts = [script(char) for char in letters]
    for rank, (code, _) in enumerate(Counter(scripts).most_common()):
        if code not in USUAL and (rank == 0 or script_words(code) in family):
            own = [char for char, its in zip(letters, scripts, strict=True) if its == code]
            return SHORTER + "".join(own[: MOST_LETTERS // 2])
    return TEXT


def _box(outline: Sequence[Command]) -> Box | None:
    points = [point for command in outline for point in control_points(command)]
    if not points:
        return None
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def drawn(commands: Iterable[Command]) -> Iterable[tuple[str, tuple[tuple[float, float], ...]]]:
    """Yield an outline as M, L, C and Z with their points, a quadratic curve as the cubic one it is.

    Raises
    ------
    TypeError
        For an arc, which no font has.
    """
    at = (0.0, 0.0)
    for command in commands:
        match command:
            case MoveTo(to):
                yield "M", (to,)
            case LineTo(to):
                yield "L", (to,)
            case QuadTo(control, to):
                first = tuple((a + 2 * c) / 3 for a, c in zip(at, control, strict=True))
                second = tuple((b + 2 * c) / 3 for b, c in zip(to, control, strict=True))
                yield "C", ((first[0], first[1]), (second[0], second[1]), to)
            case CubicTo(first_control, second_control, to):
                yield "C", (first_control, second_control, to)
            case Close():
                yield "Z", ()
                continue
            case _:
                raise TypeError("a font's outline has no arcs")
        at = to
