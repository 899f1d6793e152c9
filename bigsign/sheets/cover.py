"""The cover: the sign to scale on its board with its panels numbered, what it is, what to have at hand."""

from __future__ import annotations

from dataclasses import replace

from bigsign.plan_needs import FilmNeed
from bigsign.plan_records import Plan
from bigsign.sheets.alt import sign_alt
from bigsign.sheets.balloons import RING, Numbered, balloons
from bigsign.sheets.dimensions import size
from bigsign.sheets.drawing import board, break_line, film_as_seen
from bigsign.sheets.grid import Field, name_title, page_field, page_size, scale_text
from bigsign.sheets.items import Item, Page, in_role
from bigsign.sheets.metrics import can_show, showable
from bigsign.sheets.style import SMALL_CAP
from bigsign.sheets.views import View, best_scale, turned
from bigsign.sheets.writing import Column, line
from bigsign.wording import colour_said, phrase

__all__ = ["cover_page"]

ASIDE = 74.0  # width of the words beside a tall drawing
BELOW = 72.0  # least height of the words below a wide one
BETWEEN = 10.0  # between two columns of words
DIMENSION = 9.0
TIMES = "\u00a0×\u00a0"  # a size stays on a line
MOST_SIZES = 3  # of sheets of a colour that are listed
MOST_FILMS = 8  # colours that are listed


def cover_page(plan: Plan, paper: str) -> Page:
    """Return the cover."""
    width, height = plan.sign.width.mm, plan.sign.height.mm
    tall = height > width
    rooms = {landscape: _room(plan, page_field(paper, landscape), tall) for landscape in (False, True)}
    scales = {landscape: best_scale(width, height, *room) for landscape, room in rooms.items()}
    landscape = turned(scales[False], scales[True])
    scale = scales[landscape]
    field = page_field(paper, landscape)
    page_w, page_h = page_size(paper, landscape)
    drawn = (width / scale, height / scale)
    across = field.width - (ASIDE + 6.0 if tall else 0.0)
    left = field.left + (across - drawn[0] + DIMENSION) / 2
    slack = rooms[landscape][1] - drawn[1]
    # A wide board stands a little above the middle of its room; a tall one hangs from the top.
    top = field.top + RING + (min(slack * 0.4, 24.0) if not tall else min(slack * 0.4, 10.0))
    view = View((0.0, 0.0, width, height), (left, top), scale)
    x0, y0, x1, y1 = view.paper_box
    things = [Numbered(p.number, view.shape(p.trim), view.shape(p.film)) for p in plan.panels]
    numbers, sides = balloons(things, view.paper_box)
    items: list[Item] = name_title(plan, field, phrase("title.guide"))
    items += board(view, plan)
    items += film_as_seen(view, plan)
    for part in plan.breaks:
        items += break_line(view, part)
    items += in_role(numbers, "drawn")
    below, aside = (RING + 5.0 if "b" in sides else 8.0), (RING + 5.0 if "l" in sides else 8.0)
    items += in_role(size((x0, y1), (x1, y1), plan.sign.width.tape, below), "drawn")
    items += in_role(size((x0, y0), (x0, y1), plan.sign.height.tape, -aside), "drawn")
    foot = ((x0 + x1) / 2, y1 + below + 3.4 + SMALL_CAP)
    items.append(line(foot, scale_text(scale), SMALL_CAP, False, "c", role="drawn"))
    if tall:
        words = Column(field.right - ASIDE, field.top + 2.0, ASIDE)
        _facts(words, plan)
        words.gap(5.0)
        _at_hand(words, plan)
        items += words.items
    else:
        top = max(y1 + below + 14.0, field.bottom - _below(plan, field))
        items += _two_columns(plan, field, top)
    drawing = replace(view.drawing, alt=sign_alt(plan, view.drawing))
    return Page("overview", phrase("title.cover"), page_w, page_h, tuple(items), (drawing,))


def _room(plan: Plan, field: Field, tall: bool) -> tuple[float, float]:
    """Return the width and height that the drawing of the board may take."""
    around = 2 * RING + DIMENSION
    if tall:
        return field.width - ASIDE - 6.0 - around, field.height - around
    return field.width - around, field.height - _below(plan, field) - around


def _below(plan: Plan, field: Field) -> float:
    """Return the height of the words below a wide drawing: more where there are many films to list."""
    words = Column(0.0, 0.0, (field.width - BETWEEN) / 2)
    _at_hand(words, plan)
    return max(BELOW, words.y + 4.0)


def _two_columns(plan: Plan, field: Field, top: float) -> list[Item]:
    half = (field.width - BETWEEN) / 2
    left, right = Column(field.left, top, half), Column(field.right - half, top, half)
    _facts(left, plan)
    _at_hand(right, plan)
    return [*left.items, *right.items]


def _facts(words: Column, plan: Plan) -> None:
    words.heading(phrase("cover.facts"))
    mat = plan.mats[0]
    usable = f"{mat.usable.width.shown} × {mat.usable.height.shown}"
    rows = [
        ("cover.size", f"{plan.sign.width.shown} × {plan.sign.height.shown}"),
        ("cover.panels", str(len(plan.panels))),
        ("cover.mats", f"{len(plan.mats)}"),
        ("cover.film", _films(plan)),
        ("cover.breaks", str(plan.measures.in_word_breaks) if plan.measures.in_word_breaks else phrase("cover.none")),
        ("cover.machine", phrase("cover.usable", cutter=mat.cutter, mat=mat.mat, size=usable)),
    ]
    for key, value in rows:
        words.fact(phrase(key), showable(value), 25.0)


def _films(plan: Plan) -> str:
    names = dict.fromkeys(colour_said(mat.colour, mat.colour_name) for mat in plan.mats)
    return ", ".join(name for name in names if can_show(name)) or phrase("cover.see_mats")


def _at_hand(words: Column, plan: Plan) -> None:
    words.heading(phrase("cover.have"))
    needs = plan.materials.films
    films = [_sheets(film) for film in needs[:MOST_FILMS]]
    if len(needs) > MOST_FILMS:
        films.append(phrase("cover.films_more", n=len(needs) - MOST_FILMS))
    tapes = [
        phrase(f"cover.{tape.kind.split()[0]}", length=tape.length.shown, width=tape.width.shown if tape.width else "")
        for tape in plan.materials.tapes
    ]
    for thing in (*films, *tapes, *phrase("cover.tools").split("; ")):
        words.tick(thing)
        words.gap(-1.0)


def _sheets(film: FilmNeed) -> str:
    """Return the sheets of a colour in words; of more than a few sizes only the largest."""
    name = showable(colour_said(film.colour, film.colour_name)) or film.colour
    sizes = [(sheet.count, f"{sheet.size.width.shown}{TIMES}{sheet.size.height.shown}") for sheet in film.sheets]
    if len(sizes) > MOST_SIZES:
        return phrase("cover.sheets_many", colour=name, n=sum(n for n, _ in sizes), size=sizes[0][1])
    each = [phrase("cover.sheet_one" if n == 1 else "cover.sheet_many", n=n, size=size) for n, size in sizes]
    return phrase("cover.sheets", colour=name, sizes=", ".join(each))
