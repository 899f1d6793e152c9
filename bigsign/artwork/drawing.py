"""A drawing read: filled shapes at finished size, in the sign's frame, and what could not be read.

The way through: read under guard (:mod:`svg_document`), walk the tree into marks (:mod:`svg_walk`), marks
to shapes at the tolerance the finished size asks for (:mod:`svg_geometry`), cut at the page's edge, carry out
the project's colours, scale and place.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon, box

from bigsign.artwork.flatten import Point, control_points, largest_stretch, transform
from bigsign.artwork.svg_findings import Notes
from bigsign.artwork.svg_geometry import Geometry, as_multi
from bigsign.artwork.svg_scene import Mark, Scene
from bigsign.artwork.svg_values import MM_PER_PX
from bigsign.errors import Fault, InputError
from bigsign.findings import Finding, Source
from bigsign.geometry import made_valid
from bigsign.project import DrawingSpec
from bigsign.tolerances import TOLERANCES

__all__ = ["ColouredShape", "Drawing", "read_drawing"]

FARTHEST_MM: Final = 1e6
"""No film is a kilometre across."""
SLACK: Final = 1.1
"""The tolerance is asked for this much finer, so that the scale may come out that much larger."""
MOST_ROUNDS: Final = 4
EDGE_MM: Final = 0.01
LEAST_PX: Final = 1e-6
HAIR_MM: Final = 0.005

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class ColouredShape:
    """One filled shape: colour "#rrggbb", valid region in mm in the sign's frame, its place in the file."""

    colour: str
    shape: MultiPolygon
    source: Source


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing's shapes, bottom first, and what reading it had to report."""

    shapes: tuple[ColouredShape, ...]
    findings: tuple[Finding, ...] = ()


def read_drawing(spec: DrawingSpec) -> Drawing:
    """Read an SVG to shapes at finished size.

    ``spec.width`` or ``spec.height`` is that of the film: the box of all that is left once shapes whose
    colour maps to "none" have cut their holes. With neither, the drawing's own physical size holds.
    ``spec.centre`` is the middle of the same box. Curves run within 0.02 mm (``TOLERANCES.flatten``) of the
    true ones.

    Raises
    ------
    InputError
        If it is no readable SVG, asks for too much, has no filled shapes or no size.
    """
    # Here, so that the package loads without an XML parser.
    from bigsign.artwork.svg_document import read_document
    from bigsign.artwork.svg_walk import walk

    if spec.width is not None and spec.height is not None:
        raise InputError(Fault("both width and height are given", spec.where, "one of them, of the film"))
    try:
        scene = walk(read_document(spec.data, spec.file, spec.where))
    except RecursionError:
        raise InputError(Fault("the drawing is nested too deep", _place(spec), "fewer levels")) from None
    notes = Notes()
    own_size = spec.width is None and spec.height is None
    if own_size:
        _note_size(spec, scene, notes)
    target = _Target(spec)
    if not scene.marks:
        raise _nothing(spec, scene)
    layers, bounds, scale = _sized(spec, scene, None if own_size else target)
    layers.report(notes)
    placed = _placed(spec, layers.shapes, bounds, scale)
    for colour in spec.colours:
        if colour.lower() not in layers.colours:
            what = f"no shape of the drawing is filled {colour}, which the project gives a film colour"
            notes.add("svg-colour", what, Source(spec.file), "name a fill colour of the drawing")
    return Drawing(placed, (*scene.findings, *notes.findings()))


def _sized(spec: DrawingSpec, scene: Scene, target: _Target | None) -> tuple[_Layers, Box, float]:
    """Return the film in px, its box, and the mm per px that make it as large as asked for.

    A first guess from the outlines' own extent is never too large; where cuts leave less of them, the film is scaled
    up more than guessed and is made again at the finer tolerance that asks for. Once the size is known so is what is
    dust in it, which must not count for the box of the film.
    """
    dust = 0.0
    scale = MM_PER_PX if target is None else target.scale(_reach(scene))
    for _ in range(MOST_ROUNDS):
        layers, guessed = _Layers(spec, scene, scale), scale
        bounds, scale = _measured(spec, scene, layers, dust, target)
        if not dust and scale <= guessed * SLACK:
            dust = (TOLERANCES.sliver / scale) ** 2
            bounds, scale = _measured(spec, scene, layers, dust, target)
        if dust and scale <= guessed * SLACK:
            break
    return layers, bounds, scale


def _measured(
    spec: DrawingSpec, scene: Scene, layers: _Layers, dust: float, target: _Target | None
) -> tuple[Box, float]:
    layers.leave_out(dust)
    if not layers.shapes:
        raise _nothing(spec, scene)
    bounds = layers.bounds()
    return bounds, MM_PER_PX if target is None else target.scale(bounds)


class _Target:
    """The size asked for: what scale gives film of some box that size."""

    def __init__(self, spec: DrawingSpec) -> None:
        self._spec = spec

    def scale(self, bounds: Box) -> float:
        """Return mm per px."""
        x0, y0, x1, y1 = bounds
        if self._spec.width is not None:
            return self._spec.width / (x1 - x0)
        assert self._spec.height is not None
        return self._spec.height / (y1 - y0)


class _Layers:
    """The drawing's shapes in px, cut at the page and by holes, made fine enough for ``scale`` mm per px."""

    def __init__(self, spec: DrawingSpec, scene: Scene, scale: float) -> None:
        self._spec = spec
        self.colours: set[str] = set()
        self.shapes: list[ColouredShape] = []
        self._cut: list[Source] = []
        self._hairs: list[Source] = []
        self._whole: list[Source] = []
        page = None if scene.page is None else box(0.0, 0.0, scene.page.width, scene.page.height)
        geometry = Geometry(TOLERANCES.flatten / scale / SLACK)
        colours = {key.lower(): value.lower() for key, value in spec.colours.items()}
        dust = (TOLERANCES.sliver / scale) ** 2
        for mark in scene.marks:
            self.colours.add(mark.colour)
            if mark.stroke is not None and mark.stroke.width * largest_stretch(mark.matrix) * scale < HAIR_MM:
                self._hairs.append(mark.source)
                continue
            try:
                shape = geometry.shape(mark)
            except ValueError as error:
                place = _place(spec, mark.source)
                raise InputError(Fault(str(error), place, "a simpler outline")) from None
            colour = colours.get(mark.colour, mark.colour)
            past = page is not None and not shape.is_empty and not _within(shape.bounds, page.bounds, scale)
            if past and colour != "none":
                self._cut.append(mark.source)
            if page is not None:
                shape = as_multi(shape.intersection(page), dust) if self._reaches_out(shape, page) else shape
            if shape.is_empty:
                continue
            if colour == "none":
                self._hole(shape, dust)
                continue
            if page is not None and shape.area >= page.area * (1 - 1e-6):
                self._whole.append(mark.source)
            self.shapes.append(ColouredShape(colour, shape, mark.source))

    @staticmethod
    def _reaches_out(shape: MultiPolygon, page: Polygon) -> bool:
        return not shape.is_empty and not _within(shape.bounds, page.bounds, 0.0)

    def _hole(self, hole: MultiPolygon, dust: float) -> None:
        kept = []
        for lower in self.shapes:
            if lower.shape.intersects(hole):
                rest = as_multi(lower.shape.difference(hole), dust)
                if not rest.is_empty:
                    kept.append(replace(lower, shape=rest))
            else:
                kept.append(lower)
        self.shapes = kept

    def leave_out(self, dust: float) -> None:
        """Leave pieces up to an area of ``dust`` out."""
        if dust:
            left = [(layer, as_multi(layer.shape, dust)) for layer in self.shapes]
            self.shapes = [replace(layer, shape=shape) for layer, shape in left if not shape.is_empty]

    def bounds(self) -> Box:
        """Return the box of all film, of which there must be some."""
        x0, y0, x1, y1 = shapely.total_bounds([layer.shape for layer in self.shapes])
        return (float(x0), float(y0), float(x1), float(y1))

    def report(self, notes: Notes) -> None:
        """Note what the page's edge cut, and what covers the page whole."""
        for source in self._cut:
            notes.add("svg-page-edge", "reaches past the page and was cut off at its edge", source,
                      "make the page larger if the whole shape is wanted")
        for source in self._hairs:
            notes.add("svg-stroke", f"a line thinner than {HAIR_MM} mm, which no film is, was left out", source,
                      "make the line wider")
        for source in self._whole:
            notes.add("svg-whole-page", "covers the whole page and is cut as film", source,
                      'map its colour to "none" if it is only a background')


def _within(inner: Box, outer: Box, scale: float) -> bool:
    # What reaches past the edge by less than anyone can cut is not worth a word, only a cut.
    slack = EDGE_MM / scale if scale else 0.0
    return (
        inner[0] >= outer[0] - slack and inner[1] >= outer[1] - slack
        and inner[2] <= outer[2] + slack and inner[3] <= outer[3] + slack
    )


def _reach(scene: Scene) -> Box:
    """The box of all outlines' control points within the page: at least as large as the film."""
    points = [point for mark in scene.marks for point in _extreme_points(mark)]
    x0, y0 = min(x for x, _ in points), min(y for _, y in points)
    x1, y1 = max(x for x, _ in points), max(y for _, y in points)
    if scene.page is not None:
        x0, y0 = max(x0, 0.0), max(y0, 0.0)
        x1, y1 = min(x1, scene.page.width), min(y1, scene.page.height)
    return (x0, y0, max(x1, x0 + LEAST_PX), max(y1, y0 + LEAST_PX))


def _extreme_points(mark: Mark) -> list[Point]:
    found: list[Point] = []
    pen = 0.0
    if mark.stroke is not None:
        pen = mark.stroke.width * max(mark.stroke.miter_limit, 1.5) * largest_stretch(mark.matrix)
    for command in transform(mark.commands, mark.matrix):
        for x, y in control_points(command):
            found += [(x - pen, y - pen), (x + pen, y + pen)] if pen else [(x, y)]
    return found


def _placed(
    spec: DrawingSpec, shapes: list[ColouredShape], bounds: Box, scale: float,
) -> tuple[ColouredShape, ...]:
    x, y = (bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2
    if max(bounds[2] - bounds[0], bounds[3] - bounds[1]) * scale > FARTHEST_MM:
        right = f"at most {FARTHEST_MM / 1e6:.0f} km across"
        raise InputError(Fault("the drawing comes out too large", _place(spec), right))
    middle, centre = np.array([x, y]), np.array(spec.centre)

    def place(points: NDArray[np.float64]) -> NDArray[np.float64]:
        moved: NDArray[np.float64] = (points - middle) * scale + centre
        return moved

    placed: list[ColouredShape] = []
    for layer in shapes:
        shape = shapely.transform(layer.shape, place)
        placed.append(replace(layer, shape=made_valid(shape)))  # rounding can pinch what was a hair apart
    return tuple(placed)


def _note_size(spec: DrawingSpec, scene: Scene, notes: Notes) -> None:
    if scene.page is None:
        right = 'width = "10 in" or height beside it, or width and height in the drawing'
        raise InputError(Fault("the drawing has no size", _place(spec), right))
    if not scene.page.stated:
        width, height = scene.page.width * MM_PER_PX, scene.page.height * MM_PER_PX
        what = f"the drawing states no physical size, its view box is taken as {width:.1f} × {height:.1f} mm"
        notes.add("svg-size", what, Source(spec.file), "give width or height in the project")


def _nothing(spec: DrawingSpec, scene: Scene) -> InputError:
    found = {finding.code for finding in scene.findings}
    right = "closed shapes with a fill"
    if "svg-text" in found:
        right = "text turned into outlines in the drawing program"
    elif "svg-image" in found:
        right = "pictures traced into outlines in the drawing program"
    return InputError(Fault("the drawing has no filled shapes", _place(spec), right))


def _place(spec: DrawingSpec, source: Source | None = None) -> str:
    file = f"{spec.file} line {source.line}" if source is not None and source.line else spec.file
    return f"{spec.where}, {file}" if spec.where else file
