"""The set-out sheet: the board to scale, running dimensions to every tape mark and line to strike, and the table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bigsign.plan_records import FromReference, Level, Panel, Plan, TapeMark
from bigsign.sheets.alt import setout_alt
from bigsign.sheets.balloons import RADIUS, number_circle
from bigsign.sheets.dimensions import (
    Datum,
    Measure,
    across_room,
    down_length,
    down_room,
    exact_note,
    measure_of,
    running,
    size,
)
from bigsign.sheets.drawing import (
    board,
    break_line,
    cross,
    level_line,
    pale_film,
    register_mark_names,
    register_marks,
    trim_outline,
)
from bigsign.sheets.grid import Field, page_field, page_size, scale_text, title_items
from bigsign.sheets.items import Box, Item, Page, Stroke, in_role
from bigsign.sheets.labels import Taken, label_at
from bigsign.sheets.metrics import ink_box
from bigsign.sheets.own_rows import OwnWords
from bigsign.sheets.style import BLACK, GREY, SMALL_CAP
from bigsign.sheets.table import cell_table, distance_words, rows_that_fit, split_row, tape_words
from bigsign.sheets.views import View, best_scale, turned
from bigsign.sheets.writing import LEADING, Column, line, rectangle, text_width, wrap
from bigsign.units import TapeLength
from bigsign.wording import panels_said, phrase, runs_said

__all__ = ["datum_of", "setout_pages"]

ASIDE = 84.0  # width of the tables beside a tall drawing
TABLE_ROW = 6.0  # about what a row of a table takes, mm
ONE_COLUMN = 6  # rows up to which a table in a wide column stays one
SIDE = 14.0  # room to the right of the board
FOOT = 15.0  # room below it


def datum_of(plan: Plan, view: View, axis: str) -> Datum:
    """Return where running dimensions along an axis start in a view."""
    index = 0 if axis == "x" else 1
    edge = plan.sign.reference[index]
    extent = plan.sign.width.mm if axis == "x" else plan.sign.height.mm
    position = {"left": 0.0, "top": 0.0, "right": extent, "bottom": extent}.get(edge, extent / 2)
    low, high = view.box[index], view.box[index + 2]
    seen = low - 1e-6 <= position <= high + 1e-6
    paper = view.at((position, position))[index] if seen else None
    if edge == "middle":
        side = 0 if seen else (-1 if position < low else 1)
        return Datum(paper, side, phrase("from.middle"))
    return Datum(paper, -1 if edge in ("left", "top") else 1, phrase("from.edge", edge=phrase(f"edge.{edge}")))


def _levels(plan: Plan) -> list[tuple[Level, list[Panel]]]:
    """Return the lines to strike, each once, with the panels that stand on it."""
    out: dict[tuple[str, str, str], tuple[Level, list[Panel]]] = {}
    for panel in plan.panels:
        if panel.level is not None:
            at = panel.level.from_reference
            out.setdefault((panel.level.axis, at.edge, at.length.shown), (panel.level, []))[1].append(panel)
    return sorted(out.values(), key=lambda found: (found[0].axis, found[0].at))


def _measures(plan: Plan, view: View, room: tuple[float, float]) -> tuple[list[Measure], list[Measure]]:
    """Return what is dimensioned across and down: tape marks and lines to strike.

    Where marks are too many for figures in ``room`` (the longest row and column) they are left to the table, which
    holds them all; lines to strike go the same way if they alone are too many.
    """
    x = [measure_of(view.at(mark.at)[0], mark.from_reference.x.length) for mark in plan.tape_marks]
    y = [measure_of(view.at(mark.at)[1], mark.from_reference.y.length) for mark in plan.tape_marks]
    lines: tuple[list[Measure], list[Measure]] = ([], [])
    for level, _ in _levels(plan):
        index = 0 if level.axis == "x" else 1
        lines[index].append(measure_of(view.at((level.at, level.at))[index], level.from_reference.length))
    kept: list[list[Measure]] = []
    for marks, strikes, most in zip((x, y), lines, room, strict=True):
        choices: list[list[Measure]] = [[*marks, *strikes], strikes, []]
        kept.append(next(choice for choice in choices if down_length(choice) <= most))
    return kept[0], kept[1]


def setout_pages(plan: Plan, paper: str) -> list[Page]:
    """Return the set-out sheet, and a second one for the tables where they don't fit beside the drawing."""
    width, height = plan.sign.width.mm, plan.sign.height.mm
    tall = height > 1.2 * width
    at_zero = View((0.0, 0.0, width, height), (0.0, 0.0), 1.0)
    x, y = _measures(plan, at_zero, (1e9, 1e9))
    above, aside = across_room(x), down_room(y)
    words = ASIDE + 4.0 if tall else 0.0
    rows, strikes, registers = _mark_rows(plan), _strike_rows(plan), _register_rows(plan)
    # Tables stand below a wide drawing where they take less than half of the page.
    tabled = [rows, strikes, *([registers] if registers else [])]
    lines = [len(part) if len(part) <= ONE_COLUMN else -(-len(part) // 2) for part in tabled]
    note = tape_words(plan)
    need = 0.0 if tall else sum(16.0 + TABLE_ROW * count for count in lines) + 2 * SMALL_CAP
    scales = {}
    for landscape in (False, True):
        field = page_field(paper, landscape)
        free = field.height - above - FOOT - (need if need < field.height / 2 else 0.0)
        scales[landscape] = best_scale(width, height, field.width - aside - SIDE - words, free)
    landscape = turned(scales[False], scales[True])
    scale = scales[landscape]
    field = page_field(paper, landscape)
    page_w, page_h = page_size(paper, landscape)
    slack = field.width - aside - SIDE - words - width / scale
    view = View((0.0, 0.0, width, height), (field.left + aside + max(0.0, slack / 2), field.top + above), scale)
    title = phrase("title.setout")
    items = title_items(title, phrase("setout.note"))
    items += in_role(_drawing(plan, view, field), "drawn")
    # Tables stand below the drawing, and below its column of figures where that is longer than the board.
    bottom = max(view.paper_box[3] + FOOT, view.paper_box[1] + min(down_length(y), field.bottom)) + 2.0
    pages: list[Page] = []
    if tall:
        tables = _Tables(Column(field.right - ASIDE, field.top, ASIDE), field.bottom, note)
    else:
        tables = _Tables(Column(field.left, bottom, field.width), field.bottom, note)
    tables.put(phrase("setout.strike"), _strike_head(), (0.24, 0.42, 0.34), strikes)
    tables.put(phrase("setout.marks"), [*_mark_head(plan), phrase("setout.corner")], (0.12, 0.33, 0.28, 0.27), rows)
    if registers:
        columns = [*_mark_head(plan), phrase("setout.between")]
        tables.put(phrase("setout.register"), columns, (0.12, 0.34, 0.34, 0.2), registers)
    tables.end()
    drawing = replace(view.drawing, alt=setout_alt(plan, len(strikes), view.drawing))
    pages.append(Page("setout", title, page_w, page_h, (*items, *tables.items), (drawing,)))
    field = page_field(paper)
    page_w, page_h = page_size(paper)
    while tables.left_over:
        title = phrase("title.marks")
        more = _Tables(Column(field.left, field.top, field.width), field.bottom, note, fresh=True)
        for heading, head, shares, left in tables.left_over:
            more.put(heading, head, shares, left)
        more.end()
        pages.append(Page("setout", title, page_w, page_h, (*title_items(title), *more.items)))
        tables = more
    return pages


class _Tables:
    """Tables set one below the other in a column; what finds no room is left over for the next page.

    In a wide column a table of many rows runs in two columns side by side. The ``note`` stands below the last. A table
    that does not fit below a drawing goes whole on a ``fresh`` page; there it may run on over pages.
    """

    def __init__(self, column: Column, bottom: float, note: str, fresh: bool = False) -> None:
        self.column, self.note, self.fresh = column, note, fresh
        self.bottom = bottom - LEADING * SMALL_CAP * len(wrap(note, SMALL_CAP, column.width))
        self.items: list[Item] = []
        self.left_over: list[tuple[str, Sequence[str], Sequence[float], Sequence[Sequence[str | OwnWords]]]] = []

    def end(self) -> None:
        """Set the note, unless tables are left over for the next page."""
        if not self.left_over:
            self.column.y = min(self.column.y - 3.0, self.bottom)
            self.column.text(self.note, SMALL_CAP, False, GREY)
            self.items += self.column.items

    def put(
        self, heading: str, head: Sequence[str], shares: Sequence[float],
        rows: Sequence[Sequence[str | OwnWords]],
    ) -> None:
        """Set a table, or as much of it as has room."""
        if not rows:
            return
        column = self.column
        if self.left_over or column.y + 24.0 > self.bottom:
            self.left_over.append((heading, head, shares, rows))
            return
        lines = Column(column.left, column.y, column.width)
        lines.heading(heading)
        two = column.width > 150.0 and len(rows) > ONE_COLUMN
        half = (column.width - 8.0) / 2 if two else column.width
        widths = [half * share for share in shares]
        # rows keep their order: what finds no room are the last ones
        count = rows_that_fit(rows, widths, self.bottom - lines.y, 1 + two)
        if count < len(rows) and not self.fresh:  # it goes whole on the next page
            self.left_over.append((heading, head, shares, rows))
            return
        while not count and len(parts := split_row(rows[0])) > 1:  # taller than a page
            rows = [*parts, *rows[1:]]
            count = rows_that_fit(rows, widths, self.bottom - lines.y, 1 + two)
        count = max(count, 1)
        middle = -(-count // 2) if two else count
        reached, before = lines.y, 0
        made: list[Item] = []
        for index, part in enumerate((rows[:middle], rows[middle:count])):
            if part:
                left = column.left + index * (half + 8.0)
                new, y, done = cell_table(left, lines.y, widths, head, part, self.bottom, before)
                made += new
                before += done
                reached = max(reached, y)
        self.items += [*lines.items, *made]
        if max(before, 1) < len(rows):
            self.left_over.append((heading, head, shares, rows[max(before, 1) :]))
        column.y = reached + 7.0


def _drawing(plan: Plan, view: View, field: Field) -> list[Item]:
    x0, y0, x1, y1 = view.paper_box
    items = board(view, plan) + pale_film(view, plan)
    for panel in plan.panels:
        items += trim_outline(view, panel)
    for part in plan.breaks:
        items += break_line(view, part)
    for panel in plan.panels:
        items += level_line(view, panel, 2.0)
    items += register_marks(view, plan.marks)
    for mark in plan.tape_marks:
        items += cross(view.at(mark.at))
    left = down_room(_measures(plan, view, (1e9, 1e9))[1])
    limits = (x0 - left + 4.0, min(x1 + SIDE, field.right))
    x, y = _measures(plan, view, (limits[1] - limits[0], field.bottom - y0))
    datum_x, datum_y = datum_of(plan, view, "x"), datum_of(plan, view, "y")
    sizes = size((x0, y1), (x1, y1), plan.sign.width.tape, 7.5)
    sizes += size((x1, y0), (x1, y1), plan.sign.height.tape, 8.5)
    dims = running(
        (x, datum_x, limits),
        (y, datum_y, (y0 - 4.0, max(y1 + FOOT - 4.0, y0 - 4.0 + down_length(y)))),
        (x0, y0),
        [*sizes, Stroke(((x0, y1), (x0, y0), (x1, y0)))],
        (field.left, field.right),
    )
    dims += sizes
    items += dims
    scale = scale_text(view.scale)
    items.append(line((x1, y1 + 13.5), scale, SMALL_CAP, False, "r"))
    taken = Taken((x0 - 20.0, y0 - 20.0, x1 + 20.0, y1 + 20.0))
    taken.add_items(dims)
    items += _numbers(plan, view, taken)
    items += _mark_names(plan, view, taken)
    items += register_mark_names(view, plan.marks, taken, SMALL_CAP)
    return items


def _numbers(plan: Plan, view: View, taken: Taken) -> list[Item]:
    """Return each panel's number in the middle of its trim, over the pale film, or beside it where it is small."""
    out: list[Item] = []
    for panel in plan.panels:
        (x0, y0), (x1, y1) = view.at(panel.trim.bounds[:2]), view.at(panel.trim.bounds[2:])
        radius = RADIUS if min(x1 - x0, y1 - y0) > 2 * RADIUS + 1.0 else 2.3
        spots = [
            (x0 + (x1 - x0) * across_share, y0 + (y1 - y0) * down_share)
            for down_share in (0.5, 0.35, 0.65, 0.2, 0.8)
            for across_share in (0.5, 0.35, 0.65, 0.2, 0.8)
        ]
        for spot in spots:
            box = (spot[0] - radius, spot[1] - radius, spot[0] + radius, spot[1] + radius)
            if taken.free(box, 0.6):
                taken.add(box)
                out += number_circle(spot, panel.number, radius)
                break
    return out


def _mark_names(plan: Plan, view: View, taken: Taken) -> list[Item]:
    """Return T1, T2 … beside their crosses where there is room; the table names them all."""
    out: list[Item] = []
    for mark in plan.tape_marks:
        x, y = view.at(mark.at)
        half = text_width(mark.id, SMALL_CAP) / 2
        around = [
            (x + half + 1.0, y - 2.2), (x - half - 1.0, y - 2.2), (x + half + 1.0, y + 2.2), (x - half - 1.0, y + 2.2),
            (x + half + 1.0, y - 4.6), (x - half - 1.0, y - 4.6),
        ]  # fmt: skip
        found = label_at(taken, mark.id, SMALL_CAP, False, BLACK, around)
        if found is not None:
            ink = ink_box(found)
            assert ink is not None
            out += [_halo(ink), found]
    return out


def _halo(box: Box) -> Item:
    return rectangle(box[0] - 0.4, box[1] - 0.4, box[2] + 0.4, box[3] + 0.4, "#ffffff", None)


def _mark_head(plan: Plan) -> list[str]:
    x, y = plan.sign.reference
    return [
        phrase("setout.mark"),
        phrase("from.head", edge=phrase(f"edge.{x}")),
        phrase("from.head", edge=phrase(f"edge.{y}")),
    ]


def _strike_head() -> list[str]:
    return [phrase("setout.line"), phrase("setout.where"), phrase("setout.for")]


def said(length: TapeLength) -> str:
    """Return what the tape shows, with the exact value where that differs by more than 0.1 mm."""
    note = exact_note(length)
    return f"{length.shown} ({note})" if note else length.shown


def _mark_rows(plan: Plan) -> list[list[str]]:
    owned = [(panel, plan.marks_on(panel)) for panel in plan.panels]
    return [
        [mark.id, *_place_cells(mark.from_reference), _corners(mark, owned)] for mark in plan.tape_marks
    ]  # fmt: skip


def _corners(mark: TapeMark, owned: Sequence[tuple[Panel, Sequence[TapeMark]]]) -> str:
    """Return which corners of which panels' trims a tape mark is for; ``owned``: the marks of each panel."""
    runs: list[tuple[str, list[int]]] = []
    for panel, own in owned:
        if mark in own:
            side = "only" if len(own) == 1 else "left" if own[0] == mark else "right"
            if not runs or runs[-1][0] != side:
                runs.append((side, []))
            runs[-1][1].append(panel.number)
    return "; ".join(phrase(f"setout.corner.{side}", n=n) for side, numbers in runs for n in runs_said(numbers))


def _register_rows(plan: Plan) -> list[list[str]]:
    """Return the middles of the register marks, for the masking tape under them, and the panels they are cut with."""
    rows = []
    for mark in plan.marks:
        a, b = sorted(plan.panel(name).number for name in mark.panels)
        rows.append([mark.id, *_place_cells(mark.from_reference), f"{a}, {b}"])
    return rows


def _place_cells(place: FromReference) -> list[str]:
    cells = []
    for distance, axis in ((place.x, "x"), (place.y, "y")):
        cells.append(distance_words(distance, axis) if distance.edge == "middle" else said(distance.length))
    return cells


def _strike_rows(plan: Plan) -> list[list[str]]:
    rows = []
    for level, panels in _levels(plan):
        at = level.from_reference
        where = distance_words(at, level.axis)
        note = exact_note(at.length)
        kind = phrase("setout.level" if level.axis == "y" else "setout.plumb")
        feet = phrase("panel.flat" if level.flat else "panel.lowest")
        numbers = panels_said([panel.number for panel in panels])
        rows.append([kind, f"{where} ({note})" if note else where, phrase("setout.panels", panels=numbers, what=feet)])
    return rows
