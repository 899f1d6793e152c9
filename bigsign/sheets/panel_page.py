"""A page a panel, in the order of work: the drawing as it will hang, what it is, its steps."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import box

from bigsign.plan_records import Break, Panel, Plan
from bigsign.sheets.dims import Mark, exact_note, run_across, run_down
from bigsign.sheets.flow import facts, heading, letter, step_height, step_items
from bigsign.sheets.front import legend
from bigsign.sheets.grid import page_field, page_size, scale_text, title_text
from bigsign.sheets.items import BLACK, DASHED, FIRM, GREY, HAIR, MEASURE_CAP, SMALL_CAP, Drawing, Item, Page, Text
from bigsign.sheets.metrics import can_show, text_width
from bigsign.sheets.views import (
    View,
    best_scale,
    draw_breaks,
    draw_film,
    draw_hinge,
    draw_level,
    draw_trim,
    hatch,
    shape_area,
)
from bigsign.units import TapeLength
from bigsign.wording import phrase

__all__ = ["panel_pages_of"]

TALL_SHARES = (0.46, 0.58)  # of the field's width, for the drawing of a tall panel; the larger where it draws larger
WIDE_SHARE = 0.45  # of the field's height, at most, for the drawing of a wide one
LEGEND = 22.0  # height of the key to the lines, mm


def panel_pages_of(plan: Plan, panel: Panel, paper: str) -> list[Page]:
    """Return the pages of one panel: the first with its drawing; a second where its steps need more room.

    A panel taller than wide has its drawing down the left of the page and the words beside it; a wide one has its
    drawing across the page and the words beneath.
    """
    field = page_field(paper)
    page_w, page_h = page_size(paper)
    tall = _is_tall(panel)
    share = min(TALL_SHARES, key=lambda s: (_drawing(plan, panel, paper, s)[2].scale, s)) if tall else None
    items, drawing_bottom, view = _drawing(plan, panel, paper, share)
    rows = _facts(plan, panel)
    title = phrase("title.panel", n=panel.number)
    if share is not None:
        x, y, width = field.left + field.width * share + 6.0, field.top, field.width * (1 - share) - 6.0
        foot = field.bottom - LEGEND - 4.0
        made, y, done = facts(x, y, width, rows, 21.0, foot - 12.0)
        items += made
        made, y = heading(x, y + 2.0, phrase("panel.steps"))
        items += made
        made, _ = legend(x, foot + 7.0)
        items += made
    else:
        y = drawing_bottom + 4.0
        left_width = field.width * 0.44
        made, facts_bottom, done = facts(field.left, y, left_width, rows, 21.0, field.bottom)
        items += made
        if facts_bottom + 4.0 + LEGEND < field.bottom:
            made, _ = legend(field.left, facts_bottom + 6.0)
            items += made
        x, foot = field.left + left_width + 6.0, field.bottom
        width = field.right - x
        made, y = heading(x, y - 2.0, phrase("panel.steps"))
        items += made
    step = next(s for s in plan.steps if s.panel == panel.id and s.kind == "stick")
    pages: list[Page] = []
    drawings: tuple[Drawing, ...] = (view.drawing,)
    rest = rows[done:]

    def turn_over() -> None:
        """End the page and begin one that goes on with what had no room: facts first, then steps."""
        nonlocal title, items, drawings, x, y, width, foot, rest
        pages.append(Page("panel", title, page_w, page_h, tuple(items), drawings, panel.id))
        title = phrase("title.panel_more", n=panel.number)
        items, drawings = title_text(title), ()
        x, y, width, foot = field.left, field.top, field.width, field.bottom
        more, y, count = facts(x, y, width, rest, 27.0, field.bottom)
        items += more if rest else []
        rest = rest[count:]

    for at, action in enumerate(step.actions):
        if y + step_height(width, action) > foot:
            turn_over()
        made, y = step_items(x, y, width, f"{step.n}{letter(at)}", action)
        items += made
    while rest:
        turn_over()
    pages.append(Page("panel", title, page_w, page_h, tuple(items), drawings, panel.id))
    return pages


def _is_tall(panel: Panel) -> bool:
    x0, y0, x1, y1 = panel.trim.bounds
    return y1 - y0 > 1.05 * (x1 - x0)


def _label_room(lengths: Sequence[TapeLength]) -> float:
    """Return the room that the widest of these figures takes beside or above a dimension line, mm."""
    widths = [
        text_width(length.shown, MEASURE_CAP, True)
        + (text_width(exact_note(length), SMALL_CAP) + 2.0 if exact_note(length) else 0.0)
        for length in lengths
    ]
    return max(widths, default=10.0) + 12.0


def _marks(panel: Panel) -> tuple[list[tuple[float, TapeLength, bool]], list[tuple[float, TapeLength, bool]]]:
    """Return what is dimensioned across and down: (position in the sign's frame, length, is a level line)."""
    x0, y0, x1, y1 = panel.trim.bounds
    place = panel.from_reference
    at_x = {"left": x0, "right": x1}.get(place.x.edge, (x0 + x1) / 2)
    at_y = {"top": y0, "bottom": y1}.get(place.y.edge, (y0 + y1) / 2)
    across, down = [(at_x, place.x.length, False)], [(at_y, place.y.length, False)]
    if panel.hinge is not None:
        (hx0, hy0), (hx1, hy1) = panel.hinge.line
        if abs(hy0 - hy1) < 1e-6:
            down.append((hy0, panel.hinge.from_reference.y.length, False))
        elif abs(hx0 - hx1) < 1e-6:
            across.append((hx0, panel.hinge.from_reference.x.length, False))
    if panel.level is not None:
        target = down if panel.level.axis == "y" else across
        target.append((panel.level.at, panel.level.from_reference.length, True))
    return across, down


def _window(plan: Plan, panel: Panel, share_of_size: float) -> tuple[float, float, float, float]:
    """Return what is shown of the sign round a panel: its trim's box and a share of its size more, on the board."""
    x0, y0, x1, y1 = panel.trim.bounds
    reach = share_of_size * max(x1 - x0, y1 - y0)
    return (
        max(x0 - reach, 0.0),
        max(y0 - reach, 0.0),
        min(x1 + reach, plan.sign.width.mm),
        min(y1 + reach, plan.sign.height.mm),
    )


def _drawing(plan: Plan, panel: Panel, paper: str, share: float | None) -> tuple[list[Item], float, View]:
    field = page_field(paper)
    across, down = _marks(panel)
    above, aside = _label_room([m[1] for m in across]) + 2.0, _label_room([m[1] for m in down])
    room_w = field.width * (share or 1.0) - aside - 4.0
    room_h = (field.height * WIDE_SHARE if share is None else field.height) - above - 10.0
    scale, window = min(
        (
            (best_scale(w[2] - w[0], w[3] - w[1], room_w, room_h), w)
            for w in (_window(plan, panel, share_of_size) for share_of_size in (0.07, 0.035, 0.012))
        ),
        key=lambda found: found[0],
    )
    slack = max(0.0, room_w - (window[2] - window[0]) / scale)
    view = View(
        window, (field.left + aside + (slack / 2 if share is None else min(slack / 2, 10.0)), field.top + above), scale
    )
    x0, y0, x1, y1 = view.paper_box
    items: list[Item] = title_text(phrase("title.panel", n=panel.number), scale_text(scale))
    items += view.line(plan.sign.outline.exterior.coords, FIRM, BLACK)
    for other in plan.panels:
        inside = other.film.intersection(box(*window))
        if other.id == panel.id or inside.is_empty:
            continue
        shape = view.shape(inside)
        if other.number < panel.number:
            items += hatch(shape)
            items += shape_area(shape, None, GREY, HAIR)
        else:
            items += shape_area(shape, None, GREY, HAIR, DASHED)
    items += draw_film(view, panel.film, panel.colour)
    items += draw_trim(view, panel)
    items += draw_breaks(view, plan)
    items += draw_hinge(view, panel)
    items += draw_level(view, panel)
    edge_x, edge_y = plan.sign.reference
    datum_x = {"left": x0 if window[0] == 0 else None, "right": x1 if window[2] >= plan.sign.width.mm else None}
    datum_y = {"top": y0 if window[1] == 0 else None, "bottom": y1 if window[3] >= plan.sign.height.mm else None}
    marks_x = [Mark(view.at((at, 0))[0], length, level) for at, length, level in across]
    marks_y = [Mark(view.at((0, at))[1], length, level) for at, length, level in down]
    items += run_across(marks_x, datum_x.get(edge_x), y0 - 5.0, y0, (x0, x1), x0, x1)
    items += run_down(marks_y, datum_y.get(edge_y), x0 - 5.0, x0, (y0, y1), y0, y1)
    from_x = phrase("from.middle_x") if edge_x == "middle" else phrase("from", edge=edge_x)
    from_y = phrase("from.middle_y") if edge_y == "middle" else phrase("from", edge=edge_y)
    # beneath the drawing, where no label of a dimension can be
    items.append(Text((field.left, y1 + 4.6), f"across: {from_x}", SMALL_CAP, False, "l", GREY))
    items.append(Text((field.left, y1 + 7.8), f"down: {from_y}", SMALL_CAP, False, "l", GREY))
    return items, y1 + 9.0, view


def _facts(plan: Plan, panel: Panel) -> list[tuple[str, str]]:
    mat = next(m for m in plan.mats if m.id == panel.mat)
    place = panel.from_reference
    rows = []
    text = panel.text.replace("\n", " / ")
    if text and can_show(text):
        rows.append((phrase("panel.text"), text))
    rows.append((phrase("panel.film"), plan.colour_name(panel.colour)))
    rows.append((phrase("panel.cut"), f"{phrase('title.mat', n=int(mat.id[4:]))}: {mat.file}"))
    rows.append((phrase("panel.size"), f"{panel.size.width.shown} × {panel.size.height.shown}"))
    rows.append((phrase("panel.trim"), f"{panel.trim_size.width.shown} × {panel.trim_size.height.shown}"))
    marks = f"{_said(place.x.length)} from {place.x.edge}, {_said(place.y.length)} from {place.y.edge}"
    rows.append((phrase("panel.marks"), marks))
    if panel.hinge is not None:
        (_, hy0), (_, hy1) = panel.hinge.line
        at = panel.hinge.from_reference.y if abs(hy0 - hy1) < 1e-6 else panel.hinge.from_reference.x
        rows.append(
            (phrase("panel.hinge"), f"{phrase(f'hinge.{panel.hinge.kind}')}, {_said(at.length)} from {at.edge}")
        )
    if panel.level is not None:
        what = phrase("panel.flat") if panel.level.flat else phrase("panel.lowest")
        level = panel.level.from_reference
        rows.append((phrase("panel.level"), f"{what}, {_said(level.length)} from {level.edge}"))
    check = panel.check
    rows.append(
        (phrase("panel.check"), f"{check.what} {check.from_reference.length.shown} from {check.from_reference.edge}, "
         f"± {check.tolerance.shown}")
    )  # fmt: skip
    for part in plan.breaks:
        if panel.id in part.panels:
            rows.append((_join_name(plan, panel, part), _gap_text(part)))
    if panel.unlined and plan.project.plan.weed_box:
        rows.append((phrase("panel.unlined"), ", ".join(phrase(f"edge.{side}") for side in panel.unlined)))
    return rows


def _said(length: TapeLength) -> str:
    note = exact_note(length)
    return f"{length.shown} ({note})" if note else length.shown


def _join_name(plan: Plan, panel: Panel, part: Break) -> str:
    other = plan.panel(next(name for name in part.panels if name != panel.id))
    return f"Gap to panel {other.number}"


def _gap_text(part: Break) -> str:
    shown = list(dict.fromkeys(gap.gap.shown for gap in part.gaps))[:3]
    extra = (
        f"; measured at its heights {', '.join(shown)}"
        if part.kind in ("letter", "word") and len(shown) > 1
        else ""
    )
    return f"{_said(part.gap)} at the narrowest{extra}" + ("; trims butt" if part.butts else "")
