"""The reading room's way through: known lines are kept, other pieces are read from their outlines, all get ids."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from bigsign.artwork.pieces import Artwork, KnownLine
from bigsign.budgets import BUDGETS
from bigsign.findings import Finding, Source
from bigsign.project import Given
from bigsign.reading.found import FoundGlyph, FoundLine
from bigsign.reading.given import give_words
from bigsign.reading.lettering import Glyph, Lettering, Line, Word
from bigsign.reading.lone import lone_letters
from bigsign.reading.outlines import read_outlines

__all__ = ["read_lettering"]


def read_lettering(artwork: Artwork, given: Given | None = None) -> Lettering:
    """Return the glyphs, words, lines and ornaments of ``artwork``, ids zero-padded in reading order.

    Lines are ordered by block, top to bottom and left to right; doubts of the outline reader are findings. Words
    ``given`` in the project file overrule what was read from outlines.

    Raises
    ------
    InputError
        If given words can't be those of the lines found.
    """
    colour_of = {piece.id: piece.colour for piece in artwork.pieces}
    known = [_known_line(line, colour_of) for line in artwork.known]
    taken = {piece for line in known for glyph in line.glyphs for piece in glyph.pieces}
    lines = list(known)
    ornaments: list[str] = []
    many: list[Finding] = []
    for colour in dict.fromkeys(colour_of.values()):
        rest = [piece for piece in artwork.pieces if piece.colour == colour and piece.id not in taken]
        if len(rest) > BUDGETS.read_parts:
            ornaments.extend(piece.id for piece in rest)
            many.append(_too_many(colour, len(rest), rest[0].source))
        elif rest:
            found, left = read_outlines(rest, given is not None)
            lines.extend(found)
            ornaments.extend(left)
    order = {piece.id: rank for rank, piece in enumerate(artwork.pieces)}
    blocks = _blocks(lines)
    if given is not None:
        blocks = _overruled(blocks, given)
    left_over = sorted(ornaments, key=order.__getitem__)
    lettering = _with_ids(blocks, left_over)
    if many:
        return replace(lettering, findings=(*lettering.findings, *many))
    lone = lone_letters([artwork.pieces[order[piece]] for piece in left_over], lines)
    return replace(lettering, findings=(*lettering.findings, *lone))


def _too_many(colour: str, count: int, source: Source | None) -> Finding:
    what = f"{count:,} pieces of {colour}: no letters were looked for among them, which is done up to"
    remedy = "Draw lettering in another colour, or plan the pattern as a sign by itself."
    return Finding("reading-many", f"{what} {BUDGETS.read_parts:,}.", (), source, remedy)


def _overruled(blocks: Sequence[Sequence[FoundLine]], given: Given) -> list[list[FoundLine]]:
    """Return blocks with the given words in the lines that were read from outlines."""
    read = iter(give_words([line for block in blocks for line in block if line.source < 0], given.words, given.where))
    return [[next(read) if line.source < 0 else line for line in block] for block in blocks]


def _known_line(line: KnownLine, colour_of: dict[str, str]) -> FoundLine:
    glyphs = tuple(
        FoundGlyph(glyph.text, glyph.pieces, glyph.outline.bounds, colour_of[glyph.pieces[0]], glyph.word)
        for glyph in line.glyphs
        if glyph.pieces
    )
    return FoundLine(
        line.text, glyphs, line.baseline, line.angle, line.cap_height, line.block, line.stacked, line.rtl
    )  # fmt: skip


def _blocks(lines: Sequence[FoundLine]) -> list[list[FoundLine]]:
    """Group lines into blocks and put the blocks in reading order.

    A line follows another in its block if they have like direction and origin, their pitch is under twice
    their height and they overlap along it.
    """
    blocks: list[list[FoundLine]] = []
    for line in sorted((line for line in lines if line.glyphs), key=_line_key):
        for block in blocks:
            if _follows(block[-1], line):
                block.append(line)
                break
        else:
            blocks.append([line])

    def corner(block: list[FoundLine]) -> tuple[float, float]:
        boxes = [line.bounds for line in block]
        return min(b[1] for b in boxes), min(b[0] for b in boxes)

    return sorted(blocks, key=corner)


def _line_key(line: FoundLine) -> tuple[int, float, float, float]:
    """Order lines of an origin as they are read: across their direction, then along it."""
    (x, y), _ = line.baseline
    angle = math.radians(line.angle)
    if line.stacked:
        return line.source, line.angle, round(line.bounds[0], 3), round(line.bounds[1], 3)
    across = -x * math.sin(angle) + y * math.cos(angle)
    along = x * math.cos(angle) + y * math.sin(angle)
    return line.source, line.angle, round(across, 3), round(along, 3)


def _follows(upper: FoundLine, lower: FoundLine) -> bool:
    if upper.arc is not None or lower.arc is not None:
        return _concentric(upper, lower)
    if upper.source != lower.source or upper.stacked != lower.stacked or abs(upper.angle - lower.angle) > 1e-6:
        return False
    angle = math.radians(upper.angle)
    cos, sin = math.cos(angle), math.sin(angle)

    def along(line: FoundLine) -> tuple[float, float]:
        ends = [x * cos + y * sin for x, y in line.baseline]
        return min(ends), max(ends)

    (ux, uy), (lx, ly) = upper.baseline[0], lower.baseline[0]
    if upper.stacked:
        return True
    pitch = abs((lx - ux) * -sin + (ly - uy) * cos)
    height = max(upper.cap_height, lower.cap_height)
    (a0, a1), (b0, b1) = along(upper), along(lower)
    return 0.3 * min(upper.cap_height, lower.cap_height) < pitch < 2 * height and a0 < b1 and b0 < a1


def _concentric(upper: FoundLine, lower: FoundLine) -> bool:
    """Whether two lines stand on arcs about one centre, a line's pitch apart."""
    if upper.arc is None or lower.arc is None or upper.source != lower.source:
        return False
    height = max(upper.cap_height, lower.cap_height)
    apart = math.dist(upper.arc[:2], lower.arc[:2])
    pitch = abs(upper.arc[2] - lower.arc[2])
    return apart < 0.5 * height and 0.3 * min(upper.cap_height, lower.cap_height) < pitch < 2 * height


def _with_ids(blocks: Sequence[Sequence[FoundLine]], ornaments: Sequence[str]) -> Lettering:
    count_glyphs = sum(len(line.glyphs) for block in blocks for line in block)
    count_words = sum(len({glyph.word for glyph in line.glyphs}) for block in blocks for line in block)
    count_lines = sum(len(block) for block in blocks)
    digits_g, digits_w, digits_l = (
        max(n, len(str(c))) for n, c in ((3, count_glyphs), (2, count_words), (1, count_lines))
    )
    glyphs: list[Glyph] = []
    words: list[Word] = []
    lines: list[Line] = []
    findings: list[Finding] = []
    for number, block in enumerate(blocks):
        for line in block:
            line_id = f"l{len(lines) + 1:0{digits_l}d}"
            own: list[str] = []
            for word in dict.fromkeys(glyph.word for glyph in line.glyphs):
                word_id = f"w{len(words) + 1:0{digits_w}d}"
                members = [glyph for glyph in line.glyphs if glyph.word == word]
                ids = []
                for glyph in members:
                    ids.append(f"g{len(glyphs) + 1:0{digits_g}d}")
                    glyphs.append(
                        Glyph(ids[-1], glyph.text, glyph.pieces, word_id, line_id, glyph.bounds, glyph.colour)
                    )
                known = [glyph.text for glyph in members if glyph.text is not None]
                text = "".join(known) if len(known) == len(members) else None
                if line.words is not None:
                    text = line.words[word]
                words.append(Word(word_id, text, tuple(ids), line_id))
                own.append(word_id)
            lines.append(
                Line(
                    line_id, line.text, tuple(own), line.baseline, line.angle, line.cap_height, number,
                    line.stacked, line.rtl, line.arc,
                )
            )  # fmt: skip
            if line.doubt:
                pieces = tuple(piece for glyph in line.glyphs for piece in glyph.pieces)
                findings.append(Finding("reading-doubt", f"Line {line_id}: {line.doubt}", pieces, None, REMEDY))
    return Lettering(tuple(glyphs), tuple(words), tuple(lines), tuple(ornaments), tuple(findings))


REMEDY = "Look at the words in the list of `bigsign check`; use keep and break_after where they are read wrongly."
