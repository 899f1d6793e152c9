"""The first pages: the sign as it will look, what to know before beginning, the table of panels, each mat."""

from __future__ import annotations

from shapely.affinity import affine_transform
from shapely.geometry import LineString, box

from bigsign.plan_records import MatSheet, Panel, Plan
from bigsign.presets.cautions import cautions_for
from bigsign.sheets.dims import overall
from bigsign.sheets.flow import facts, heading, note_box, paragraph, table
from bigsign.sheets.grid import page_field, page_size, scale_text, title_text
from bigsign.sheets.items import (
    BLACK,
    DASHED,
    FINE,
    FIRM,
    GREY,
    HAIR,
    SMALL_CAP,
    STEP_CAP,
    Area,
    Circle,
    Item,
    Page,
    Stroke,
    Text,
)
from bigsign.sheets.metrics import can_show
from bigsign.sheets.views import (
    View,
    best_scale,
    draw_board,
    draw_breaks,
    draw_film,
    film_tint,
    number_marks,
    shape_area,
)
from bigsign.wording import phrase

__all__ = ["begin_page", "cover_page", "mat_page", "panel_pages"]

RING = 9.0  # room for number circles round a drawing


def cover_page(plan: Plan, paper: str) -> Page:
    """Return the sign to scale on its board with its panels numbered, and the facts."""
    width, height = plan.sign.width.mm, plan.sign.height.mm
    upright = height > 1.3 * width
    best: tuple[float, bool] | None = None
    for landscape in (False, True):
        field = page_field(paper, landscape)
        room = (field.width - 92.0, field.height - 2 * RING - 14) if upright else (
            field.width - 2 * RING - 14, field.height - 78.0
        )  # fmt: skip
        scale = best_scale(width, height, *room)
        if best is None or scale < best[0]:
            best = (scale, landscape)
    assert best is not None
    scale, landscape = best
    field = page_field(paper, landscape)
    page_w, page_h = page_size(paper, landscape)
    drawn = (width / scale, height / scale)
    items: list[Item] = title_text(phrase("title.cover"), scale_text(scale))
    if upright:
        left = field.left + RING + 14.0 + max(0.0, (field.width - 92.0 - drawn[0]) / 2 - RING)
        origin = (left, field.top + RING + 8.0)
    else:
        origin = (
            field.left + RING + 10 + max(0.0, (field.width - 2 * RING - 14 - drawn[0]) / 2),
            field.top + RING + 8.0,
        )
    view = View((0, 0, width, height), origin, scale)
    x0, y0, x1, y1 = view.paper_box
    items += draw_board(view, plan)
    for piece in plan.pieces:
        items += draw_film(view, type(plan.panels[0].film)([piece.shape]), piece.colour)
    items += draw_breaks(view, plan)
    items += number_marks(view, plan.panels, view.paper_box)
    items += overall((x0, y1), (x1, y1), plan.sign.width.shown, RING + 5.0)
    items += overall((x0, y0), (x0, y1), plan.sign.height.shown, -(RING + 4.0))
    m = plan.measures
    films = ", ".join(dict.fromkeys(plan.colour_name(panel.colour) for panel in plan.panels))
    mat = plan.mats[0]
    usable = f"{mat.usable.width.shown} × {mat.usable.height.shown}"
    rows = [
        (phrase("cover.size"), f"{plan.sign.width.shown} × {plan.sign.height.shown}"),
        (phrase("cover.panels"), str(m.panels)),
        (phrase("cover.mats"), str(len(plan.mats))),
        (phrase("cover.film"), films),
        (phrase("cover.breaks"), str(m.in_word_breaks) if m.in_word_breaks else phrase("cover.none")),
        (phrase("cover.machine"), f"{mat.cutter}, mat {mat.mat} ({usable})"),
        (phrase("cover.have"), phrase("cover.tools")),
    ]
    rows = [(label, value) for label, value in rows if can_show(value)]
    if upright:
        fx = field.right - 72.0
        made, _, _ = facts(fx, field.top + 4.0, 72.0, rows, 22.0)
    else:
        top = max(y1 + RING + 12.0, field.bottom - 60.0) if y1 + RING + 12 < field.bottom - 40 else y1 + RING + 10
        made, _, _ = facts(field.left, top, field.width, rows)
    items += made
    return Page("cover", phrase("title.cover"), page_w, page_h, tuple(items), (view.drawing,))


def begin_page(plan: Plan, paper: str) -> Page:
    """Return cautions, the print check and the words used on the sheets."""
    field = page_field(paper)
    page_w, page_h = page_size(paper)
    items: list[Item] = title_text(phrase("title.begin"))
    y = field.top
    for caution in cautions_for(plan.sign.width.mm, plan.sign.height.mm):
        made, y = note_box(field.left, y, field.width, caution.signal, caution.text)
        items += made
    y += 2.0
    made, y = heading(field.left, y, phrase("begin.words"))
    items += made
    for key in ("panel", "trim", "break", "hinge", "level", "distance"):
        text = phrase(f"begin.word.{key}", x=plan.sign.reference[0], y=plan.sign.reference[1])
        made, y = paragraph(field.left, y, field.width, text)
        items += made
    return Page("begin", phrase("title.begin"), page_w, page_h, tuple(items))


def check_page(paper: str) -> Page:
    """Return the print check on a page of its own, for where the page before has no room."""
    field = page_field(paper)
    page_w, page_h = page_size(paper)
    items: list[Item] = title_text(phrase("begin.check"))
    made, y = paragraph(field.left, field.top, field.width, phrase("begin.check_text"))
    items += made
    x, y = field.left, y + 6.0
    items.append(Area((((x, y), (x + 100, y), (x + 100, y + 100), (x, y + 100)),), None, BLACK, FINE))
    items.append(Text((x + 50, y + 97), "100 mm", STEP_CAP, True, "c"))
    x = field.left + 112.0
    items.append(Area((((x, y), (x + 25.4, y), (x + 25.4, y + 25.4), (x, y + 25.4)),), None, BLACK, FINE))
    items.append(Text((x + 12.7, y + 23.0), "1 in", STEP_CAP, True, "c"))
    return Page("check", phrase("begin.check"), page_w, page_h, tuple(items))


def panel_pages(plan: Plan, paper: str) -> list[Page]:
    """Return the table of panels, on as many pages as it needs."""
    field = page_field(paper)
    page_w, page_h = page_size(paper)
    head = (
        "No.",
        "Text",
        "Film size",
        "From " + plan.sign.reference[0],
        "From " + plan.sign.reference[1],
        "Hinge",
        "Mat",
    )
    share = (0.07, 0.25, 0.24, 0.14, 0.14, 0.08, 0.08)
    rows = []
    for panel in plan.panels:
        text = panel.text if can_show(panel.text.replace("\n", "")) else ""
        rows.append(
            (
                str(panel.number), text.replace("\n", " / "),
                f"{panel.size.width.shown} × {panel.size.height.shown}",
                panel.from_reference.x.length.shown, panel.from_reference.y.length.shown,
                phrase(f"hinge.{panel.hinge.kind}") if panel.hinge else "–", panel.mat.removeprefix("mat-").lstrip("0"),
            )
        )  # fmt: skip
    pages = []
    while rows:
        items: list[Item] = title_text(phrase("title.panels"))
        widths = [field.width * s for s in share]
        made, _, done = table(field.left, field.top, widths, head, rows, field.bottom)
        pages.append(Page("panels", phrase("title.panels"), page_w, page_h, (*items, *made)))
        rows = rows[max(1, done) :]
    return pages


def mat_page(plan: Plan, mat: MatSheet, paper: str) -> Page:
    """Return a mat to scale with its panels, what to load, and how it lies."""
    number = int(mat.id.removeprefix("mat-"))
    border = mat.border_mm
    width, length = mat.width + 2 * border, mat.length + 2 * border
    field = page_field(paper)
    page_w, page_h = page_size(paper)
    scale = best_scale(width, length, field.width - 2 * RING - 70.0, field.height - 2 * RING)
    view = View(
        (-border, -border, mat.width + border, mat.length + border), (field.left + RING, field.top + RING), scale, "mat"
    )
    items: list[Item] = title_text(phrase("title.mat", n=number), scale_text(scale))
    sheet = box(-border, -border, mat.width + border, mat.length + border)
    items += shape_area(view.shape(sheet), "#ffffff", BLACK, FIRM)
    items += shape_area(view.shape(box(0, 0, mat.width, mat.length)), None, GREY, HAIR, DASHED)
    by_id = {panel.id: panel for panel in plan.panels}
    laid: list[Panel] = []
    for name in mat.panels:
        panel = by_id[name]
        a, b, c, d, e, f = panel.to_mat
        matrix = [a, c, b, d, e, f]
        items += draw_film(view, affine_transform(panel.film, matrix), panel.colour)
        trim = affine_transform(panel.trim, matrix)
        items += shape_area(view.shape(trim), None, GREY, HAIR, DASHED)
        for line in panel.trim_lines:
            items += view.line(affine_transform(LineString(line), matrix).coords, FINE)
        laid.append(_on_mat(panel, trim))
    items += number_marks(view, laid, view.paper_box)
    x1 = view.paper_box[2]
    tx = max(x1 + RING + 4.0, field.right - 66.0)
    load = phrase(
        "mat.load", colour=mat.colour_name, width=mat.load.width.shown, length=mat.load.height.shown
    )  # fmt: skip
    y = field.top + 2.0
    usable = phrase(
        "mat.usable", width=mat.usable.width.shown, length=mat.usable.height.shown
    )  # fmt: skip
    lines = [
        (load, False),
        (phrase("mat.mirrored" if mat.mirrored else "mat.true"), True),
        (phrase("mat.top"), False),
        (usable, False),
        (phrase("mat.file", file=mat.file), False),
        (phrase("mat.weed"), False),
        (phrase("mat.number"), False),
    ]
    swatch = film_tint(mat.colour)
    items.append(Area((((tx, y), (tx + 14, y), (tx + 14, y + 6), (tx, y + 6)),), swatch, BLACK, HAIR))
    y += 9.0
    for text, bold in lines:
        made, y = paragraph(tx, y, field.right - tx, text, bold=bold)
        items += made
        y += 2.0
    made, y = heading(tx, y + 2.0, phrase("title.panels"))
    items += made
    for panel in sorted((by_id[name] for name in mat.panels), key=lambda p: p.number):
        shown = panel.text.replace("\n", " / ")
        items.append(Circle((tx + 3.4, y + 2.4), 3.0, "#ffffff", BLACK, FINE))
        items.append(Text((tx + 3.4, y + 2.4 + 1.25), str(panel.number), STEP_CAP, True, "c"))
        if can_show(shown):
            made, y2 = paragraph(tx + 9.0, y - 0.6, field.right - tx - 9.0, shown)
            items += made
            y = max(y + 7.6, y2 + 1.0)
        else:
            y += 7.6
        if y > field.bottom - 6.0:
            break
    return Page("mat", phrase("title.mat", n=number), page_w, page_h, tuple(items), (view.drawing,))


def _on_mat(panel: Panel, trim: object) -> Panel:
    """Return the panel as it lies on its mat, for numbering: only its trim moves."""
    from dataclasses import replace

    from shapely.geometry import Polygon

    assert isinstance(trim, Polygon)
    return replace(panel, trim=trim)


def legend(x: float, y: float) -> tuple[list[Item], float]:
    """Return the key to the lines of a panel's drawing."""
    from bigsign.sheets.items import ACCENT, CHAIN

    out: list[Item] = []
    rows: list[tuple[str, float, str, tuple[float, ...]]] = [
        ("legend.trim", FINE, BLACK, ()),
        ("legend.hinge", FINE, BLACK, CHAIN),
        ("legend.level", FINE, ACCENT, CHAIN),
        ("legend.break", FINE, ACCENT, DASHED),
        ("legend.later", FINE, BLACK, DASHED),
    ]
    for key, width, colour, dash in rows:
        out.append(Stroke(((x, y - 0.9), (x + 11, y - 0.9)), width, colour, dash))
        out.append(Text((x + 13, y), phrase(key), SMALL_CAP))
        y += 4.2
    return out, y
