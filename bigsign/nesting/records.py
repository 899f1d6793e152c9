"""What nesting takes and what it yields.

Glossary: an *item* is a panel to be laid on a mat: its film and its trim outline. The *mat's frame* is its
usable area: origin at its top-left corner, x across the width, y along the length, mm. The *sheet* is the
usable area grown by the cutter's border: trim outlines may reach as far as that, film may not.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from shapely.geometry import MultiPolygon, Polygon

__all__ = ["Affine", "MatLayout", "NestItem", "Nesting", "mat_file"]

Affine = tuple[float, float, float, float, float, float]
"""(a, b, c, d, e, f) as in SVG: x' = a x + c y + e, y' = b x + d y + f."""


@dataclass(frozen=True, slots=True)
class NestItem:
    """A panel to be laid on a mat: its id, its colour, film and trim outline in the sign's frame, mm."""

    id: str
    colour: str
    film: MultiPolygon
    trim: Polygon


@dataclass(frozen=True, slots=True)
class MatLayout:
    """One mat: its colour, the items on it from the origin on, and how far down it is used in mm.

    ``used_length`` reaches to the lowest trim outline, at most to the end of the usable area.
    """

    colour: str
    panels: tuple[str, ...]
    used_length: float


@dataclass(frozen=True, slots=True)
class Nesting:
    """All mats, in order of colours; ``to_mat`` takes each item from the sign's frame to its mat's.

    ``bound`` is how many mats are needed at the very least, as far as was proved; ``proved`` says that no
    layout by boxes has fewer mats than this one.
    """

    mats: tuple[MatLayout, ...]
    to_mat: Mapping[str, Affine]
    bound: int
    proved: bool


def mat_file(number: int, colour_name: str) -> str:
    """Return the name of a mat's cut file, as "mats/mat-01-black.svg"; "#ff0000" becomes ff0000."""
    slug = re.sub(r"[^a-z0-9]+", "-", colour_name.lower()).strip("-")[:32].strip("-")
    return f"mats/mat-{number:02d}-{slug or 'film'}.svg"
