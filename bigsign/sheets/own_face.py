"""What a panel says, in the sign's own face: the outlines of its letters in rows, with their characters.

Outlines are the panel's film, straightened where a line is turned, bent or stacked, at the height of capitals asked
for, with the spacing of the sign. Where a line's letters are not all known the guide's own family stands in.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from bigsign.plan_records import Panel, Plan
from bigsign.reading.lettering import Glyph, Line
from bigsign.sheets.metrics import showable

__all__ = ["Letters", "SignLine", "sign_lines", "spaced"]

Floats = npt.NDArray[np.float64]

MOST_GAP = 0.6  # between letters of a word, heights of capitals; wider ones are of letters that other panels hold
MOST_SPACE = 1.2  # between words
STACKED_GAP = 0.25  # between letters that stand one under the other on the sign


@dataclass(frozen=True, slots=True)
class Letters:
    """A letter, or letters that share film: their text, their outline, the words they are of (first and last).

    The outline is in heights of capitals: x along the line, y down from its baseline. ``glyphs``: ids on the sign.
    """

    text: str
    shape: BaseGeometry
    words: tuple[int, int]
    glyphs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SignLine:
    """What a panel holds of a line of the sign: its text, and its letters in reading order (none: not to be drawn)."""

    text: str
    letters: tuple[Letters, ...] = ()
    rtl: bool = False

    def part(self, first: int, end: int) -> SignLine:
        """Return the line's letters from ``first`` up to ``end``."""
        kept = self.letters[first:end]
        return SignLine("".join(_texts(kept)), kept, self.rtl)

    def words(self) -> list[tuple[int, int]]:
        """Return where the words that stand by themselves begin and end, as :meth:`part` takes them."""
        starts = [n for n, (a, b) in enumerate(pairwise(self.letters), 1) if b.words[0] > a.words[1]]
        return list(pairwise([0, *starts, len(self.letters)]))


def _texts(letters: Sequence[Letters]) -> Iterator[str]:
    for n, one in enumerate(letters):
        yield (" " if n and one.words[0] > letters[n - 1].words[1] else "") + one.text


def sign_lines(plan: Plan, panel: Panel) -> list[SignLine]:
    """Return what a panel says, a line of the sign each, as :attr:`Panel.text` has it."""
    inside = set(panel.nodes)
    glyphs = {glyph.id: glyph for glyph in plan.glyphs if glyph.id in inside}
    film = _film(plan, panel)
    words = {word.id: word for word in plan.words}
    rows: list[tuple[Line, list[list[Glyph]]]] = []
    for line in plan.lines:
        found = [[glyphs[name] for name in words[word].glyphs if name in glyphs] for word in line.words]
        rows.append((line, [row for row in found if row]))
    lines_of: dict[str, set[str]] = {}
    for glyph in glyphs.values():
        for piece in glyph.pieces:
            lines_of.setdefault(piece, set()).add(glyph.line)
    between = {piece for piece, lines in lines_of.items() if len(lines) > 1}
    out = []
    for line, row in rows:
        text = " ".join(part for part in ("".join(glyph.text or "" for glyph in word) for word in row) if part)
        if text:
            letters = _letters(line, row, _own_part(film, row, between))
            out.append(SignLine(text if letters else showable(text), letters, line.rtl))
    return out


def _own_part(
    film: dict[str, dict[str, BaseGeometry]], rows: Sequence[Sequence[Glyph]], between: set[str]
) -> dict[str, dict[str, BaseGeometry]]:
    """Return film with what hangs together with another line cut off around the letters of this one."""
    out = dict(film)
    for piece in sorted(between & film.keys()):
        boxes = [shapely.box(*glyph.bounds) for row in rows for glyph in row if piece in glyph.pieces]
        around = shapely.union_all(boxes)
        parts = {name: shape.intersection(around) for name, shape in film[piece].items()}
        out[piece] = {name: part for name, part in parts.items() if part.area > 0}
    return out


def _film(plan: Plan, panel: Panel) -> dict[str, dict[str, BaseGeometry]]:
    """Return the panel's film by piece and fragment."""
    own = set(panel.fragments)
    out: dict[str, dict[str, BaseGeometry]] = {}
    for name, piece, shape in plan.fragments:
        if name in own:
            out.setdefault(piece, {})[name] = shape
    return out


def _letters(
    line: Line, rows: Sequence[Sequence[Glyph]], film: dict[str, dict[str, BaseGeometry]]
) -> tuple[Letters, ...]:
    """Return a line's letters, those that share film together; none where that can't be drawn in full."""
    groups: list[tuple[list[Glyph], dict[str, BaseGeometry], list[int]]] = []
    for at, row in enumerate(rows):
        for glyph in row:
            own = {name: shape for piece in glyph.pieces for name, shape in film.get(piece, {}).items()}
            if not own or not glyph.text:
                return ()
            shared = [n for n, (_, shapes, _) in enumerate(groups) if own.keys() & shapes.keys()]
            first = shared[0] if shared else len(groups)  # all from there on are one, so that the text stays in order
            merged = ([glyph], own, [at])
            for before in reversed(groups[first:]):
                merged = ([*before[0], *merged[0]], {**before[1], **merged[1]}, [*before[2], *merged[2]])
            groups[first:] = [merged]
    if line.cap_height <= 0:
        return ()
    out: list[Letters] = []
    pen = 0.0
    for held, shapes, numbers in groups:
        shape = _straightened(line, held, shapely.union_all([shapes[name] for name in sorted(shapes)]))
        if line.stacked:
            x0, _, x1, y1 = shape.bounds
            shape = affine_transform(shape, [1, 0, 0, 1, pen - x0, -y1])
            pen += x1 - x0 + STACKED_GAP
        text = "".join(_grouped(held, numbers))
        out.append(Letters(text, shape, (numbers[0], numbers[-1]), tuple(glyph.id for glyph in held)))
    return tuple(out)


def _grouped(glyphs: Sequence[Glyph], numbers: Sequence[int]) -> Iterator[str]:
    for n, glyph in enumerate(glyphs):
        yield (" " if n and numbers[n] > numbers[n - 1] else "") + (glyph.text or "")


def _straightened(line: Line, glyphs: Sequence[Glyph], shape: BaseGeometry) -> BaseGeometry:
    """Return film as it stands on a level baseline from (0, 0), in heights of capitals."""
    k = 1 / line.cap_height
    if line.stacked:
        return affine_transform(shape, [k, 0, 0, k, 0, 0])
    (x0, y0), _ = line.baseline
    if line.arc is None:
        turn = math.radians(line.angle)
        c, s = math.cos(turn) * k, math.sin(turn) * k
        return affine_transform(shape, [c, s, -s, c, -(x0 * c + y0 * s), x0 * s - y0 * c])
    x, y, bent = line.arc
    radius, way = abs(bent), math.copysign(1.0, bent)
    first = math.atan2(y0 - y, x0 - x)

    def along(angle: Floats) -> Floats:
        """Return angles from the line's start, in reading direction; what lies a little before it is below 0."""
        return np.asarray((way * (angle - first) + math.pi / 2) % (2 * math.pi) - math.pi / 2)

    def unbent(points: Floats) -> Floats:
        dx, dy = points[:, 0] - x, points[:, 1] - y
        return np.column_stack([along(np.arctan2(dy, dx)) * radius, way * (radius - np.hypot(dx, dy))]) * k

    if len(glyphs) > 1:  # letters that hang together bend back together
        return shapely.make_valid(shapely.transform(shape, unbent))
    middle = shapely.box(*shape.bounds).centroid
    at = math.atan2(middle.y - y, middle.x - x)
    foot = (x + radius * math.cos(at), y + radius * math.sin(at))
    ux, uy = -math.sin(at) * way * k, math.cos(at) * way * k
    start = float(along(np.array([at]))[0]) * radius * k
    return affine_transform(shape, [ux, uy, -uy, ux, start - foot[0] * ux - foot[1] * uy, foot[0] * uy - foot[1] * ux])


def spaced(letters: Sequence[Letters]) -> list[BaseGeometry]:
    """Return outlines from x = 0, as far apart as on the sign but where others stood between them."""
    out: list[BaseGeometry] = []
    back, end = 0.0, 0.0
    before: Letters | None = None
    for one in sorted(letters, key=lambda letter: (letter.shape.bounds[0], letter.words)):
        x0, _, x1, _ = one.shape.bounds
        if before is None:
            back = x0
        else:
            most = MOST_GAP if set(before.words) & set(one.words) else MOST_SPACE
            back = max(back, x0 - end - most)
        out.append(affine_transform(one.shape, [1, 0, 0, 1, -back, 0]))
        end = max(end, x1 - back)
        before = one
    return out
