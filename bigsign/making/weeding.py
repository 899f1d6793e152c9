"""What can't be weeded or won't hold at the size planned, with the technique that helps.

Limits come from the film presets: letters at least 10 mm high and lines at least 2 mm wide (a sign shop's advice
page); islands common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.pieces import Artwork
from bigsign.findings import Finding
from bigsign.geometry import polygons_of
from bigsign.presets import FilmLimits, film_limits
from bigsign.reading.lettering import Lettering

__all__ = ["across", "narrow_parts", "weeding_findings"]

THIN_SHARE = 0.03  # of a piece's area: pointed corners and serifs thinner than the limit are no matter
LONG_PART = 3.0  # widths squared: a narrow part of more film is a stroke, however heavy the rest of its piece
SLACK = 1e-4  # mm: a stroke of just the least width passes
MITRE = 5.0  # corners down to about 23 degrees grow back whole


def weeding_findings(artwork: Artwork, lettering: Lettering, limits: FilmLimits | None = None) -> tuple[Finding, ...]:
    """Return a few findings for each line, and as many for all ornaments together.

    Codes: ``film-thin`` strokes narrower than the limit over more than a corner's worth of the piece, or in one part
    longer than any corner; ``film-small`` lines whose capitals are lower than the limit; ``film-island`` pieces, or
    holes in them, smaller than the limit both ways.
    """
    bounds = limits or film_limits("adhesive")
    shapes = {piece.id: piece.shape for piece in artwork.pieces}
    groups: list[tuple[str, list[str], float | None]] = []
    glyphs = {glyph.id: glyph for glyph in lettering.glyphs}
    words = {word.id: word for word in lettering.words}
    for line in lettering.lines:
        own = [p for w in line.words for g in words[w].glyphs for p in glyphs[g].pieces]
        name = f"line {line.text!r}" if line.text else f"line {line.id}"
        groups.append((name, list(dict.fromkeys(own)), line.cap_height))
    if lettering.ornaments:
        groups.append(("the ornaments", list(lettering.ornaments), None))
    out: list[Finding] = []
    for name, pieces, height in groups:
        out.extend(_group(name, pieces, height, shapes, bounds))
    return tuple(out)


def _group(
    name: str, pieces: Sequence[str], height: float | None, shapes: dict[str, Polygon], limits: FilmLimits
) -> list[Finding]:
    out = []
    if height is not None and height < limits.least_letter:
        out.append(
            Finding(
                "film-small",
                f"The letters of {name} are {height:.1f} mm high; {limits.least_letter:g} mm is the least advised.",
                tuple(pieces),
                remedy="Make the lettering larger, or weed it after taping (reverse weeding) and try a letter first.",
            )
        )
    planned = "" if height is None else f", planned {height:.1f} mm high,"
    thin = tuple(p for p in pieces if _has_thin_strokes(shapes[p], limits.least_stroke))
    if thin:
        out.append(
            Finding(
                "film-thin",
                f"Strokes of {name}{planned} are narrower than {limits.least_stroke:g} mm in {_count(thin)}.",
                thin,
                remedy="Choose a heavier face or a larger size, or tape first and weed from the back.",
            )
        )
    small = tuple(p for p in pieces if across(shapes[p]) < limits.least_island)
    if small:
        out.append(
            Finding(
                "film-island",
                f"{_count(small).capitalize()} of {name} smaller than {limits.least_island:g} mm across may lift "
                "while weeding.",
                small,
                remedy="Hold them down with the tip of the tweezers while the waste comes off.",
            )
        )
    holed = tuple(p for p in pieces if any(across(Polygon(h)) < limits.least_island for h in shapes[p].interiors))
    if holed:
        out.append(
            Finding(
                "film-island",
                f"Holes smaller than {limits.least_island:g} mm across in {_count(holed)} of {name} are hard to weed.",
                holed,
                remedy="Lift the waste out of them one by one with a needle, before the waste around the letters.",
            )
        )
    return out


def narrow_parts(shape: Polygon, width: float) -> float:
    """Return the share of a shape's area that lies in strokes narrower than ``width`` mm.

    What a disc of that width inside the shape can't reach is narrow (a morphological opening). Growing back with
    mitred corners keeps square corners whole, so that a sturdy letter is not blamed for having many of them.
    """
    return float(_narrow(shape, width).area / shape.area)


def _narrow(shape: Polygon, width: float) -> BaseGeometry:
    opened = shape.buffer(SLACK - width / 2, quad_segs=8).buffer(
        width / 2, join_style="mitre", mitre_limit=MITRE
    )
    return shape.difference(opened)


def _has_thin_strokes(shape: Polygon, width: float) -> bool:
    """Whether narrow parts are a fair share of the shape, or one of them is more than a pointed corner."""
    narrow = _narrow(shape, width)
    largest = max((part.area for part in polygons_of(narrow)), default=0.0)
    return narrow.area > THIN_SHARE * shape.area or largest > LONG_PART * width**2


def across(shape: Polygon) -> float:
    """Return the longer side of a shape's least box."""
    box = shapely.oriented_envelope(shape)
    points = shapely.get_coordinates(box)
    if len(points) < 3:
        return 0.0
    a, b, c = points[:3]
    return float(max(((b - a) ** 2).sum() ** 0.5, ((c - b) ** 2).sum() ** 0.5))


def _count(pieces: Sequence[str]) -> str:
    return "one piece" if len(pieces) == 1 else f"{len(pieces)} pieces"
