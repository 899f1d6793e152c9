"""A shape element's own outline, from its attributes and style, in its user space."""

from __future__ import annotations

from bigsign.artwork.flatten import Command, Point
from bigsign.artwork.svg_document import Budget, Document, Element, local_name
from bigsign.artwork.svg_findings import Notes
from bigsign.artwork.svg_shapes import ellipse, polygon, read_path, rectangle
from bigsign.artwork.svg_style import Style
from bigsign.artwork.svg_values import Viewport, parse_length, parse_numbers
from bigsign.budgets import BUDGETS

__all__ = ["ShapeReader"]


class ShapeReader:
    """Reads shape elements; an outline asked for again is not parsed again."""

    def __init__(self, document: Document, notes: Notes, budget: Budget) -> None:
        self._document = document
        self._notes = notes
        self._budget = budget
        self._paths: dict[Element, tuple[Command, ...]] = {}

    def read(self, element: Element, style: Style, viewport: Viewport) -> tuple[Command, ...]:
        """Return the outline of a shape element, empty if it draws nothing."""
        match local_name(element):
            case "path":
                commands = self._path(element)
            case "rect":
                commands = self._rect(element, style, viewport)
            case "circle":
                r = self._size(element, style, viewport, "r", "o")
                commands = self._round(element, style, viewport, r, r)
            case "ellipse":
                commands = self._ellipse(element, style, viewport)
            case "line":
                ends = [self._attribute(element, viewport, name) for name in ("x1", "y1", "x2", "y2")]
                commands = polygon([(ends[0], ends[1]), (ends[2], ends[3])], closed=False)
            case "polyline":
                commands = polygon(self._points(element), closed=False)
            case "polygon":
                commands = polygon(self._points(element))
            case _:
                commands = ()
        self._budget.spend(element, segments=len(commands))
        return commands

    def _note(self, code: str, what: str, element: Element, remedy: str = "") -> None:
        self._notes.add(code, what, self._document.source(element), remedy)

    def _path(self, element: Element) -> tuple[Command, ...]:
        known = self._paths.get(element)
        if known is None:
            checked = read_path(element.get("d") or "", BUDGETS.segments)
            self._budget.spend(element, segments=checked.segments)
            if checked.error is not None:
                what = f"its path data is broken ({checked.error}), drawn up to there"
                self._note("svg-path", what, element, "draw the shape again, or save it from another program")
            known = self._paths[element] = checked.commands
        return known

    def _rect(self, element: Element, style: Style, viewport: Viewport) -> tuple[Command, ...]:
        x = self._place(element, style, viewport, "x", "x")
        y = self._place(element, style, viewport, "y", "y")
        width = self._size(element, style, viewport, "width", "x")
        height = self._size(element, style, viewport, "height", "y")
        if not width or not height or x is None or y is None:
            return ()
        rx = self._size(element, style, viewport, "rx", "x") if style["rx"] != "auto" else None
        ry = self._size(element, style, viewport, "ry", "y") if style["ry"] != "auto" else None
        across = rx if rx is not None else ry if ry is not None else 0.0
        down = ry if ry is not None else across
        return rectangle(x, y, width, height, min(across, width / 2), min(down, height / 2))

    def _ellipse(self, element: Element, style: Style, viewport: Viewport) -> tuple[Command, ...]:
        rx = self._size(element, style, viewport, "rx", "x") if style["rx"] != "auto" else None
        ry = self._size(element, style, viewport, "ry", "y") if style["ry"] != "auto" else None
        across, down = rx if rx is not None else ry, ry if ry is not None else rx
        return self._round(element, style, viewport, across, down)

    def _round(
        self, element: Element, style: Style, viewport: Viewport, rx: float | None, ry: float | None,
    ) -> tuple[Command, ...]:
        cx = self._place(element, style, viewport, "cx", "x")
        cy = self._place(element, style, viewport, "cy", "y")
        return () if not rx or not ry or cx is None or cy is None else ellipse(cx, cy, rx, ry)

    def _place(
        self, element: Element, style: Style, viewport: Viewport, name: str, axis: str,
    ) -> float | None:
        value = parse_length(style[name], viewport, axis)
        if value is None:
            what = f"its {name} '{style[name][:30]}' has no size here, so it was left out"
            remedy = "give the page a width and height, or write the length in px"
            self._note("svg-unit", what, element, remedy)
        return value

    def _size(
        self, element: Element, style: Style, viewport: Viewport, name: str, axis: str,
    ) -> float | None:
        if style[name] == "auto":
            return None
        value = self._place(element, style, viewport, name, axis)
        if value is not None and value < 0:
            self._note("svg-number", f"its {name} is negative and was passed over", element)
            return None
        return value

    def _attribute(self, element: Element, viewport: Viewport, name: str) -> float:
        text = (element.get(name) or "0").strip()
        value = parse_length(text, viewport, name[0])
        if value is None:
            what = f"its {name} '{text[:30]}' is not understood and was passed over"
            self._note("svg-number", what, element)
            return 0.0
        return value

    def _points(self, element: Element) -> list[Point]:
        text = element.get("points") or ""
        values = parse_numbers(text)
        if values is None or len(values) % 2:
            self._note("svg-path", "its points are broken, drawn up to the error", element,
                       "draw the shape again, or save it from another program")
        if values is None:
            values = _sound_numbers(text)
        return list(zip(values[0::2], values[1::2], strict=False))


def _sound_numbers(text: str) -> tuple[float, ...]:
    """The numbers before the first error: the longest start of the list, by halving, that reads."""
    words = text.replace(",", " ").split()
    good, bad = 0, len(words)
    while bad - good > 1:
        middle = (good + bad) // 2
        if parse_numbers(" ".join(words[:middle])) is None:
            bad = middle
        else:
            good = middle
    return parse_numbers(" ".join(words[:good])) or ()
