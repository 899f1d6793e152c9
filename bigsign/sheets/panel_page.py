"""A page a panel, in the order of work: the drawing, what it is, its joins, its steps with boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bigsign.plan_records import Panel, Plan, Size, Step
from bigsign.sheets.alt import panel_alt
from bigsign.sheets.cautions import caution_height, caution_items, split_caution
from bigsign.sheets.grid import Field, page_field, page_size, title_items
from bigsign.sheets.items import Area, Drawing, Entry, Item, Page, Stroke, Text
from bigsign.sheets.join_list import list_joins
from bigsign.sheets.join_page import Join, full_size_joins, set_joins
from bigsign.sheets.labels import clashes
from bigsign.sheets.metrics import can_show, showable
from bigsign.sheets.own_rows import panel_words
from bigsign.sheets.panel_drawing import PanelDrawing, draw_panel, join_letters, panel_scale
from bigsign.sheets.said import action_said
from bigsign.sheets.style import (
    BLACK,
    BREAK,
    CHAIN,
    DASHED,
    FINE,
    FIRM,
    GREY,
    HAIR,
    MARGIN,
    PALE,
    SMALL_CAP,
    STEP_CAP,
    TAPE,
    film_tint,
)
from bigsign.sheets.views import View, areas
from bigsign.sheets.work_page import letter_of
from bigsign.sheets.writing import LEADING, TICK_GAP, Column, line, rectangle, text_width, wrap
from bigsign.wording import colour_said, phrase

__all__ = ["PanelSheets", "panel_pages"]

HEADLINE = 4.0  # height of capitals of what the panel says
APART = 5.0  # mm, from what stands above to joins at full size
FRESH = 100.0  # a column that starts above this is one of a fresh page
LEGEND = 7.0  # height of the key to the lines, along the foot
WORDS = (92.0, 84.0, 76.0, 70.0, 66.0)  # of the words beside a tall drawing: the widest that leaves it as large
WIDER = (116.0, 108.0, 100.0)  # where a smaller drawing saves a page
WIDE_SHARES = (0.42, 0.47, 0.52, 0.57)  # of the field's height, for the drawing of a wide panel
SHRINK = (0.88, 0.76, 0.66)  # of the height of the drawing, tried where it saves a page
KEY = (34.0, 11.5)  # room for the small picture of where the panel goes


@dataclass(frozen=True, slots=True)
class PanelSheets:
    """The pages of a panel, and those of its joins that had no room there at full size."""

    pages: tuple[Page, ...]
    rest: tuple[Join, ...]


def panel_pages(plan: Plan, panel: Panel, paper: str) -> PanelSheets:
    """Return the pages of one panel: the first with its drawing, more where its steps need them.

    The drawing is a little smaller where that saves a page: what is read at once should not be turned over for.
    """
    best = _pages(plan, panel, paper, 1.0)
    for share in SHRINK:
        if len(best.pages) == 1:
            break
        trial = _pages(plan, panel, paper, share)
        if len(trial.pages) < len(best.pages) and not any(clashes(page.items) for page in trial.pages):
            best = trial
    return best


def _pages(plan: Plan, panel: Panel, paper: str, share: float) -> PanelSheets:
    """Return the pages with the drawing in ``share`` of the height it could have."""
    field = page_field(paper)
    width, height = page_size(paper)
    title = phrase("title.panel", n=panel.number)
    foot = field.bottom - LEGEND
    step = next(step for step in plan.steps if step.kind == "stick" and step.panel == panel.id)
    pieces = _step_pieces(plan, panel, step)
    items = _head(plan, panel, field, title)
    joins = [part for part in plan.breaks if panel.id in part.panels]
    details = [(panel, part) for part in full_size_joins(plan, panel, paper)]
    facts: Column | None = None
    x0, y0, x1, y1 = panel.trim.bounds
    if y1 - y0 > 1.1 * (x1 - x0):
        drawing, words = _beside(plan, panel, field, field.top + share * (foot - field.top), _widths(pieces, share))
        facts = Column(field.right - words, field.top, words)
        below = Column(field.left, drawing.taken[3] + 4.0, field.width - words - 7.0)
        if share < 1:  # what the panel is stands below the drawing too, and leaves its column to the steps
            _facts(below, plan, panel)
            below.gap(3.0)
            if below.y > foot:
                return _pages(plan, panel, paper, 1.0)
        else:
            _facts(facts, plan, panel)
            facts.gap(2.0)
        # Joins stand below the drawing; where that has no room for all of them, above the steps if both fit there.
        rest = list_joins(below, plan, panel, joins, foot)
        rest = list_joins(facts, plan, panel, rest, foot - _steps_height(pieces, words))
        below.y = max(below.y, drawing.taken[3])
        steps = Column(facts.left, facts.y + 1.0, words)
    else:
        drawing = _above(plan, panel, field, field.top + share * (foot - field.top))
        half = (field.width - 8.0) * 0.46
        top = drawing.taken[3] + 5.0
        below = Column(field.left, top, half)
        _facts(below, plan, panel)
        below.gap(3.0)
        rest = list_joins(below, plan, panel, joins, foot)
        steps = Column(field.left + half + 8.0, top, field.width - half - 8.0)
    # read in this order: the drawing, what the panel is, its joins, its steps
    columns = [below] if facts is None else [facts, below] if share == 1 else [below, facts]
    items += [*drawing.items, *(item for column in columns for item in column.items)]
    pages: list[Page] = []
    shown = drawing.view.drawing
    drawings = [replace(shown, alt=panel_alt(plan, panel, join_letters(plan), shown))]
    steps.heading(phrase("panel.steps", n=step.n))
    while True:
        pieces = _fill(steps, pieces, foot)
        if not pieces and rest:
            steps.gap(3.0)
            rest = list_joins(steps, plan, panel, rest, foot)
        items += steps.items
        last = not pieces and not rest
        if last:
            columns = [steps] if pages else [below, steps]
            made, more, details = _details(plan, details, columns, field, foot)
            items, drawings = [*items, *made], [*drawings, *more]
        if not pages:
            items = [*items, *_legend(panel, field)]
        pages.append(Page("panel", title, width, height, tuple(items), tuple(drawings), panel.id))
        if last:
            return PanelSheets(tuple(pages), tuple(details))
        title, drawings = phrase("title.panel_more", n=panel.number), []
        items = _head(plan, panel, field, title)
        steps = Column(field.left, field.top, min(field.width, 120.0))
        if pieces:
            steps.heading(phrase("panel.steps", n=step.n))
        foot = field.bottom


def _details(
    plan: Plan, joins: Sequence[Join], columns: Sequence[Column], field: Field, foot: float
) -> tuple[list[Item], list[Drawing], list[Join]]:
    """Show joins at full size in what is left of a page: across it, or column by column where that holds more.

    Where those left stand is said below the first column. Return items, drawings, and the joins left.
    """
    if not joins:
        return [], [], []
    top = max(column.y for column in columns)
    best = set_joins(plan, joins, field, top + APART, foot)
    items: list[Item] = []
    drawings: list[Drawing] = []
    rest = list(joins)
    for column in columns if len(columns) > 1 else ():
        room = Field(column.left, column.y, column.right, foot)
        made, more, rest = set_joins(plan, rest, room, column.y + APART, foot)
        items, drawings = [*items, *made], [*drawings, *more]
    if len(rest) < len(best[2]):
        best = items, drawings, rest
    items, drawings, rest = best
    if rest:
        letters = join_letters(plan)
        names = ", ".join(f"{letters[part.id]}–{letters[part.id]}" for _, part in rest)
        said = phrase("joins.elsewhere", joins=names)
        for column in columns:
            needed = len(wrap(said, STEP_CAP, column.width)) * LEADING * STEP_CAP
            if not drawings and column.fits(needed + 1.0, foot):
                note = Column(column.left, column.y + 1.0, column.width)
                note.text(said)
                link = f"join:{rest[0][1].id}"
                leading = [replace(item, link=link) for item in note.items if isinstance(item, Text)]
                items = [*items, *leading]
                break
    return items, drawings, rest


def _widths(pieces: Sequence[tuple[str, str]], share: float) -> Sequence[float]:
    """Return the widths to try for the words beside a tall drawing: those in which no step is longer than two lines."""
    widths = WORDS if share == 1 else (*WIDER, *WORDS)
    numbered = [(number, text) for number, text in pieces if number]
    two = 2 * LEADING * STEP_CAP + TICK_GAP + 1e-9
    short = [
        width for width in widths if all(Column(0, 0, width).tick_height(text, n) <= two for n, text in numbered)
    ]
    return short or widths[:1]


def _steps_height(pieces: Sequence[tuple[str, str]], width: float) -> float:
    """Return the height that all of a step's actions take in a column, with their heading."""
    column = Column(0.0, 0.0, width)
    column.heading("S")
    _fill(column, pieces, 1e9)
    return column.y + 2.0


def _beside(
    plan: Plan, panel: Panel, field: Field, foot: float, widths: Sequence[float]
) -> tuple[PanelDrawing, float]:
    """Return a tall panel's drawing down the left of the page, and the width left for the words."""
    height = foot - field.top - 2.0
    words = min(widths, key=lambda words: (panel_scale(plan, panel, field.width - words - 6.0, height), -words))
    return draw_panel(plan, panel, field.left, field.top, field.width - words - 6.0, height), words


def _above(plan: Plan, panel: Panel, field: Field, foot: float) -> PanelDrawing:
    """Return a wide panel's drawing across the page, a little higher where that lets it be larger."""
    room = foot - field.top
    share = min(WIDE_SHARES, key=lambda share: panel_scale(plan, panel, field.width, share * room))
    return draw_panel(plan, panel, field.left, field.top, field.width, share * room)


def _head(plan: Plan, panel: Panel, field: Field, title: str) -> list[Item]:
    """Return the page's title with the panel's text, and a small picture of where on the sign it goes."""
    scale = max(plan.sign.width.mm / KEY[0], plan.sign.height.mm / KEY[1])
    size = (plan.sign.width.mm / scale, plan.sign.height.mm / scale)
    top = MARGIN + 2.0 + (KEY[1] - size[1]) / 2
    view = View((0, 0, plan.sign.width.mm, plan.sign.height.mm), (field.right - size[0], top), scale)
    items = areas(view.shape(plan.sign.outline), "#ffffff", BLACK, FINE)
    for other in plan.panels:
        own = other.id == panel.id
        items += areas(view.shape(other.trim).simplify(0.05), BLACK if own else "#dddddd", None)
    where = phrase("panel.where")
    x = field.right - size[0] - 2.0
    items.append(line((x, MARGIN + 2.0 + KEY[1] / 2 + SMALL_CAP / 2), where, SMALL_CAP, False, "r", GREY, role="again"))
    room = x - text_width(where, SMALL_CAP) - 8.0 - (field.left + text_width(title, 5.0, True) + 5.0)
    words = panel_words(plan, panel)
    return [*title_items(title, words.one_row(room, HEADLINE) if words else ""), *items]


def _facts(column: Column, plan: Plan, panel: Panel) -> None:
    mat = next(mat for mat in plan.mats if mat.id == panel.mat)
    film = showable(colour_said(panel.colour, plan.colour_name(panel.colour)))
    column.heading(phrase("panel.facts"))
    rows = [
        ("panel.film", film, ""),
        ("panel.cut", f"{phrase('title.mat', n=int(mat.id.removeprefix('mat-')))}: {showable(mat.file)}", ""),
        ("panel.size", *_size_words(plan, panel.size)),
        ("panel.trim", *_size_words(plan, panel.trim_size)),
    ]
    if marks := plan.marks_on(panel):
        rows.append(("panel.marks", ", ".join(mark.id for mark in marks), ""))
    if panel.hinge is not None:
        why = panel.hinge.why if can_show(panel.hinge.why) else ""
        kind = phrase(f"hinge.{panel.hinge.kind}")
        rows.append(("panel.hinge", f"{kind}: {why}" if why else kind, ""))
    if panel.level is not None:
        past = panel.level.overshoot_mm
        note = phrase("panel.overshoot", past=f"{past:.1f}") if past >= 0.05 else ""  # it would print as 0.0
        rows.append(("panel.level", phrase("panel.flat" if panel.level.flat else "panel.lowest"), note))
    if panel.unlined and plan.project.plan.weed_box:
        rows.append(("panel.unlined", ", ".join(phrase(f"edge.{side}") for side in panel.unlined), ""))
    for key, value, note in rows:
        column.fact(phrase(key), value, 20.0, note)


def _size_words(plan: Plan, size: Size) -> tuple[str, str]:
    """Return a size as the tape shows it, and its exact millimetres where they differ by more than 0.1 mm."""
    lengths = (size.width, size.height)
    exact = any(abs(length.error_mm) > 0.1 for length in lengths)
    note = phrase("panel.exact", width=f"{size.width.mm:.1f}", height=f"{size.height.mm:.1f}") if exact else ""
    return f"{size.width.shown} × {size.height.shown}", note


def _step_pieces(plan: Plan, panel: Panel, step: Step) -> list[tuple[str, str]]:
    """Return (number, text) of a step's actions; a caution comes first, without a number."""
    out = [("", step.caution)] if step.caution else []
    said = [action_said(plan, panel, text) for text in step.actions]
    return [*out, *((f"{step.n}{letter_of(index)}", text) for index, text in enumerate(said))]


def _fill(column: Column, pieces: Sequence[tuple[str, str]], foot: float) -> list[tuple[str, str]]:
    """Set as many actions as have room above ``foot`` and return the rest; one at least on a fresh page."""
    left = list(pieces)
    start = column.y
    while left:
        number, text = left[0]
        if not number:
            signal, body = split_caution(text)
            need = caution_height(body, column.width) + 2.4
            # A caution never stands alone at a page's foot: the action it is for comes with it.
            with_next = need + (column.tick_height(left[1][1], left[1][0]) if len(left) > 1 else 0.0)
            if not column.fits(with_next, foot) and column.y > start:
                break
            column.items += caution_items(column.left, column.y, column.width, signal, body)
            column.gap(need)
        else:
            full = not column.fits(column.tick_height(text, number) - TICK_GAP, foot)
            if full and (column.y > start or start > FRESH):
                break
            column.tick(text, number)
        left.pop(0)
    return left


def _legend(panel: Panel, field: Field) -> list[Item]:
    """Return the key to the lines, along the page's foot."""
    base = field.bottom - 0.5
    keys = ("film", "up", "later", "trim", "break", "hinge", "level")
    widths = [10.5 + text_width(phrase(f"legend.{key}"), SMALL_CAP) for key in keys]
    space = (field.width - sum(widths)) / (len(keys) - 1)
    out: list[Item] = [Stroke(((field.left, base - 5.0), (field.right, base - 5.0)), HAIR, PALE)]
    x = field.left
    for key, width in zip(keys, widths, strict=True):
        out += _sample(key, x, base - SMALL_CAP / 2, panel.colour)
        out.append(line((x + 10.0, base), phrase(f"legend.{key}"), SMALL_CAP, role=Entry("key", first=True)))
        x += width + space
    return out


def _sample(key: str, x: float, y: float, colour: str) -> list[Item]:
    """Return a small sample of how something is drawn."""
    straight = ((x, y), (x + 8.0, y))
    ends = (x, y - 1.5, x + 8.0, y + 1.5)
    if key == "film":
        return [rectangle(*ends, film_tint(colour), BLACK, FIRM)]
    if key == "up":
        hatch = [Stroke(((x + at, y + 1.5), (x + at + 3.0, y - 1.5)), HAIR, GREY) for at in (0.5, 2.5, 4.5)]
        return [rectangle(*ends, None, GREY, FINE), *hatch]
    if key == "hinge":
        return [rectangle(*ends, TAPE, GREY, HAIR), Stroke(straight, FINE, BLACK, CHAIN)]
    dash: dict[str, tuple[float, ...]] = {"later": DASHED, "trim": (), "break": BREAK, "level": CHAIN}
    foot = ((x + 4.0, y), (x + 3.1, y + 1.7), (x + 4.9, y + 1.7))
    feet = [Area((foot,), BLACK, None)] if key == "level" else []  # as they stand on the line in the drawing
    return [Stroke(straight, FINE, GREY if key == "later" else BLACK, dash[key]), *feet]
