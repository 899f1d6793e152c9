"""More kinds of signs: films that no panel holds, letters in pieces, colours, frames, and hooks in every company."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from shapely.affinity import rotate, scale, skew, translate
from shapely.geometry import MultiPolygon, Point, Polygon, box
from shapely.ops import unary_union

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.project import PlanSettings, SeamSettings, Weights, Wish
from bigsign.reading.lettering import Glyph, Lettering
from tests.bench.proof.kinds import KINDS, Found, Sign
from tests.box_lettering import letters_from

__all__ = ["MORE", "make_more", "pair_that_hooks"]

Letter = list[Polygon]
TOO_BIG = ("big letters", "percent", "long script", "touching row", "long frames")


def make_more(kind: str, seed: int) -> Sign:
    """Return the sign of one of these kinds and a seed; all that is whole fits but in the kinds of `TOO_BIG`."""
    rng = random.Random(f"{kind} {seed}")
    artwork, lettering = MORE[kind](rng)
    spans = [(p.shape.bounds[2] - p.shape.bounds[0], p.shape.bounds[3] - p.shape.bounds[1]) for p in artwork.pieces]
    if kind in TOO_BIG:
        usable = rng.uniform(40, 70), rng.uniform(50, 110)
    else:
        need = max(max(span) for span in spans) + 0.01
        usable = need * rng.uniform(1.0, 1.5), need * rng.uniform(1.0, 2.2)
    weights = Weights(1.0, rng.choice((0.5, 2.0)), rng.choice((0.0, 1.0, 1.5))) if rng.random() < 0.15 else None
    settings = PlanSettings(
        policy=rng.choice(("words", "panels")), weights=weights, placement_tolerance=rng.choice((0.5, 1.0, 2.5, 4.0)),
        seams=SeamSettings(overlap=0.0), wishes=_wishes(kind, lettering, rng),
    )  # fmt: skip
    return Sign(kind, seed, artwork, lettering, usable, rng.choice(("none", "quarter")), settings)


def _wishes(kind: str, lettering: Lettering, rng: random.Random) -> tuple[Wish, ...]:
    if kind == "nested" and rng.random() < 0.8:  # what fits within another is parted from it by a wish alone
        return (Wish("break_after", (lettering.glyphs[rng.randint(0, 1)].id,), "bench"),)
    if kind != "wished hooks":
        return ()
    glyphs = [glyph.id for glyph in lettering.glyphs]
    words = [word.id for word in lettering.words]
    kinds = rng.sample(("keep", "break_after", "no_break_after"), rng.randint(1, 2))
    before = glyphs[:-1] or glyphs
    names = {"keep": rng.choice(words), "break_after": rng.choice(before), "no_break_after": rng.choice(before)}
    return tuple(Wish(kind, (names[kind],), "bench") for kind in kinds)


def pair_that_hooks(rng: random.Random) -> tuple[Polygon, Polygon]:
    """Return two films that hook, of about 50 mm, near the origin: arms, a mouth, teeth or a bent wedge."""
    two: Polygon
    how = rng.choice(("arms", "mouth", "teeth", "lean"))
    if how == "arms":
        one = Polygon([(0, 0), (40, 0), (40, 25), (30, 25), (30, 10), (0, 10)])
        two = Polygon([(10, 15), (25, 15), (25, 35), (50, 35), (50, 45), (10, 45)])
    elif how == "mouth":
        one = box(0, 0, 40, 44).difference(box(10, 10, 40, 34))  # type: ignore[assignment]
        two = box(rng.uniform(14, 24), 16, rng.uniform(44, 58), 28)
    elif how == "teeth":
        one = unary_union([box(0, 0, 46, 8), box(0, 0, 6, 36), box(26, 0, 32, 36)])  # type: ignore[assignment]
        two = unary_union([box(10, 40, 46, 48), box(12, 14, 20, 48), box(37, 14, 45, 48)])  # type: ignore[assignment]
    else:
        one = Polygon([(0, 0), (36, 0), (10, 10), (10, 44), (0, 44)])
        two = Polygon([(30, 8), (44, 8), (44, 44), (14, 44), (15, 30), (30, 30)])
    turn, flip = rng.choice((0, 90, 180, 270, 20)), rng.choice((1, -1))
    return tuple(scale(rotate(part, turn, origin=(0, 0)), flip, 1, origin=(0, 0)) for part in (one, two))  # type: ignore[return-value]


def _line(rng: random.Random, y: float, most: int, hooked: float) -> list[Letter]:
    """Return a line of words, boxes and pairs that hook; a pair may be of one word or of two."""
    x, count, words = rng.uniform(0, 15), 0, [[]]  # type: tuple[float, int, list[Letter]]
    while count < most:
        if count + 2 <= most and rng.random() < hooked:
            one, two = pair_that_hooks(rng)
            at = unary_union([one, two]).bounds
            one, two = (translate(part, x - at[0], y - at[1]) for part in (one, two))
            words[-1].append(one)
            if rng.random() < 0.5:
                words.append([])
            words[-1].append(two)
            width, count = at[2] - at[0], count + 2
        else:
            width, count = rng.uniform(10, 30), count + 1
            words[-1].append(box(x, y + rng.uniform(0, 6), x + width, y + 44))
        x += width + rng.uniform(2.5, 9)
        if rng.random() < 0.35:
            words.append([])
            x += rng.uniform(4, 16)
    return [word for word in words if word]


def hooked_words(rng: random.Random) -> Found:
    """Pairs that hook in the words of a line, within one word or across two."""
    return letters_from([_line(rng, 0, rng.randint(3, 7), 0.6)])


def hooked_lines(rng: random.Random) -> Found:
    """Two lines with hooks, so near that the second's heads stand between the first's feet."""
    first = _line(rng, 0, rng.randint(2, 4), 0.5)
    foot = max(shape.bounds[3] for word in first for shape in word)
    second = _line(rng, foot + rng.uniform(2, 12), rng.randint(2, 4), 0.4)
    return letters_from([first, second])


def leaning_hooks(rng: random.Random) -> Found:
    """Pairs that hook, turned and slanted with their line."""
    angle, slant = rng.choice((90.0, 12.5, -35.0)), rng.choice((0.0, 14.0))
    row = _line(rng, 0, rng.randint(3, 6), 0.6)
    return letters_from([
        [[rotate(skew(shape, xs=-slant, origin=(0, 0)), angle, origin=(0, 0)) for shape in word] for word in row]
    ])  # fmt: skip


def hooks_and_ornaments(rng: random.Random) -> Found:
    """A line with hooks; dots in its mouths and round about."""
    row = _line(rng, 0, rng.randint(2, 4), 0.7)
    taken = unary_union([shape for word in row for shape in word])
    out: list[Polygon] = []
    for _ in range(60):
        if len(out) == 4:
            break
        x0, y0, x1, y1 = taken.bounds
        made = Point(rng.uniform(x0 - 20, x1 + 20), rng.uniform(y0 - 15, y1 + 15)).buffer(rng.uniform(2.5, 7), 3)
        if made.distance(unary_union([taken, *out])) > 1.0:
            out.append(made)
    return letters_from([row], out)


def nested(rng: random.Random) -> Found:
    """A C within a C, mouths alike or facing, and a dot in the inner one: three hulls that meet."""

    def ring(r: float, turn: float) -> Polygon:
        made = box(-r, -r, r, r).difference(box(-r + 6, -r + 6, r + 1, r - 6))
        return rotate(made, turn, origin=(0, 0))  # type: ignore[return-value]

    inner = rng.uniform(14, 20)
    parts = [ring(inner + rng.uniform(10, 14), 0), ring(inner, rng.choice((0, 180, 90)))]
    if rng.random() < 0.7:
        parts.append(box(-4, -4, 4, 4))
    word = [parts] if rng.random() < 0.5 else [[part] for part in parts]
    return letters_from([[*word, [box(50, -20, 50 + rng.uniform(10, 30), 20)]]])


def close_hooks(rng: random.Random) -> Found:
    """Pairs that hook with as little as 0.2 mm between their films, and some nearer than that."""
    gap = rng.choice((0.1, 0.21, 0.3, 0.8))
    one = Polygon([(0, 0), (40, 0), (40, 25), (30, 25), (30, 10), (0, 10)])
    two = Polygon([(10, 10 + gap), (30 - gap, 10 + gap), (30 - gap, 35), (50, 35), (50, 45), (10, 45)])
    more = [box(55, 0, 75, 40), box(-26, 0, -6, 40)][: rng.randint(0, 2)]
    return letters_from([[[one, two]], [more]] if more else [[[one], [two]]])


def colours(rng: random.Random) -> Found:
    """Letters of two or three colours, here and there with hooks."""
    artwork, lettering = letters_from([_line(rng, 0, rng.randint(4, 9), 0.3)])
    paint = [rng.choice(("#000000", "#cc0000", "#0000cc")) for _ in artwork.pieces]
    pieces = tuple(replace(piece, colour=own) for piece, own in zip(artwork.pieces, paint, strict=True))
    glyphs = tuple(replace(glyph, colour=own) for glyph, own in zip(lettering.glyphs, paint, strict=True))
    return Artwork(pieces), replace(lettering, glyphs=glyphs)


def _glyphs_of(words: Sequence[Sequence[Letter]], joined: bool = False) -> Found:
    """Return a line of letters of one piece or more; ``joined``: the letters of a word share one piece."""
    films = [[MultiPolygon(letter) for letter in word] for word in words]
    _, lettering = letters_from([[[box(*film.bounds) for film in word] for word in films]])
    pieces: list[Piece] = []
    glyphs: list[Glyph] = []
    left = iter(lettering.glyphs)
    for word in words:
        shapes = [word[0]] if joined else word
        for shape in shapes:
            pieces += [Piece(f"p{len(pieces) + n:03d}", "#000000", part) for n, part in enumerate(shape, 1)]
            own = tuple(piece.id for piece in pieces[-len(shape) :])
            glyphs += [replace(next(left), pieces=own) for _ in (word if joined else [word])]
    return Artwork(tuple(pieces)), replace(lettering, glyphs=tuple(glyphs))


def percent(rng: random.Random) -> Found:
    """Words with per cent signs, an i or a colon as large as the mat or larger, between plain letters."""
    x, words = 0.0, [[]]  # type: tuple[float, list[list[Letter]]]
    for _ in range(rng.randint(2, 4)):
        k = rng.uniform(0.8, 2.2)
        kind = rng.choice(("box", "box", "percent", "i"))
        letter = [box(0, 0, 18, 40)]
        if kind == "percent":
            bar = Polygon([(30, 0), (36, 0), (12, 40), (6, 40)])
            letter = [box(0, 0, 12, 14), bar, box(30, 26, 42, 40)]
        elif kind == "i":
            letter = [box(0, 14, 9, 40), box(0, 0, 9, 8)]
        if kind != "box":
            letter = [scale(part, k, k, origin=(0, 40)) for part in letter]
        words[-1].append([translate(part, x, 0) for part in letter])
        x = max(part.bounds[2] for part in words[-1][-1]) + rng.uniform(3, 7)
        if rng.random() < 0.3:
            words.append([])
            x += 12
    return _glyphs_of([word for word in words if word])


def long_script(rng: random.Random) -> Found:
    """Connected script longer than the mat: letters that share one piece, which a seam has to part."""
    words, x = [], 0.0
    for _ in range(rng.randint(1, 2)):
        letters = []
        for _ in range(rng.randint(3, 6)):
            width = rng.uniform(12, 24)
            letters.append(box(x, rng.uniform(0, 8), x + width, 32))
            x += width + rng.uniform(3, 8)
        strokes = [box(a.bounds[2] - 1, 27, b.bounds[0] + 1, 30) for a, b in pairwise(letters)]
        words.append([[unary_union([*letters, *strokes])]] * len(letters))
        x += 15
    return _glyphs_of(words, joined=True)  # type: ignore[arg-type]


def big_letters(rng: random.Random) -> Found:
    """A letter too big for the mat between others of its word."""
    big = rng.choice((
        box(0, 0, 120, 25), box(0, 0, 22, 140), Polygon([(0, 0), (16, 0), (16, 80), (90, 80), (90, 96), (0, 96)]),
        unary_union([box(0, 40, 110, 60), box(45, 0, 65, 120)]),
        box(0, 0, 90, 90).difference(box(18, 18, 90, 72)),
    ))  # fmt: skip
    x, word = 0.0, []  # type: tuple[float, list[Polygon]]
    place = rng.randint(0, 2)
    for n in range(3):
        made = big if n == place else box(0, 0, rng.uniform(12, 30), rng.uniform(25, 45))
        word.append(translate(made, x, 0))  # type: ignore[arg-type]
        x += made.bounds[2] + rng.uniform(3, 7)
    cut = rng.randint(0, 2)
    return letters_from([[part for part in (word[:cut], word[cut:]) if part]])


def touching_row(rng: random.Random) -> Found:
    """Letters nearer to each other than a knife needs, longer together than the mat."""
    x, words = 0.0, [[]]  # type: tuple[float, list[Letter]]
    for _ in range(rng.randint(3, 6)):
        width = rng.uniform(15, 30)
        words[-1].append(box(x, 0, x + width, rng.uniform(20, 40)))
        x += width + rng.choice((0.05, 0.15, 5.0))
    return letters_from([words])


def long_frames(rng: random.Random) -> Found:
    """A frame too big for the mat, words in it and beside it."""
    w, h, t = rng.uniform(100, 160), rng.uniform(60, 90), rng.uniform(4, 10)
    frame = box(0, 0, w, h).difference(box(t, t, w - t, h - t))
    assert isinstance(frame, Polygon)
    inner = [box(20, 25, 40, 45), box(46, 25, 60, 45)]
    beside = [box(w + 10, 10, w + 30, 40), box(w + 35, 10, w + 50, 40)]
    return letters_from([[inner, beside[: rng.randint(1, 2)]]], [frame])


MORE: dict[str, Callable[[random.Random], Found]] = {
    "hooked words": hooked_words, "hooked lines": hooked_lines, "leaning hooks": leaning_hooks,
    "hooks, ornaments": hooks_and_ornaments, "nested": nested, "close hooks": close_hooks, "colours": colours,
    "wished hooks": hooked_words, "percent": percent, "long script": long_script, "big letters": big_letters,
    "touching row": touching_row, "long frames": long_frames,
}  # fmt: skip
assert not MORE.keys() & KINDS.keys()
