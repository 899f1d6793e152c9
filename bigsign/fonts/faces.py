"""The faces of a font file by family and style: those of a collection, and the named instances of a variable font.

Read by HarfBuzz. Names 16 and 17 (typographic family and style) come before 1 and 2, as the OpenType specification's
name table asks. A file that is no font has no faces; nothing here raises for what a file holds.
"""

from __future__ import annotations

import mmap
import os
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bigsign.fonts.tables import what_is_wrong

__all__ = ["FaceName", "faces_of", "matching", "plain_name"]

MOST_FACES, MOST_INSTANCES = 200, 1000
PLAIN_STYLES = ("", "regular", "book", "roman", "normal", "text", "plain")
FAMILY, STYLE, FULL, POSTSCRIPT, TYPOGRAPHIC_FAMILY, TYPOGRAPHIC_STYLE = 1, 2, 4, 6, 16, 17


@dataclass(frozen=True, slots=True)
class FaceName:
    """A face, or a named instance of one.

    Parameters
    ----------
    family, style : as people call it, in English where the font has that; the family is "" where it has no names.
    index : of the face in its file.
    axes : where a named instance lies on each axis; empty: where the file itself is.
    uncommon : how far it is from a family's plain face: slant, width, weight, name; for choosing by family alone.
    also : plain spellings (:func:`plain_name`) that name it too: other languages, full and PostScript name.
    families : plain spellings of its family.
    wrong : why nothing can be cut from it, or "".
    """

    family: str
    style: str
    index: int = 0
    axes: tuple[tuple[str, float], ...] = ()
    uncommon: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    also: tuple[str, ...] = ()
    families: tuple[str, ...] = ()
    wrong: str = ""

    @property
    def name(self) -> str:
        """The family and its style, as "Lato Black"; "Regular" goes without saying."""
        return self.family if self.style in ("", "Regular") else f"{self.family} {self.style}"


def plain_name(name: str) -> str:
    """Return a name without case, spaces, hyphens, underscores and commas: what tells two spellings apart is gone."""
    folded = unicodedata.normalize("NFKC", name).casefold()
    return "".join(char for char in folded if not char.isspace() and char not in "-_,")


def faces_of(font: bytes | Path) -> list[FaceName]:
    """Return the faces of a font file (its bytes, or where it is), in its own order; none if it is no font.

    Raises
    ------
    OSError
        If a file can't be read.
    """
    import uharfbuzz as hb

    if isinstance(font, bytes):
        return _faces(hb, hb.Blob(font), font)
    with font.open("rb") as stream:
        if not os.fstat(stream.fileno()).st_size:  # nothing can't be mapped
            return []
        with mmap.mmap(stream.fileno(), 0, access=mmap.ACCESS_READ) as data:
            try:
                blob = hb.Blob.from_file_path(str(font))
            except hb.HarfBuzzError as error:
                raise OSError(f"{font} can't be read") from error
            return _faces(hb, blob, data)


def _faces(hb: Any, blob: Any, data: bytes | mmap.mmap) -> list[FaceName]:
    out: list[FaceName] = []
    for index in range(min(hb.Face(blob).count, MOST_FACES)):
        wrong = what_is_wrong(data, index)
        out.extend(_named(hb, hb.Face(blob, index), index, wrong[0] if wrong else ""))
    return out


def _named(hb: Any, face: Any, index: int, wrong: str) -> list[FaceName]:
    family = _text(face, TYPOGRAPHIC_FAMILY) or _text(face, FAMILY)
    style = _text(face, TYPOGRAPHIC_STYLE) or _text(face, STYLE) or "Regular"
    other = _other_names(face, (TYPOGRAPHIC_FAMILY, FAMILY))
    families = tuple(dict.fromkeys([plain_name(family), *map(plain_name, other)]))
    also = [plain_name(text) for text in _other_names(face, (FULL, POSTSCRIPT))]
    font = hb.Font(face)
    axes = list(face.axis_infos)
    instances: list[FaceName] = []
    at_default: str | None = None
    for instance in face.named_instances[:MOST_INSTANCES] if axes else ():
        named = _text(face, instance.subfamily_name_id)
        if not named or len(instance.design_coords) != len(axes):
            continue
        if all(at == axis.default_value for at, axis in zip(instance.design_coords, axes, strict=True)):
            at_default = at_default or named
            continue
        font.set_var_coords_design(list(instance.design_coords))
        place = tuple((str(axis.tag), float(at)) for axis, at in zip(axes, instance.design_coords, strict=True))
        instances.append(FaceName(family, named, index, place, _uncommon(hb, font, named), (), families, wrong))
    if axes:
        font.set_var_coords_design([axis.default_value for axis in axes])
    style = at_default or style
    itself = FaceName(family, style, index, (), _uncommon(hb, font, style), tuple(also), families, wrong)
    return [itself, *instances]


def _text(face: Any, name: int) -> str:
    return " ".join((face.get_name(name) or "").replace("\0", "").split())


def _other_names(face: Any, wanted: Sequence[int]) -> list[str]:
    """Return a face's names of some kinds in every language it has them in."""
    entries = sorted((int(e.name_id), str(e.language)) for e in face.list_names() if int(e.name_id) in wanted)
    texts = [face.get_name(name, language) for name, language in entries]
    return list(dict.fromkeys(text for text in texts if text and text.strip()))


def _uncommon(hb: Any, font: Any, style: str) -> tuple[float, float, float, float]:
    slant = font.get_style_value(hb.StyleTag.ITALIC) or abs(font.get_style_value(hb.StyleTag.SLANT_ANGLE)) > 0.5
    width = abs(font.get_style_value(hb.StyleTag.WIDTH) - 100)
    weight = abs(font.get_style_value(hb.StyleTag.WEIGHT) - 400)
    named = plain_name(style) not in PLAIN_STYLES  # fonts made by hand may give all their styles one weight
    return float(bool(slant)), round(width, 3), round(weight, 3), float(named)


def matching(faces: Sequence[FaceName], name: str) -> int | None:
    """Return which face a name means, or None: family and style; a family's plain face; a full or PostScript name.

    Of several that fit, one that can be cut comes first, then the first.

    Examples
    --------
    >>> matching([FaceName("Lato", "Bold", families=("lato",)), FaceName("Lato", "Regular")], "lato-bold")
    0
    """
    wanted = plain_name(name)
    best: tuple[tuple[object, ...], int] | None = None
    for n, face in enumerate(faces):
        families = face.families or (plain_name(face.family),)
        style = plain_name(face.style)
        if any(wanted == family + style for family in families):
            rank: tuple[object, ...] = (bool(face.wrong), 0, face.uncommon)
        elif wanted in families:
            rank = (bool(face.wrong), 1, face.uncommon)
        elif wanted in face.also:
            rank = (bool(face.wrong), 2, face.uncommon)
        else:
            continue
        if best is None or (rank, n) < best:
            best = (rank, n)
    return None if best is None else best[1]
