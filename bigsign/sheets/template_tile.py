"""A sheet of the template: its part of the sign at full size, its joining marks, and which sheets lie on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bigsign.plan_records import Panel, Plan
from bigsign.sheets.alt import tile_alt
from bigsign.sheets.drawing import break_line, cross, register_mark_names
from bigsign.sheets.grid import scale_text
from bigsign.sheets.items import Box, Circle, Drawing, Item, Page, Point, Stroke, in_role
from bigsign.sheets.labels import Taken, label_at
from bigsign.sheets.style import (
    BLACK,
    CHAIN,
    FINE,
    FIRM,
    GREY,
    HAIR,
    MARGIN,
    MEASURE_CAP,
    SMALL_CAP,
    STEP_CAP,
    TITLE_CAP,
    film_tint,
)  # fmt: skip
from bigsign.sheets.template import OVERLAP, Grid, Tile
from bigsign.sheets.views import View, areas, outlines
from bigsign.sheets.writing import line, text_width
from bigsign.wording import phrase

__all__ = ["DOTS", "FilmDrawn", "film_drawn", "joining_cross", "tile_page"]

DOTS = (0.6, 1.2)
ARM, RING = 4.5, 1.8  # of a joining mark, mm
NEAR = (1.9, 3.4, 5.2)  # from a joining mark to its name, tried in turn
CORNER = 9.0  # square kept free at a cell's corners for the mark and its name
RADIUS = 3.6  # of a panel's number
LEAST_HINGE = 15.0  # of a hinge's line in a cell, for its name to stand there
PAST_FEET = 25.0  # how far the line of the feet is drawn past the panel's trim
PAST_HINGE = 8.0  # how far the hinge's line runs past the panel
#: Where along a cell's side a text is tried, from the middle outward.
ALONG = tuple(0.5 + (n + 1) // 2 * (-0.03 if n % 2 else 0.03) for n in range(27))
#: From a corner of a cell inward.
INWARD = ((1, 1), (-1, 1), (1, -1), (-1, -1))


@dataclass(frozen=True, slots=True)
class FilmDrawn:
    """All film as the template draws it: a tint, and an outline that lies within it, its outer edge on the film's."""

    shapes: tuple[BaseGeometry, ...]
    inner: tuple[BaseGeometry, ...]
    tints: tuple[str, ...]


def film_drawn(plan: Plan) -> FilmDrawn:
    """Return all film, bottom to top."""
    shapes = tuple(piece.shape for piece in plan.pieces)
    inner = tuple(shape.buffer(-FIRM / 2, join_style="mitre") for shape in shapes)
    return FilmDrawn(shapes, inner, tuple(film_tint(piece.colour) for piece in plan.pieces))


def tile_page(plan: Plan, grid: Grid, tile: Tile, film: FilmDrawn, size: tuple[float, float]) -> Page:
    """Return a sheet without its title block; ``size`` is the paper's."""
    view = View(tile.sign_box, tile.paper_origin, 1.0)
    window = shapely.box(*tile.sign_box)
    items: list[Item] = []
    edges: list[BaseGeometry] = []
    for shape, inner, tint in zip(film.shapes, film.inner, film.tints, strict=True):
        if shape.intersects(window):
            items += areas(view.shape(shape, clip=True), tint, None)
            items += outlines(view.shape(inner.boundary, clip=True).simplify(0.005), FIRM, BLACK)
            edges.append(view.shape(shape.boundary, clip=True))
    drawn: list[Item] = view.strokes(plan.sign.outline.exterior.coords, FIRM)
    for panel in plan.panels:
        drawn += view.strokes(panel.trim.exterior.coords, FINE)
        drawn += _hinge(view, panel)
        drawn += [stroke for end in _feet(plan, panel) for stroke in view.strokes(end, FINE, BLACK, CHAIN)]
    for part in plan.breaks:
        drawn += break_line(view, part)
    for mark in plan.marks:
        drawn += [stroke for part in mark.path.geoms for stroke in view.strokes(part.exterior.coords, FINE)]
    items += drawn
    edges += [LineString(item.points) for item in drawn if isinstance(item, Stroke)]
    taken = Taken(view.paper_box, shapes=edges)
    items += _marks(view, tile, taken)
    items += _joins(view, grid, tile, taken)
    items += _tape_marks(view, plan, tile, taken)
    items += register_mark_names(view, plan.marks, taken, STEP_CAP)
    items += _hinge_names(view, plan, tile, taken)
    items += _feet_names(view, plan, tile, taken)
    items += _edge_names(view, plan, tile, taken)
    items += _numbers(view, plan, tile, taken)
    drawing = Drawing(1.0, tile.sign_box, view.paper_box)
    shown = [panel.number for panel in plan.panels if panel.film.intersects(window)]
    drawing = replace(drawing, alt=tile_alt(plan, grid, tile, shown, drawing))
    title = phrase("template.sheet", label=tile.label)
    return Page("template", title, *size, (*_head(tile, size), *in_role(items, "drawn")), (drawing,))


def _head(tile: Tile, size: tuple[float, float]) -> list[Item]:
    base = MARGIN + 2.4 + TITLE_CAP
    left = MARGIN + 3.0
    name = line((left, base), tile.label, TITLE_CAP, True)
    note = line(
        (left + text_width(tile.label, TITLE_CAP, True) + 5.0, base), phrase("template.head"), STEP_CAP, colour=GREY
    )
    scale = line((size[0] - MARGIN - 3.0, base), scale_text(1.0), STEP_CAP, True, "r")
    return [name, note, scale]


def _hinge(view: View, panel: Panel) -> list[Item]:
    if panel.hinge is None:
        return []
    a, b = np.array(panel.hinge.line[0]), np.array(panel.hinge.line[1])
    length = float(np.hypot(*(b - a)))
    if length < 1e-6:
        return []
    past = (b - a) / length * PAST_HINGE
    return view.strokes([tuple(a - past), tuple(b + past)], FINE, BLACK, CHAIN)


def _hinge_names(view: View, plan: Plan, tile: Tile, taken: Taken) -> list[Item]:
    """Return the word at each hinge's line in the sheet's cell, above or below it where that crosses nothing drawn."""
    out: list[Item] = []
    cell = shapely.box(*tile.cell)
    for panel in plan.panels:
        if panel.hinge is None:
            continue
        seen = LineString(panel.hinge.line).intersection(cell)
        if not isinstance(seen, LineString) or seen.length < LEAST_HINGE:
            continue
        name = phrase("template.hinge", n=panel.number)
        half = text_width(name, SMALL_CAP) / 2
        around = []
        for share in (0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9):
            x, y = view.at(seen.interpolate(share, normalized=True).coords[0])
            upright = abs(panel.hinge.line[0][0] - panel.hinge.line[1][0]) < 1e-6
            around += [(x + s * (half + 1.2), y) if upright else (x, y + s * (SMALL_CAP / 2 + 1.2)) for s in (1, -1)]
        if found := label_at(taken, name, SMALL_CAP, False, BLACK, around):
            out.append(found)
    return out


def _feet(plan: Plan, panel: Panel) -> list[tuple[Point, Point]]:
    """Return the ends of the line that a panel's feet stand on, past its trim, inner points first.

    There the line is drawn on the board; not under another panel.
    """
    if panel.level is None:
        return []
    x0, y0, x1, y1 = panel.trim.bounds
    at, more = panel.level.at, PAST_FEET
    if panel.level.axis == "y":
        ends = [((x0, at), (x0 - more, at)), ((x1, at), (x1 + more, at))]
    else:
        ends = [((at, y0), (at, y0 - more)), ((at, y1), (at, y1 + more))]
    others = [other.trim for other in plan.panels if other.id != panel.id]
    return [end for end in ends if not any(trim.intersects(LineString(end)) for trim in others)]


def _feet_names(view: View, plan: Plan, tile: Tile, taken: Taken) -> list[Item]:
    """Return whose feet stand on a line at its ends in the sheet's cell, where that crosses nothing drawn."""
    out: list[Item] = []
    for panel in plan.panels:
        name = phrase("template.feet", panels=panel.number)
        half, off = text_width(name, SMALL_CAP) / 2, SMALL_CAP / 2 + 1.2
        for inner, outer in _feet(plan, panel):
            x, y = view.at(outer)
            if not _inside((x, y), view, tile):
                continue
            if inner[1] == outer[1]:
                sign = 1.0 if outer[0] > inner[0] else -1.0
                around = [(x - sign * half, y + s * off) for s in (1, -1)]
            else:
                sign = 1.0 if outer[1] > inner[1] else -1.0
                around = [(x, y + sign * off), (x + half + 1.2, y - sign * off), (x - half - 1.2, y - sign * off)]
            if found := label_at(taken, name, SMALL_CAP, False, BLACK, around):
                out.append(found)
    return out


def _edge_names(view: View, plan: Plan, tile: Tile, taken: Taken) -> list[Item]:
    """Return which edge of the board a line is, along its edges in the sheet's cell; a board of four straight sides."""
    x0, y0, x1, y1 = plan.sign.outline.bounds
    window = shapely.box(*tile.sign_box)
    sides = {
        "left": ((x0, y0), (x0, y1)), "right": ((x1, y0), (x1, y1)),
        "top": ((x0, y0), (x1, y0)), "bottom": ((x0, y1), (x1, y1)),
    }  # fmt: skip
    out: list[Item] = []
    for side, ends in sides.items():
        seen = LineString(ends).intersection(window)
        name = phrase(f"template.edge.{side}")
        width = text_width(name, SMALL_CAP)
        if not isinstance(seen, LineString) or seen.length < width + 4.0:
            continue
        upright = side in ("left", "right")
        inward = {"left": 1, "top": 1, "right": -1, "bottom": -1}[side]
        for off, share in [(off, share) for off in (inward, -inward) for share in ALONG]:
            x, y = view.at(seen.interpolate(share, normalized=True).coords[0])
            far = off * (SMALL_CAP / 2 + 1.2)
            x, y = (x + far, y) if upright else (x, y + far)
            half, high = (SMALL_CAP / 2, width / 2) if upright else (width / 2, SMALL_CAP / 2)
            frame = (x - half, y - high, x + half, y + high)
            if taken.free(frame, 0.6):
                taken.add(frame)
                at = (x + SMALL_CAP / 2, y) if upright else (x, y + SMALL_CAP / 2)
                out.append(line(at, name, SMALL_CAP, False, "c", BLACK, turned=upright, role="drawn"))
                break
    return out


def joining_cross(at: Point) -> list[Item]:
    """Return a joining mark: a cross in a ring, so that its halves show when they are off."""
    return [*cross(at, ARM), Circle(at, RING, None, BLACK, FINE)]


def _marks(view: View, tile: Tile, taken: Taken) -> list[Item]:
    """Return the four joining marks, each with its name inside the sheet's own cell, where no neighbour covers it."""
    out: list[Item] = []
    for name, (right, down), place in zip(tile.corners, INWARD, _corners(tile.cell), strict=True):
        x, y = view.at(place)
        out += joining_cross((x, y))
        taken.add((x - ARM, y - 0.3, x + ARM, y + 0.3))
        taken.add((x - 0.3, y - ARM, x + 0.3, y + ARM))
        half, high = text_width(name, SMALL_CAP, True) / 2, SMALL_CAP / 2
        spots = [(x + right * (across + half), y + down * (far + high)) for far in NEAR for across in NEAR]
        found = label_at(taken, name, SMALL_CAP, True, BLACK, spots)
        out.append(found or line((spots[0][0], spots[0][1] + high), name, SMALL_CAP, True, "c"))
    for (right, down), place in zip(INWARD, _corners(tile.cell), strict=True):
        x, y = view.at(place)
        taken.add((min(x - ARM, x + right * CORNER), min(y - ARM, y + down * CORNER),
                   max(x + ARM, x + right * CORNER), max(y + ARM, y + down * CORNER)))  # fmt: skip
    return out


def _corners(box: Box) -> list[Point]:
    x0, y0, x1, y1 = box
    return [(x0, y0), (x1, y0), (x0, y1), (x1, y1)]


def _joins(view: View, grid: Grid, tile: Tile, taken: Taken) -> list[Item]:
    """Return the sides of the cell where another sheet joins: a dotted line, and beyond it what to do there."""
    x0, y0 = view.at(tile.cell[:2])
    x1, y1 = view.at(tile.cell[2:])
    sides = (
        ((0, -1), ((x0, y0), (x0, y1)), "template.cut"),
        ((-1, 0), ((x0, y0), (x1, y0)), "template.cut"),
        ((0, 1), ((x1, y0), (x1, y1)), "template.lay"),
        ((1, 0), ((x0, y1), (x1, y1)), "template.lay"),
    )
    out: list[Item] = []
    for (down, right), (a, b), key in sides:
        other = grid.by_place.get((tile.row + down, tile.column + right))
        if other is None:
            continue
        out.append(Stroke((a, b), HAIR, BLACK, DOTS))
        out.append(_beyond(phrase(key, label=other.label), other.label, a, b, (right, down), taken))
    return out


def _beyond(text: str, short: str, a: Point, b: Point, outward: tuple[int, int], taken: Taken) -> Item:
    """Return a text that stands along a side of the cell, in the strip beyond it.

    Where it crosses nothing drawn; else the ``short`` one there; else that one over lines, but over no other text.
    """
    upright = outward[0] != 0
    off = OVERLAP / 4
    ways = ((text, False), (short, False), (short, True))
    tries = [(said, share, over) for said, over in ways for share in ALONG]
    found = (short, a)
    for said, share, over in tries:
        x, y = a[0] + share * (b[0] - a[0]) + off * outward[0], a[1] + share * (b[1] - a[1]) + off * outward[1]
        width = text_width(said, SMALL_CAP)
        half, high = (SMALL_CAP / 2, width / 2) if upright else (width / 2, SMALL_CAP / 2)
        box = (x - half, y - high, x + half, y + high)
        if taken.free(box, 0.6, over_shapes=over):
            taken.add(box)
            found = said, (x, y)
            break
    said, (x, y) = found
    at = (x + SMALL_CAP / 2, y) if upright else (x, y + SMALL_CAP / 2)
    return line(at, said, SMALL_CAP, False, "c", BLACK, turned=upright)


def _tape_marks(view: View, plan: Plan, tile: Tile, taken: Taken) -> list[Item]:
    """Return the tape marks in the sheet's window, each named where it lies in the sheet's own cell."""
    out: list[Item] = []
    x0, y0, x1, y1 = tile.sign_box
    for mark in plan.tape_marks:
        if not (x0 <= mark.at[0] <= x1 and y0 <= mark.at[1] <= y1):
            continue
        x, y = view.at(mark.at)
        arms = shapely.MultiLineString([[(x - 3, y), (x + 3, y)], [(x, y - 3), (x, y + 3)]])
        out += outlines(arms.intersection(shapely.box(*view.paper_box)), FIRM, BLACK)
        taken.add((x - 1.0, y - 1.0, x + 1.0, y + 1.0))
        half = text_width(mark.id, STEP_CAP, True) / 2
        around = [(x + sx * (half + far), y + sy * far) for far in (2.6, 4.5, 7.0) for sx, sy in INWARD]
        if _inside((x, y), view, tile) and (found := label_at(taken, mark.id, STEP_CAP, True, BLACK, around)):
            out.append(found)
    return out


def _inside(at: Point, view: View, tile: Tile) -> bool:
    x0, y0 = view.at(tile.cell[:2])
    x1, y1 = view.at(tile.cell[2:])
    return x0 <= at[0] <= x1 and y0 <= at[1] <= y1


def _numbers(view: View, plan: Plan, tile: Tile, taken: Taken) -> list[Item]:
    """Return the number of each panel with film in the sheet's cell, in a circle that is not filled.

    Beside the film if there is room, else within a stroke of it: there the tint leaves it legible.
    """
    out: list[Item] = []
    cell = shapely.box(*tile.cell)
    own = view.shape(cell)
    busy = shapely.union_all([shapely.box(*box) for box in taken.boxes])
    for panel in plan.panels:
        if not panel.trim.intersects(cell):
            continue
        part = view.shape(panel.film.intersection(cell)).simplify(0.2)
        if part.area < 4.0:
            continue
        room = view.shape(panel.trim).intersection(own).difference(busy)
        beside, within = room.difference(part.buffer(0.8)), part.buffer(-0.8).difference(busy)
        at = _middle(beside) or _middle(within) or _middle(room, 0.0)
        if at is None:
            continue
        cap = MEASURE_CAP if panel.number < 100 else STEP_CAP
        out.append(Circle(at, RADIUS, None, BLACK, FINE))
        out.append(line((at[0], at[1] + cap / 2), str(panel.number), cap, True, "c"))
        busy = busy.union(shapely.Point(at).buffer(RADIUS + 1.0))
    return out


def _middle(shape: BaseGeometry, radius: float = RADIUS + 0.4) -> Point | None:
    """Return the middle of the largest circle in a shape if its radius is at least ``radius``."""
    parts = list(shape.geoms) if isinstance(shape, MultiPolygon) else [shape]
    best: tuple[float, Point] | None = None
    for part in parts:
        slim = part.simplify(0.2)
        if not isinstance(slim, Polygon) or slim.is_empty or slim.area < 3.2 * radius**2:
            continue
        found = shapely.maximum_inscribed_circle(slim, tolerance=0.3)
        if found.length >= radius and (best is None or found.length > best[0] + 1e-6):
            x, y = found.coords[0]
            best = (found.length, (float(x), float(y)))
    return None if best is None else best[1]
