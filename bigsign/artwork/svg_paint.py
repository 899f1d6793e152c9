"""Fills and strokes: which of a shape's paints are film, and of what colour."""

from __future__ import annotations

from typing import Final

from bigsign.artwork.flatten import Command, Matrix
from bigsign.artwork.svg_colour import Colour, parse_colour, parse_paint
from bigsign.artwork.svg_document import Document, Element, href_of, local_name
from bigsign.artwork.svg_findings import Notes
from bigsign.artwork.svg_scene import FARTHEST, Clip, Mark, Stroke
from bigsign.artwork.svg_stroke import dash_count
from bigsign.artwork.svg_style import ROOT_STYLE, Style, StyleSheets
from bigsign.artwork.svg_values import Viewport, parse_length, parse_number
from bigsign.budgets import BUDGETS

__all__ = ["PaintReader", "alpha_of"]

GRADIENTS: Final = frozenset({"linearGradient", "radialGradient", "meshgradient"})
PATTERNS: Final = frozenset({"pattern", "hatch"})
PATTERN_COLOUR: Final = "#000000"
SHARPEST: Final = 1e4
"""Miter limit above which no corner of a drawing comes: one of a 90th of a degree."""
_PLAIN: Final = "give the shape a plain colour"


def alpha_of(text: str) -> float:
    """Return an opacity, a number or percentage, held between 0 and 1."""
    share = parse_number(text[:-1]) if text.endswith("%") else parse_number(text)
    if share is None:
        return 1.0
    return min(1.0, max(0.0, share / 100 if text.endswith("%") else share))


class PaintReader:
    """Turns a shape's outline and style into marks."""

    def __init__(self, document: Document, sheets: StyleSheets, notes: Notes) -> None:
        self._document = document
        self._sheets = sheets
        self._notes = notes

    def marks(
        self, element: Element, commands: tuple[Command, ...], style: Style, viewport: Viewport,
        matrix: Matrix, clips: tuple[Clip, ...],
    ) -> list[Mark]:
        """Return the marks of a visible shape, bottom to top."""
        source = self._document.source(element)
        painted: dict[str, Mark] = {}
        fill = None if local_name(element) == "line" else self._colour(element, style, "fill")
        if fill is not None:
            painted["fill"] = Mark(commands, matrix, fill, source, clips, rule=style["fill-rule"])
        line = self._colour(element, style, "stroke")
        stroke = None if line is None else self._stroke(element, commands, style, viewport)
        if line is not None and stroke is not None:
            painted["stroke"] = Mark(commands, matrix, line, source, clips, stroke=stroke)
        if local_name(element) in ("path", "line", "polyline", "polygon") and any(
            style[f"marker-{place}"] != "none" for place in ("start", "mid", "end")
        ):
            self._note("svg-marker", "its markers were left out", element, "draw arrow heads as shapes")
        first = next((word for word in style["paint-order"].split() if word in ("fill", "stroke")), "fill")
        order = ("stroke", "fill") if first == "stroke" else ("fill", "stroke")
        return [painted[name] for name in order if name in painted]

    def _note(self, code: str, what: str, element: Element, remedy: str = "") -> None:
        self._notes.add(code, what, self._document.source(element), remedy)

    def _colour(self, element: Element, style: Style, name: str) -> str | None:
        paint = parse_paint(style[name])
        if paint is None:
            return None
        colour = paint.colour
        if paint.current:
            colour = parse_colour(style["color"])
        if paint.context:
            what = f"its {name} is taken from what refers to it, so it was left out"
            self._note("svg-paint", what, element, _PLAIN)
            return None
        opacity = alpha_of(style[f"{name}-opacity"])
        if opacity <= 0:
            return None
        if paint.reference is not None:
            found = self._server(element, name, paint.reference, colour is not None)
            colour = found or colour
        if colour is None or colour.alpha <= 0:
            return None
        if opacity * colour.alpha < 1:
            self._note("svg-opacity", "half transparent, cut as solid film", element)
        return colour.rgb

    def _server(self, element: Element, name: str, reference: str, spare: bool) -> Colour | None:
        """Return the one colour a gradient or pattern is cut in."""
        target = self._document.target(reference)
        kind = None if target is None else local_name(target)
        if target is None or kind not in GRADIENTS | PATTERNS:
            if not spare:
                what = f"its {name} '{reference[:30]}' was not found, so it has none"
                self._note("svg-paint", what, element, _PLAIN)
            return None
        if kind in PATTERNS:
            what = f"its {name} is the pattern '{reference[:30]}', cut as solid black"
            self._note("svg-paint", what, element, _PLAIN)
            return Colour(PATTERN_COLOUR, 1.0)
        stops = self._stops(target)
        if not stops:
            return None
        colours = [colour for colour in stops if colour.alpha > 0]
        if not colours:
            return None
        if len(set(stops)) > 1:
            what = f"its {name} is the gradient '{reference[:30]}', cut as solid {colours[0].rgb}"
            self._note("svg-paint", what, element, _PLAIN)
            return Colour(colours[0].rgb, 1.0)
        return colours[0]

    def _stops(self, gradient: Element) -> list[Colour]:
        seen: list[Element] = []
        place: Element | None = gradient
        while place is not None and place not in seen and local_name(place) in GRADIENTS:
            seen.append(place)
            stops = [child for child in place if local_name(child) == "stop"]
            if stops:
                return [self._stop(stop) for stop in stops]
            place = self._document.target(href_of(place))
        return []

    def _stop(self, stop: Element) -> Colour:
        style = self._sheets.style(stop, ROOT_STYLE)
        text = style["stop-color"]
        colour = parse_colour(style["color"] if text == "currentcolor" else text) or Colour("#000000", 1.0)
        return Colour(colour.rgb, colour.alpha * alpha_of(style["stop-opacity"]))

    def _stroke(
        self, element: Element, commands: tuple[Command, ...], style: Style, viewport: Viewport,
    ) -> Stroke | None:
        width = parse_length(style["stroke-width"], viewport, "o")
        if width is None or width < 0:
            what = f"its stroke width '{style['stroke-width'][:30]}' is not understood, so it has no stroke"
            self._note("svg-stroke", what, element, "write the width in px")
            return None
        if width == 0:
            return None
        if not width < FARTHEST:
            what = f"its stroke width '{style['stroke-width'][:30]}' is wider than any sign, so it has no stroke"
            self._note("svg-stroke", what, element, "write the width in px")
            return None
        if "non-scaling-stroke" in style["vector-effect"]:
            what = "its stroke keeps its width whatever the scale, so it was left out"
            self._note("svg-stroke", what, element, "turn the stroke into an outline")
            return None
        join = style["stroke-linejoin"]
        if join not in ("miter", "round", "bevel"):
            self._note("svg-stroke", f"its line join '{join}' is drawn as a miter", element)
            join = "miter"
        limit = parse_number(style["stroke-miterlimit"])
        if limit is None or limit < 1:
            self._note("svg-stroke", "its miter limit is below 1, taken as 4", element)
            limit = 4.0
        limit = min(limit, SHARPEST)
        stroke = Stroke(width, style["stroke-linecap"], join, limit)
        dashes = self._dashes(element, style, viewport)
        if not dashes:
            return stroke
        dashed = Stroke(width, stroke.cap, join, limit, dashes, self._offset(style, viewport))
        if element.get("pathLength") is not None or dash_count(commands, dashed) > BUDGETS.dashes:
            self._note("svg-stroke", "its dashes are not read, so the line is drawn whole", element,
                       "turn the stroke into an outline")
            return stroke
        return dashed

    def _dashes(self, element: Element, style: Style, viewport: Viewport) -> tuple[float, ...]:
        text = style["stroke-dasharray"]
        if text == "none":
            return ()
        found = [parse_length(word, viewport, "o") for word in text.replace(",", " ").split()]
        dashes = tuple(dash for dash in found if dash is not None)
        if len(dashes) < len(found) or any(dash < 0 for dash in dashes):
            self._note("svg-stroke", "its dashes are not understood, so the line is drawn whole", element,
                       "turn the stroke into an outline")
            return ()
        return dashes if sum(dashes) > 0 else ()

    def _offset(self, style: Style, viewport: Viewport) -> float:
        return parse_length(style["stroke-dashoffset"], viewport, "o") or 0.0
