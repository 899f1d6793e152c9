"""What the bench does to set lettering: bent, tracked, slanted, words of several sizes, outlined, cut as stencils."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace

import shapely
from shapely.affinity import rotate, scale, skew, translate
from shapely.geometry import MultiPolygon, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.artwork.setting import SetBlock, SetGlyph, SetLine
from bigsign.geometry import polygons_of

__all__ = [
    "Shaper", "arched", "inlined", "mixed_sizes", "outlined", "plain", "slanted", "stencilled", "tracked",
    "with_ornaments",
]  # fmt: skip

Shaper = Callable[[SetBlock, random.Random], SetBlock]


def _each(block: SetBlock, change: Callable[[SetGlyph, int, SetLine], BaseGeometry]) -> SetBlock:
    """Return a block with each glyph's outline changed; ``change`` gets the glyph, its place in the line, the line."""
    lines = []
    for line in block.lines:
        glyphs = []
        for at, glyph in enumerate(line.glyphs):
            made = polygons_of(shapely.make_valid(change(glyph, at, line)))
            glyphs.append(replace(glyph, outline=MultiPolygon(made)))
        lines.append(replace(line, glyphs=tuple(glyphs)))
    return replace(block, lines=tuple(lines))


def plain(block: SetBlock, rng: random.Random) -> SetBlock:
    """Leave a block as it is."""
    return block


def tracked(block: SetBlock, rng: random.Random) -> SetBlock:
    """Put 0.15 to 0.6 cap heights between all letters, white space counting as one."""
    extra = rng.uniform(0.15, 0.6) * block.cap_height
    return _each(block, lambda glyph, at, line: translate(glyph.outline, extra * (at + glyph.word), 0))


def slanted(block: SetBlock, rng: random.Random) -> SetBlock:
    """Lean a block over by 8 to 20 degrees."""
    lean = rng.uniform(8, 20)
    return _each(block, lambda glyph, at, line: skew(glyph.outline, -lean, 0, origin=(0, 0)))


def arched(block: SetBlock, rng: random.Random) -> SetBlock:
    """Put the lines on arcs, each glyph turned whole: heads outward over the middle or inward below it."""
    boxes = [glyph.outline.bounds for line in block.lines for glyph in line.glyphs]
    left, right = min(b[0] for b in boxes), max(b[2] for b in boxes)
    sweep = math.radians(rng.uniform(50, 170))
    outward = rng.random() < 0.7
    radius = max((right - left) / sweep, (2.5 + 1.6 * len(block.lines)) * block.cap_height)
    middle = (left + right) / 2
    base = block.lines[-1 if outward else 0].baseline[0][1]
    centre = (middle, base + radius) if outward else (middle, base - radius)

    def bend(glyph: SetGlyph, at: int, line: SetLine) -> BaseGeometry:
        x0, _, x1, _ = glyph.outline.bounds
        place = (x0 + x1) / 2
        own = abs(centre[1] - line.baseline[0][1])
        angle = math.degrees((place - middle) / own) * (1 if outward else -1)
        return rotate(translate(glyph.outline, middle - place, 0), angle, origin=centre)

    return _each(block, bend)


def mixed_sizes(block: SetBlock, rng: random.Random) -> SetBlock:
    """Set some words at half to four fifths of the size, on the line's foot or its middle."""
    lines = []
    for line in block.lines:
        base = line.baseline[0][1]
        words = [[g for g in line.glyphs if g.word == n] for n in range(line.glyphs[-1].word + 1)]
        factor = rng.uniform(0.5, 0.8)
        raised = rng.random() < 0.4
        small = [rng.random() < 0.45 for _ in words]
        glyphs: list[SetGlyph] = []
        shift = 0.0
        for number, word in enumerate(words):
            left = min(g.outline.bounds[0] for g in word)
            right = max(g.outline.bounds[2] for g in word)
            size = factor if small[number] else 1.0
            up = (1 - size) / 2 * block.cap_height if raised else 0.0
            for glyph in word:
                made = translate(scale(glyph.outline, size, size, origin=(left, base)), shift, -up)
                glyphs.append(replace(glyph, outline=MultiPolygon(polygons_of(made))))
            shift -= (1 - size) * (right - left)
        lines.append(replace(line, glyphs=tuple(glyphs)))
    return replace(block, lines=tuple(lines))


def outlined(block: SetBlock, rng: random.Random) -> SetBlock:
    """Leave only a rim of each letter."""
    rim = rng.uniform(0.02, 0.035) * block.cap_height
    return _each(block, lambda glyph, at, line: glyph.outline.buffer(rim) - glyph.outline)


def inlined(block: SetBlock, rng: random.Random) -> SetBlock:
    """Take a thin line out of the middle of each stroke."""
    rim = rng.uniform(0.025, 0.04) * block.cap_height
    line_width = 0.02 * block.cap_height
    return _each(
        block,
        lambda glyph, at, line: glyph.outline - (glyph.outline.buffer(-rim) - glyph.outline.buffer(-rim - line_width)),
    )


def stencilled(block: SetBlock, rng: random.Random) -> SetBlock:
    """Cut a plumb bridge through each letter that has a counter."""
    bridge = rng.uniform(0.03, 0.07) * block.cap_height

    def cut(glyph: SetGlyph, at: int, line: SetLine) -> BaseGeometry:
        x0, y0, x1, y1 = glyph.outline.bounds
        if not any(part.interiors for part in glyph.outline.geoms):
            return glyph.outline
        middle = (x0 + x1) / 2
        return glyph.outline - box(middle - bridge / 2, y0 - 1, middle + bridge / 2, y1 + 1)

    return _each(block, cut)


def with_ornaments(artwork: Artwork, size: float) -> Artwork:
    """Put a frame around, a rule and three leaves beneath and a star above an artwork of capitals ``size`` tall."""
    x0, y0, x1, y1 = MultiPolygon([piece.shape for piece in artwork.pieces]).bounds
    middle, away = (x0 + x1) / 2, 0.9 * size
    frame = box(x0 - 3 * size, y0 - 3 * size, x1 + 3 * size, y1 + 3 * size)
    tips = [(math.pi * n / 5, r * size) for n, r in enumerate([0.5, 0.19] * 5)]
    star = Polygon([(middle + r * math.sin(a), y0 - away - 0.5 * size - r * math.cos(a)) for a, r in tips])
    leaf = Point(0, 0.3 * size).buffer(0.5 * size) & Point(0, -0.3 * size).buffer(0.5 * size)
    leaves = [translate(leaf, middle + n * 1.2 * size, y1 + 2 * away) for n in (-1, 0, 1)]
    rule = box(x0, y1 + away, x1, y1 + away + 0.06 * size)
    shapes = [polygons_of(shape)[0] for shape in (frame - frame.buffer(-0.2 * size), rule, star, *leaves)]
    extra = [Piece(f"x{n}", "#000000", shape) for n, shape in enumerate(shapes)]
    return replace(artwork, pieces=(*artwork.pieces, *extra))
