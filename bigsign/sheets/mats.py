"""A page a mat: the sheet to scale with its panels as they are cut, what to load, and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shapely.affinity import affine_transform
from shapely.geometry import LineString, Point, box
from shapely.geometry.base import BaseGeometry

from bigsign.making.weeding_notes import weeding_notes
from bigsign.plan_records import MatSheet, Panel, Plan
from bigsign.sheets.alt import mat_alt
from bigsign.sheets.balloons import RING, Numbered, balloons
from bigsign.sheets.grid import Field, page_field, page_size, scale_text, title_items
from bigsign.sheets.items import Area, Box, Circle, Item, Page, Stroke, in_role
from bigsign.sheets.items import Point as PaperPoint
from bigsign.sheets.mat_words import list_panels, mat_words
from bigsign.sheets.metrics import showable
from bigsign.sheets.style import (
    ACCENT,
    BLACK,
    DASHED,
    FINE,
    FIRM,
    GREY,
    HAIR,
    SMALL_CAP,
    film_tint,
)
from bigsign.sheets.views import View, areas, best_scale
from bigsign.sheets.writing import Column, line, rectangle
from bigsign.wording import phrase

__all__ = ["mat_pages"]

ASIDE = 62.0  # width of the words beside the drawing
RING_PAST = 1.4  # how far a ring round small film stands off it
FOOT = 4.4  # room below the drawing for its scale


def mat_pages(plan: Plan, mat: MatSheet, paper: str, caution: tuple[str, str] | None) -> list[Page]:
    """Return the page of a mat, more where it holds many panels; ``caution`` stands before its first step."""
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
        items += _up_arrow(view, panel, view.shape(trim), view.shape(film))
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
    words = Column(field.right - ASIDE, field.top + 2.0, ASIDE)
    mat_words(words, plan, mat, panels, caution)
    listed, rest = _listed(plan, panels, words, (field.left, foot + 5.0), field)
    items += [*words.items, *listed]
    drawing = replace(view.drawing, alt=mat_alt(plan, mat, view.drawing))
    pages = [Page("mat", phrase("title.mat", n=number), width, height, tuple(items), (drawing,))]
    while rest:  # a mat of many small panels
        title = phrase("title.mat_more", n=number)
        more = Column(field.left, field.top, field.width)
        rest = list_panels(more, plan, rest, field.bottom)
        pages.append(Page("mat", title, width, height, (*title_items(title), *more.items)))
    return pages


def _listed(
    plan: Plan, panels: Sequence[Panel], words: Column, below: PaperPoint, field: Field
) -> tuple[list[Item], list[Panel]]:
    """Return the list of a mat's panels, and those that have no room on its page.

    It stands whole below the drawing or, where that leaves no room for it, under the steps; in both only if it must.
    """
    width = field.width - ASIDE - 8.0

    def under(left: Sequence[Panel], *, steps: bool) -> tuple[list[Item], list[Panel]]:
        column = Column(words.left, words.y, words.width) if steps else Column(*below, width)
        rest = list_panels(column, plan, left, field.bottom)
        return column.items, rest

    for steps in (False, True):
        items, rest = under(panels, steps=steps)
        if not rest:
            return items, rest
    items, rest = under(panels, steps=True)
    more, rest = under(rest, steps=False)
    return [*items, *more], rest


def _up_arrow(view: View, panel: Panel, trim: BaseGeometry, film: BaseGeometry) -> list[Item]:
    """Return a small arrow in a panel's trim that points to the panel's upper edge on the sign.

    In the first corner where it lies inside the trim and clear of what is cut; else where it is clearest.
    """
    _, _, c, d, _, _ = panel.to_mat
    x0, y0, x1, y1 = trim.bounds
    ux, uy = -c, -d  # where the sign's up (0, −1) points on the mat
    if min(x1 - x0, y1 - y0) < 6.0:
        return []
    corners = [(x, y) for y in (y1 - 2.6, y0 + 2.6) for x in (x1 - 2.6, x0 + 2.6)]

    def clear(at: tuple[float, float]) -> tuple[bool, float]:
        return trim.covers(Point(at).buffer(2.4)), min(film.distance(Point(at)), 2.4)

    x, y = max(corners, key=clear)
    if clear((x, y)) < (True, 2.4):
        across, down = int((x1 - x0 - 5.2) / 3.0), int((y1 - y0 - 5.2) / 3.0)
        inner = [(x1 - 2.6 - 3.0 * i, y1 - 2.6 - 3.0 * j) for j in range(down + 1) for i in range(across + 1)]
        x, y = max([(x, y), *inner], key=clear)
    tip, tail = (x + ux * 2.0, y + uy * 2.0), (x - ux * 1.8, y - uy * 1.8)
    side = (-uy, ux)
    head = tuple(
        (tip[0] - ux * 1.8 + side[0] * s, tip[1] - uy * 1.8 + side[1] * s) for s in (0.75, -0.75)
    )
    halo = rectangle(x - 1.3, y - 2.3, x + 1.3, y + 2.3, "#ffffff", None) if abs(uy) > 0.5 else rectangle(
        x - 2.3, y - 1.3, x + 2.3, y + 1.3, "#ffffff", None
    )  # fmt: skip
    return [halo, Stroke((tail, tip), FINE, BLACK), Area(((tip, *head),), BLACK, None)]
