"""A page a mat: the sheet to scale with its panels as they are cut, what to load, and what to do."""

from __future__ import annotations

from dataclasses import replace

from shapely.affinity import affine_transform
from shapely.geometry import LineString, box

from bigsign.making.weeding_notes import WeedingNotes, weeding_notes
from bigsign.plan_records import MatSheet, Panel, Plan
from bigsign.sheets.alt import mat_alt
from bigsign.sheets.balloons import RING, Numbered, balloons, number_circle
from bigsign.sheets.cautions import caution_height, caution_items
from bigsign.sheets.grid import page_field, page_size, scale_text, title_items
from bigsign.sheets.items import Area, Box, Circle, Entry, Item, Page, Stroke, in_role
from bigsign.sheets.metrics import can_show, showable
from bigsign.sheets.style import (
    ACCENT,
    BLACK,
    DASHED,
    FINE,
    FIRM,
    GREY,
    HAIR,
    SMALL_CAP,
    STEP_CAP,
    film_fill,
    film_tint,
)
from bigsign.sheets.table import shown_text
from bigsign.sheets.views import View, areas, best_scale
from bigsign.sheets.writing import TICK_GAP, Column, line, rectangle, wrap
from bigsign.wording import colour_said, panels_said, phrase

__all__ = ["mat_page"]

ASIDE = 62.0  # width of the words beside the drawing
RING_PAST = 1.4  # how far a ring round small film stands off it
FOOT = 4.4  # room below the drawing for its scale


def mat_page(plan: Plan, mat: MatSheet, paper: str, caution: tuple[str, str] | None) -> Page:
    """Return the page of a mat; ``caution`` (signal word, text) stands before its first step."""
    border = mat.border_mm
    window = (-border, -border, mat.width + border, mat.length + border)
    sheet = (window[2] - window[0], window[3] - window[1])
    field = page_field(paper)
    width, height = page_size(paper)
    # Circles go all round, or only above and to the left where that lets the drawing be larger.
    wide, high = field.width - ASIDE - 2.5, field.height - RING - FOOT
    scale, sides = min(
        ((best_scale(*sheet, wide - 2 * RING, high - RING), "tlrb"), (best_scale(*sheet, wide - RING, high), "tl")),
        key=lambda found: found[0],
    )
    room = wide - RING * (2 if "r" in sides else 1)
    left = field.left + RING + max(0.0, (room - sheet[0] / scale) / 2 - 4.0)
    view = View(window, (left, field.top + RING), scale, mat.id)
    number = int(mat.id.removeprefix("mat-") or 0)
    items: list[Item] = title_items(phrase("title.mat", n=number), showable(mat.file))
    items += areas(view.shape(box(*window)), "#ffffff", BLACK, FIRM)
    items += areas(view.shape(box(0, 0, mat.width, mat.length)), None, GREY, HAIR, DASHED)
    laid = []
    rings: list[Box] = []
    panels = sorted((plan.panel(name) for name in mat.panels), key=lambda panel: panel.number)
    for panel in panels:
        a, b, c, d, e, f = panel.to_mat
        matrix = [a, c, b, d, e, f]
        film, trim = affine_transform(plan.all_cut(panel), matrix), affine_transform(panel.trim, matrix)
        items += areas(view.shape(film), film_tint(panel.colour), BLACK, FINE)
        items += areas(view.shape(trim), None, GREY, HAIR, DASHED)
        for cut in panel.trim_lines:
            items += view.strokes(affine_transform(LineString(cut), matrix).coords, FINE)
        items += _up_arrow(view, panel, trim.bounds)
        notes = weeding_notes(plan, panel)
        rings += [view.shape(affine_transform(part, matrix)).bounds for part in notes.small]
        laid.append(Numbered(panel.number, view.shape(trim), view.shape(film)))
    for x0, y0, x1, y1 in rings:
        middle, radius = ((x0 + x1) / 2, (y0 + y1) / 2), max(x1 - x0, y1 - y0) / 2 + RING_PAST
        items.append(Circle(middle, radius, None, ACCENT, FINE))
    numbers, used = balloons(laid, view.paper_box, sides)
    items += in_role(numbers, "drawn")
    x0, _, x1, y1 = view.paper_box
    foot = y1 + (RING if "b" in used else 0.0) + 2.4 + SMALL_CAP
    items.append(line(((x0 + x1) / 2, foot), scale_text(scale), SMALL_CAP, False, "c", role="drawn"))
    items += _words(plan, mat, panels, field.right - ASIDE, field.top, caution)
    drawing = replace(view.drawing, alt=mat_alt(plan, mat, view.drawing))
    return Page("mat", phrase("title.mat", n=number), width, height, tuple(items), (drawing,))


def _up_arrow(view: View, panel: Panel, bounds: tuple[float, float, float, float]) -> list[Item]:
    """Return a small arrow in the corner of a panel's trim that points to the panel's upper edge on the sign."""
    _, _, c, d, _, _ = panel.to_mat
    x0, y0 = view.at(bounds[:2])
    x1, y1 = view.at(bounds[2:])
    ux, uy = -c, -d  # where the sign's up (0, −1) points on the mat
    if min(x1 - x0, y1 - y0) < 6.0:
        return []
    x, y = x1 - 2.6, y1 - 2.6
    tip, tail = (x + ux * 2.0, y + uy * 2.0), (x - ux * 1.8, y - uy * 1.8)
    side = (-uy, ux)
    head = tuple(
        (tip[0] - ux * 1.8 + side[0] * s, tip[1] - uy * 1.8 + side[1] * s) for s in (0.75, -0.75)
    )
    halo = rectangle(x - 1.3, y - 2.3, x + 1.3, y + 2.3, "#ffffff", None) if abs(uy) > 0.5 else rectangle(
        x - 2.3, y - 1.3, x + 2.3, y + 1.3, "#ffffff", None
    )  # fmt: skip
    return [halo, Stroke((tail, tip), FINE, BLACK), Area(((tip, *head),), BLACK, None)]


def _words(
    plan: Plan, mat: MatSheet, panels: list[Panel], left: float, top: float, caution: tuple[str, str] | None
) -> list[Item]:
    words = Column(left, top + 2.0, ASIDE)
    swatch = rectangle(left, words.y, left + 9.0, words.y + 5.0, film_fill(mat.colour), BLACK, HAIR)
    words.items.append(swatch)
    name = showable(colour_said(mat.colour, mat.colour_name)) or mat.colour
    for index, part in enumerate(wrap(phrase("mat.film", colour=name), STEP_CAP, ASIDE - 12.0, True)):
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
        words.items += caution_items(left, words.y, ASIDE, *caution)
        words.gap(caution_height(caution[1], ASIDE) + 3.0)
    notes = {panel.number: weeding_notes(plan, panel) for panel in panels}
    late = [number for number, found in notes.items() if found.late]
    values = {"colour": name, "panels": panels_said(late) if late else ""}
    steps = [
        "load",
        "cut",
        *(["holes"] if any(found.holes for number, found in notes.items() if number not in late) else []),
        *(["weed"] if len(late) < len(panels) else []),
        "tape",
        *(["late"] if late else []),
        "trim",
        "number",
    ]
    for index, key in enumerate(steps, 1):
        words.tick(phrase(f"mat.{key}", **values), str(index))
        if key == "weed" and any(panel.marks for panel in panels):
            words.text(phrase("mat.marks"), indent=12.8, role=Entry("steps"))
            words.gap(TICK_GAP)
    words.gap(2.0)
    words.heading(phrase("mat.panels"))
    for panel in panels:
        number = number_circle((left + 3.4, words.y + STEP_CAP / 2 + 0.6), panel.number)
        words.items += in_role(number, Entry("panels", label=True, first=True))
        words.gap(0.6)
        words.text(shown_text(panel) or phrase("mat.as_drawn"), indent=9.5, role=Entry("panels"))
        for said in _minded(notes[panel.number]):
            words.text(said, SMALL_CAP, False, GREY, 9.5, role=Entry("panels"))
        words.gap(2.6)
    if any(found.small for found in notes.values()):
        words.text(phrase("mat.ringed"), SMALL_CAP)
    return words.items


def _minded(notes: WeedingNotes) -> list[str]:
    """Return what of a panel's weeding is said beside its number: its holes, and the letters that have them."""
    if not notes.holes:
        return []
    letters = ", ".join(dict.fromkeys(text for text in notes.holed if text and can_show(text)))
    key = "mat.hole" if notes.holes == 1 else "mat.hole_many"
    return [phrase(f"{key}_in" if letters else key, n=notes.holes, letters=letters)]
