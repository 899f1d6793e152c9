"""Marks to shapes: outlines flattened, filled or stroked, and cut by their clips. In px of the page."""

from __future__ import annotations

import math
from collections.abc import Iterable

from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.fill import Crossings, resolve_fill
from bigsign.artwork.flatten import Command, Ring, flatten_path, largest_stretch, transform
from bigsign.artwork.svg_scene import Clip, Mark, MaskPart
from bigsign.artwork.svg_stroke import stroke_outline
from bigsign.budgets import BUDGETS
from bigsign.geometry import polygons_of

__all__ = ["Geometry", "as_multi"]


def as_multi(shape: BaseGeometry, least: float = 0.0) -> MultiPolygon:
    """Return the polygons of any geometry larger than ``least``, without the lines booleans leave behind."""
    return MultiPolygon([polygon for polygon in polygons_of(shape) if polygon.area > least])


class Geometry:
    """Makes shapes at one tolerance (px); a clip that several marks share is made once."""

    def __init__(self, tolerance: float) -> None:
        self._tolerance = tolerance
        self._regions: dict[Clip, BaseGeometry] = {}
        self._corners = 0
        self._crossings = Crossings()

    def shape(self, mark: Mark) -> MultiPolygon:
        """Return the region a mark covers, its clips carried out.

        Raises
        ------
        ValueError
            If its outline crosses itself beyond all reason, or the outlines made so far come to more corners than
            ``BUDGETS.corners``.
        """
        if mark.stroke is None:
            whole = self._filled(transform(mark.commands, mark.matrix), mark.rule)
        else:
            # The pen is round in user space, so it is drawn there; a line is drawn, flattened and thinned, and may be
            # off by three, three and two eighths of the tolerance.
            stretch = largest_stretch(mark.matrix)
            outline = stroke_outline(mark.commands, mark.stroke, self._tolerance / stretch * 3 / 8)
            whole = self._filled(transform(outline, mark.matrix), "nonzero", stroked=True)
        return as_multi(self._cut(whole, mark.clips))

    def _filled(self, commands: Iterable[Command], rule: str, stroked: bool = False) -> MultiPolygon:
        rings = flatten_path(commands, self._tolerance * (3 / 8 if stroked else 1))
        if stroked:
            # In tight bends the inner side of a line goes to and fro within next to nothing, and would cross itself
            # there endless times.
            rings = tuple(ring for path in rings if len(ring := _thinned(path, self._tolerance / 4)) >= 3)
        self._corners += sum(map(len, rings))
        if self._corners > BUDGETS.corners:
            raise ValueError(f"the drawing has more than {BUDGETS.corners:,} corners, its curves flattened")
        return resolve_fill(rings, rule, self._crossings)

    def _cut(self, shape: BaseGeometry, clips: Iterable[Clip]) -> BaseGeometry:
        for clip in clips:
            if shape.is_empty:
                break
            shape = shape.intersection(self._region(clip))
        return shape

    def _region(self, clip: Clip) -> BaseGeometry:
        known = self._regions.get(clip)
        if known is None:
            region: BaseGeometry = MultiPolygon()
            for part in clip.parts:
                if isinstance(part, MaskPart):
                    shape = self.shape(part.mark)
                    region = region.union(shape) if part.shows else region.difference(shape)
                    continue
                filled = self._filled(part.commands, part.rule)
                region = region.union(self._cut(filled, part.clips))
            known = self._regions[clip] = region
        return known


def _thinned(ring: Ring, least: float) -> Ring:
    """Return a ring without the points that lie within ``least`` of the one kept before them."""
    kept = [ring[0]]
    for point in ring[1:]:
        if math.dist(point, kept[-1]) > least:
            kept.append(point)
    return tuple(kept)
