"""The order of work: every step before, between and after the panels' own pages, with boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bigsign.plan_records import Plan, Step
from bigsign.sheets.cautions import caution_height, caution_items, split_caution
from bigsign.sheets.grid import Field, page_field, page_size, title_items
from bigsign.sheets.items import Entry, Item, Page, Stroke
from bigsign.sheets.style import HAIR, PALE, STEP_CAP
from bigsign.sheets.writing import TICK_GAP, Column, line, tick_box
from bigsign.wording import phrase

__all__ = ["letter_of", "work_pages"]

LABEL = 36.0  # width of the column that names the step
ACROSS = 3  # panels or mats in a row
ROW_PITCH = 6.2
STICK_HEAD = 6.5  # the words above the boxes to tick
MOST_TOGETHER = 100
EVEN = (0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95)  # shares of a page's height, tried in turn


def letter_of(index: int) -> str:
    """Return a, b … z, then aa, ab …: the name of an action within its step."""
    first, last = divmod(index, 26)
    return ("" if not first else chr(96 + first)) + chr(97 + last)


def work_pages(plan: Plan, paper: str) -> list[Page]:
    """Return the steps in order; a panel's own actions are on its page, here only a box to tick.

    Where they need several pages, each is filled about as far as the others: none holds only the last step.
    """
    field = page_field(paper)
    width, height = page_size(paper)
    title = phrase("title.steps")
    pages = _filled(plan, field, field.bottom)
    for share in EVEN if len(pages) > 1 else ():
        even = _filled(plan, field, field.top + share * field.height)
        if len(even) == len(pages):
            pages = even
            break
    return [Page("steps", title, width, height, (*title_items(title), *items)) for items in pages]


def _filled(plan: Plan, field: Field, bottom: float) -> list[list[Item]]:
    """Return the items of pages that are filled down to ``bottom``, or as far as one step needs."""
    made, y = _mats(plan, field, field.top)
    pages: list[list[Item]] = [made]
    for group in _groups(plan.steps):
        step, column = group[0], Column(field.left + LABEL, 0.0, field.width - LABEL)
        if step.kind == "stick":
            runs = [(0, 0, -(-len(group) // ACROSS) * ROW_PITCH + STICK_HEAD)]
        else:
            runs = _runs(step, column, field.height)
        for first, end, need in runs:
            if y + need > bottom and y > field.top:
                pages.append([])
                y = field.top
            items, y = _sticks(plan, group, field, y) if step.kind == "stick" else _step(step, field, y, first, end)
            pages[-1] += items
    return pages


def _runs(step: Step, column: Column, most: float) -> list[tuple[int, int, float]]:
    """Return (first action, end, height) of the parts a step is set in: one, unless it is higher than a page."""
    head = caution_height(split_caution(step.caution)[1], column.width) + 2.4 if step.caution else 0.0
    out: list[tuple[int, int, float]] = []
    first, used = 0, head
    for index, action in enumerate(step.actions):
        height = column.tick_height(action, "1a")
        if used + height - TICK_GAP > most and index > first:
            out.append((first, index, used))
            first, used = index, 0.0
        used += height
    return [*out, (first, len(step.actions), used - TICK_GAP)]


def _groups(steps: Sequence[Step]) -> list[list[Step]]:
    """Return the steps one by one, but panels stuck one after another together, up to a page of them."""
    out: list[list[Step]] = []
    for step in steps:
        if step.kind == "stick" and out and out[-1][0].kind == "stick" and len(out[-1]) < MOST_TOGETHER:
            out[-1].append(step)
        else:
            out.append([step])
    return out


def _sticks(plan: Plan, group: Sequence[Step], field: Field, y: float) -> tuple[list[Item], float]:
    """Return a box to tick for each panel's step, a few to a row, read row by row."""
    numbers = f"{group[0].n}" if len(group) == 1 else f"{group[0].n}–{group[-1].n}"
    items = _label(field, y, numbers, "stick")
    column = Column(field.left + LABEL, y, field.width - LABEL)
    column.text(phrase("steps.stick"))
    column.gap(1.0)
    items += column.items
    pitch = (field.width - LABEL) / ACROSS
    for index, step in enumerate(group):
        assert step.panel is not None
        x, base = column.left + (index % ACROSS) * pitch, column.y + (index // ACROSS) * ROW_PITCH + STEP_CAP
        items.append(tick_box(x, base))
        label = Entry("steps", label=True, first=True)
        items.append(line((x + 5.2, base), f"{step.n}", STEP_CAP, True, role=label))
        words = phrase("steps.sheet", what=phrase("title.panel", n=plan.panel(step.panel).number))
        said = line((x + 12.8, base), words, STEP_CAP, role=Entry("steps"))
        items.append(replace(said, link=f"panel:{step.panel}"))
    column.gap(-(-len(group) // ACROSS) * ROW_PITCH)
    return _ended(items, field, column.y)


def _mats(plan: Plan, field: Field, y: float) -> tuple[list[Item], float]:
    """Return what comes before the numbered steps: a box to tick for each mat, a few to a row."""
    column = Column(field.left + LABEL, y, field.width - LABEL)
    column.text(phrase("steps.cut"))
    column.gap(1.0)
    name = line((field.left, y + STEP_CAP), phrase("step.cut"), STEP_CAP, True, role="H2")
    items: list[Item] = [name, *column.items]
    pitch = (field.width - LABEL) / ACROSS
    for index, mat in enumerate(plan.mats):
        x, base = column.left + (index % ACROSS) * pitch, column.y + (index // ACROSS) * ROW_PITCH + STEP_CAP
        items.append(tick_box(x, base))
        words = phrase("steps.sheet", what=phrase("title.mat", n=int(mat.id.removeprefix("mat-"))))
        said = line((x + 5.2, base), words, STEP_CAP, role=Entry("mats", first=True))
        items.append(replace(said, link=f"mat:{mat.id}"))
    column.gap(-(-len(plan.mats) // ACROSS) * ROW_PITCH)
    return _ended(items, field, column.y)


def _label(field: Field, y: float, numbers: str, kind: str) -> list[Item]:
    return [
        line((field.left, y + STEP_CAP), phrase(f"step.{kind}"), STEP_CAP, True, role="H2"),
        line((field.left + LABEL - 4.0, y + STEP_CAP), numbers, STEP_CAP, False, "r", role="H2"),
    ]


def _ended(items: list[Item], field: Field, y: float) -> tuple[list[Item], float]:
    items.append(Stroke(((field.left, y + 0.2), (field.right, y + 0.2)), HAIR, PALE))
    return items, y + 2.0


def _step(step: Step, field: Field, y: float, first: int, end: int) -> tuple[list[Item], float]:
    """Return a step's actions from ``first`` up to ``end``, with its caution before the first of all."""
    column = Column(field.left + LABEL, y, field.width - LABEL)
    items = _label(field, y, f"{step.n}", step.kind)
    if step.caution and first == 0:
        signal, text = split_caution(step.caution)
        column.items += caution_items(column.left, y - 1.2, column.width, signal, text)
        column.gap(caution_height(text, column.width) + 1.6)
    for index in range(first, end):
        number = f"{step.n}{letter_of(index)}" if len(step.actions) > 1 else f"{step.n}"
        column.tick(step.actions[index], number)
    return _ended([*items, *column.items], field, column.y)
