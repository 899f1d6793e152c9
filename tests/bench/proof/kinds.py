"""Seeded signs of every kind that the claim of a proof covers, small enough for trying everything."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

from shapely.affinity import rotate, skew, translate
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.ops import unary_union

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.project import PlanSettings, SeamSettings, Weights, Wish
from bigsign.reading.lettering import Glyph, Lettering
from tests.box_lettering import letters_from

__all__ = ["KINDS", "Sign", "make_sign"]

Shapes = list[list[list[Polygon]]]
Make = Callable[[random.Random, float, float, float, float], Polygon]
Found = tuple[Artwork, Lettering]


@dataclass(frozen=True)
class Sign:
    """Artwork of one colour with its lettering, the usable area, turning and settings."""

    kind: str
    seed: int
    artwork: Artwork
    lettering: Lettering
    usable: tuple[float, float]
    turning: str
    settings: PlanSettings


def make_sign(kind: str, seed: int) -> Sign:
    """Return the sign of a kind and a seed."""
    rng = random.Random(f"{kind} {seed}")
    artwork, lettering = KINDS[kind](rng)
    boxes = [piece.shape.bounds for piece in artwork.pieces]
    if kind in ("seams", "letters in pieces"):
        sizes = [rng.uniform(45, 90), rng.uniform(60, 140)]
    else:  # whatever has to stay whole fits
        need = max(max(b[2] - b[0], b[3] - b[1]) for b in boxes) + 0.01
        sizes = [need * rng.uniform(1.0, 1.6), need * rng.uniform(1.0, 2.6)]
    policy = rng.choice(("words", "words", "panels"))
    weights = Weights(1.0, rng.choice((0.5, 1.0, 2.0)), rng.choice((0.0, 1.0))) if rng.random() < 0.1 else None
    settings = PlanSettings(
        policy=policy, weights=weights, placement_tolerance=rng.choice((0.5, 1.0, 1.0, 4.0)),
        seams=SeamSettings(overlap=0.0),
    )  # fmt: skip
    sign = Sign(kind, seed, artwork, lettering, (sizes[0], sizes[1]), rng.choice(("none", "quarter")), settings)
    return _with_wish(sign, rng) if kind == "wishes" else sign


def _with_wish(sign: Sign, rng: random.Random) -> Sign:
    words = [word.id for word in sign.lettering.words]
    glyphs = [glyph.id for glyph in sign.lettering.glyphs]
    if len(glyphs) < 2:
        return sign
    wish = rng.choice((
        Wish("keep", (rng.choice(words),), "bench"), Wish("break_after", (rng.choice(glyphs[:-1] or glyphs),), "bench"),
        Wish("no_break_after", (rng.choice(glyphs[:-1] or glyphs),), "bench"),
    ))  # fmt: skip
    return replace(sign, settings=replace(sign.settings, wishes=(wish,)))


def _rows(rng: random.Random, most: int, make: Make) -> Shapes:
    rows: Shapes = []
    left, y = most, 0.0
    for _ in range(rng.choice((1, 1, 2, 2, 3))):
        x, row = rng.uniform(0, 30), []
        height = rng.uniform(20, 45)
        for _ in range(rng.randint(1, 3)):
            word = []
            for _ in range(min(left, rng.randint(1, 4))):
                width = rng.uniform(10, 35)
                word.append(make(rng, x, y, width, height))
                x += width + rng.uniform(2.5, 9)
                left -= 1
            if word:
                row.append(word)
                x += rng.uniform(6, 25)
        if row:
            rows.append(row)
        y += height + rng.uniform(3, 22)
    return rows


def _box(rng: random.Random, x: float, y: float, w: float, h: float) -> Polygon:
    return box(x, y, x + w, y + h)


def _convex(rng: random.Random, x: float, y: float, w: float, h: float) -> Polygon:
    made = rng.choice((
        [(x + w / 2, y), (x + w, y + h / 2), (x + w / 2, y + h), (x, y + h / 2)],
        [(x, y), (x + w, y), (x + w / 2, y + h)],
        [(x + w / 2, y), (x + w, y), (x + w / 2, y + h), (x, y + h)],
    ))  # fmt: skip
    return Polygon(made)


def boxes(rng: random.Random) -> Found:
    """Boxes in lines."""
    return letters_from(_rows(rng, 8, _box))


def convex(rng: random.Random) -> Found:
    """Lozenges, wedges and slopes in lines."""
    return letters_from(_rows(rng, 8, _convex))


def turned(rng: random.Random) -> Found:
    """Lines turned or slanted."""
    angle, slant = rng.choice((90.0, 12.5, -30.0, 0.0)), rng.choice((0.0, 12.0))
    rows = _rows(rng, 7, _box)

    def moved(shape: Polygon) -> Polygon:
        return rotate(skew(shape, xs=-slant, origin=(0, 0)), angle, origin=(0, 0))

    return letters_from([[[moved(shape) for shape in word] for word in row] for row in rows])


def _scatter(
    rng: random.Random, count: int, taken: list[Polygon], size: tuple[float, float] = (6, 30)
) -> list[Polygon]:
    out: list[Polygon] = []
    while len(out) < count:
        x, y = rng.uniform(0, 220), rng.uniform(0, 130)
        made = box(x, y, x + rng.uniform(*size), y + rng.uniform(*size))
        if all(made.distance(other) > 1.5 for other in (*taken, *out)):
            out.append(made)
    return out


def ornaments(rng: random.Random) -> Found:
    """A few letters with ornaments round about."""
    words = _scatter(rng, rng.randint(1, 3), [], (15, 45))
    rows = [[[shape]] for shape in sorted(words, key=lambda s: s.bounds[1])]
    return letters_from(rows, _scatter(rng, rng.randint(2, 5), words))


def stars(rng: random.Random) -> Found:
    """A hub with ornaments that are all nearest to it."""
    hub = box(80, 50, 80 + rng.uniform(20, 50), 50 + rng.uniform(15, 40))
    x0, y0, x1, y1 = hub.bounds
    out: list[Polygon] = []
    for _ in range(40):
        if len(out) == rng.randint(3, 6):
            break
        angle, far = rng.uniform(0, 2 * math.pi), rng.uniform(1.1, 2.2)
        w, h = rng.uniform(6, 20), rng.uniform(6, 20)
        x = (x0 + x1) / 2 + math.cos(angle) * far * (x1 - x0 + w) / 2 * 1.3 - w / 2
        y = (y0 + y1) / 2 + math.sin(angle) * far * (y1 - y0 + h) / 2 * 1.3 - h / 2
        made = box(x, y, x + w, y + h)
        if all(made.distance(other) > 1.0 for other in (hub, *out)):
            out.append(made)
    return letters_from([[[hub]]], out)


def frames(rng: random.Random) -> Found:
    """A frame round a word, and letters beside it."""
    frame = box(0, 0, 70, 40).difference(box(4, 4, 66, 36))
    assert isinstance(frame, Polygon)
    inner = [box(8, 10, 26, 30), box(30, 10, 44, 30)]
    beside = _rows(rng, 4, _box)
    moved = [[[translate(s, 85, 5) for s in word] for word in row] for row in beside[:1]]
    return letters_from([[inner, *moved[0]]], [frame])


def _hook(x: float, y: float, k: float) -> list[Polygon]:
    first = [(0, 0), (40, 0), (40, 25), (30, 25), (30, 10), (0, 10)]
    second = [(10, 15), (25, 15), (25, 35), (50, 35), (50, 45), (10, 45)]
    return [Polygon([(x + k * a, y + k * b) for a, b in points]) for points in (first, second)]


def hooks(rng: random.Random) -> Found:
    """Letters that hook into each other without touching, boxes beside and between."""
    x, word = 0.0, []
    for _ in range(rng.randint(1, 2)):
        if rng.random() < 0.7:
            w = rng.uniform(10, 25)
            word.append(box(x, 0, x + w, 40))
            x += w + rng.uniform(3, 8)
        k = rng.uniform(0.7, 1.1)
        word += _hook(x, rng.uniform(-5, 5), k)
        x += 50 * k + rng.uniform(3, 8)
    word.append(box(x, 0, x + 20, 40))
    cut = rng.randint(1, len(word) - 1)
    return letters_from([[word[:cut], word[cut:]]])


def combs(rng: random.Random) -> Found:
    """Two combs whose teeth stand between each other's."""
    n, gap = rng.randint(2, 4), rng.uniform(2.5, 5)
    pitch = 4 + 2 * gap + 4
    one = unary_union([box(0, 0, n * pitch, 8), *(box(i * pitch, 0, i * pitch + 4, 40) for i in range(n))])
    two = unary_union([
        box(0, 46, n * pitch, 54), *(box(i * pitch + 4 + gap, 14, i * pitch + 8 + gap, 50) for i in range(n)),
    ])  # fmt: skip
    side = n * pitch + rng.uniform(4, 12)
    rows = [[[one], [box(side, 0, side + 25, 20)]], [[two], [box(side, 32, side + 25, 54)]]]
    return letters_from(rows)  # type: ignore[arg-type]


def spirals(rng: random.Random) -> Found:
    """Two spirals wound into each other, and a letter beside."""

    def arm(phase: float) -> Polygon:
        turns = rng.choice((1.0, 1.5))
        points = []
        for i in range(int(turns * 24) + 1):
            t = i / 24 * 2 * math.pi
            r = 6 + 14 * t / (2 * math.pi)
            points.append((60 + r * math.cos(t + phase), 60 + r * math.sin(t + phase)))
        made = LineString(points).buffer(1.5, cap_style="flat", quad_segs=2)
        assert isinstance(made, Polygon)
        return made

    return letters_from([[[arm(0.0)], [arm(math.pi)]], [[box(105, 40, 125, 80)]]])


def mouths(rng: random.Random) -> Found:
    """A dot in the mouth of a C, and letters beside."""
    shape = box(0, 0, 50, 50).difference(box(10, 10, 50, 40))
    assert isinstance(shape, Polygon)
    dot = box(rng.uniform(14, 24), 18, rng.uniform(28, 46), 32)
    out = [shape, dot]
    out += [box(55, 5, 75, 45)] * rng.randint(0, 1) + [box(-30, 5, -6, 45)] * rng.randint(0, 1)
    return letters_from([[out]])


def tails(rng: random.Random) -> Found:
    """Tails of one line between the heads of the next."""
    upper, lower, x = [], [], 0.0
    for n in range(4):
        w = rng.uniform(14, 22)
        upper.append(box(x, 0, x + w, 30).union(box(x, 0, x + 4, 46)) if n % 2 else box(x, 0, x + w, 30))
        lower.append(box(x + 7, 36, x + w, 76) if n % 2 == 0 else box(x + 7, 50, x + w, 76))
        x += w + rng.uniform(3, 7)
    k = rng.randint(1, 3)
    return letters_from([[upper[:k], upper[k:]], [lower[:2], lower[2:]]])  # type: ignore[list-item]


def close(rng: random.Random) -> Found:
    """Films nearer than a knife needs."""
    rows = _rows(rng, 6, _box)
    row = rows[0][0]
    x = row[-1].bounds[2] + rng.choice((0.05, 0.15, 0.25))
    row.append(box(x, 0, x + 12, 20))
    for word in rows[0][1:]:
        word[:] = [translate(s, 14, 0) for s in word]
    return letters_from(rows)


def _glued(found: Found, groups: list[list[int]], shapes: list[Polygon]) -> Found:
    """Return lettering whose glyphs (by index) have the pieces given: several glyphs one, or one glyph several."""
    artwork, lettering = found
    pieces = [Piece(f"p{n:03d}", artwork.pieces[0].colour, shape) for n, shape in enumerate(shapes, 1)]
    glyphs: list[Glyph] = []
    for glyph, own in zip(lettering.glyphs, groups, strict=True):
        held = MultiPolygon([shapes[n] for n in own])
        glyphs.append(replace(glyph, pieces=tuple(pieces[n].id for n in own), bounds=held.bounds))
    return Artwork(tuple(pieces)), replace(lettering, glyphs=tuple(glyphs), ornaments=())


def script(rng: random.Random) -> Found:
    """Connected script: letters of a word share one piece."""
    rows = _rows(rng, 7, _box)
    found = letters_from(rows)
    shapes: list[Polygon] = []
    groups: list[list[int]] = []
    for row in rows:
        for word in row:
            strokes = [
                box(a.bounds[2] - 1, a.bounds[3] - 4, b.bounds[0] + 1, a.bounds[3] - 2) for a, b in pairwise(word)
            ]
            joined = unary_union([*word, *strokes])
            assert isinstance(joined, Polygon)
            shapes.append(joined)
            groups += [[len(shapes) - 1]] * len(word)
    return _glued(found, groups, shapes)


def letters_in_pieces(rng: random.Random) -> Found:
    """Words with an i or a percent sign: letters of several pieces, some too tall for the mat as a whole."""
    rows = _rows(rng, 4, _box)[:1]
    found = letters_from(rows)
    shapes: list[Polygon] = []
    groups: list[list[int]] = []
    for row in rows:
        for word in row:
            for letter in word:
                x0, y0, x1, _ = letter.bounds
                shapes.append(letter)
                groups.append([len(shapes) - 1])
                if rng.random() < 0.6:
                    far = rng.uniform(4, 60)
                    shapes.append(box(x0, y0 - far - 8, x1, y0 - far))
                    groups[-1].append(len(shapes) - 1)
    return _glued(found, groups, shapes)


def seams(rng: random.Random) -> Found:
    """A letter or two too big for the mat between others that fit."""
    rows = _rows(rng, 4, _box)[:1]
    x = max(s.bounds[2] for word in rows[0] for s in word) + 5
    big = rng.choice((
        box(x, 0, x + 120, 25), box(x, -60, x + 22, 80), unary_union([box(x, 0, x + 110, 15), box(x, 0, x + 15, 90)]),
        unary_union([box(x, 20, x + 110, 40), box(x + 45, -30, x + 65, 90)]),
    ))  # fmt: skip
    rows[0][-1].append(big)  # type: ignore[arg-type]
    return letters_from(rows)


KINDS: dict[str, Callable[[random.Random], tuple[Artwork, Lettering]]] = {
    "boxes": boxes, "convex": convex, "turned": turned, "ornaments": ornaments, "stars": stars, "frames": frames,
    "hooks": hooks, "combs": combs, "spirals": spirals, "mouths": mouths, "tails": tails, "close": close,
    "script": script, "letters in pieces": letters_in_pieces, "seams": seams, "wishes": boxes,
}  # fmt: skip
