"""Words given as text in the project file, matched in order to the lines read from outlines.

A line takes its text letter by letter where it has as many glyphs as the text has letters. Where only the words can
be counted (ligatures, connected script), its widest gaps become its word gaps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bigsign.artwork.bidi import base_level
from bigsign.artwork.graphemes import graphemes
from bigsign.errors import Fault, InputError
from bigsign.reading.found import FoundLine

__all__ = ["give_words"]


def give_words(lines: Sequence[FoundLine], texts: Sequence[str], where: str) -> list[FoundLine]:
    """Return lines, in reading order, with the words of ``texts``.

    One text a line is taken as it stands. Else the words run on from line to line: where the letters of the next
    words add up to each line's glyphs, or where there are as many words as were read.

    Raises
    ------
    InputError
        Saying how many lines, words and glyphs were found, where the texts fit in none of these ways.
    """
    if not lines:
        raise InputError(Fault("no lettering was found in a drawing", where, "leave [reading] words out"))
    if len(texts) == len(lines):
        shares = [text.split() for text in texts]
    else:
        words = [word for text in texts for word in text.split()]
        found = _by_letters(lines, words) or _by_words(lines, words)
        if found is None:
            counts = ", ".join(str(len({glyph.word for glyph in line.glyphs})) for line in lines[:12])
            more = f" and {len(lines) - 12} more" if len(lines) > 12 else ""
            raise InputError(
                Fault(
                    f"{_count(len(words), 'word')} given in {_count(len(texts), 'text')}, but "
                    f"{_count(len(lines), 'line')} of {counts}{more} words were read",
                    where,
                    f"one text for each of {_count(len(lines), 'line')}, in the order of `bigsign check`",
                )
            )
        shares = found
    faults = []
    for number, (line, share) in enumerate(zip(lines, shares, strict=True), 1):
        if len(share) > len(line.glyphs):
            what = f"line {number} has {_count(len(line.glyphs), 'glyph')}, but {_count(len(share), 'word')} are given"
            faults.append(Fault(what, where, "no more words than glyphs; see the lines in `bigsign check`"))
    if faults:
        raise InputError(faults)
    return [_line(line, share) for line, share in zip(lines, shares, strict=True)]


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _by_letters(lines: Sequence[FoundLine], words: Sequence[str]) -> list[list[str]] | None:
    """Return the words of each line where letters and glyphs add up line by line, else None."""
    shares, at = [], 0
    for line in lines:
        share: list[str] = []
        left = len(line.glyphs)
        while left > 0 and at < len(words):
            share.append(words[at])
            left -= len(graphemes(words[at]))
            at += 1
        if left:
            return None
        shares.append(share)
    return shares if at == len(words) else None


def _by_words(lines: Sequence[FoundLine], words: Sequence[str]) -> list[list[str]] | None:
    """Return the words of each line where as many were read as are given, else None."""
    counts = [len({glyph.word for glyph in line.glyphs}) for line in lines]
    if sum(counts) != len(words):
        return None
    ends = np.cumsum(counts).tolist()
    return [list(words[end - count : end]) for count, end in zip(counts, ends, strict=True)]


def _line(line: FoundLine, words: Sequence[str]) -> FoundLine:
    """Return a line with its words' texts, right to left where they are; a doubt is settled then."""
    text = " ".join(words)
    rtl = base_level(text) == 1
    glyphs = list(reversed(line.glyphs)) if rtl and not line.stacked else list(line.glyphs)
    letters = [graphemes(word) for word in words]
    if sum(map(len, letters)) == len(glyphs):
        named = [(char, number) for number, word in enumerate(letters) for char in word]
        made = [replace(g, text=char, word=number) for g, (char, number) in zip(glyphs, named, strict=True)]
    else:
        gaps = list(reversed(line.gaps)) if rtl and not line.stacked else list(line.gaps)
        widest = sorted(np.argsort([-gap for gap in gaps], kind="stable")[: len(words) - 1].tolist())
        number = np.searchsorted(widest, np.arange(len(glyphs)), side="left").tolist()
        made = [replace(glyph, text=None, word=word) for glyph, word in zip(glyphs, number, strict=True)]
    return replace(line, text=text, glyphs=tuple(made), rtl=rtl, doubt="", words=tuple(words))
