"""The artwork room's way through: every block of the project becomes pieces, known glyphs and findings."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.drawing import read_drawing
from bigsign.artwork.pieces import Artwork, KnownGlyph, KnownLine, Piece
from bigsign.artwork.setting import SetBlock, set_lettering
from bigsign.artwork.unite import Layer, unite_layers
from bigsign.budgets import BUDGETS
from bigsign.errors import Fault, InputError
from bigsign.findings import Finding
from bigsign.project import DrawingSpec, LetteringSpec, Project

__all__ = ["make_artwork"]

LEAST_OVERLAP = 1e-6  # mm²: films that only touch share less, whatever the last binary digits say


def make_artwork(project: Project) -> Artwork:
    """Return all film of a project, in the sign's frame.

    Raises
    ------
    InputError
        With the faults of every block: drawings that can't be read, letters a font lacks.
    """
    _check_letters(project)
    layers: list[Layer] = []
    blocks: list[tuple[int, str, SetBlock]] = []
    spans: list[tuple[str, int, int]] = []
    findings: list[Finding] = []
    faults: list[Fault] = []
    for block in project.blocks:
        start = len(layers)
        try:
            if isinstance(block, DrawingSpec):
                drawing = read_drawing(block)
                layers.extend(Layer(shape.colour, shape.shape, shape.source) for shape in drawing.shapes)
                findings.extend(drawing.findings)
            else:
                made = set_lettering(block)
                blocks.append((len(blocks), block.colour, made))
                findings.extend(made.findings)
                layers.extend(Layer(block.colour, g.outline) for line in made.lines for g in line.glyphs)
        except InputError as error:
            faults.extend(error.faults)
        spans.append((block.where, start, len(layers)))
    if faults:
        raise InputError(faults)
    pieces = unite_layers(layers)
    findings.extend(_overlaps(layers, spans, pieces))
    findings.extend(_line_overlaps(blocks, pieces))
    return Artwork(pieces, tuple(_known(blocks, pieces)), tuple(findings))


def _check_letters(project: Project) -> None:
    """Refuse more lettering than ``BUDGETS.letters`` before any of it is set."""
    lines = [line for block in project.blocks if isinstance(block, LetteringSpec) for line in block.lines]
    letters = sum(not char.isspace() for line in lines for char in line)
    if letters > BUDGETS.letters:
        right = f"at most {BUDGETS.letters:,} on one sign: make it in parts"
        raise InputError(Fault(f"the lettering has {letters:,} letters", project.file, right))


def _known(blocks: list[tuple[int, str, SetBlock]], pieces: tuple[Piece, ...]) -> list[KnownLine]:
    """Return the set lines, each glyph with the pieces of its colour that hold it."""
    out: list[KnownLine] = []
    by_colour: dict[str, list[Piece]] = {}
    for piece in pieces:
        by_colour.setdefault(piece.colour, []).append(piece)
    for number, colour, block in blocks:
        own = by_colour.get(colour, [])
        shapes = np.array([piece.shape for piece in own], dtype=object)
        tree = shapely.STRtree(shapes)
        for line in block.lines:
            glyphs = []
            for glyph in line.glyphs:
                near = sorted(int(i) for i in tree.query(glyph.outline, predicate="intersects"))
                # neighbours that only touch share no film
                held = tuple(own[i].id for i in near if own[i].shape.intersection(glyph.outline).area > LEAST_OVERLAP)
                if held:
                    glyphs.append(KnownGlyph(glyph.text, glyph.outline, held, glyph.word))
            out.append(
                KnownLine(
                    line.text, tuple(glyphs), line.baseline, block.angle, block.cap_height, number,
                    block.stacked, line.rtl,
                )
            )  # fmt: skip
    return out


def _overlaps(
    layers: list[Layer], spans: list[tuple[str, int, int]], pieces: tuple[Piece, ...]
) -> list[Finding]:
    """Warn of blocks whose films overlap: often two of them were left at the default centre."""
    films = [shapely.union_all([layer.shape for layer in layers[a:b]]) for _, a, b in spans]
    out = []
    for i in range(len(films)):
        for j in range(i + 1, len(films)):
            if not films[i].intersects(films[j]):
                continue
            common = films[i].intersection(films[j])
            if common.area > LEAST_OVERLAP:
                out.append(
                    Finding(
                        "fit-overlap",
                        f"The films of {spans[i][0]} and {spans[j][0]} overlap.",
                        _holding(common, pieces),
                        remedy="Give each a centre of its own, unless one is meant to lie on the other.",
                    )
                )
    return out


def _line_overlaps(blocks: list[tuple[int, str, SetBlock]], pieces: tuple[Piece, ...]) -> list[Finding]:
    """Warn of lines that run into the next of their block: their letters become one piece of film."""
    out = []
    for _, colour, block in blocks:
        own = tuple(piece for piece in pieces if piece.colour == colour)
        films = [shapely.union_all([glyph.outline for glyph in line.glyphs]) for line in block.lines]
        for (one, film), (other, next_film) in pairwise(zip(block.lines, films, strict=True)):
            common = film.intersection(next_film)
            if common.area > LEAST_OVERLAP:
                out.append(
                    Finding(
                        "fit-overlap",
                        f"The films of the lines {one.text!r} and {other.text!r} overlap.",
                        _holding(common, own),
                        remedy="Give the block a greater leading, unless the lines are meant to join.",
                    )
                )
    return out


def _holding(common: BaseGeometry, pieces: tuple[Piece, ...]) -> tuple[str, ...]:
    """Return the ids of the pieces that share film with a region."""
    return tuple(piece.id for piece in pieces if piece.shape.intersection(common).area > LEAST_OVERLAP)
