"""Joins at full size: the last letter, the gap and the next letter of each join to a panel already up.

They are there to lay against the work. Each stands on its panel's own page if that has room, else on sheets that hold
the joins of several panels, in the order of work.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from bigsign.plan_records import Break, GapAt, Panel, Plan, Point
from bigsign.sheets.alt import join_alt
from bigsign.sheets.drawing import break_line, film_in_hand, film_of_neighbour, register_marks
from bigsign.sheets.grid import Field, page_field, page_size, scale_text, title_items
from bigsign.sheets.items import Area, Box, Drawing, Item, Page, Stroke, in_role
from bigsign.sheets.join_list import place_of_gap
from bigsign.sheets.labels import spread
from bigsign.sheets.panel_drawing import join_letters
from bigsign.sheets.style import (
    ACCENT,
    BLACK,
    DASHED,
    FINE,
    GREY,
    HAIR,
    MEASURE_CAP,
    SMALL_CAP,
    STEP_CAP,
    film_tint,
)
from bigsign.sheets.views import View, outlines
from bigsign.sheets.writing import line, rectangle, text_width
from bigsign.wording import phrase

__all__ = ["Join", "full_size_joins", "join_pages", "other_of", "set_joins"]

FIGURES = 24.0  # mm beside a window for its figures
HEAD = 5.6  # above a window
BETWEEN = 7.0  # from one window to the next
SIDE, LEAST_SIDE = 26.0, 13.0  # of film shown on both sides of a gap
ABOVE = 4.0  # shown above and below the heights at which the gap is given
LEAST = (54.0, 46.0)  # of a window, along the gap and across it
MOST_ACROSS = 102.0  # of a window across its gaps: two rows of windows have room on a sheet
PROOF = 10.0  # side of the square that proves the print
ARROW, TAIL = 2.0, 6.0  # of an arrow on a film's edge
LABEL = MEASURE_CAP + SMALL_CAP + 4.4  # height of a gap's figure with its place
LEAST_SEEN = 80.0  # mm² of film in a window

Ends = tuple[Point, Point]
Join = tuple[Panel, Break]  # a panel, and its join to one that is already up


def other_of(plan: Plan, panel: Panel, part: Break) -> Panel:
    """Return the panel beyond a join."""
    return next(plan.panel(name) for name in part.panels if name != panel.id)


def full_size_joins(plan: Plan, panel: Panel, paper: str) -> list[Break]:
    """Return the joins of a panel to panels already up that a page can show at full size with film of both sides."""
    field = page_field(paper)
    out = []
    for part in plan.breaks:
        later = panel.id in part.panels and other_of(plan, panel, part).number < panel.number
        if later and _Wanted.of(plan, panel, part).window(field.width, field.height, True) is not None:
            out.append(part)
    return out


def set_joins(
    plan: Plan, joins: Sequence[Join], field: Field, top: float, foot: float, partly: bool = False
) -> tuple[list[Item], list[Drawing], list[Join]]:
    """Set joins between ``top`` and ``foot``, each where it first has room; return items, drawings, the joins left.

    ``partly``: a window that can't hold all heights of its gap holds one of them.
    """
    items: list[Item] = []
    drawings: list[Drawing] = []
    rest: list[Join] = []
    taken: list[Box] = []
    for panel, part in joins:
        # less than all heights only where no page can hold them all
        less = partly and _Wanted.of(plan, panel, part).window(field.width, field.height, False) is None
        spot = _spot(plan, panel, part, taken, (field.left, top, field.right, foot), less)
        if spot is None:
            rest.append((panel, part))
            continue
        corner, window = spot
        made, drawing = _detail(plan, panel, part, corner, window)
        items += made
        drawings.append(drawing)
        wide, high = _size(window)
        taken.append((*corner, corner[0] + wide + FIGURES + BETWEEN, corner[1] + HEAD + high + BETWEEN))
    return items, drawings, rest


def _spot(
    plan: Plan, panel: Panel, part: Break, taken: Sequence[Box], room: Box, partly: bool
) -> tuple[Point, Box] | None:
    """Return where a join's window first has room beside those set, the highest place first, and what it shows."""
    lefts = sorted({room[0], *(taken_box[2] for taken_box in taken)})
    tops = sorted({room[1], *(taken_box[3] for taken_box in taken)})
    shown = _Wanted.of(plan, panel, part)
    for y in tops:
        for x in lefts:
            window = shown.window(room[2] - x, room[3] - y, partly)
            if window is None:
                continue
            right, low = x + _size(window)[0] + FIGURES, y + _size(window)[1] + HEAD
            if not any(x < b[2] and right + BETWEEN > b[0] and y < b[3] and low + BETWEEN > b[1] for b in taken):
                return (x, y), window
    return None


def join_pages(plan: Plan, joins: Sequence[Join], paper: str) -> list[Page]:
    """Return sheets with those joins at full size that the panels' own pages have no room for, in the order of work."""
    field = page_field(paper)
    width, height = page_size(paper)
    letters = join_letters(plan)
    pages: list[Page] = []
    left = list(joins)
    while left:
        items, drawings, rest = set_joins(plan, left, field, field.top, field.bottom, partly=True)
        if not drawings:
            break  # no page can show what is left
        head = title_items(phrase("title.joins"), phrase("joins.note"))
        title = f"{phrase('title.joins')}: {', '.join(letters[drawing.join] for drawing in drawings)}"
        pages.append(Page("joins", title, width, height, (*head, *items), tuple(drawings)))
        left = rest
    return pages


def _size(window: Box) -> tuple[float, float]:
    return window[2] - window[0], window[3] - window[1]


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What a join's window is to show: the ends of its gaps, or a middle where it has none that are measured."""

    films: tuple[BaseGeometry, BaseGeometry]
    level: tuple[Ends, ...]
    plumb: tuple[Ends, ...]
    tightest: tuple[Ends, ...]
    middle: Point | None

    @classmethod
    def of(cls, plan: Plan, panel: Panel, part: Break) -> _Wanted:
        other = other_of(plan, panel, part)
        found = [(gap, ends) for gap in part.gaps if (ends := _gap_ends(panel, other, gap)) is not None]
        level, plumb = (tuple(ends for gap, ends in found if gap.along == axis) for axis in ("x", "y"))
        tightest = () if part.narrowest is None else (part.narrowest.ends,)
        middle = None if found or tightest else _middle(panel, other, part)
        return cls((panel.film, other.film), level, plumb, tightest, middle)

    def window(self, wide: float, high: float, partly: bool) -> Box | None:
        """Return what of the sign it shows, at most ``wide`` × ``high`` with figures and heading; or None."""
        most = (wide - FIGURES, high - HEAD)
        if self.middle is not None:
            window = _about(self.middle, most)
        else:
            given, tightest = self.level or self.plumb, self.tightest
            axis = 0 if self.level or (not given and _is_level(tightest[0])) else 1
            tries = [(*given, *tightest), tightest, given] if self.level else [tightest, given[:1]]
            tries = tries if partly or not self.level else tries[:1]
            windows = (_round_gaps(few, axis, most) for few in tries if few)
            window = next((window for window in windows if window is not None), None)
        if window is None:
            return None
        frame = box(*window)
        return window if all(film.intersection(frame).area > LEAST_SEEN for film in self.films) else None


def _is_level(ends: Ends) -> bool:
    return abs(ends[0][0] - ends[1][0]) >= abs(ends[0][1] - ends[1][1])


def _round_gaps(ends: Sequence[Ends], axis: int, most: tuple[float, float]) -> Box | None:
    """Return a window round gaps that run along ``axis``, with film at both ends; None if that is too large."""
    along = [point[axis] for pair in ends for point in pair]
    across = [point[1 - axis] for pair in ends for point in pair]
    room = most[axis] - (max(along) - min(along))
    if room < 2 * LEAST_SIDE:
        return None
    side = min(SIDE, room / 2)
    spans = [(min(along) - side, max(along) + side), (min(across) - ABOVE, max(across) + ABOVE)]
    limits = (most[axis], min(most[1 - axis], MOST_ACROSS))
    for index, least in enumerate(LEAST):
        low, high = spans[index]
        if high - low > limits[index] + 1e-9 or limits[index] < least:
            return None
        more = max(0.0, least - (high - low)) / 2
        spans[index] = (low - more, high + more)
    (x0, x1), (y0, y1) = spans if axis == 0 else (spans[1], spans[0])
    return x0, y0, x1, y1


def _about(middle: Point, most: tuple[float, float]) -> Box | None:
    """Return a window about a place where no gap is measured along the sign's axes: a seam, a slanted line."""
    width, height = min(most[0], 80.0), min(most[1], 60.0)
    if width < LEAST[0] or height < LEAST[1]:
        return None
    x, y = middle
    return x - width / 2, y - height / 2, x + width / 2, y + height / 2


def _detail(plan: Plan, panel: Panel, part: Break, corner: Point, window: Box) -> tuple[list[Item], Drawing]:
    """Return one join: its heading, its window on the sign, its gaps with their figures and the proof beside."""
    other = other_of(plan, panel, part)
    letter = join_letters(plan)[part.id]
    left, top = corner[0], corner[1] + HEAD
    view = View(window, (left, top), 1.0)
    wide = _size(window)[0] + FIGURES
    base = corner[1] + STEP_CAP
    name = f"{letter}–{letter}"
    items: list[Item] = [line((left, base), name, STEP_CAP, True, role="H2")]
    after = left + text_width(name, STEP_CAP, True) + 2.0
    scale = scale_text(1.0)
    room = left + wide - after - text_width(scale, SMALL_CAP, True) - 2.0
    said = [phrase("joins.between", n=panel.number, other=other.number), phrase("joins.short", other=other.number)]
    if part.kind == "seam":
        laps = phrase("joins.seam", overlap=part.overlap.shown) if part.overlap else phrase("joins.seam_butt")
        said.insert(0, f"{said[0]}. {laps}.")
    words = next((text for text in said if text_width(text, STEP_CAP) <= room), said[-1])
    items.append(line((after, base), words, STEP_CAP, role="H2"))
    items.append(line((left + wide, base), scale, SMALL_CAP, True, "r", GREY, role="drawn"))
    frame = box(*view.box)
    items += film_of_neighbour(view, other.film, True)
    own = panel.film.intersection(frame)
    items += film_in_hand(view, own, panel.colour) if not own.is_empty else []
    hidden = panel.film.intersection(other.film).intersection(frame)
    if not hidden.is_empty:  # what the film in hand will lie over
        items += outlines(view.shape(hidden).boundary, FINE, BLACK, DASHED)
    items += register_marks(view, [mark for mark in plan.marks if mark.break_id == part.id], film_tint(panel.colour))
    items += break_line(view, part)
    items.append(rectangle(*view.paper_box, None, GREY, HAIR))
    items += in_role(_gaps(plan, view, panel, other, part), "drawn")
    _, _, x1, y1 = view.paper_box
    square = (x1 + 2.2, y1 - PROOF, x1 + 2.2 + PROOF, y1)
    items.append(rectangle(*square, None, BLACK, HAIR))
    at = (square[0] + PROOF / 2, y1 - PROOF / 2 + SMALL_CAP / 2)
    items.append(line(at, "10 mm", SMALL_CAP, False, "c", role="drawn"))
    return items, replace(view.drawing, join=part.id, alt=join_alt(plan, panel, part, letter))


def _middle(panel: Panel, other: Panel, part: Break) -> Point:
    """Return the middle of a window: of a seam's film, else where the films are nearest."""
    a, b = nearest_points(panel.film, other.film)
    if part.kind == "seam":
        middle = LineString(part.line).intersection(panel.film.buffer(0.5)).centroid
        return (middle.x, middle.y) if not middle.is_empty else (a.x, a.y)
    return (a.x + b.x) / 2, (a.y + b.y) / 2


def _gap_ends(panel: Panel, other: Panel, gap: GapAt) -> Ends | None:
    """Return the two ends of a gap that is measured along x or y, on the films."""
    axis = 0 if gap.along == "x" else 1
    x0, y0, x1, y1 = panel.film.union(other.film).bounds
    level, plumb = [(x0 - 1, gap.at_mm), (x1 + 1, gap.at_mm)], [(gap.at_mm, y0 - 1), (gap.at_mm, y1 + 1)]
    probe = LineString(level if axis == 0 else plumb)
    spans = []
    for film in (panel.film, other.film):
        hit = film.intersection(probe)
        parts = [part.bounds for part in getattr(hit, "geoms", [hit]) if not part.is_empty]
        spans.append([(bounds[axis], bounds[axis + 2]) for bounds in parts])
    best: tuple[float, float, float] | None = None
    for low, high in spans[0]:
        for a, b in spans[1]:
            for start, end in ((high, a), (b, low)):
                miss = abs((end - start) - gap.gap.mm)
                if end > start and miss < 0.01 and (best is None or miss < best[0]):
                    best = (miss, start, end)
    if best is None:
        return None
    ends = ((best[1], gap.at_mm), (best[2], gap.at_mm))
    return ends if axis == 0 else ((gap.at_mm, best[1]), (gap.at_mm, best[2]))


@dataclass(frozen=True, slots=True)
class _Shown:
    """A gap in a window: its ends on the paper, its figure, where it is, and whether it is the one to check."""

    ends: Ends
    figure: str
    where: str
    check: bool


def _shown(plan: Plan, view: View, panel: Panel, other: Panel, part: Break) -> list[_Shown]:
    """Return the gaps that a window holds: the narrowest, and those given at other places that differ from it."""
    frame = box(*view.box)
    out: list[_Shown] = []
    if part.narrowest is not None and frame.contains(LineString(part.narrowest.ends)):
        ends = (view.at(part.narrowest.ends[0]), view.at(part.narrowest.ends[1]))
        out.append(_Shown(ends, part.gap.tape, phrase("gap.narrowest"), True))
    several = len({gap.between for gap in part.gaps}) > 1
    for gap in part.gaps:
        ends_there = _gap_ends(panel, other, gap)
        if ends_there is None or not frame.contains(LineString(ends_there)) or (out and gap.gap.tape == part.gap.tape):
            continue
        out.append(_Shown((view.at(ends_there[0]), view.at(ends_there[1])), gap.gap.tape,
                          place_of_gap(plan, gap, several), False))  # fmt: skip
    return out


def _gaps(plan: Plan, view: View, panel: Panel, other: Panel, part: Break) -> list[Item]:
    """Return the gaps inside the window: arrows on the films' edges, figure and place beside; the narrowest framed."""
    shown = _shown(plan, view, panel, other, part)
    out: list[Item] = []
    _, y0, x1, y1 = view.paper_box
    wanted = [(one.ends[0][1] + one.ends[1][1]) / 2 for one in shown]
    places = spread(wanted, [LABEL] * len(shown), y0, y1 - PROOF - 1.5)
    for one, place in zip(shown, places, strict=True):
        a, b = one.ends
        length = math.dist(a, b) or 1.0
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        out += [_head_at(a, -ux, -uy), _head_at(b, ux, uy)]
        out.append(Stroke(((a[0] - ux * TAIL, a[1] - uy * TAIL), a), HAIR, ACCENT))
        out.append(Stroke((b, (b[0] + ux * TAIL, b[1] + uy * TAIL)), HAIR, ACCENT))
        out.append(Stroke((a, b), HAIR, ACCENT, () if one.check else DASHED))
        right = max(a, b)
        start = right if abs(ux) > 0.7 else ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        out.append(Stroke((start, (x1, start[1]), (x1 + 1.5, place)), HAIR, ACCENT if abs(ux) > 0.7 else GREY))
        base = place + MEASURE_CAP / 2 - 1.4
        out.append(line((x1 + 2.4, base), one.figure, MEASURE_CAP, True, "l", ACCENT))
        if text_width(one.where, SMALL_CAP) <= FIGURES - 3.0:
            out.append(line((x1 + 2.4, base + 1.2 + SMALL_CAP), one.where, SMALL_CAP, False, "l", GREY))
        if one.check:
            top, foot = base - MEASURE_CAP - 0.9, base + 2.0 + SMALL_CAP
            out.append(rectangle(x1 + 1.5, top, x1 + FIGURES, foot, None, ACCENT))
    return out


def _head_at(tip: Point, dx: float, dy: float) -> Item:
    """Return an arrowhead whose tip is on the edge of film, pointing from the film's side to the gap."""
    x, y = tip
    back = (x + dx * ARROW, y + dy * ARROW)
    half = 0.5
    ring = ((x, y), (back[0] - dy * half, back[1] + dx * half), (back[0] + dy * half, back[1] - dx * half))
    return Area((ring,), ACCENT, None)
