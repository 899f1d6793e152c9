"""The template's first page: the map of its sheets, squares and a ruler that prove the print, and how to join."""

from __future__ import annotations

from bigsign.budgets import BUDGETS
from bigsign.plan_records import Plan
from bigsign.sheets.alt import map_alt
from bigsign.sheets.drawing import board, pale_film
from bigsign.sheets.grid import Field, page_field, page_size, scale_text, title_items
from bigsign.sheets.items import Box, Circle, Entry, Item, Page, Picture, Stroke, in_role
from bigsign.sheets.style import BLACK, BREAK, CHAIN, FINE, FIRM, GREY, HAIR, PALE, SMALL_CAP, STEP_CAP, film_tint
from bigsign.sheets.template import Grid, row_name
from bigsign.sheets.template_tile import DOTS
from bigsign.sheets.views import View, best_scale
from bigsign.sheets.writing import Column, line, rectangle, text_width
from bigsign.wording import phrase

__all__ = ["map_page"]

INCH, SQUARE = 25.4, 100.0
RULER = 15.0  # its height, mm
AXIS = 6.0  # room for the names of rows and columns
FOOT = 7.0  # room below the map for its scale
KEYS = ("film", "trim", "break", "hinge", "join", "number")


def map_page(plan: Plan, grid: Grid) -> Page:
    """Return the first page without its title block."""
    field = page_field(grid.paper)
    size = page_size(grid.paper)
    title = phrase("title.template")
    high = max(SQUARE, _words(field, 0.0).y)  # in some languages the words are longer than the squares are high
    squares = field.bottom - high - RULER - 10.0
    note = phrase("template.note")
    if not grid.drawn:
        note = phrase("template.too_many", n=len(grid.tiles), most=BUDGETS.template_sheets)
    items = title_items(title, note)
    made, box = _map(plan, grid, Field(field.left, field.top, field.right, squares - 3.0))
    items += in_role(made, "drawn")
    items += _squares(field.left, squares)
    items += _words(field, squares).items
    items += _ruler(field.left, squares + high + 3.5, field.width)
    items += _key(plan, field)
    return Page("template-map", title, *size, tuple(items), pictures=(Picture(box, map_alt(grid)),))


def _words(field: Field, top: float) -> Column:
    """Return how to check the print and join the sheets, beside the squares."""
    words = Column(field.left + SQUARE + 7.0, top, field.width - SQUARE - 7.0)
    words.heading(phrase("template.check"))
    words.text(phrase("template.check_text"))
    words.gap(3.0)
    words.heading(phrase("template.join"))
    for number, key in enumerate(("cut", "lay", "tape", "board", "prick", "rule"), 1):
        words.tick(phrase(f"template.join.{key}"), f"{number}")
    return words


def _map(plan: Plan, grid: Grid, room: Field) -> tuple[list[Item], Box]:
    """Return the sign with the grid over it, sheets named, cells without a sheet crossed out; and its place."""
    view, named = _view(plan, grid, room)
    items: list[Item] = [*board(view, plan), *pale_film(view, plan)]
    cells = [(row, column) for row in range(grid.rows) for column in range(grid.columns)]
    for row, column in cells:
        a, b, c, d = (*view.at(grid.box(row, column)[:2]), *view.at(grid.box(row, column)[2:]))
        tile = grid.by_place.get((row, column))
        if tile is None:
            items.append(rectangle(a, b, c, d, None, PALE, HAIR))
            items += [Stroke(((a, b), (c, d)), HAIR, PALE), Stroke(((a, d), (c, b)), HAIR, PALE)]
    for tile in grid.tiles:
        a, b, c, d = (*view.at(tile.cell[:2]), *view.at(tile.cell[2:]))
        items.append(rectangle(a, b, c, d, None, BLACK, FINE))
        if named:
            items.append(line(((a + c) / 2, (b + d) / 2 + SMALL_CAP / 2), tile.label, SMALL_CAP, True, "c"))
    items += _axes(view, grid)
    _, _, _, foot = view.paper_box
    said = scale_text(view.scale)
    if len(grid.tiles) < len(cells):
        said += f", {phrase('template.left_out')}"
    items.append(line(((room.left + room.right) / 2, foot + 2.6 + SMALL_CAP), said, SMALL_CAP, False, "c"))
    return items, view.paper_box


def _view(plan: Plan, grid: Grid, room: Field) -> tuple[View, bool]:
    """Return the map's window and whether sheets are named in it: all of the board, or the grid where that helps."""
    first, last = grid.box(0, 0), grid.box(grid.rows - 1, grid.columns - 1)
    cells: Box = (*first[:2], *last[2:])
    x0, y0, x1, y1 = plan.sign.outline.bounds
    whole: Box = (min(x0, cells[0]), min(y0, cells[1]), max(x1, cells[2]), max(y1, cells[3]))
    widest = max(text_width(tile.label, SMALL_CAP, True) for tile in grid.tiles)
    found: list[tuple[View, bool]] = []
    for window in (whole, cells):
        wide, high = window[2] - window[0], window[3] - window[1]
        scale = best_scale(wide, high, room.width - AXIS, room.height - AXIS - FOOT)
        left = room.left + AXIS + (room.width - AXIS - wide / scale) / 2
        named = widest + 1.0 <= grid.cell[0] / scale and grid.cell[1] / scale >= SMALL_CAP + 1.0
        found.append((View(window, (left, room.top + AXIS), scale), named))
    return found[0] if found[0][1] else found[1]


def _axes(view: View, grid: Grid) -> list[Item]:
    """Return the numbers of the columns and the letters of the rows, as many as there is room for."""
    out: list[Item] = []
    x, y = view.at(grid.origin)
    width, height = grid.cell[0] / view.scale, grid.cell[1] / view.scale
    every = max(1, -int(-(text_width("00", SMALL_CAP) + 1.0) // width))
    x0, y0, _, _ = view.paper_box
    for column in range(0, grid.columns, every):
        out.append(line((x + (column + 0.5) * width, y0 - 1.4), f"{column + 1}", SMALL_CAP, False, "c", GREY))
    every = max(1, -int(-(SMALL_CAP + 1.0) // height))
    for row in range(0, grid.rows, every):
        base = y + (row + 0.5) * height + SMALL_CAP / 2
        out.append(line((x0 - 1.4, base), row_name(row), SMALL_CAP, False, "r", GREY))
    return out


def _squares(left: float, top: float) -> list[Item]:
    """Return a square of 100 mm and one of 1 in within it."""
    right, bottom = left + SQUARE, top + SQUARE
    inch = (left + (SQUARE - INCH) / 2, top + (SQUARE - INCH) / 2)
    middle = left + SQUARE / 2
    return [
        rectangle(left, top, right, bottom, None, BLACK, FINE),
        rectangle(*inch, inch[0] + INCH, inch[1] + INCH, None, BLACK, FINE),
        line((middle, top + 3.0 + STEP_CAP), "100 mm", STEP_CAP, True, "c"),
        line((left + 3.0 + STEP_CAP, top + SQUARE / 2), "100 mm", STEP_CAP, True, "c", turned=True),
        line((middle, top + SQUARE / 2 + STEP_CAP / 2), "1 in", STEP_CAP, True, "c"),
        line((middle, bottom - 3.0), scale_text(1.0), STEP_CAP, True, "c"),
    ]


def _ruler(left: float, top: float, room: float) -> list[Item]:
    """Return a ruler, inches above its line and millimetres below."""
    inches, tens = int((room - 3.0) // INCH), int((room - 6.0) // 10)
    y = top + RULER / 2
    out: list[Item] = [
        Stroke(((left, y), (left + max(inches * INCH, tens * 10.0), y)), FINE),
        line((left + 1.0, y - 4.8), "in", SMALL_CAP),
        line((left + 1.0, y + 4.8 + SMALL_CAP), "mm", SMALL_CAP),
    ]
    for eighth in range(inches * 8 + 1):
        x = left + eighth * INCH / 8
        tick = 4.0 if eighth % 8 == 0 else 2.8 if eighth % 4 == 0 else 1.6
        out.append(Stroke(((x, y), (x, y - tick)), HAIR))
        if eighth % 8 == 0 and eighth:
            out.append(line((x - 0.8, y - 4.8), f"{eighth // 8}", SMALL_CAP, False, "r"))
    for mm in range(tens * 10 + 1):
        x = left + mm
        tick = 4.0 if mm % 10 == 0 else 2.8 if mm % 5 == 0 else 1.6
        out.append(Stroke(((x, y), (x, y + tick)), HAIR))
        if mm % 10 == 0 and mm:
            out.append(line((x - 0.8, y + 4.8 + SMALL_CAP), f"{mm}", SMALL_CAP, False, "r"))
    return out


def _key(plan: Plan, field: Field) -> list[Item]:
    """Return the key to the lines, along the page's foot."""
    base = field.bottom - 0.5
    widths = [10.5 + text_width(phrase(f"template.key.{key}"), SMALL_CAP) for key in KEYS]
    space = (field.width - sum(widths)) / (len(KEYS) - 1)
    x, y = field.left, base - SMALL_CAP / 2
    out: list[Item] = []
    for key, width in zip(KEYS, widths, strict=True):
        straight = ((x, y), (x + 8.0, y))
        if key == "film":
            out.append(rectangle(x, y - 1.5, x + 8.0, y + 1.5, film_tint(plan.pieces[0].colour), None))
            inset = FIRM / 2
            out.append(rectangle(x + inset, y - 1.5 + inset, x + 8.0 - inset, y + 1.5 - inset, None, BLACK, FIRM))
        elif key == "number":
            out += [Circle((x + 6.0, y), 2.2, None), line((x + 6.0, y + 0.9), "1", SMALL_CAP, True, "c")]
        else:
            dash: dict[str, tuple[float, ...]] = {"trim": (), "break": BREAK, "hinge": CHAIN, "join": DOTS}
            out.append(Stroke(straight, HAIR if key == "join" else FINE, BLACK, dash[key]))
        out.append(line((x + 10.0, base), phrase(f"template.key.{key}"), SMALL_CAP, role=Entry("key", first=True)))
        x += width + space
    return out
