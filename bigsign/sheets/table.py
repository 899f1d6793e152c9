"""The table of panels: one row a panel, in the order of work, with its film drawn small."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from bigsign.plan_records import EdgeDistance, Panel, Plan
from bigsign.sheets.balloons import number_circle
from bigsign.sheets.grid import Field, page_field, page_size, title_items
from bigsign.sheets.items import Cell, Item, Page, Role, Stroke, in_role
from bigsign.sheets.own_rows import OwnWords, Row, panel_words, set_row
from bigsign.sheets.style import BLACK, FINE, GREY, HAIR, PALE, SMALL_CAP, STEP_CAP, film_fill, is_pale
from bigsign.sheets.views import View, areas
from bigsign.sheets.writing import LEADING, line, wrap
from bigsign.wording import phrase, place_said

__all__ = ["cell_table", "distance_words", "panel_table", "rows_that_fit", "split_row", "tape_words"]

ROW, TALLEST_ROW = 15.0, 30.0
MOST_LINES = 5  # of a panel's text
HEAD = SMALL_CAP + 1.8  # mm that the head of a plain table takes
LEAST_ROW = STEP_CAP + 3.0  # mm that a row of a plain table takes
OWN = 3.0  # height of capitals of a panel's text in the table of panels
COLUMNS = (  # head, share of the width
    ("table.number", 0.075),
    ("table.film", 0.175),
    ("table.text", 0.175),
    ("table.film_size", 0.13),
    ("table.trim_size", 0.13),
    ("table.place", 0.18),
    ("table.hinge_mat", 0.135),
)
CAPS = (OWN, *(STEP_CAP for _ in COLUMNS[3:]))  # of the columns from the text on


def distance_words(distance: EdgeDistance, axis: str) -> str:
    """Return a distance as words: "3 1/4 in from left", "2 in right of middle"."""
    return place_said(distance.edge, distance.length.shown, axis, short=True)


def tape_words(plan: Plan) -> str:
    """Return by how much the tape itself may be off, by the rules for tapes of its unit."""
    found = plan.tape_error
    if plan.tape_step.unit == "in" and found.handbook_44 is not None:
        error, rule = found.handbook_44.tape, "handbook_44"
    else:
        error, rule = f"{found.class_ii.mm:.1f} mm", "class_ii"
    return phrase("tape.error", error=error, over=found.over.shown, rule=phrase(f"tape.{rule}"))


def panel_table(plan: Plan, paper: str) -> list[Page]:
    """Return the table of panels, on as many pages as it needs."""
    field = page_field(paper)
    width, height = page_size(paper)
    title = phrase("title.panels")
    pages: list[Page] = []
    panels = list(plan.panels)
    cells = [_cells(plan, panel, _lefts(field)) for panel in panels]
    most = max(len(part) * LEADING * cap for found in cells for cap, part in zip(CAPS, found, strict=True))
    least = max(ROW, most + 3.0)
    row = max(least, min(TALLEST_ROW, (field.height - 6.0) / max(1, len(panels))))
    per_page = max(1, int((field.height - 6.0) / row + 1e-9))
    for start in range(0, len(panels), per_page):
        items = title_items(title, phrase("table.note"))
        y = _head(items, field)
        for index, panel in enumerate(panels[start : start + per_page], 1):
            items += _row(field, plan, panel, index, y, row)
            y += row
        pages.append(Page("panels", title, width, height, tuple(items)))
    return pages


def _lefts(field: Field) -> list[float]:
    out = [field.left]
    for _, share in COLUMNS:
        out.append(out[-1] + share * field.width)
    return out


def _head(items: list[Item], field: Field) -> float:
    for column, (left, (key, _)) in enumerate(zip(_lefts(field), COLUMNS, strict=False)):
        at = (left + 1.0, field.top + SMALL_CAP)
        items.append(line(at, phrase(key), SMALL_CAP, False, "l", GREY, role=Cell(0, column)))
    y = field.top + SMALL_CAP + 1.8
    items.append(Stroke(((field.left, y), (field.right, y)), FINE, BLACK))
    return y


def _row(field: Field, plan: Plan, panel: Panel, index: int, y: float, row: float) -> list[Item]:
    """Return the ``index``-th row of a page, from 1, which is ``row`` mm high."""
    lefts = _lefts(field)
    middle = y + row / 2
    items = in_role(number_circle((lefts[0] + 5.0, middle), panel.number), Cell(index, 0))
    items += _thumbnail(panel, (lefts[1] + 1.0, y + 2.0, lefts[2] - 2.0, y + row - 2.0))
    for column, (cap, cell) in enumerate(zip(CAPS, _cells(plan, panel, lefts), strict=True), 2):
        base = middle - (len(cell) - 1) * LEADING * cap / 2 + cap / 2
        for at, part in enumerate(cell):
            where = (lefts[column] + 1.0, base + at * LEADING * cap)
            items.append(set_row(where, part, cap, role=Cell(index, column)))
    items.append(Stroke(((field.left, y + row), (field.right, y + row)), HAIR, PALE))
    return items


def _cells(plan: Plan, panel: Panel, lefts: Sequence[float]) -> list[list[Row | str]]:
    """Return the lines of a row's cells, from the text on, each within its column."""
    hinge = phrase(f"hinge.{panel.hinge.kind}") if panel.hinge else phrase("hinge.none")
    mat = phrase("title.mat", n=int(panel.mat.removeprefix("mat-") or 0))
    cells = [
        [panel.size.width.shown, "× " + panel.size.height.shown],
        [panel.trim_size.width.shown, "× " + panel.trim_size.height.shown],
        [distance_words(panel.from_reference.x, "x"), distance_words(panel.from_reference.y, "y")],
        [phrase("table.hinge", kind=hinge), mat],
    ]
    first, *widths = [b - a - 2.0 for a, b in pairwise(lefts[2:])]
    out: list[list[Row | str]] = [[*panel_words(plan, panel).rows(first, OWN, MOST_LINES)]]
    for cell, width in zip(cells, widths, strict=True):
        out.append([part for text in cell for part in wrap(text, STEP_CAP, width)])
    return out


def _thumbnail(panel: Panel, box: tuple[float, float, float, float]) -> list[Item]:
    x0, y0, x1, y1 = panel.bounds
    scale = max((x1 - x0) / (box[2] - box[0]), (y1 - y0) / (box[3] - box[1]))
    origin = (box[0], (box[1] + box[3]) / 2 - (y1 - y0) / scale / 2)
    view = View(panel.bounds, origin, scale)
    stroke = GREY if is_pale(panel.colour) else None
    return areas(view.shape(panel.film).simplify(0.03), film_fill(panel.colour), stroke)


def cell_table(
    left: float,
    top: float,
    widths: Sequence[float],
    head: Sequence[str],
    rows: Sequence[Sequence[str | OwnWords]],
    bottom: float,
    before: int = 0,
) -> tuple[list[Item], float, int]:
    """Return a plain table, the y below it, and how many of its rows found room above ``bottom``.

    ``before``: so many rows of the same table stand beside it, to be read before; its heads are then read no more.
    """
    items: list[Item] = []
    x = left
    for column, (title, width) in enumerate(zip(head, widths, strict=True)):
        role: Role = "again" if before else Cell(0, column)
        items.append(line((x + 1.0, top + SMALL_CAP), title, SMALL_CAP, False, "l", GREY, role=role))
        x += width
    y = top + HEAD
    right = left + sum(widths)
    items.append(Stroke(((left, y), (right, y)), FINE, BLACK))
    done = 0
    for row in rows:
        cells = _row_cells(row, widths)
        height = _height(cells)
        if y + height > bottom:
            break
        x = left
        for index, (cell, width) in enumerate(zip(cells, widths, strict=True)):
            for at, part in enumerate(cell):
                base = y + 1.5 + STEP_CAP + at * LEADING * STEP_CAP
                place = Cell(before + done + 1, index)
                items.append(set_row((x + 1.0, base), part, STEP_CAP, index == 0, role=place))
            x += width
        y += height
        items.append(Stroke(((left, y), (right, y)), HAIR, PALE))
        done += 1
    return items, y, done


def rows_that_fit(rows: Sequence[Sequence[str | OwnWords]], widths: Sequence[float], room: float, columns: int) -> int:
    """Return how many of the first rows of a plain table have room in so many columns that are even.

    ``room``: the height of a column, mm, the head of the table included.
    """
    most = columns * max(1, int((room - HEAD) / LEAST_ROW))
    heights = [_height(_row_cells(row, widths)) for row in rows[:most]]
    for count in range(len(heights), 0, -1):
        each = -(-count // columns)
        parts = [heights[at : min(at + each, count)] for at in range(0, count, each)]
        if all(HEAD + sum(part) <= room + 1e-9 for part in parts):
            return count
    return 0


def split_row(row: Sequence[str | OwnWords]) -> list[Sequence[str | OwnWords]]:
    """Return a row as two, its longest text going on in the second; the same row alone where no text has a space."""
    texts = [cell if isinstance(cell, str) else "" for cell in row]
    at = max(range(len(row)), key=lambda n: len(texts[n]))
    words = texts[at].split(" ")
    if len(words) < 2:
        return [row]
    middle = len(words) // 2
    first, second = list(row), [""] * len(row)
    first[at], second[at] = " ".join(words[:middle]), " ".join(words[middle:])
    return [first, second]


def _row_cells(row: Sequence[str | OwnWords], widths: Sequence[float]) -> list[Sequence[Row | str]]:
    return [_wrapped(text, width - 2.0) for text, width in zip(row, widths, strict=True)]


def _height(cells: Sequence[Sequence[Row | str]]) -> float:
    return (max(len(cell) for cell in cells) - 1) * LEADING * STEP_CAP + LEAST_ROW


def _wrapped(text: str | OwnWords, width: float) -> Sequence[Row | str]:
    return wrap(text, STEP_CAP, width) if isinstance(text, str) else text.few_rows(width, MOST_LINES)
