"""What can be known of lettering before it is parted, from artwork and reading alone, without the library's graph.

Shapes that share film are one *atom*.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from bigsign.artwork.pieces import Artwork
from bigsign.reading.lettering import Lettering
from bigsign.tolerances import TOLERANCES
from tests.splitting.straight_cuts import Points, hull_of

__all__ = ["Facts", "facts_of", "kept_boxes", "measure"]


@dataclass(frozen=True, slots=True)
class Facts:
    """What the model needs: atoms by box (µm) and hull (mm), in reading order; pairs that stay; consecutive pairs."""

    atoms: tuple[tuple[str, ...], ...]  # node ids
    boxes: tuple[tuple[int, int, int, int], ...]
    hulls: tuple[Points, ...]
    stay: tuple[tuple[int, int], ...]
    follows: tuple[tuple[int, int], ...]  # consecutive glyphs of a word, once for each such pair of glyphs
    words: tuple[tuple[int, ...], ...]
    lines: tuple[tuple[int, ...], ...]


def facts_of(artwork: Artwork, lettering: Lettering) -> Facts:
    """Return the facts of lettering without ornaments, of one colour."""
    shapes = {piece.id: piece.shape for piece in artwork.pieces}
    words = {word.id: word for word in lettering.words}
    glyphs = {glyph.id: glyph for glyph in lettering.glyphs}
    order = [glyph for line in lettering.lines for word in line.words for glyph in words[word].glyphs]
    root: dict[str, int] = {}
    atoms: list[list[str]] = []
    for glyph in order:
        met = sorted({root[piece] for piece in glyphs[glyph].pieces if piece in root})
        if not met:
            met = [len(atoms)]
            atoms.append([])
        atoms[met[0]].append(glyph)
        for other in met[1:]:
            atoms[met[0]].extend(atoms[other])
            atoms[other] = []
        for member in atoms[met[0]]:
            for piece in glyphs[member].pieces:
                root[piece] = met[0]
    atoms = [atom for atom in atoms if atom]
    place = {glyph: at for at, atom in enumerate(atoms) for glyph in atom}
    films = []
    for atom in atoms:
        films.append(shapely.union_all([shapes[p] for p in sorted({p for g in atom for p in glyphs[g].pieces})]))
    stay = [
        (i, j)
        for i in range(len(films))
        for j in range(i + 1, len(films))
        if shapely.dwithin(films[i], films[j], TOLERANCES.touch)
    ]
    follows = [
        (place[a], place[b]) for word in lettering.words for a, b in pairwise(word.glyphs) if place[a] != place[b]
    ]
    return Facts(
        tuple(tuple(atom) for atom in atoms),
        tuple(_box(film.bounds) for film in films),
        tuple(hull_of([np.asarray(shapely.get_coordinates(film.convex_hull))]) for film in films),
        tuple(stay),
        tuple(follows),
        tuple(tuple(dict.fromkeys(place[g] for g in word.glyphs)) for word in lettering.words),
        tuple(
            tuple(dict.fromkeys(place[g] for word in line.words for g in words[word].glyphs))
            for line in lettering.lines
        ),
    )


def _box(bounds: tuple[float, float, float, float]) -> tuple[int, int, int, int]:
    x0, y0, x1, y1 = (1000 * value for value in bounds)
    return int(np.floor(x0)), int(np.floor(y0)), int(np.ceil(x1)), int(np.ceil(y1))


def kept_boxes(facts: Facts) -> list[tuple[float, float, float, float]]:
    """Return the box in mm of each set of atoms that has to stay whole because their films nearly touch."""
    group = list(range(len(facts.boxes)))
    for i, j in facts.stay:
        group = [group[i] if g == group[j] else g for g in group]
    out = []
    for kept in sorted(set(group)):
        own = [box for g, box in zip(group, facts.boxes, strict=True) if g == kept]
        out.append(
            (
                min(b[0] for b in own) / 1000, min(b[1] for b in own) / 1000,
                max(b[2] for b in own) / 1000, max(b[3] for b in own) / 1000,
            )
        )  # fmt: skip
    return out


def measure(facts: Facts, groups: Sequence[Sequence[int]]) -> tuple[int, int]:
    """Return (in-word breaks, panels) of a plan that groups atoms."""
    panel = {i: at for at, group in enumerate(groups) for i in group}
    return sum(panel[a] != panel[b] for a, b in facts.follows), len(groups)
