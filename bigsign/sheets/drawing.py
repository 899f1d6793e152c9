"""Parts of the sign as drawn: board, film, trim outlines, break lines, hinge tape, level lines, tape marks."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely.geometry import LineString, MultiPolygon, box
from shapely.geometry.base import BaseGeometry

from bigsign.plan_records import Break, Panel, Plan, Point, RegisterMark
from bigsign.sheets.items import Area, Item, Stroke
from bigsign.sheets.labels import Taken, label_at
from bigsign.sheets.style import (
    BLACK,
    BREAK,
    CHAIN,
    DASHED,
    FINE,
    FIRM,
    GREY,
    HAIR,
    TAPE,
    film_fill,
    film_tint,
    is_pale,
)
from bigsign.sheets.views import View, areas, hatching, open_outline, outlines
from bigsign.sheets.writing import text_width

__all__ = [
    "board", "break_line", "cross", "film_as_seen", "film_in_hand", "film_of_neighbour", "hinge_tape", "level_line",
    "pale_film", "register_mark_names", "register_marks", "trim_outline",
]  # fmt: skip

TAPE_WIDTH = 25.4  # of masking tape on the sign, mm; common practice, no source
TAPE_PAST = 25.4  # how far hinge tape reaches past the panel each end, mm; common practice, no source


def board(view: View, plan: Plan) -> list[Item]:
    """Return the board's outline, cut to the window."""
    x0, y0, x1, y1 = plan.sign.outline.bounds
    if view.box[0] <= x0 and view.box[1] <= y0 and view.box[2] >= x1 and view.box[3] >= y1:
        return areas(view.shape(plan.sign.outline), "#ffffff", BLACK, FIRM)
    return view.strokes(plan.sign.outline.exterior.coords, FIRM)


def film_as_seen(view: View, plan: Plan) -> list[Item]:
    """Return all film, bottom to top, as it will look; white film is tinted and outlined."""
    out: list[Item] = []
    for piece in plan.pieces:
        stroke = GREY if is_pale(piece.colour) else None
        out += areas(view.shape(piece.shape), film_fill(piece.colour), stroke, HAIR)
    return out


def pale_film(view: View, plan: Plan) -> list[Item]:
    """Return all film in a pale grey, to set measures over."""
    return [item for piece in plan.pieces for item in areas(view.shape(piece.shape), "#e3e3e0", None)]


def film_in_hand(view: View, film: BaseGeometry, colour: str) -> list[Item]:
    """Return the film of the panel in hand: a solid tint with a firm outline."""
    return areas(view.shape(film), film_tint(colour), BLACK, FIRM)


def film_of_neighbour(view: View, film: MultiPolygon, up: bool) -> list[Item]:
    """Return a neighbour's film in the window: already up, hatched; still to come, dashed."""
    if not box(*film.bounds).intersects(box(*view.box)):
        return []
    edge = open_outline(view.shape(film), view.paper_box).simplify(0.01)
    if not up:
        return outlines(edge, FINE, GREY, DASHED)
    return [*hatching(view.shape(film, clip=True)), *outlines(edge, FINE, GREY)]


def trim_outline(view: View, panel: Panel, width: float = FINE, colour: str = BLACK) -> list[Item]:
    """Return a panel's trim outline."""
    return areas(view.shape(panel.trim), None, colour, width)


def break_line(view: View, part: Break) -> list[Item]:
    """Return a break line."""
    return view.strokes(part.line, FINE, BLACK, BREAK)


def register_marks(view: View, marks: Sequence[RegisterMark], fill: str | None = None) -> list[Item]:
    """Return register marks that show in the window."""
    window = box(*view.box)
    return [
        item for mark in marks if mark.path.within(window) for item in areas(view.shape(mark.path), fill, BLACK, FINE)
    ]


def register_mark_names(view: View, marks: Sequence[RegisterMark], taken: Taken, cap: float) -> list[Item]:
    """Return R1, R2 … beside the register marks in the window, where there is room."""
    out: list[Item] = []
    window = box(*view.box)
    for mark in marks:
        if not mark.path.within(window):
            continue
        x0, y0, x1, y1 = view.shape(mark.path).bounds
        taken.add((x0, y0, x1, y1))
        half, x, y = text_width(mark.id, cap, True) / 2, (x0 + x1) / 2, (y0 + y1) / 2
        aside, above = (x1 - x0) / 2 + half + 1.0, (y1 - y0) / 2 + cap / 2 + 1.0
        around = [
            (x + sx * aside * far, y + sy * above * far)
            for far in (1.0, 1.6, 2.4)
            for sx, sy in ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1))
        ]
        if found := label_at(taken, mark.id, cap, True, BLACK, around):
            out.append(found)
    return out


def hinge_tape(view: View, panel: Panel) -> tuple[list[Item], list[Item]]:
    """Return the hinge tape (to lie under the film's outlines) and its middle line (to lie over them)."""
    if panel.hinge is None:
        return [], []
    a, b = panel.hinge.line
    length = math.dist(a, b)
    if length < 1e-6:
        return [], []
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    past, half = TAPE_PAST, TAPE_WIDTH / 2
    a, b = (a[0] - ux * past, a[1] - uy * past), (b[0] + ux * past, b[1] + uy * past)
    strip = LineString([a, b]).buffer(half, cap_style="flat")
    under = areas(view.shape(strip, clip=True), TAPE, GREY, HAIR)
    return under, view.strokes([a, b], FINE, BLACK, CHAIN)


def level_line(view: View, panel: Panel, past: float, colour: str = BLACK) -> list[Item]:
    """Return the level line over a panel, ``past`` mm of paper longer each end, and a triangle at each foot."""
    level = panel.level
    if level is None:
        return []
    x0, y0, x1, y1 = panel.trim.bounds
    more = past * view.scale
    ends: tuple[Point, Point]
    if level.axis == "y":
        ends = ((x0 - more, level.at), (x1 + more, level.at))
    else:
        ends = ((level.at, y0 - more), (level.at, y1 + more))
    out = view.strokes(ends, FINE, colour, CHAIN)
    middle = panel.trim.envelope.centroid
    for point in level.points:
        x, y = view.at(point)
        # A triangle stands outside the letter, its tip on the foot.
        if level.axis == "y":
            away = 1.0 if level.at >= middle.y else -1.0
            ring = ((x, y), (x - 0.9, y + 1.7 * away), (x + 0.9, y + 1.7 * away))
        else:
            away = 1.0 if level.at >= middle.x else -1.0
            ring = ((x, y), (x + 1.7 * away, y - 0.9), (x + 1.7 * away, y + 0.9))
        out.append(Area((ring,), colour, None))
    return out


def cross(at: Point, arm: float = 1.5) -> list[Item]:
    """Return a small upright cross on the paper: a tape mark."""
    x, y = at
    return [Stroke(((x - arm, y), (x + arm, y)), FINE), Stroke(((x, y - arm), (x, y + arm)), FINE)]
