"""The slip budget's page: one table, a row a join, what error to expect in its gap by each way of working."""

from __future__ import annotations

from bigsign.plan_records import Break, Plan, SlipJoin
from bigsign.sheets.grid import Field, page_field, page_size, title_items
from bigsign.sheets.items import Cell, Item, Page, Stroke
from bigsign.sheets.panel_drawing import join_letters
from bigsign.sheets.style import BLACK, FINE, FIRM, GREY, HAIR, PALE, SMALL_CAP, STEP_CAP
from bigsign.sheets.table import tape_words
from bigsign.sheets.writing import LEADING, Column, line, rectangle, wrap
from bigsign.units import TapeLength
from bigsign.wording import phrase
from bigsign.work.slip import METHODS

__all__ = ["own_way", "slip_pages"]

SHADE = "#dcdcdc"
ORDER = ("seam", "letter", "word", "line", "ornament")
COLUMNS = (  # head, share of the width
    ("slip.join", 0.065),
    ("slip.panels", 0.105),
    ("slip.gap", 0.125),
    ("slip.edge", 0.125),
    ("slip.butt", 0.125),
    ("slip.marks", 0.12),
    ("slip.do", 0.335),
)
FIRST_METHOD = 3  # the column of the first of METHODS
PITCH = LEADING * STEP_CAP
BETWEEN = 1.6  # paragraphs, mm
HEAD = SMALL_CAP + 1.8  # height of the table's head


def slip_pages(plan: Plan, paper: str) -> list[Page]:
    """Return the slip budget, on as many pages as its table needs; none for a sign without joins."""
    if not plan.slip:
        return []
    field = page_field(paper)
    title = phrase("title.slip")
    found = {(join.break_id, join.method): join for join in plan.slip}
    letters = join_letters(plan)
    rows: list[tuple[list[list[str]], list[SlipJoin], str, float]] = []
    for part in sorted(plan.breaks, key=lambda part: _rank(part, found)):
        joins = [found[part.id, method] for method in METHODS]
        own = own_way(plan, part)
        cells = _cells(plan, part, letters[part.id], joins, own, field)
        rows.append((cells, joins, own, max(len(cell) for cell in cells) * PITCH + 2.4))
    above, below = _texts(plan)
    table = HEAD + sum(height for *_, height in rows)
    if _height([*above, *below], field) + table + 9.0 > field.height:  # more than a page: all words stand on the first
        above, below = [*above, *below], []
    words = Column(field.left, field.top + 1.0, field.width)
    _paragraphs(words, above)
    pages: list[list[Item]] = [[*title_items(title, phrase("slip.note")), *words.items]]
    y = _head(pages[-1], field, words.y + 3.0)
    index = 0
    for cells, joins, own, height in rows:
        if y + height > field.bottom:
            pages.append(title_items(title, phrase("slip.note")))
            y, index = _head(pages[-1], field, field.top), 0
        index += 1
        pages[-1] += _row(cells, joins, own, field, index, y, height)
        y += height
    notes = Column(field.left, y + 5.0, field.width)
    _paragraphs(notes, below)
    pages[-1] += notes.items
    width, height = page_size(paper)
    return [Page("slip", title, width, height, tuple(items)) for items in pages]


def _height(texts: list[str], field: Field) -> float:
    return sum(len(wrap(text, STEP_CAP, field.width)) * PITCH + BETWEEN for text in texts)


def _paragraphs(words: Column, texts: list[str]) -> None:
    for text in texts:
        words.text(text)
        words.gap(BETWEEN)


def _texts(plan: Plan) -> tuple[list[str], list[str]]:
    """Return what stands above the table and what below it."""
    limits = plan.project.slip
    values: dict[str, str] = {}
    for method in METHODS:
        most = max((join for join in plan.slip if join.method == method), key=lambda join: join.place_rss.mm)
        values |= {method: _tenths(most.place_rss), f"{method}_worst": _tenths(most.place_worst)}
    creep = phrase("slip.creep", None, **values)
    said = phrase("slip.limits", offset=f"{limits.offset:.1f} mm", tilt=f"{limits.tilt:.1f} mm")
    tape = phrase("slip.tape", tape=tape_words(plan))
    return [said, phrase("slip.figures"), phrase("slip.grey")], [phrase("slip.ways"), creep, tape]


def own_way(plan: Plan, part: Break) -> str:
    """Return by which of METHODS the plan's steps join two panels."""
    marked = any(mark.break_id == part.id for mark in plan.marks)
    return "marks" if marked else "butt" if part.butts else "edge"


def _rank(part: Break, found: dict[tuple[str, str], SlipJoin]) -> tuple[int, float, str]:
    """Joins inside words first, then by how much of the gap its error is."""
    share = found[part.id, METHODS[0]].rss.mm / max(part.gap.mm, 0.01)
    return ORDER.index(part.kind), -round(share, 4), part.id


def _tenths(length: TapeLength) -> str:
    return f"{length.mm:.1f}"


def _lefts(field: Field) -> list[float]:
    out = [field.left]
    for _, share in COLUMNS:
        out.append(out[-1] + share * field.width)
    return out


def _head(items: list[Item], field: Field, top: float) -> float:
    for column, (left, (key, _)) in enumerate(zip(_lefts(field), COLUMNS, strict=False)):
        at = (left + 1.0, top + SMALL_CAP)
        items.append(line(at, phrase(key), SMALL_CAP, False, "l", GREY, role=Cell(0, column)))
    y = top + HEAD
    items.append(Stroke(((field.left, y), (field.right, y)), FINE, BLACK))
    return y


def _cells(
    plan: Plan, part: Break, letter: str, joins: list[SlipJoin], own: str, field: Field
) -> list[list[str]]:
    """Return the lines of a row's cells. What to do is said for the way the plan joins these panels."""
    a, b = sorted(plan.panel(name).number for name in part.panels)
    advice = next(join.advice for join in joins if join.method == own)
    advice = phrase("slip.own", way=phrase(f"slip.{own}"), advice=advice)
    figures = [phrase("slip.expected", rss=_tenths(join.rss), worst=_tenths(join.worst)) for join in joins]
    gap = part.gap.shown
    if part.kind == "seam":  # film meets there: what matters is by how much it laps
        gap = phrase("slip.laps", overlap=part.overlap.shown) if part.overlap else phrase("slip.meets")
    texts = [letter, phrase("slip.between", a=a, b=b), gap, *figures, advice]
    widths = [share * field.width - 2.0 for _, share in COLUMNS]
    return [wrap(text, STEP_CAP, width) for text, width in zip(texts, widths, strict=True)]


def _row(
    cells: list[list[str]], joins: list[SlipJoin], own: str, field: Field, row: int, y: float, height: float
) -> list[Item]:
    lefts = _lefts(field)
    items: list[Item] = []
    for at, join in enumerate(joins, FIRST_METHOD):
        cell = (lefts[at], y + 0.6, lefts[at + 1] - 1.0, y + height - 0.6)
        if join.shows:
            items.append(rectangle(*cell, SHADE, None))
        if join.method == own:
            items.append(rectangle(*cell, None, BLACK, FIRM))
    for index, (left, lines) in enumerate(zip(lefts, cells, strict=False)):
        for at, part in enumerate(lines):
            base = y + 1.2 + (PITCH - STEP_CAP) / 2 + STEP_CAP + at * PITCH
            items.append(line((left + 1.0, base), part, STEP_CAP, index == 0, role=Cell(row, index)))
    items.append(Stroke(((field.left, y + height), (field.right, y + height)), HAIR, PALE))
    return items
