"""The set-out sheet: every distance from the reference edges, tape marks and lines to strike."""

from __future__ import annotations

from collections.abc import Sequence

from bigsign.plan_records import Plan
from bigsign.sheets.dims import Mark, exact_note, overall, run_across, run_down
from bigsign.sheets.flow import table
from bigsign.sheets.grid import page_field, page_size, scale_text, title_text
from bigsign.sheets.items import BLACK, FINE, GREY, HAIR, MEASURE_CAP, Circle, Item, Page, Stroke, Text
from bigsign.sheets.metrics import text_width
from bigsign.sheets.views import View, best_scale, draw_board, draw_breaks, draw_level, draw_trim, shape_area
from bigsign.units import TapeLength
from bigsign.wording import phrase

__all__ = ["marks_pages", "setout_page", "steps_pages"]


def setout_page(plan: Plan, paper: str) -> Page:
    """Return the board to scale with running dimensions to every tape mark and level line."""
    width, height = plan.sign.width.mm, plan.sign.height.mm
    above, aside = _room(plan)
    chosen: tuple[float, bool] | None = None
    for landscape in (False, True):
        field = page_field(paper, landscape)
        scale = best_scale(width, height, field.width - aside - 12.0, field.height - above - 12.0)
        if chosen is None or scale < chosen[0]:
            chosen = (scale, landscape)
    assert chosen is not None
    scale, landscape = chosen
    field = page_field(paper, landscape)
    page_w, page_h = page_size(paper, landscape)
    slack = max(0.0, field.width - aside - 12.0 - width / scale)
    view = View((0, 0, width, height), (field.left + aside + slack / 2, field.top + above), scale)
    x0, y0, x1, y1 = view.paper_box
    items: list[Item] = title_text(phrase("title.setout"), scale_text(scale))
    items += draw_board(view, plan)
    for piece in plan.pieces:
        items += shape_area(view.shape(piece.shape), "#e9e9e9", None, HAIR)
    for panel in plan.panels:
        items += draw_trim(view, panel)
    items += draw_breaks(view, plan)
    seen: set[tuple[str, float]] = set()
    for panel in plan.panels:
        if panel.level is not None and (panel.level.axis, panel.level.at) not in seen:
            seen.add((panel.level.axis, panel.level.at))
        items += draw_level(view, panel, past=1.5)
    for mark in plan.tape_marks:
        mx, my = view.at(mark.at)
        items.append(Stroke(((mx - 1.4, my), (mx + 1.4, my)), FINE))
        items.append(Stroke(((mx, my - 1.4), (mx, my + 1.4)), FINE))
    edge_x, edge_y = plan.sign.reference
    datum_x = {"left": x0, "right": x1}.get(edge_x, (x0 + x1) / 2)
    datum_y = {"top": y0, "bottom": y1}.get(edge_y, (y0 + y1) / 2)
    across = [Mark(view.at(m.at)[0], m.from_reference.x.length) for m in plan.tape_marks]
    down = [Mark(view.at(m.at)[1], m.from_reference.y.length) for m in plan.tape_marks]
    for panel in plan.panels:
        if panel.level is not None:
            target = down if panel.level.axis == "y" else across
            place = view.at((panel.level.at, panel.level.at))
            target.append(Mark(place[1 if panel.level.axis == "y" else 0], panel.level.from_reference.length, True))
    items += run_across(across, datum_x, y0 - 5.0, y0, (x0, x1), x0 - 4.0, field.right - 4.0)
    items += run_down(down, datum_y, x0 - 5.0, x0, (y0, y1), field.top + 4.0, field.bottom - 4.0)
    items += overall((x0, y1), (x1, y1), plan.sign.width.shown, 7.0)
    items += overall((x1, y0), (x1, y1), plan.sign.height.shown, 8.5)
    items += _numbers(plan, view)
    return Page("setout", phrase("title.setout"), page_w, page_h, tuple(items), (view.drawing,))


def _room(plan: Plan) -> tuple[float, float]:
    """Return the room labels need above and to the left of the drawing, mm."""

    def widest(texts: Sequence[tuple[str, bool]]) -> float:
        return max(
            (text_width(text, MEASURE_CAP, True) + (12.0 if note else 0.0) for text, note in texts), default=20.0
        )

    x = [m.from_reference.x.length for m in plan.tape_marks]
    y = [m.from_reference.y.length for m in plan.tape_marks]
    for panel in plan.panels:
        if panel.level is not None:
            (y if panel.level.axis == "y" else x).append(panel.level.from_reference.length)
    return (
        widest([(length.shown, abs(length.error_mm) > 0.1) for length in x]) + 13.0,
        widest([(length.shown, abs(length.error_mm) > 0.1) for length in y]) + 13.0,
    )


def _numbers(plan: Plan, view: View) -> list[Item]:
    """Return panel numbers in the free margin of their trims' corner where that is large enough on paper."""
    out: list[Item] = []
    for panel in plan.panels:
        x0, y0 = view.at(panel.trim.bounds[:2])
        x1, y1 = view.at(panel.trim.bounds[2:])
        if min(x1 - x0, y1 - y0) > 9.0:
            at = ((x0 + x1) / 2, (y0 + y1) / 2)
            out.append(Circle(at, 3.4, "#ffffff", BLACK, FINE))
            out.append(Text((at[0], at[1] + MEASURE_CAP / 2), str(panel.number), MEASURE_CAP, True, "c"))
    return out


def marks_pages(plan: Plan, paper: str) -> list[Page]:
    """Return the tables of tape marks and of lines to strike."""
    field = page_field(paper)
    page_w, page_h = page_size(paper)
    edge_x, edge_y = plan.sign.reference
    rows = [
        (m.id, _length(m.from_reference.x.length),
         _length(m.from_reference.y.length),
         _corner(plan, m.at))
        for m in plan.tape_marks
    ]  # fmt: skip
    pages: list[Page] = []
    while rows:
        items: list[Item] = title_text(phrase("title.marks"))
        widths = [field.width * s for s in (0.12, 0.27, 0.27, 0.34)]
        head = ("Mark", f"From {edge_x}", f"From {edge_y}", "What stands there")
        made, y, done = table(field.left, field.top, widths, head, rows, field.bottom - 8.0)
        items += made
        rows = rows[max(1, done) :]
        if not rows:
            levels = [
                (
                    str(p.number), "level" if p.level.axis == "y" else "plumb",
                    _length(p.level.from_reference.length)
                    + f" from {p.level.from_reference.edge}",
                    phrase("panel.flat") if p.level.flat else phrase("panel.lowest"),
                )
                for p in plan.panels
                if p.level is not None
            ]  # fmt: skip
            y += 8.0
            head = ("Panel", "Line to strike", "At", "Meets")
            made, _, done = table(
                field.left, y, [field.width * s for s in (0.12, 0.2, 0.34, 0.34)], head, levels, field.bottom
            )
            items += made
            if done < len(levels):
                pages.append(Page("marks", phrase("title.marks"), page_w, page_h, tuple(items)))
                items = title_text(phrase("title.marks"))
                made, _, _ = table(
                    field.left,
                    field.top,
                    [field.width * s for s in (0.12, 0.2, 0.34, 0.34)],
                    head,
                    levels[done:],
                    field.bottom,
                )
                items += made
        pages.append(Page("marks", phrase("title.marks"), page_w, page_h, tuple(items)))
    return pages


def _length(length: TapeLength) -> str:
    """Return what the tape shows, with the exact value where that differs by more than 0.1 mm."""
    note = exact_note(length)
    return f"{length.shown} ({note})" if note else length.shown


def _corner(plan: Plan, at: tuple[float, float]) -> str:
    """Return which panels' trims have a corner at a mark."""
    left = [
        str(p.number)
        for p in plan.panels
        if abs(p.trim.bounds[0] - at[0]) < 0.02 and abs(p.trim.bounds[1] - at[1]) < 0.02
    ]
    right = [
        str(p.number)
        for p in plan.panels
        if abs(p.trim.bounds[2] - at[0]) < 0.02 and abs(p.trim.bounds[1] - at[1]) < 0.02
    ]
    parts = []
    if left:
        parts.append(f"top left of panel {', '.join(left)}")
    if right:
        parts.append(f"top right of panel {', '.join(right)}")
    return "; ".join(parts) or "end of a slanted trim edge"


def steps_pages(plan: Plan, paper: str) -> list[Page]:
    """Return the steps before the first panel and after the last, with boxes to tick; cautions stand before steps."""
    from bigsign.sheets.flow import letter, note_box, step_height, step_items

    field = page_field(paper)
    page_w, page_h = page_size(paper)
    pages: list[Page] = []
    items: list[Item] = title_text(phrase("title.steps"))
    y = field.top
    panels = {panel.id: panel for panel in plan.panels}
    for step in plan.steps:
        if step.kind == "stick":
            assert step.panel is not None
            actions: tuple[str, ...] = (f"Stick panel {panels[step.panel].number}: see its page.",)
        else:
            actions = step.actions
        need = sum(step_height(field.width, action) for action in actions) + 8.0 + (18.0 if step.caution else 0.0)
        if y + need > field.bottom and y > field.top:
            pages.append(Page("steps", phrase("title.steps"), page_w, page_h, tuple(items)))
            items, y = title_text(phrase("title.steps")), field.top
        if step.caution:
            signal, _, text = step.caution.partition(": ")
            made, y = note_box(field.left, y, field.width, signal, text)
            items += made
        for at, action in enumerate(actions):
            number = f"{step.n}" if len(actions) == 1 else f"{step.n}{letter(at)}"
            made, y = step_items(field.left, y, field.width, number, action)
            items += made
        y += 1.6
        items.append(Stroke(((field.left, y - 1.0), (field.right, y - 1.0)), HAIR, GREY))
    pages.append(Page("steps", phrase("title.steps"), page_w, page_h, tuple(items)))
    return pages
