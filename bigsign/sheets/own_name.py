"""The name of the sign on paper: in a face of the sign where the guide's family lacks its letters."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import shapely
from shapely.affinity import affine_transform

from bigsign.artwork.bidi import EXPLICIT, base_level
from bigsign.artwork.fill import resolve_fill
from bigsign.artwork.flatten import Matrix, flatten_path, transform
from bigsign.artwork.setting import cap_height_of
from bigsign.artwork.setting_checks import may_be_blank
from bigsign.artwork.shaping import Face, ShapedGlyph
from bigsign.plan_records import Plan
from bigsign.project import FontFile, LetteringSpec
from bigsign.sheets.metrics import can_show, showable
from bigsign.sheets.own_face import Letters, SignLine
from bigsign.sheets.own_rows import OwnWords

__all__ = ["name_words"]

FINENESS = 0.002  # heights of capitals: the most an outline is off, 1/100 mm on paper
FLIP: Matrix = (1.0, 0.0, 0.0, -1.0, 0.0, 0.0)
Axes = tuple[tuple[str, float], ...]


def name_words(plan: Plan) -> OwnWords:
    """Return the sign's name, to be set on paper.

    As a whole in the guide's family, or else in a face of the sign; else each word in the first of these that has
    it. What none has is written as U+XXXX.
    """
    name = " ".join("".join(" " if char in EXPLICIT else char for char in plan.sign.name).split())
    if can_show(name):
        return OwnWords([SignLine(showable(name))] if name else [], " ")
    faces = [
        (spec.font, tuple(sorted(spec.axes.items()))) for spec in plan.project.blocks if isinstance(spec, LetteringSpec)
    ]
    if (whole := _in_a_face(name, faces)) is not None:
        return OwnWords([whole], " ")
    lines: list[SignLine] = []
    words = name.split(" ")
    while words:  # as many words on end as one face has, so that they stand in their own order of reading
        for count in range(len(words), 0, -1):
            part = " ".join(words[:count])
            line = SignLine(showable(part)) if can_show(part) else _in_a_face(part, faces)
            if line is not None:
                break
        else:
            count, line = 1, SignLine(showable(words[0]))
        lines.append(line)
        del words[:count]
    return OwnWords(lines, " ")


def _in_a_face(text: str, faces: Sequence[tuple[FontFile, Axes]]) -> SignLine | None:
    """Return a text in the first face that has all of it."""
    for font, axes in faces:
        letters = _letters(text, font, axes)
        if letters:
            return SignLine(text, letters, base_level(text) == 1)
    return None


@lru_cache(maxsize=256)
def _letters(text: str, font: FontFile, axes: Axes) -> tuple[Letters, ...]:
    """Return a text's letters in reading order, in heights of capitals; none where the face lacks one."""
    face = Face(font, dict(axes))
    shaped = face.shape(text)
    if not all(_is_drawn(glyph) for glyph in shaped):
        return ()
    cap = cap_height_of(face, [shaped])
    if cap <= 0:
        return ()
    out: list[Letters] = []
    word = 0
    for glyph in shaped:
        if not glyph.text.strip():
            word += 1
        if not glyph.outline:
            continue
        try:
            film = resolve_fill(flatten_path(transform(glyph.outline, FLIP), FINENESS * cap), "nonzero")
        except ValueError:  # a figure that is no number, or the like
            return ()
        shape = affine_transform(film, [1 / cap, 0, 0, 1 / cap, 0, 0])
        if not shape.is_empty:
            out.append(Letters(glyph.text, shapely.make_valid(shape), (word, word)))
    return tuple(out)


def _is_drawn(glyph: ShapedGlyph) -> bool:
    if not glyph.text.strip():
        return True
    return not glyph.missing and (bool(glyph.outline) or may_be_blank(glyph.text))
