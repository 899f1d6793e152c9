"""The words of a mat's page: what to load, what to do with it, and what to mind of each panel on it."""

from __future__ import annotations

from collections.abc import Sequence

from bigsign.making.weeding_notes import WeedingNotes, weeding_notes
from bigsign.plan_records import MatSheet, Panel, Plan
from bigsign.sheets.balloons import number_circle
from bigsign.sheets.cautions import caution_height, caution_items
from bigsign.sheets.items import Entry, in_role
from bigsign.sheets.metrics import showable
from bigsign.sheets.own_letters import letters_said
from bigsign.sheets.own_rows import Row, panel_words, set_row
from bigsign.sheets.style import BLACK, GREY, HAIR, SMALL_CAP, STEP_CAP, film_fill
from bigsign.sheets.writing import LEADING, TICK_GAP, Column, line, rectangle, wrap
from bigsign.wording import colour_said, panels_said, phrase

__all__ = ["list_panels", "mat_words"]

INDENT = 9.5  # beside a panel's number
MOST_ROWS = 6  # of what a panel says


def mat_words(
    words: Column, plan: Plan, mat: MatSheet, panels: Sequence[Panel], caution: tuple[str, str] | None
) -> None:
    """Set what a mat is loaded with and its steps; ``caution`` (signal word, text) stands before the first."""
    left, width = words.left, words.width
    swatch = rectangle(left, words.y, left + 9.0, words.y + 5.0, film_fill(mat.colour), BLACK, HAIR)
    words.items.append(swatch)
    name = showable(colour_said(mat.colour, mat.colour_name)) or mat.colour
    for index, part in enumerate(wrap(phrase("mat.film", colour=name), STEP_CAP, width - 12.0, True)):
        words.items.append(line((left + 12.0, words.y + 3.7 + index * 4.6), part, STEP_CAP, True))
    words.gap(9.0)
    usable = f"{mat.usable.width.shown} × {mat.usable.height.shown}"
    load = f"{mat.load.width.shown} × {mat.load.height.shown}"
    words.fact(phrase("mat.mat"), f"{mat.mat}", 17.0)
    words.fact(phrase("mat.usable"), usable, 17.0)
    words.fact(phrase("mat.sheet"), load, 17.0)
    words.fact(phrase("mat.file"), showable(mat.file), 17.0)
    words.gap(1.5)
    words.text(phrase("mat.mirrored" if mat.mirrored else "mat.true"), STEP_CAP, True)
    words.gap(1.0)
    words.text(phrase("mat.up"), SMALL_CAP, False, GREY)
    words.gap(3.0)
    if caution is not None:
        words.items += caution_items(left, words.y, width, *caution)
        words.gap(caution_height(caution[1], width) + 3.0)
    notes = {panel.number: weeding_notes(plan, panel) for panel in panels}
    late = [number for number, found in notes.items() if found.late]
    first = panels[0]
    values: dict[str, str] = {
        "colour": name,
        "panels": panels_said(late) if late else "",
        "n": str(first.number),
        "size": f"{first.size.width.shown} × {first.size.height.shown}",
    }
    steps = [
        "load",
        "cut",
        *(["holes"] if any(found.holes for number, found in notes.items() if number not in late) else []),
        *(["weed"] if len(late) < len(panels) else []),
        "tape",
        *(["late"] if late else []),
        "off",
        "trim",
        "number",
    ]
    for index, key in enumerate(steps, 1):
        words.tick(phrase(f"mat.{key}", **values), str(index))
        if key == "weed" and any(panel.marks for panel in panels):
            words.text(phrase("mat.marks"), indent=12.8, role=Entry("steps"))
            words.gap(TICK_GAP)
    words.gap(2.0)
    if any(found.small for found in notes.values()):
        words.text(phrase("mat.ringed"), SMALL_CAP)
        words.gap(2.0)


def list_panels(words: Column, plan: Plan, panels: Sequence[Panel], bottom: float) -> list[Panel]:
    """List panels, with what to mind of each, as far as there is room above ``bottom``; return the rest."""
    left = list(panels)
    if words.y + 8.0 + _height(words, plan, left[0]) > bottom:
        return left
    words.heading(phrase("mat.panels"))
    while left and words.fits(_height(words, plan, left[0]), bottom):
        panel = left.pop(0)
        number = number_circle((words.left + 3.4, words.y + STEP_CAP / 2 + 0.6), panel.number)
        words.items += in_role(number, Entry("panels", label=True, first=True))
        words.gap(0.6)
        for row in _said_rows(words, plan, panel):
            at = (words.left + INDENT, words.y + STEP_CAP)
            words.items.append(set_row(at, row, STEP_CAP, role=Entry("panels")))
            words.gap(LEADING * STEP_CAP)
        for said in _minded(plan, panel):
            words.text(said, SMALL_CAP, False, GREY, INDENT, role=Entry("panels"))
        words.gap(2.6)
    return left


def _height(words: Column, plan: Plan, panel: Panel) -> float:
    room = words.width - INDENT
    text = len(_said_rows(words, plan, panel))
    small = sum(len(wrap(said, SMALL_CAP, room)) for said in _minded(plan, panel))
    return 0.6 + LEADING * (STEP_CAP * text + SMALL_CAP * small) + 2.0


def _said_rows(words: Column, plan: Plan, panel: Panel) -> Sequence[Row | str]:
    """Return what a panel says, or that it says nothing, in rows beside its number."""
    own = panel_words(plan, panel)
    room = words.width - INDENT
    return own.few_rows(room, MOST_ROWS) if own else wrap(phrase("mat.as_drawn"), STEP_CAP, room)


def _minded(plan: Plan, panel: Panel) -> list[str]:
    """Return what is said beside a panel's number: its holes and the letters with them, sides to cut by hand."""
    return [*_holes(plan, weeding_notes(plan, panel)), *_by_hand(plan, panel)]


def _holes(plan: Plan, notes: WeedingNotes) -> list[str]:
    """Return what of a panel's weeding is said beside its number: its holes, and the letters that have them."""
    if not notes.holes:
        return []
    letters = ", ".join(letters_said(plan, notes.holed))
    key = "mat.hole" if notes.holes == 1 else "mat.hole_many"
    return [phrase(f"{key}_in" if letters else key, n=notes.holes, letters=letters)]


def _by_hand(plan: Plan, panel: Panel) -> list[str]:
    """Return what is said of trim sides that the cutter can't reach."""
    if not panel.unlined or not plan.project.plan.weed_box:
        return []
    sides = ", ".join(phrase(f"edge.{side}") for side in panel.unlined)
    size = f"{panel.trim_size.width.shown} × {panel.trim_size.height.shown}"
    return [phrase("mat.by_hand", sides=sides, size=size)]
