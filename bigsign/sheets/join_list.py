"""The list of a panel's joins on its page: letter, neighbour, and the gap at each height where it can be measured."""

from __future__ import annotations

from collections.abc import Sequence

from bigsign.plan_records import Break, BreakEnd, GapAt, Panel, Plan
from bigsign.sheets.dimensions import exact_note, length_note
from bigsign.sheets.items import Entry
from bigsign.sheets.marked import is_marked
from bigsign.sheets.own_letters import letter_said
from bigsign.sheets.panel_drawing import join_letters
from bigsign.sheets.style import GREY, SMALL_CAP, STEP_CAP
from bigsign.sheets.table import distance_words
from bigsign.sheets.writing import LEADING, Column, line, text_width, wrap
from bigsign.units import TapeLength
from bigsign.wording import phrase

__all__ = ["gap_rows", "list_joins", "place_of_gap"]

FIGURE = 16.5  # mm, room for a gap's figure
ROW = 4.3


def list_joins(column: Column, plan: Plan, panel: Panel, joins: Sequence[Break], foot: float) -> list[Break]:
    """Set joins as far as they have room above ``foot``, those to panels already up first, and return the rest.

    Gaps to panels that come later stand on those panels' pages, where they are checked.
    """
    left = sorted(joins, key=lambda part: not _is_up(plan, panel, part))
    if not left or not column.fits(9.0 + _height(column, plan, panel, left[0]), foot):
        return left
    letters, indent = join_letters(plan), _indent(plan)
    column.heading(phrase("panel.joins"))
    while left and column.fits(_height(column, plan, panel, left[0]), foot):
        part = left.pop(0)
        letter = letters[part.id]
        label, body = Entry("joins", label=True, first=True), Entry("joins")
        at = (column.left, column.y + STEP_CAP)
        column.items.append(line(at, f"{letter}–{letter}", STEP_CAP, True, role=label))
        column.text(_words(plan, panel, part), indent=indent, role=body)
        for name, length in _rows(plan, panel, part):
            base = column.y + STEP_CAP
            note = length_note(length)
            column.items.append(line((column.left + indent, base), length.tape, STEP_CAP, True, role=body))
            after = column.left + indent + FIGURE
            column.items.append(line((after, base), name, SMALL_CAP, False, "l", GREY, role=body))
            if note:
                column.items.append(line((column.right, base), note, SMALL_CAP, False, "r", GREY, role=body))
            column.gap(ROW)
        if part.butts:
            column.text(_line_words(part), SMALL_CAP, False, GREY, indent, role=body)
        column.gap(1.2)
    column.gap(1.6)
    return left


def place_of_gap(plan: Plan, gap: GapAt, named: bool) -> str:
    """Return where a gap is measured: at which height of the letters, or between which; ``named``: always which."""
    one, two = (letter_said(plan, name) for name in gap.between)
    known = bool(one and two)
    if gap.where == "face":
        return phrase("gap.between", a=one, b=two) if known else phrase("gap.face")
    where = phrase(f"gap.{gap.where}")
    return phrase("gap.letters", a=one, b=two, where=where) if named and known else where


def gap_rows(plan: Plan, part: Break) -> list[tuple[str, TapeLength]]:
    """Return (where, gap) for each gap of a join, then the narrowest where that is none of them.

    At a seam it is the overlap.
    """
    if part.kind == "seam":
        return [] if part.overlap is None else [(phrase("gap.laps"), part.overlap)]
    groups = list(dict.fromkeys(gap.between for gap in part.gaps))
    rows: list[tuple[str, TapeLength]] = []
    for group in groups:
        own = [gap for gap in part.gaps if gap.between == group]
        if len(own) > 1 and len({gap.gap.tape for gap in own}) == 1:
            rows.append((phrase("gap.every"), own[0].gap))
        else:
            rows += [(place_of_gap(plan, gap, len(groups) > 1), gap.gap) for gap in own]
    if part.gap.tape not in {length.tape for _, length in rows}:
        rows.append((_narrowest(plan, part), part.gap))
    return rows


def _narrowest(plan: Plan, part: Break) -> str:
    a, b = (letter_said(plan, name) for name in part.narrowest.between) if part.narrowest is not None else ("", "")
    if a and b and all(is_marked(text) or text.isalnum() for text in (a, b)):
        return phrase("gap.letters", a=a, b=b, where=phrase("gap.narrowest"))
    return phrase("gap.narrowest")


def _line_words(part: Break) -> str:
    """Return where a break line runs that panels butt at: from the reference edges, at both ends where it slants."""
    a, b = part.ends[0], part.ends[-1]
    if abs(a.at[0] - b.at[0]) < 1e-6:
        return phrase("panel.line_at", place=_place(a, "x"))
    if abs(a.at[1] - b.at[1]) < 1e-6:
        return phrase("panel.line_at", place=_place(a, "y"))
    ends = [f"{_place(end, 'x')}, {_place(end, 'y')}" for end in (a, b)]
    return phrase("panel.line_from", start=ends[0], end=ends[1])


def _place(end: BreakEnd, axis: str) -> str:
    distance = end.from_reference.x if axis == "x" else end.from_reference.y
    note = exact_note(distance.length)
    return f"{distance_words(distance, axis)} ({note})" if note else distance_words(distance, axis)


def _is_up(plan: Plan, panel: Panel, part: Break) -> bool:
    return all(plan.panel(name).number <= panel.number for name in part.panels)


def _rows(plan: Plan, panel: Panel, part: Break) -> list[tuple[str, TapeLength]]:
    return gap_rows(plan, part) if _is_up(plan, panel, part) else []


def _height(column: Column, plan: Plan, panel: Panel, part: Break) -> float:
    lines = wrap(_words(plan, panel, part), STEP_CAP, column.width - _indent(plan))
    line_words = wrap(_line_words(part), SMALL_CAP, column.width - _indent(plan)) if part.butts else []
    rows = ROW * len(_rows(plan, panel, part)) + LEADING * SMALL_CAP * len(line_words)
    return len(lines) * LEADING * STEP_CAP + rows + 1.2


def _indent(plan: Plan) -> float:
    """Return the room for the joins' letters."""
    letters = join_letters(plan).values()
    return max(10.0, max(text_width(f"{letter}–{letter}", STEP_CAP, True) for letter in letters) + 1.6)


def _words(plan: Plan, panel: Panel, part: Break) -> str:
    other = next(plan.panel(name) for name in part.panels if name != panel.id)
    state = phrase("panel.up" if other.number < panel.number else "panel.later")
    if part.kind == "seam":
        edges = phrase("panel.seam" if part.overlap is not None else "panel.seam_butt")
    else:
        edges = phrase("panel.butts" if part.butts else "panel.apart")
    marks = [mark.id for mark in plan.marks if mark.break_id == part.id]
    if marks:
        edges = phrase("panel.marked", marks=", ".join(marks))
    if part.way == "free":
        edges = f"{edges}; {phrase('panel.winds')}"
    return phrase("panel.join", n=other.number, state=state, edges=edges)
