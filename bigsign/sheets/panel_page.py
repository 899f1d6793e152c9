"""A page a panel, in the order of work: the drawing as it will hang, what it is, its steps; then its joins full size."""

from __future__ import annotations

from shapely.geometry import box

from bigsign.plan_records import Break, Panel, Plan
from bigsign.sheets.dims import Mark, exact_note, run_across, run_down
from bigsign.sheets.flow import facts, heading, step_height, step_items
from bigsign.sheets.front import legend
from bigsign.sheets.grid import page_field, page_size, scale_text, title_text
from bigsign.sheets.items import ACCENT, BLACK, DASHED, FINE, GREY, HAIR, MEASURE_CAP, SMALL_CAP, Item, Page, Stroke, Text
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
from bigsign.wording import phrase

__all__ = ["panel_pages_of"]

DRAWING_SHARE = 0.42  # of the field's height, at most, for the drawing


def panel_pages_of(plan: Plan, panel: Panel, paper: str) -> list[Page]:
    """Return the pages of one panel: the first with its drawing; a second where its steps need more room."""
    field = page_field(paper)
    page_w, page_h = page_size(paper)
    items, drawing_bottom, view = _drawing(plan, panel, paper)
    y = drawing_bottom + 6.0
    left_width = field.width * 0.44
    rows = _facts(plan, panel)
    made, facts_bottom = facts(field.left, y, left_width, rows, 21.0)
    items += made
    made, _ = legend(field.left, facts_bottom + 4.0)
    items += [item for item in made if facts_bottom + 4.0 + 5 * 4.2 < field.bottom]
    x = field.left + left_width + 6.0
    width = field.right - x
    made, y = heading(x, y - 2.0, phrase("panel.steps"))
    items += made
    step = next(s for s in plan.steps if s.panel == panel.id and s.kind == "stick")
    pages: list[Page] = []
    title = phrase("title.panel", n=panel.number)
    drawings: tuple = (view.drawing,)
    for at, action in enumerate(step.actions):
        if y + step_height(width, action) > field.bottom:
            pages.append(Page("panel", title, page_w, page_h, tuple(items), drawings, panel.id))
            title = phrase("title.panel_more", n=panel.number)
            items, drawings = title_text(title), ()
            x, y, width = field.left, field.top, field.width
        made, y = step_items(x, y, width, f"{step.n}{'abcdefghijklmnopqrstuvwxyz'[at]}", action)
        items += made
    pages.append(Page("panel", title, page_w, page_h, tuple(items), drawings, panel.id))
    return pages


def _drawing(plan: Plan, panel: Panel, paper: str) -> tuple[list[Item], float, View]:
    field = page_field(paper)
    tx0, ty0, tx1, ty1 = panel.trim.bounds
    reach = max(0.12 * max(tx1 - tx0, ty1 - ty0), 25.0)
    window = (
        max(tx0 - reach, 0.0), max(ty0 - reach, 0.0),
        min(tx1 + reach, plan.sign.width.mm), min(ty1 + reach, plan.sign.height.mm),
    )  # fmt: skip
    above, aside = 34.0, 34.0
    scale = best_scale(
        window[2] - window[0], window[3] - window[1], field.width - aside - 8.0, field.height * DRAWING_SHARE - above
    )
    slack = max(0.0, field.width - aside - (window[2] - window[0]) / scale - 4.0)
    view = View(window, (field.left + aside + slack / 2, field.top + above), scale)
    x0, y0, x1, y1 = view.paper_box
    items: list[Item] = title_text(phrase("title.panel", n=panel.number), scale_text(scale))
    items += shape_area(view.shape(plan.sign.outline, clip=True), None, None, HAIR)
    items += _board_edges(view, plan)
    for other in plan.panels:
        if other.id == panel.id or not other.film.intersects(box(*window)):
            continue
        shape = view.shape(other.film, clip=True)
        if other.number < panel.number:
            items += hatch(shape)
            items += shape_area(shape, None, GREY, HAIR)
        else:
            items += shape_area(shape, None, GREY, HAIR, DASHED)
        middle = other.film.intersection(box(*window)).envelope.centroid
        if not other.film.intersection(box(*window)).is_empty:
            cx, cy = view.at((middle.x, middle.y))
            items += _tag(str(other.number), cx, cy)
    items += draw_film(view, panel.film, panel.colour)
    items += draw_trim(view, panel)
    items += draw_breaks(view, plan)
    items += draw_hinge(view, panel)
    items += draw_level(view, panel)
    edge_x, edge_y = plan.sign.reference
    place = panel.from_reference
    bx = {"left": tx0, "right": tx1}.get(edge_x, (tx0 + tx1) / 2)
    by = {"top": ty0, "bottom": ty1}.get(edge_y, (ty0 + ty1) / 2)
    across = [Mark(view.at((bx, ty0))[0], place.x.length)]
    down = [Mark(view.at((tx0, by))[1], place.y.length)]
    if panel.hinge is not None:
        (hx0, hy0), (hx1, hy1) = panel.hinge.line
        if abs(hy0 - hy1) < 1e-6:
            down.append(Mark(view.at((hx0, hy0))[1], panel.hinge.from_reference.y.length))
        elif abs(hx0 - hx1) < 1e-6:
            across.append(Mark(view.at((hx0, hy0))[0], panel.hinge.from_reference.x.length))
    if panel.level is not None:
        at = view.at((panel.level.at, panel.level.at))
        if panel.level.axis == "y":
            down.append(Mark(at[1], panel.level.from_reference.length, True))
        else:
            across.append(Mark(at[0], panel.level.from_reference.length, True))
    datum_x = {"left": x0 if window[0] == 0 else None, "right": x1 if window[2] >= plan.sign.width.mm else None}.get(edge_x)
    datum_y = {"top": y0 if window[1] == 0 else None, "bottom": y1 if window[3] >= plan.sign.height.mm else None}.get(edge_y)
    items += run_across(across, datum_x, y0 - 6.0, y0, (x0, x1), x0, x1)
    items += run_down(down, datum_y, x0 - 6.0, x0, (y0, y1), y0 - 2.0, y1 + 6.0)
    from_x = phrase("from.middle_x") if edge_x == "middle" else phrase("from", edge=edge_x)
    from_y = phrase("from.middle_y") if edge_y == "middle" else phrase("from", edge=edge_y)
    items.append(Text((x1, y0 - 7.2), from_x, SMALL_CAP, False, "r", GREY))
    items.append(Text((x0 - 7.4, y1 + 4.6 + 8.0), from_y, SMALL_CAP, False, "l", GREY))
    return items, y1 + 12.0, view


def _board_edges(view: View, plan: Plan) -> list[Item]:
    """Return the parts of the board's edge inside the window, firm; the window itself has no frame."""
    ring = plan.sign.outline.exterior
    return view.line(ring.coords, 0.5, BLACK)


def _tag(text: str, x: float, y: float) -> list[Item]:
    from bigsign.sheets.items import Circle

    return [Circle((x, y), 3.0, "#ffffff", GREY, HAIR), Text((x, y + 1.25), text, 2.5, False, "c", GREY)]


def _facts(plan: Plan, panel: Panel) -> list[tuple[str, str]]:
    mat = next(m for m in plan.mats if m.id == panel.mat)
    place = panel.from_reference
    rows = []
    text = panel.text.replace("\n", " / ")
    if text and can_show(text):
        rows.append((phrase("panel.text"), text))
    rows.append((phrase("panel.film"), plan.colour_name(panel.colour)))
    rows.append((phrase("panel.cut"), f"{phrase('title.mat', n=int(mat.id[4:]))}: {mat.file}"))
    rows.append((phrase("panel.size"), f"{panel.size.width.tape} × {panel.size.height.tape}"))
    rows.append((phrase("panel.trim"), f"{panel.trim_size.width.tape} × {panel.trim_size.height.tape}"))
    marks = f"{_said(place.x.length)} from {place.x.edge}, {_said(place.y.length)} from {place.y.edge}"
    rows.append((phrase("panel.marks"), marks))
    if panel.hinge is not None:
        (hx0, hy0), (hx1, hy1) = panel.hinge.line
        at = panel.hinge.from_reference.y if abs(hy0 - hy1) < 1e-6 else panel.hinge.from_reference.x
        rows.append((phrase("panel.hinge"), f"{phrase(f'hinge.{panel.hinge.kind}')}, {_said(at.length)} from {at.edge}"))
    if panel.level is not None:
        what = phrase("panel.flat") if panel.level.flat else phrase("panel.lowest")
        level = panel.level.from_reference
        rows.append((phrase("panel.level"), f"{what}, {_said(level.length)} from {level.edge}"))
    check = panel.check
    rows.append(
        (phrase("panel.check"), f"{check.what} {check.from_reference.length.tape} from {check.from_reference.edge}, "
         f"± {check.tolerance.tape}")
    )  # fmt: skip
    for part in plan.breaks:
        if panel.id in part.panels:
            rows.append((_join_name(plan, panel, part), _gap_text(part)))
    if panel.unlined and plan.project.plan.weed_box:
        rows.append((phrase("panel.unlined"), ", ".join(phrase(f"edge.{side}") for side in panel.unlined)))
    return rows


def _said(length: object) -> str:
    from bigsign.units import TapeLength

    assert isinstance(length, TapeLength)
    note = exact_note(length)
    return f"{length.tape} ({note})" if note else length.tape


def _join_name(plan: Plan, panel: Panel, part: Break) -> str:
    other = plan.panel(next(name for name in part.panels if name != panel.id))
    return f"Gap to panel {other.number}"


def _gap_text(part: Break) -> str:
    shown = list(dict.fromkeys(gap.gap.tape for gap in part.gaps))[:3]
    extra = f"; at foot, half and full height {', '.join(shown)}" if part.kind in ("letter", "word") and len(shown) > 1 else ""
    return f"{_said(part.gap)} at the narrowest{extra}" + ("; trims butt" if part.butts else "")


