"""The walk through a drawing's tree: what it shows, as marks, and what could not be read, as findings.

Follows SVG 2 (structure: chapter 5, coordinates: chapter 8, painting: chapter 13, from memory) as far as
filled and stroked outlines go. Whatever is passed over is noted; nothing is drawn otherwise in silence.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bigsign.artwork.flatten import (
    IDENTITY,
    Command,
    Matrix,
    Point,
    compose,
    flatten_subpaths,
    transform,
)
from bigsign.artwork.svg_basic import ShapeReader
from bigsign.artwork.svg_clips import ClipReader
from bigsign.artwork.svg_document import Budget, Document, Element, fault, href_of, local_name
from bigsign.artwork.svg_findings import Notes
from bigsign.artwork.svg_masks import MaskReader
from bigsign.artwork.svg_page import page_of
from bigsign.artwork.svg_paint import PaintReader, alpha_of
from bigsign.artwork.svg_scene import FARTHEST, Clip, ClipPart, Mark, Scene, is_sound
from bigsign.artwork.svg_setting import ANIMATIONS, SHAPES, SILENT, Setting, applies
from bigsign.artwork.svg_shapes import rectangle
from bigsign.artwork.svg_style import ROOT_STYLE, SAY_ANIMATION, Style, StyleSheets
from bigsign.artwork.svg_values import (
    Viewport,
    about,
    fit_view_box,
    parse_css_transform,
    parse_length,
    parse_origin,
    parse_transform,
    parse_view_box,
)
from bigsign.budgets import BUDGETS
from bigsign.findings import Finding

__all__ = ["walk"]

LEFT_OUT: Final = {
    "text": ("svg-text", "text was left out", "turn it into outlines in the drawing program"),
    "tspan": ("svg-text", "text was left out", "turn it into outlines in the drawing program"),
    "image": ("svg-image", "a picture was left out", "trace it into outlines in the drawing program"),
    "foreignObject": ("svg-foreign", "foreign content was left out", "replace it by outlines"),
    "script": ("svg-element", "a script was not run", "save the drawing as it looks without scripts"),
}


def walk(document: Document) -> Scene:
    """Return all a drawing shows.

    Raises
    ------
    InputError
        If its size is nought or less, it holds more than the budgets allow, or a coordinate is no number.
    """
    notes = Notes()
    sheets = StyleSheets(document, notes)
    style = sheets.style(document.root, ROOT_STYLE)
    page, matrix, viewport = page_of(document, style, notes)
    walker = _Walker(document, sheets, notes)
    if style["display"] != "none":
        walker.root(Setting(matrix, style, viewport))
    return Scene(tuple(walker.marks), page, notes.findings())


class _Walker:
    def __init__(self, document: Document, sheets: StyleSheets, notes: Notes) -> None:
        self.document = document
        self.sheets = sheets
        self.notes = notes
        self.budget = Budget(document)
        self.marks: list[Mark] = []
        self.outlines: list[tuple[tuple[Command, ...], Matrix]] | None = None
        """Where outlines are collected while measuring; None while drawing."""
        self.shapes = ShapeReader(document, notes, self.budget)
        self.paints = PaintReader(document, sheets, notes)
        self.clips = ClipReader(document, sheets, self)
        self.masks = MaskReader(document, self)

    def note(self, code: str, what: str, element: Element, remedy: str = "") -> None:
        if self.outlines is None:
            self.notes.add(code, what, self.document.source(element), remedy)

    # --- the tree ---

    def root(self, setting: Setting) -> None:
        root, style = self.document.root, setting.style
        if (root.get("transform") or style["transform"]) != "none":
            what = "a transform on the whole drawing was passed over"
            self.note("svg-transform", what, root, "put it on a group")
        opacity = self.effects(root, style)
        if opacity > 0:
            clips = self.cuts(root, setting)
            for child in root:
                self.node(child, replace(setting, clips=clips, depth=1))

    def node(self, element: Element, setting: Setting) -> None:
        name = local_name(element)
        if name is None:
            if isinstance(element.tag, str) and not element.tag.startswith("{"):
                self.note("svg-element", "stands in no namespace and was left out", element)
            return
        if name in SILENT:
            return
        self.budget.spend(element, elements=1)
        if setting.depth > BUDGETS.levels:
            raise fault(self.document, element, "elements are nested too deep", f"at most {BUDGETS.levels} levels")
        if name in ANIMATIONS:
            self.note("svg-animation", SAY_ANIMATION, element)
            return
        if not applies(element):
            return
        style = self.sheets.style(element, setting.style)
        if style["display"] == "none":
            return
        if name in LEFT_OUT:
            if style["visibility"] == "visible" or name == "script":
                self.note(LEFT_OUT[name][0], LEFT_OUT[name][1], element, LEFT_OUT[name][2])
            return
        known = name in SHAPES or name in ("g", "a", "svg", "switch", "use")
        if not known:
            self.note("svg-element", f"<{name[:30]}> is not known and was left out", element)
            return
        if self.effects(element, style) <= 0:
            return
        matrix = compose(setting.matrix, self.transform_of(element, style, setting))
        here = replace(setting, matrix=matrix, style=style, depth=setting.depth + 1)
        if self.outlines is None:
            here = replace(here, clips=self.cuts(element, here))
        if name in SHAPES or name == "use":
            if any(local_name(child) in ANIMATIONS for child in element):
                self.note("svg-animation", SAY_ANIMATION, element)
            (self.shape if name in SHAPES else self.use)(element, here)
        elif name == "svg":
            self.nested(element, here, None)
        elif name == "switch":
            for child in element:
                if local_name(child) is not None and applies(child):
                    self.node(child, here)
                    break
        else:
            for child in element:
                self.node(child, here)

    def cuts(self, element: Element, here: Setting) -> tuple[Clip, ...]:
        """Return all that cuts what ``element`` draws: clips around it, its own clip and its mask."""
        return (*self.clips.of(element, here), *self.masks.of(element, here))

    def drawn_in(self, element: Element, here: Setting) -> tuple[list[Mark], tuple[Finding, ...]]:
        """Return what an element's children draw, for another use than the page's, and what of it is not read."""
        kept, self.marks = self.marks, []
        try:
            with self.notes.apart() as noted:
                for child in element:
                    self.node(child, here)
            return self.marks, tuple(noted)
        finally:
            self.marks = kept

    def effects(self, element: Element, style: Style) -> float:
        """Note effects that are not read, and return the element's opacity."""
        opacity = alpha_of(style["opacity"])
        if 0 < opacity < 1:
            self.note("svg-opacity", "half transparent, cut as solid film", element)
        if opacity <= 0:
            return opacity
        if style["filter"] != "none":
            self.note("svg-filter", "its filter was left out", element, "drop the filter, or draw its effect")
        if style["mix-blend-mode"] not in ("normal", ""):
            self.note("svg-effect", "its blend mode was left out", element, "give the shapes plain colours")
        return opacity

    def transform_of(self, element: Element, style: Style, setting: Setting) -> Matrix:
        text = style["transform"]
        if text in ("none", ""):
            return IDENTITY
        css = "transform" in style.from_css
        matrix = parse_css_transform(text, setting.viewport) if css else parse_transform(text)
        if style["transform-box"] == "view-box":
            origin = parse_origin(style["transform-origin"], setting.viewport)
        else:
            origin = self.box_origin(element, style, setting)
        if matrix is None or origin is None:
            short = text if len(text) <= 40 else text[:39] + "…"
            self.note("svg-transform", f"the transform '{short}' was passed over", element,
                      "let the drawing program carry it out")
            return IDENTITY
        return about(matrix, origin) if origin != (0.0, 0.0) else matrix

    def box_origin(self, element: Element, style: Style, setting: Setting) -> Point | None:
        if style["transform-box"] != "fill-box":
            return None
        bounds = self.bounds(element, replace(setting, style=style))
        if bounds is None:
            return (0.0, 0.0)
        x0, y0, x1, y1 = bounds
        origin = parse_origin(style["transform-origin"] or "0 0", Viewport(x1 - x0, y1 - y0))
        return None if origin is None else (x0 + origin[0], y0 + origin[1])

    # --- references and viewports ---

    def use(self, element: Element, here: Setting) -> None:
        reference = href_of(element)
        target = self.document.target(reference)
        if target is None or local_name(target) is None:
            what = "refers outside the file" if reference and reference[0] != "#" else "refers to nothing"
            self.note("svg-use", f"{what} and was left out", element, "put what it shows into the drawing")
            return
        if target in here.uses or target is element or target in element.iterancestors():
            self.note("svg-use", "refers to itself and was left out", element, "refer to something else")
            return
        x, y = self.place(element, here, "x"), self.place(element, here, "y")
        matrix = compose(here.matrix, (1.0, 0.0, 0.0, 1.0, x, y))
        inner = replace(here, matrix=matrix, uses=(*here.uses, target), depth=here.depth + 1)
        name = local_name(target)
        if name == "symbol" or name == "svg":
            style = self.sheets.style(target, inner.style)
            if style["display"] == "none" or self.effects(target, style) <= 0:
                return
            matrix = compose(inner.matrix, self.transform_of(target, style, inner))
            inner = replace(inner, matrix=matrix, style=style)
            if self.outlines is None:
                inner = replace(inner, clips=self.cuts(target, inner))
            self.budget.spend(target, elements=1)
            self.nested(target, inner, (element, here))
        else:
            self.node(target, inner)

    def nested(self, element: Element, here: Setting, user: tuple[Element, Setting] | None) -> None:
        """Draw an inner <svg> or a used <symbol>: a viewport of its own, cut at its edge."""
        own = local_name(element) == "svg"
        x = self.place(element, here, "x") if own else 0.0
        y = self.place(element, here, "y") if own else 0.0
        sizes: list[float] = []
        around = here.viewport
        for name, axis, full in (("width", "x", around.width), ("height", "y", around.height)):
            size = self.length(element, here, name, axis, full) if own else full
            if user is not None and user[1].style[name] != "auto":
                size = self.length(user[0], user[1], name, axis, full)
            if size is None:
                self.note("svg-unit", f"its {name} has no size here, so it was left out", element,
                          "give the page a width and height")
                return
            sizes.append(size)
        width, height = sizes
        if width <= 0 or height <= 0:
            if width < 0 or height < 0:
                self.note("svg-number", "its size is negative, so it was left out", element)
            return
        matrix = compose(here.matrix, (1.0, 0.0, 0.0, 1.0, x, y))
        viewport = Viewport(width, height)
        clips = here.clips
        if here.style["overflow"] not in ("visible", "auto"):
            edge = transform(rectangle(0.0, 0.0, width, height, 0.0, 0.0), matrix)
            clips = (*clips, Clip((ClipPart(edge, "nonzero"),)))
        text = element.get("viewBox")
        if text is not None:
            box = parse_view_box(text)
            aspect = element.get("preserveAspectRatio") or ""
            fitted = fit_view_box(box, width, height, aspect) if box else None
            if box is None or fitted is None:
                what = "its viewBox or preserveAspectRatio is not understood, so it was left out"
                self.note("svg-number", what, element)
                return
            matrix = compose(matrix, fitted)
            viewport = Viewport(box.width, box.height)
        inner = replace(here, matrix=matrix, viewport=viewport, clips=clips, depth=here.depth + 1)
        for child in element:
            self.node(child, inner)

    def length(
        self, element: Element, here: Setting, name: str, axis: str, default: float | None,
    ) -> float | None:
        text = here.style[name]
        if text in ("auto", ""):
            return default
        value = parse_length(text, here.viewport, axis)
        if value is None:
            what = f"its {name} '{text[:30]}' is not understood and was passed over"
            self.note("svg-number", what, element)
            return default
        return value

    def place(self, element: Element, here: Setting, axis: str) -> float:
        return self.length(element, here, axis, axis, 0.0) or 0.0

    # --- shapes ---

    def shape(self, element: Element, here: Setting) -> None:
        commands = self.shapes.read(element, here.style, here.viewport)
        if not commands:
            return
        if self.outlines is not None:
            self.outlines.append((commands, here.matrix))
            return
        if here.style["visibility"] != "visible":
            return
        a, b, c, d, _, _ = here.matrix
        if a * d == b * c:  # flattened to a line: nothing to see
            return
        painted = self.paints.marks(element, commands, here.style, here.viewport, here.matrix, here.clips)
        if painted and not (all(map(_in_reach, here.matrix)) and is_sound(transform(commands, here.matrix))):
            raise fault(
                self.document, element, "a coordinate is no number or is beyond all measure",
                f"numbers below {FARTHEST:,.0f} px once transforms are carried out",
            )
        self.marks.extend(painted)
        if len(self.marks) > BUDGETS.shapes:
            what = f"the drawing paints more than {BUDGETS.shapes:,} shapes"
            raise fault(self.document, element, what, "fewer: unite those of one colour, or make the sign in parts")

    def bounds(self, element: Element, here: Setting) -> tuple[float, float, float, float] | None:
        """Return the box of an element's outlines in its own user space, strokes and clips left aside."""
        kept, self.outlines = self.outlines, []
        try:
            inner = replace(here, matrix=IDENTITY, clips=())
            name = local_name(element)
            if name in SHAPES:
                self.shape(element, inner)
            elif name == "use":
                self.use(element, inner)
            elif name == "svg":
                self.nested(element, inner, None)
            else:
                for child in element:
                    self.node(child, inner)
            outlines = self.outlines
        finally:
            self.outlines = kept
        points: list[Point] = []
        for commands, matrix in outlines:
            moved = transform(commands, matrix)
            if is_sound(moved):
                rough = [p for path in flatten_subpaths(moved, 1e9) for p in path.points]
                if rough:
                    points += _finer(moved, max(_span(rough), 1e-9), rough)
        if not points:
            return None
        return (
            min(x for x, _ in points), min(y for _, y in points),
            max(x for x, _ in points), max(y for _, y in points),
        )


def _in_reach(value: float) -> bool:
    return -FARTHEST < value < FARTHEST


def _finer(commands: tuple[Command, ...], size: float, rough: list[Point]) -> list[Point]:
    """Return an outline's points, or what is known where there would be too many (its extent hardly differs then)."""
    try:
        return [point for path in flatten_subpaths(commands, size * 1e-5) for point in path.points]
    except ValueError:
        return rough


def _span(points: list[Point]) -> float:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(max(xs) - min(xs), max(ys) - min(ys))
