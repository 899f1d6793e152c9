"""Before you begin: the cautions that apply, the check of the print, the words used, what the plan warns of."""

from __future__ import annotations

from bigsign.plan_records import Plan
from bigsign.sheets.cautions import caution_height, caution_items, plan_cautions
from bigsign.sheets.grid import Field, page_field, page_size, title_items
from bigsign.sheets.items import Item, Page, Stroke
from bigsign.sheets.said import warning_said
from bigsign.sheets.style import BLACK, FINE, GREY, HAIR, SMALL_CAP, STEP_CAP
from bigsign.sheets.writing import Column, line, rectangle
from bigsign.wording import phrase, spoken

__all__ = ["begin_pages"]

SQUARE, INCH = 100.0, 25.4
MOST_WARNINGS = 8


def begin_pages(plan: Plan, paper: str) -> list[Page]:
    """Return the page before the work.

    Where one does not hold it all, the check of the print and the words used go to a page of their own, after all
    that is to be minded.
    """
    field = page_field(paper)
    width, height = page_size(paper)
    title = phrase("title.begin")
    pages: list[list[Item]] = [title_items(title)]
    y = field.top
    for caution in plan_cautions(plan):
        need = caution_height(caution.text, field.width)
        if y + need > field.bottom:
            pages.append(title_items(title))
            y = field.top
        pages[-1] += caution_items(field.left, y, field.width, caution.signal, caution.text)
        y += need + 1.8
    y += 5.0
    check, low = _check_and_words(plan, field, y, surface=True)
    notes = _mind(plan, field, low + 5.0)
    if max(low, notes.y if notes.items else low) <= field.bottom:
        pages[-1] += [*check, *notes.items]
    else:
        for block in (_surface_block, _mind):
            column = block(plan, field, y)
            if column.y > field.bottom:
                pages.append(title_items(title))
                column = block(plan, field, field.top)
            pages[-1] += column.items
            y = column.y + (5.0 if column.items else 0.0)
        check, low = _check_and_words(plan, field, y, surface=False)
        if low > field.bottom:
            pages.append(title_items(title))
            check, _ = _check_and_words(plan, field, field.top, surface=False)
        pages[-1] += check
    return [Page("begin", title, width, height, tuple(items)) for items in pages]


def _check_and_words(plan: Plan, field: Field, y: float, *, surface: bool) -> tuple[list[Item], float]:
    """Return the check of the print beside the words used, and how far down they reach."""
    squares, words = Column(field.left, y, SQUARE), Column(field.left + SQUARE + 8.0, y, field.width - SQUARE - 8.0)
    squares.heading(phrase("begin.check"))
    words.heading(phrase("begin.words"))
    for key in ("panel", "trim", "break", "hinge", "level", "distance", "mark", "exact"):
        x, y_edge = (phrase(f"edge.{edge}") for edge in plan.sign.reference)
        words.text(phrase(f"begin.word.{key}", x=x, y=y_edge))
        words.gap(1.6)
    if surface:
        words.gap(3.0)
        _surface(plan, words)
    items = [*squares.items, *_squares(field.left, squares.y + 1.0), *words.items]
    return items, max(squares.y + 1.0 + SQUARE, words.y)


def _surface_block(plan: Plan, field: Field, y: float) -> Column:
    words = Column(field.left, y, field.width)
    _surface(plan, words)
    return words


def _surface(plan: Plan, words: Column) -> None:
    """Set what surface, film and air must be like."""
    words.heading(phrase("begin.surface"))
    words.text(phrase("begin.surface_text"))
    if plan.site.may_be_fresh:
        words.gap(1.6)
        words.text(phrase("begin.surface_fresh"))


def _mind(plan: Plan, field: Field, y: float) -> Column:
    """Return what the plan warns of; an empty column without warnings."""
    notes = Column(field.left, y, field.width)
    if plan.warnings:
        notes.heading(phrase("begin.warnings"))
        for text in _warnings(plan):
            notes.text(text)
            notes.gap(1.2)
    return notes


def _warnings(plan: Plan) -> list[str]:
    """Return what the plan warns of, as far as it can be printed."""
    if spoken() == "en":
        said = [warning_said(plan, f"{finding.message} {finding.remedy}") for finding in plan.warnings]
    else:
        said = _by_code(plan)
    shown = list(dict.fromkeys(text for text in said if text))
    if len(shown) > MOST_WARNINGS:
        shown = [*shown[:MOST_WARNINGS], phrase("begin.more", n=len(shown) - MOST_WARNINGS)]
    return shown


def _by_code(plan: Plan) -> list[str]:
    """Return what is warned of in general, once a code: findings speak English, and plan.json has each of them."""
    pieces: dict[str, set[str]] = {}
    for finding in plan.warnings:
        pieces.setdefault(finding.code, set()).update(finding.pieces)
    keys = {0: "begin.warning_plain", 1: "begin.warning_one"}
    return [
        phrase(keys.get(len(of), "begin.warning_many"), text=phrase(f"warning.{code}"), n=len(of))
        for code, of in pieces.items()
    ]


def _squares(left: float, top: float) -> list[Item]:
    """Return the two squares that prove the print, one inside the other, and what to do with them."""
    right, bottom = left + SQUARE, top + SQUARE
    inch = (right - 6.0 - INCH, bottom - 6.0 - INCH)
    items: list[Item] = [
        rectangle(left, top, right, bottom, None, BLACK, FINE),
        rectangle(inch[0], inch[1], inch[0] + INCH, inch[1] + INCH, None, BLACK, FINE),
        line((inch[0] + INCH / 2, inch[1] + INCH / 2 + STEP_CAP / 2), "1 in", STEP_CAP, True, "c"),
        line((left + SQUARE / 2, top + 2.0 + STEP_CAP), "100 mm", STEP_CAP, True, "c"),
    ]
    for n in range(1, 10):
        at = left + n * 10
        items.append(Stroke(((at, bottom), (at, bottom - (3.0 if n == 5 else 1.8))), HAIR, GREY))
    words = Column(left + 8.0, top + 16.0, SQUARE - 16.0)
    words.text(phrase("begin.check_text"))
    words.gap(2.0)
    words.text(phrase("begin.check_note"), SMALL_CAP, False, GREY)
    return [*items, *words.items]
