"""Joins at full size: the last letter, the gap and the next letter of each join to a panel already up.

They are there to lay against the work.
"""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import LineString, box
from shapely.ops import nearest_points

from bigsign.plan_records import Break, GapAt, Panel, Plan, Point
from bigsign.sheets.drawing import break_line, film_in_hand, film_of_neighbour
from bigsign.sheets.grid import Field, page_field, page_size, scale_text, title_items
from bigsign.sheets.items import Area, Drawing, Item, Page, Stroke
from bigsign.sheets.labels import spread
from bigsign.sheets.panel_drawing import join_letters
from bigsign.sheets.style import ACCENT, BLACK, DASHED, FINE, GREY, HAIR, MEASURE_CAP, SMALL_CAP, STEP_CAP
from bigsign.sheets.views import View, outlines
from bigsign.sheets.writing import line, rectangle, text_width
from bigsign.wording import phrase

__all__ = ["full_size_joins", "join_pages", "set_joins"]

FIGURES = 21.0  # mm beside a window for its figures
HEAD = 5.6  # above a window
TALL, TALLEST = 50.0, 90.0  # heights of a window: at least, and where there is room
BETWEEN = 7.0  # from one window to the next
ARROW = 2.0
LEAST_SEEN = 80.0  # mm² of film in a window


def full_size_joins(plan: Plan, panel: Panel, paper: str) -> list[Break]:
    """Return the joins of a panel to panels already up, of which film of both sides can be seen in a window."""
    numbers = {other.id: other.number for other in plan.panels}
    field = page_field(paper)
    window = _window(field)
    out = []
    for part in plan.breaks:
        if panel.id not in part.panels or min(numbers[name] for name in part.panels) >= panel.number:
            continue
        other = next(plan.panel(name) for name in part.panels if name != panel.id)
        x, y = _middle(panel, other, part)
        frame = box(x - window[0] / 2, y - window[1] / 2, x + window[0] / 2, y + window[1] / 2)
        if all(film.intersection(frame).area > LEAST_SEEN for film in (panel.film, other.film)):
            out.append(part)
    return out


def _window(field: Field, columns: int = 2, tall: float = TALL) -> tuple[float, float]:
    """Return (width, height) of a window, of which ``columns`` stand side by side."""
    return (field.width - (columns - 1) * BETWEEN) / columns - FIGURES, tall


def set_joins(
    plan: Plan, panel: Panel, joins: Sequence[Break], field: Field, top: float, foot: float
) -> tuple[list[Item], list[Drawing], list[Break]]:
    """Set as many joins as have room between ``top`` and ``foot``; return items, drawings, and the joins left.

    Each goes across the page if all have room so, else two stand side by side. Windows are as high as the room allows.
    """
    if not joins:
        return [], [], []
    room = foot - top + BETWEEN
    rows = max(0, int(room / (HEAD + TALL + BETWEEN)))
    columns = 1 if len(joins) <= rows else 2
    used = min(rows, -(-len(joins) // columns))
    tall = min(TALLEST, room / used - HEAD - BETWEEN) if used else TALL
    pitch = (field.width + BETWEEN) / columns
    items: list[Item] = []
    drawings: list[Drawing] = []
    for at, part in enumerate(joins[: columns * rows]):
        left = field.left + (at % columns) * pitch
        y = top + (at // columns) * (HEAD + tall + BETWEEN)
        made, drawing = _detail(plan, panel, part, (left, y), _window(field, columns, tall))
        items += made
        drawings.append(drawing)
    return items, drawings, list(joins[columns * rows :])


def join_pages(plan: Plan, panel: Panel, joins: Sequence[Break], paper: str) -> list[Page]:
    """Return pages with those joins of a panel at full size that its own pages have no room for."""
    field = page_field(paper)
    width, height = page_size(paper)
    title = phrase("title.joins", n=panel.number)
    pages = []
    rest = list(joins)
    while rest:
        items, drawings, rest = set_joins(plan, panel, rest, field, field.top, field.bottom)
        head = title_items(title, phrase("joins.note"))
        pages.append(Page("panel", title, width, height, (*head, *items), tuple(drawings), panel.id))
    return pages


def _detail(
    plan: Plan, panel: Panel, part: Break, corner: Point, window: tuple[float, float]
) -> tuple[list[Item], Drawing]:
    """Return one join: its heading, its window on the sign, and its gaps with their figures beside."""
    other = next(plan.panel(name) for name in part.panels if name != panel.id)
    letter = join_letters(plan)[part.id]
    left, top = corner[0], corner[1] + HEAD
    x, y = _middle(panel, other, part)
    view = View((x - window[0] / 2, y - window[1] / 2, x + window[0] / 2, y + window[1] / 2), (left, top), 1.0)
    base = corner[1] + STEP_CAP
    items: list[Item] = [line((left, base), f"{letter}–{letter}", STEP_CAP, True)]
    words = phrase("joins.with", n=other.number)
    if part.kind == "seam":
        laps = phrase("joins.seam", overlap=part.overlap.shown) if part.overlap else phrase("joins.seam_butt")
        words = f"{words}. {laps}."
    after = left + text_width(f"{letter}–{letter}", STEP_CAP, True) + 2.0
    # a narrow window has no room for both: the scale then stands beside it, over the figures
    scale = scale_text(1.0)
    needed = after + text_width(words, STEP_CAP) + text_width(scale, SMALL_CAP, True) + 3.0
    narrow = needed > left + window[0]
    if needed > left + window[0] + FIGURES:
        words = phrase("joins.with", n=other.number)  # the panel's steps say by how much it laps
    items.append(line((after, base), words, STEP_CAP))
    at = (left + window[0] + FIGURES, base) if narrow else (left + window[0], base)
    items.append(line(at, scale, SMALL_CAP, True, "r", GREY))
    frame = box(*view.box)
    items += film_of_neighbour(view, other.film, True)
    own = panel.film.intersection(frame)
    items += film_in_hand(view, own, panel.colour) if not own.is_empty else []
    hidden = panel.film.intersection(other.film).intersection(frame)
    if not hidden.is_empty:  # what the film in hand will lie over
        items += outlines(view.shape(hidden).boundary, FINE, BLACK, DASHED)
    items += break_line(view, part)
    items.append(rectangle(*view.paper_box, None, GREY, HAIR))
    items += _gaps(view, panel, other, part)
    return items, view.drawing


def _middle(panel: Panel, other: Panel, part: Break) -> Point:
    """Return the middle of the window: between the films at half height of the letters, else where they are nearest."""
    if part.gaps:
        gap = part.gaps[len(part.gaps) // 2]
        ends = _gap_ends(panel, other, gap)
        if ends is not None:
            return (ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2
    a, b = nearest_points(panel.film, other.film)
    if part.kind == "seam":
        middle = LineString(part.line).intersection(panel.film.buffer(0.5)).centroid
        return (middle.x, middle.y) if not middle.is_empty else (a.x, a.y)
    return (a.x + b.x) / 2, (a.y + b.y) / 2


def _gap_ends(panel: Panel, other: Panel, gap: GapAt) -> tuple[Point, Point] | None:
    """Return the two ends of a gap that is measured along x or y, on the films."""
    axis = 0 if gap.along == "x" else 1
    x0, y0, x1, y1 = panel.film.union(other.film).bounds
    level, plumb = [(x0 - 1, gap.at_mm), (x1 + 1, gap.at_mm)], [(gap.at_mm, y0 - 1), (gap.at_mm, y1 + 1)]
    probe = LineString(level if axis == 0 else plumb)
    spans = []
    for film in (panel.film, other.film):
        hit = film.intersection(probe)
        parts = [part.bounds for part in getattr(hit, "geoms", [hit]) if not part.is_empty]
        spans.append([(bounds[axis], bounds[axis + 2]) for bounds in parts])
    best: tuple[float, float, float] | None = None
    for low, high in spans[0]:
        for a, b in spans[1]:
            for start, end in ((high, a), (b, low)):
                miss = abs((end - start) - gap.gap.mm)
                if end > start and miss < 0.01 and (best is None or miss < best[0]):
                    best = (miss, start, end)
    if best is None:
        return None
    ends = ((best[1], gap.at_mm), (best[2], gap.at_mm))
    return ends if axis == 0 else ((gap.at_mm, best[1]), (gap.at_mm, best[2]))


def _gaps(view: View, panel: Panel, other: Panel, part: Break) -> list[Item]:
    """Return the gaps inside the window: two arrows on the films' edges, and the figure beside the window."""
    seen: list[tuple[GapAt, Point, Point]] = []
    frame = box(*view.box)
    for gap in part.gaps:
        ends = _gap_ends(panel, other, gap)
        if ends is not None and frame.contains(LineString(ends)):
            seen.append((gap, view.at(ends[0]), view.at(ends[1])))
    level = [entry for entry in seen if entry[0].along == "x"]
    plumb = [entry for entry in seen if entry[0].along == "y"]
    out: list[Item] = []
    _, y0, x1, y1 = view.paper_box
    places = spread([a[1] for _, a, _ in level], [MEASURE_CAP + 2.4] * len(level), y0, y1)
    for (gap, a, b), place in zip(level, places, strict=True):
        out += [_head_at(a, -1.0, 0.0), _head_at(b, 1.0, 0.0)]
        out.append(Stroke((a, (a[0] - 6.0, a[1])), HAIR, ACCENT))
        out.append(Stroke((b, (x1, b[1]), (x1 + 1.5, place)), HAIR, ACCENT))
        out.append(line((x1 + 2.2, place + MEASURE_CAP / 2), gap.gap.tape, MEASURE_CAP, True, "l", ACCENT))
    for gap, a, b in plumb[:1]:
        out += [_head_at(a, 0.0, -1.0), _head_at(b, 0.0, 1.0)]
        out.append(Stroke((a, (a[0], a[1] - 6.0)), HAIR, ACCENT))
        middle = (a[1] + b[1]) / 2
        out.append(Stroke((b, (b[0], min(b[1] + 6.0, y1))), HAIR, ACCENT))
        used = [place + MEASURE_CAP for place in places]
        at = middle if all(abs(middle - place) > MEASURE_CAP + 2.0 for place in places) else max(used) + MEASURE_CAP
        out.append(Stroke(((a[0], middle), (x1, middle), (x1 + 1.5, at)), HAIR, GREY))
        out.append(line((x1 + 2.2, at + MEASURE_CAP / 2), gap.gap.tape, MEASURE_CAP, True, "l", ACCENT))
    return out


def _head_at(tip: Point, dx: float, dy: float) -> Item:
    """Return an arrowhead whose tip is on the edge of film, pointing from outside into the gap."""
    x, y = tip
    back = (x + dx * ARROW, y + dy * ARROW)
    half = 0.5
    ring = ((x, y), (back[0] - dy * half, back[1] - dx * half), (back[0] + dy * half, back[1] + dx * half))
    return Area((ring,), ACCENT, None)
