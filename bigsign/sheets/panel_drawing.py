"""The drawing of a panel as it will hang: what is in hand, what is beside it, and every measure to set it by."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry

from bigsign.plan_records import Break, GapAt, Panel, Plan
from bigsign.sheets.balloons import number_circle
from bigsign.sheets.dimensions import Measure, across_room, down_room, measure_of, running, size
from bigsign.sheets.drawing import (
    board,
    break_line,
    cross,
    film_in_hand,
    film_of_neighbour,
    hinge_tape,
    level_line,
    register_mark_names,
    register_marks,
    trim_outline,
)
from bigsign.sheets.grid import scale_text
from bigsign.sheets.items import Box, Circle, Item, Point, Stroke, in_role
from bigsign.sheets.labels import Taken, clashes, label_at
from bigsign.sheets.metrics import ink_box
from bigsign.sheets.setout import datum_of
from bigsign.sheets.style import ACCENT, BLACK, FIRM, GREY, HAIR, MEASURE_CAP, SMALL_CAP, STEP_CAP, film_tint
from bigsign.sheets.views import View, best_scale, outlines
from bigsign.sheets.writing import line, rectangle, text_width
from bigsign.units import TapeLength
from bigsign.wording import phrase

__all__ = ["PanelDrawing", "draw_panel", "join_letters", "panel_scale"]

#: What is shown of the sign round a panel, tried in turn: a share of its longer side, and at least so many mm.
REACHES = ((0.10, 12.0), (0.06, 12.0), (0.03, 12.0), (0.0, 5.0))
SIZES = 12.0  # room for the bracketed sizes to the right and below
SMALL_RADIUS = 2.6
ROOMY = 4.0  # the n of the smallest scale 1:n at which a gap's figures at all heights have room
SHARED = 0.05  # mm: edges this near touch


@dataclass(frozen=True, slots=True)
class PanelDrawing:
    """A panel's drawing: its items, its view, and the box on the paper that it takes with all its measures."""

    items: tuple[Item, ...]
    view: View
    taken: Box


def join_letters(plan: Plan) -> dict[str, str]:
    """Return the letters of the joins by break id: A, B … Z, AA, AB …, in the order of the breaks."""
    out = {}
    for index, part in enumerate(plan.breaks):
        first, last = divmod(index, 26)
        out[part.id] = ("" if not first else chr(64 + first)) + chr(65 + last)
    return out


def draw_panel(plan: Plan, panel: Panel, left: float, top: float, width: float, height: float) -> PanelDrawing:
    """Return the drawing of a panel in a room of the page, as large as an allowed scale lets it be."""
    view, above, aside = _view(plan, panel, left, top, width, height)
    scale = view.scale
    x0, y0, x1, y1 = view.paper_box
    items = board(view, plan)
    for other in plan.panels:
        if other.id != panel.id:
            items += film_of_neighbour(view, other.film, other.number < panel.number)
    under, over = hinge_tape(view, panel)
    items += under
    items += film_in_hand(view, panel.film, panel.colour)
    items += trim_outline(view, panel)
    items += _butting_edges(plan, panel, view)
    items += register_marks(view, plan.marks_of(panel), film_tint(panel.colour))
    for part in plan.breaks:
        items += break_line(view, part)
    items += level_line(view, panel, 5.0) + over
    x, y = _measures(plan, panel, view)
    tx0, ty0 = view.at(panel.trim.bounds[:2])
    tx1, ty1 = view.at(panel.trim.bounds[2:])
    across = size((tx0, y1), (tx1, y1), f"({panel.trim_size.width.tape})", 7.0)
    scale_line = line((x0, y1 + SIZES + 1.0), scale_text(scale), SMALL_CAP)
    dims = running(
        (x, datum_of(plan, view, "x"), (left, left + width)),
        (y, datum_of(plan, view, "y"), (y0 - 5.0, y1 + SIZES)),
        (x0, y0),
        [*across, scale_line],
    )
    dims += across
    dims += _height(panel, (x1, ty0), (x1, ty1), dims)
    items += dims
    items.append(scale_line)
    films = [view.shape(other.film, clip=True) for other in plan.panels]
    taken = Taken((left, top, left + width, y1 + SIZES + 3.0), (), films)
    taken.add_items([*dims, scale_line])
    items += register_mark_names(view, plan.marks_of(panel), taken, SMALL_CAP)
    items += _gaps(plan, panel, view, taken)
    items += _tape_marks(plan, panel, view, taken)
    items += _joins(plan, panel, view, taken)
    items += _neighbour_numbers(plan, panel, view, taken)
    return PanelDrawing(tuple(in_role(items, "drawn")), view, (x0 - aside, y0 - above, x1 + SIZES, y1 + SIZES + 3.0))


def panel_scale(plan: Plan, panel: Panel, width: float, height: float) -> float:
    """Return the n of the scale 1:n at which a panel is drawn in a room."""
    return _view(plan, panel, 0.0, 0.0, width, height)[0].scale


def _view(
    plan: Plan, panel: Panel, left: float, top: float, width: float, height: float
) -> tuple[View, float, float]:
    """Return a panel's view in a room, and what its measures take above and to the left of it."""
    plain = View((0.0, 0.0, plan.sign.width.mm, plan.sign.height.mm), (0.0, 0.0), 1.0)
    x, y = _measures(plan, panel, plain)
    above, aside = across_room(x), down_room(y)
    windows = [_window(plan, panel, reach) for reach in REACHES]
    room = (width - aside - SIZES, height - above - SIZES - 3.0)
    scale, at = min(
        (best_scale(w[2] - w[0], w[3] - w[1], *room), index) for index, w in enumerate(windows)
    )  # fmt: skip
    window = windows[at]
    slack = max(0.0, room[0] - (window[2] - window[0]) / scale)
    return View(window, (left + aside + slack / 2, top + above), scale), above, aside


def _height(panel: Panel, top: Point, foot: Point, others: Sequence[Item]) -> list[Item]:
    """Return the trim's height, its figure clear of the other dimensions."""
    text = f"({panel.trim_size.height.tape})"
    above = size(top, foot, text, 7.5)
    frame = (-1e9, -1e9, 1e9, 1e9)
    return size(top, foot, text, 7.5, below=True) if clashes([*others, *above], frame) else above


def _window(plan: Plan, panel: Panel, reach: tuple[float, float]) -> Box:
    """Return what is shown of the sign: the panel's trim and a margin round it, not past the board."""
    x0, y0, x1, y1 = panel.trim.bounds
    more = max(reach[0] * max(x1 - x0, y1 - y0), reach[1])
    width, height = plan.sign.width.mm, plan.sign.height.mm
    return max(x0 - more, 0.0), max(y0 - more, 0.0), min(x1 + more, width), min(y1 + more, height)


def _measures(plan: Plan, panel: Panel, view: View) -> tuple[list[Measure], list[Measure]]:
    """Return what is dimensioned across and down: trim, hinge, level, and the ends of this panel's joins."""
    x0, y0, x1, y1 = panel.trim.bounds
    place = panel.from_reference
    sides = {"left": x0, "right": x1, "top": y0, "bottom": y1}
    found: tuple[dict[tuple[float, str], list[str]], dict[tuple[float, str], list[str]]] = ({}, {})
    lengths: dict[tuple[float, str], TapeLength] = {}

    def put(axis: int, at: float, length: TapeLength, name: str) -> None:
        key = (round(at, 2), length.shown)
        names = found[axis].setdefault(key, [])
        if name not in names:
            names.append(name)
        lengths.setdefault(key, length)

    put(0, sides.get(place.x.side, (x0 + x1) / 2), place.x.length, phrase("measure.trim"))
    put(1, sides.get(place.y.side, (y0 + y1) / 2), place.y.length, phrase("measure.trim"))
    if panel.hinge is not None:
        (hx0, hy0), (hx1, hy1) = panel.hinge.line
        if abs(hy0 - hy1) < 1e-6:
            put(1, hy0, panel.hinge.from_reference.y.length, phrase("measure.hinge"))
        elif abs(hx0 - hx1) < 1e-6:
            put(0, hx0, panel.hinge.from_reference.x.length, phrase("measure.hinge"))
    if panel.level is not None:
        axis = 1 if panel.level.axis == "y" else 0
        put(axis, panel.level.at, panel.level.from_reference.length, phrase("measure.level"))
    out: tuple[list[Measure], list[Measure]] = ([], [])
    for axis in (0, 1):
        for key, names in found[axis].items():
            point = view.at((key[0], key[0]))[axis]
            out[axis].append(measure_of(point, lengths[key], *names))
    return out


def _butting_edges(plan: Plan, panel: Panel, view: View) -> list[Item]:
    """Return the trims of neighbours that are up and butt, and firmly the edges that touch theirs."""
    out: list[Item] = []
    window = box(*view.box)
    for part in plan.breaks:
        if panel.id not in part.panels or not part.butts:
            continue
        other = next(plan.panel(name) for name in part.panels if name != panel.id)
        if other.number > panel.number:
            continue
        out += outlines(view.shape(other.trim.exterior.intersection(window)), HAIR, GREY)
        shared = panel.trim.exterior.intersection(other.trim.buffer(SHARED)).intersection(window)
        out += outlines(view.shape(shared), FIRM, BLACK)
    return out


def _facing(a: BaseGeometry, b: BaseGeometry, gap: GapAt) -> tuple[Point, Point] | None:
    """Return the ends of a gap at its height: the facing edges of two films whose distance is the gap's."""
    level = gap.along == "x"
    x0, y0 = min(a.bounds[0], b.bounds[0]) - 1, min(a.bounds[1], b.bounds[1]) - 1
    x1, y1 = max(a.bounds[2], b.bounds[2]) + 1, max(a.bounds[3], b.bounds[3]) + 1
    ray = LineString([(x0, gap.at_mm), (x1, gap.at_mm)] if level else [(gap.at_mm, y0), (gap.at_mm, y1)])
    spans = []
    for film in (a, b):
        hit = ray.intersection(film)
        parts = [part for part in getattr(hit, "geoms", [hit]) if not part.is_empty]
        index = 0 if level else 1
        spans.append([(part.bounds[index], part.bounds[index + 2]) for part in parts])
    best: tuple[float, float, float] | None = None
    for one in spans[0]:
        for two in spans[1]:
            low, high = (one[1], two[0]) if one[0] < two[0] else (two[1], one[0])
            off = abs(high - low - gap.gap.mm)
            if off < 0.1 and (best is None or off < best[0]):
                best = (off, low, high)
    if best is None:
        return None
    _, low, high = best
    return ((low, gap.at_mm), (high, gap.at_mm)) if level else ((gap.at_mm, low), (gap.at_mm, high))


def _gaps(plan: Plan, panel: Panel, view: View, taken: Taken) -> list[Item]:
    """Return the gaps to panels already up as small dimensions, each with its figure where that finds a free place.

    The table of joins on the page holds every gap in any case.
    """
    out: list[Item] = []
    window = box(*view.box)
    for part in plan.breaks:
        if panel.id not in part.panels:
            continue
        one, two = (plan.panel(name) for name in part.panels)
        if max(one.number, two.number) > panel.number:
            continue  # measured when that one goes up, on its page
        for text, ends in _shown_gaps(one, two, part, view.scale):
            if not LineString(ends).within(window):
                continue
            a, b = view.at(ends[0]), view.at(ends[1])
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            label = label_at(taken, text, STEP_CAP, True, ACCENT, _within(_around(middle, text), view.paper_box))
            if label is None:
                continue
            out.append(Stroke((a, b), HAIR, ACCENT))
            out += [Circle(a, 0.4, ACCENT, None), Circle(b, 0.4, ACCENT, None)]
            ink = ink_box(label)
            assert ink is not None
            target = (min(max(middle[0], ink[0]), ink[2]), min(max(middle[1], ink[1]), ink[3]))
            if math.dist(middle, target) > 1.0:
                out.append(Stroke((middle, target), HAIR, ACCENT))
            out += [_halo(ink), label]
    return out


def _shown_gaps(one: Panel, two: Panel, part: Break, scale: float) -> list[tuple[str, tuple[Point, Point]]]:
    """Return the figures and ends of the gaps to draw: the narrowest, and where the scale has room all heights."""
    out = []
    if part.narrowest is not None:
        out.append((part.gap.tape, part.narrowest.ends))
    for gap in part.gaps if scale <= ROOMY else ():
        ends = _facing(one.film, two.film, gap)
        if ends is not None and (gap.gap.tape != part.gap.tape or not out):
            out.append((gap.gap.tape, ends))
    return out


def _within(points: Sequence[Point], frame: Box) -> list[Point]:
    return [(x, y) for x, y in points if frame[0] < x < frame[2] and frame[1] < y < frame[3]]


def _around(middle: Point, text: str) -> list[Point]:
    half = text_width(text, STEP_CAP, True) / 2
    x, y = middle
    out = [(x, y - 2.6), (x, y + 2.6)]
    for far in (4.5, 7.0, 10.0, 14.0):
        out += [(x, y - far), (x, y + far), (x + half + far - 2, y - 2.2), (x - half - far + 2, y - 2.2)]
        out += [(x + half + far - 2, y + far / 2), (x - half - far + 2, y + far / 2)]
        out += [(x + half + far - 2, y - far / 2), (x - half - far + 2, y - far / 2)]
    return out


def _tape_marks(plan: Plan, panel: Panel, view: View, taken: Taken) -> list[Item]:
    """Return the tape marks on the panel's trim outline, each with its name where that finds a free place."""
    out: list[Item] = []
    for mark in plan.marks_on(panel):
        out += cross(view.at(mark.at), 2.2)
        x, y = view.at(mark.at)
        half = text_width(mark.id, STEP_CAP, True) / 2
        around = [
            (x + sx * (half + 1.2) * far, y + sy * (STEP_CAP / 2 + 1.2) * far)
            for far in (1.0, 1.5, 2.2)
            for sx, sy in ((-1, -1), (1, -1), (-1, 1), (1, 1), (0, -1.4), (-1.4, 0), (1.4, 0))
        ]
        if found := label_at(taken, mark.id, STEP_CAP, True, BLACK, around):
            ink = ink_box(found)
            assert ink is not None
            out += [_halo(ink), found]
    return out


def _joins(plan: Plan, panel: Panel, view: View, taken: Taken) -> list[Item]:
    """Return the joins' letters at both ends of their break lines."""
    out: list[Item] = []
    letters = join_letters(plan)
    window = box(*view.box)
    for part in plan.breaks:
        if panel.id not in part.panels:
            continue
        seen = LineString(part.line).intersection(window)
        if not isinstance(seen, LineString) or seen.length < 1e-6:
            continue
        a, b = view.at(seen.coords[0]), view.at(seen.coords[-1])
        length = math.dist(a, b)
        if length < 1e-6:
            continue
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        for (x, y), sign in ((a, -1.0), (b, 1.0)):
            around = []
            for off in (2.8, -3.5, 4.5, -7.0, -11.0):
                for aside in (0.0, 2.8, -2.8):
                    around.append((x + sign * ux * off - uy * aside, y + sign * uy * off + ux * aside))
            label = label_at(taken, letters[part.id], MEASURE_CAP, True, BLACK, around)
            if label is not None:
                ink = ink_box(label)
                assert ink is not None
                out += [_halo(ink), label]
    return out


def _neighbour_numbers(plan: Plan, panel: Panel, view: View, taken: Taken) -> list[Item]:
    """Return the numbers of the panels that show beside the one in hand."""
    out: list[Item] = []
    for other in plan.panels:
        seen = view.shape(other.trim, clip=True) if other.id != panel.id else None
        if seen is None or seen.is_empty or seen.area < 12.0:
            continue
        for spot in _spots(seen):
            r = SMALL_RADIUS
            ring = (spot[0] - r, spot[1] - r, spot[0] + r, spot[1] + r)
            if taken.free(ring, 0.6):
                taken.add(ring)
                out += number_circle(spot, other.number, r)
                break
    return out


def _spots(shape: BaseGeometry) -> Sequence[Point]:
    x0, y0, x1, y1 = shape.bounds
    inside = shape.representative_point()
    grid = [
        (x0 + (x1 - x0) * a, y0 + (y1 - y0) * b)
        for a in (0.5, 0.3, 0.7, 0.15, 0.85)
        for b in (0.5, 0.3, 0.7, 0.15, 0.85)
    ]
    return [(inside.x, inside.y), *grid]


def _halo(ink: Box) -> Item:
    return rectangle(ink[0] - 0.5, ink[1] - 0.5, ink[2] + 0.5, ink[3] + 0.5, "#ffffff", None)
