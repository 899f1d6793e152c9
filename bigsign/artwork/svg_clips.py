"""Clips of a drawing: what a clip-path leaves of a shape (CSS Masking 1, from memory)."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, Protocol

from lxml import etree

from bigsign.artwork.flatten import Matrix, compose, transform
from bigsign.artwork.svg_basic import ShapeReader
from bigsign.artwork.svg_colour import parse_url
from bigsign.artwork.svg_document import Budget, Document, Element, href_of, local_name
from bigsign.artwork.svg_scene import Clip, ClipPart, is_sound
from bigsign.artwork.svg_setting import ANIMATIONS, SHAPES, SILENT, Setting, applies
from bigsign.artwork.svg_style import ROOT_STYLE, Style, StyleSheets
from bigsign.artwork.svg_values import Viewport

__all__ = ["ClipReader"]

DEEPEST_CLIPS: Final = 12


class Walker(Protocol):
    """What reading a clip asks of the walk it belongs to."""

    budget: Budget
    shapes: ShapeReader

    def note(self, code: str, what: str, element: Element, remedy: str = "") -> None: ...

    def bounds(self, element: Element, here: Setting) -> tuple[float, float, float, float] | None: ...

    def transform_of(self, element: Element, style: Style, setting: Setting) -> Matrix: ...

    def place(self, element: Element, here: Setting, axis: str) -> float: ...


class ClipReader:
    """Reads the clips of a drawing, each once."""

    def __init__(self, document: Document, sheets: StyleSheets, walker: Walker) -> None:
        self.document, self.sheets, self.walker = document, sheets, walker
        self.clip_cache: dict[tuple[Element, Matrix, Viewport], Clip | None] = {}

    def of(self, element: Element, here: Setting) -> tuple[Clip, ...]:
        """Return the clips that cut ``element``: those around it and its own."""
        value = here.style["clip-path"]
        if value == "none":
            return here.clips
        clip = self.clip(value, element, here, 0)
        return here.clips if clip is None else (*here.clips, clip)

    def clip(self, value: str, element: Element, here: Setting, depth: int) -> Clip | None:
        """Return the clip a clip-path asks for in the user space of ``here``; None and a note if not read."""
        remedy = "cut the shape itself in the drawing"
        reference = parse_url(value)
        target = self.document.target(reference) if reference else None
        if target is None or local_name(target) != "clipPath":
            self.walker.note("svg-clip", "its clip is not read, so the shape is whole", element, remedy)
            return None
        if depth > DEEPEST_CLIPS:
            self.walker.note("svg-clip", "its clips refer to one another without end", element, remedy)
            return None
        base = here.matrix
        viewport = here.viewport
        if target.get("clipPathUnits") == "objectBoundingBox":
            bounds = self.walker.bounds(element, here)
            if bounds is None:
                return Clip(())
            x0, y0, x1, y1 = bounds
            base = compose(base, (x1 - x0, 0.0, 0.0, y1 - y0, x0, y0))
            viewport = Viewport(1.0, 1.0)
        key = (target, base, viewport)
        if key not in self.clip_cache:
            self.clip_cache[key] = self.clip_parts(target, base, viewport, depth)
        clip = self.clip_cache[key]
        if clip is None:
            self.walker.note("svg-clip", "its clip is not read, so the shape is whole", element, remedy)
        return clip

    def clip_parts(self, target: Element, base: Matrix, viewport: Viewport, depth: int) -> Clip | None:
        """Return a clip of all the shapes that a clipPath holds; None: one of them is not read."""
        style = self.inherited_style(target)
        here = Setting(base, style, viewport)
        matrix = compose(base, self.walker.transform_of(target, style, here))
        here = replace(here, matrix=matrix)
        around: tuple[Clip, ...] = ()
        if style["clip-path"] != "none":
            outer = self.clip(style["clip-path"], target, replace(here, matrix=base), depth + 1)
            if outer is None:
                return None
            around = (outer,)
        parts: list[ClipPart] = []
        for child in target:
            name = local_name(child)
            if name is None or name in SILENT or name in ANIMATIONS or not applies(child):
                continue
            self.walker.budget.spend(child, elements=1)
            child_style = self.sheets.style(child, style)
            if child_style["display"] == "none":
                continue
            if name not in SHAPES and name != "use":
                if name in ("text", "tspan"):
                    return None
                continue  # groups and the rest have no part in a clip
            step = self.walker.transform_of(child, child_style, replace(here, style=child_style))
            inner = replace(here, style=child_style, matrix=compose(matrix, step))
            drawn, whole = child, inner
            if name == "use":
                found = self.document.target(href_of(child))
                if found is None or local_name(found) not in SHAPES:
                    return None
                x, y = self.walker.place(child, inner, "x"), self.walker.place(child, inner, "y")
                shifted = compose(inner.matrix, (1.0, 0.0, 0.0, 1.0, x, y))
                found_style = self.sheets.style(found, child_style)
                if found_style["display"] == "none":
                    continue
                whole = replace(inner, matrix=shifted, style=found_style)
                step = self.walker.transform_of(found, found_style, whole)
                drawn, whole = found, replace(whole, matrix=compose(shifted, step))
            if whole.style["visibility"] != "visible":
                continue
            own: list[Clip] = []
            for clipped, at in [(child, inner), (drawn, whole)][: 1 if drawn is child else 2]:
                if at.style["clip-path"] != "none":
                    extra = self.clip(at.style["clip-path"], clipped, at, depth + 1)
                    if extra is None:
                        return None
                    own.append(extra)
            commands = transform(self.walker.shapes.read(drawn, whole.style, viewport), whole.matrix)
            if not is_sound(commands):
                return None
            if commands:
                parts.append(ClipPart(commands, whole.style["clip-rule"], (*around, *own)))
        return Clip(tuple(parts))

    def inherited_style(self, element: Element) -> Style:
        """Return the style of an element by all that it stands in."""
        style = ROOT_STYLE
        for above in reversed(list(element.iterancestors(etree.Element))):
            style = self.sheets.style(above, style)
        return self.sheets.style(element, style)
