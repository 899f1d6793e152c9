"""Masks of a drawing: what a mask of plain white and black shapes leaves of a shape (CSS Masking 1, from memory).

White shows and black hides, the upper shape over the lower; where nothing is drawn nothing shows. A mask with anything
between (greys, gradients, half transparent or blurred shapes) has no edge to cut along: it is not read, and a warning
says so.
"""

from __future__ import annotations

from typing import Final, Protocol

from bigsign.artwork.flatten import compose, transform
from bigsign.artwork.svg_clips import ClipReader
from bigsign.artwork.svg_colour import parse_url
from bigsign.artwork.svg_document import Document, Element, local_name
from bigsign.artwork.svg_scene import Clip, ClipPart, Mark, MaskPart, is_sound
from bigsign.artwork.svg_setting import Setting
from bigsign.artwork.svg_shapes import rectangle
from bigsign.artwork.svg_values import Viewport, parse_length
from bigsign.findings import Finding

__all__ = ["MaskReader"]

WHITE: Final = 0.98
"""Luminance from which a shape shows; below one minus it, it hides. Between the two it would half show."""

SIDES: Final = (("x", "x", "-10%"), ("y", "y", "-10%"), ("width", "x", "120%"), ("height", "y", "120%"))
"""A mask's rectangle: attribute, axis, and what holds where it is not given."""


class Walker(Protocol):
    """What reading a mask asks of the walk it belongs to."""

    clips: ClipReader

    def note(self, code: str, what: str, element: Element, remedy: str = "") -> None: ...

    def bounds(self, element: Element, here: Setting) -> tuple[float, float, float, float] | None: ...

    def drawn_in(self, element: Element, here: Setting) -> tuple[list[Mark], tuple[Finding, ...]]: ...


class MaskReader:
    """Reads the masks of a drawing."""

    def __init__(self, document: Document, walker: Walker) -> None:
        self._document = document
        self._walker = walker
        self._open: list[Element] = []
        """Masks being read: one that refers to itself is none."""

    def of(self, element: Element, here: Setting) -> tuple[Clip, ...]:
        """Return what ``element``'s own mask cuts it by: nothing without one, and with a note where it is not read."""
        value = here.style["mask"]
        if value in ("none", ""):
            return ()
        reference = parse_url(value)
        target = self._document.target(reference) if reference else None
        found = None
        if target is not None and local_name(target) == "mask" and target not in self._open:
            self._open.append(target)
            found = self._read(target, element, here)
            self._open.pop()
        if found is None:
            self._walker.note("svg-mask", "its mask was left out", element, "cut the shape itself in the drawing")
            return ()
        return found

    def _read(self, mask: Element, element: Element, here: Setting) -> tuple[Clip, ...] | None:
        box = self._walker.bounds(element, here)
        if box is None:
            return (Clip(()),)  # nothing is drawn there at all
        area = self._area(mask, here, box)
        style = self._walker.clips.inherited_style(mask)
        if area is None or style["mask"] not in ("none", "") or style["clip-path"] != "none":
            return None  # renderers differ over what cuts a mask itself
        matrix, viewport = here.matrix, here.viewport
        if mask.get("maskContentUnits") == "objectBoundingBox":
            matrix = compose(matrix, (box[2] - box[0], 0.0, 0.0, box[3] - box[1], box[0], box[1]))
            viewport = Viewport(1.0, 1.0)
        inside = Setting(matrix, style, viewport, depth=here.depth + 1, uses=here.uses)
        marks, noted = self._walker.drawn_in(mask, inside)
        if noted:
            return None
        parts: list[ClipPart | MaskPart] = []
        for mark in marks:
            light = 1.0 if style["mask-type"] == "alpha" else _luminance(mark.colour)
            if 1 - WHITE < light < WHITE:
                return None
            parts.append(MaskPart(mark, light >= WHITE))
        return (area, Clip(tuple(parts)))

    def _area(self, mask: Element, here: Setting, box: tuple[float, float, float, float]) -> Clip | None:
        """Return the rectangle beyond which a mask shows nothing; None: its numbers are not understood."""
        own = mask.get("maskUnits") == "userSpaceOnUse"
        viewport = here.viewport if own else Viewport(1.0, 1.0)
        values: list[float] = []
        for name, axis, default in SIDES:
            value = parse_length(mask.get(name) or default, viewport, axis)
            if value is None:
                return None
            values.append(value)
        x, y, width, height = values
        if width <= 0 or height <= 0:
            return Clip(())
        if not own:
            across, down = box[2] - box[0], box[3] - box[1]
            x, y, width, height = box[0] + x * across, box[1] + y * down, width * across, height * down
        edge = transform(rectangle(x, y, width, height, 0.0, 0.0), here.matrix)
        return Clip((ClipPart(edge, "nonzero"),)) if is_sound(edge) else None


def _luminance(colour: str) -> float:
    """Return how light a colour #rrggbb is, from 0 to 1 (weights of CSS Masking 1, from memory)."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return 0.2125 * red + 0.7154 * green + 0.0721 * blue
