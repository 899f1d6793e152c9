"""Breaks: the line, the gap and the gaps at stated heights between each two panels that part neighbours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon

from bigsign.placing.cut_lines import LaidCut
from bigsign.placing.rulers import Rulers
from bigsign.plan_records import Break, BreakEnd, GapAt, Point
from bigsign.reading.lettering import Lettering, Line
from bigsign.splitting.tree import Edge
from bigsign.units import to_tape

__all__ = ["PanelShape", "make_break"]

TIGHTEST = ("contact", "letter", "word", "line", "ornament")
HEIGHTS = (
    0.02,
    0.5,
    0.98,
)  # of cap height above the baseline: at the foot, half way, at full height, just inside film


@dataclass(frozen=True, slots=True)
class PanelShape:
    """What a break needs of a panel."""

    id: str
    film: MultiPolygon
    trim: Polygon


def make_break(
    break_id: str,
    first: PanelShape,
    second: PanelShape,
    edges: Sequence[Edge],
    cut: LaidCut,
    lettering: Lettering,
    films: Mapping[str, MultiPolygon],
    rulers: Rulers,
) -> Break:
    """Return the break between two panels.

    Parameters
    ----------
    edges : the parted edges between them, at least one.
    cut : the cut of the tree that parts them.
    """
    kind = min((edge.kind for edge in edges), key=TIGHTEST.index)
    line = _portion(cut, first.trim, second.trim)
    drawn = LineString(line)
    clearance = min(drawn.distance(first.film), drawn.distance(second.film))
    shared = first.trim.buffer(1e-4).intersection(second.trim.buffer(1e-4))
    butts = not shared.is_empty and shared.length / 2 > 1.0
    gap = float(first.film.distance(second.film))
    gaps = _gaps(first, second, [edge for edge in edges if edge.kind == kind], kind, lettering, films, rulers)
    ends = tuple(BreakEnd(point, rulers.point(point)) for point in line)
    shown = "seam" if kind == "contact" else kind
    why = _why(shown, edges, lettering)
    return Break(
        break_id, (first.id, second.id), shown, line, ends, butts, float(clearance),
        to_tape(gap, rulers.x.step), gaps, 0.0, 0.0, why,
    )  # fmt: skip


def _portion(cut: LaidCut, first: Polygon, second: Polygon) -> tuple[Point, Point]:
    """Return the part of the cut's line beside which both trims stand; that of either where they don't face."""
    (x0, y0), (x1, y1) = cut.line
    start, along = np.array([x0, y0]), np.array([x1 - x0, y1 - y0])
    length = float(np.hypot(*along))
    along = along / length
    spans = []
    for trim in (first, second):
        run = (shapely.get_coordinates(trim) - start) @ along
        spans.append((float(run.min()), float(run.max())))
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    if high - low < 1.0:
        low, high = min(s[0] for s in spans), max(s[1] for s in spans)
    low, high = max(low, 0.0), min(high, length)
    a, b = start + along * low, start + along * high
    return (round(float(a[0]), 9), round(float(a[1]), 9)), (round(float(b[0]), 9), round(float(b[1]), 9))


def _gaps(
    first: PanelShape,
    second: PanelShape,
    edges: Sequence[Edge],
    kind: str,
    lettering: Lettering,
    films: Mapping[str, MultiPolygon],
    rulers: Rulers,
) -> tuple[GapAt, ...]:
    glyphs = {glyph.id: glyph for glyph in lettering.glyphs}
    lines = {line.id: line for line in lettering.lines}
    out: list[GapAt] = []
    if kind in ("letter", "word"):
        for edge in edges:
            line = lines[glyphs[edge.a].line]
            out.extend(_across_line(films[edge.a], films[edge.b], line, rulers))
    else:
        chosen = edges if len(edges) <= 3 else [edges[0], edges[len(edges) // 2], edges[-1]]
        for edge in chosen:
            found = _facing_gap(films[edge.a], films[edge.b], rulers)
            if found is not None:
                out.append(found)
    unique = {(gap.along, round(gap.at_mm, 3)): gap for gap in out}
    return tuple(unique.values())


def _quarter(line: Line) -> int | None:
    turns = line.angle / 90
    return round(turns) % 4 if abs(turns - round(turns)) < 1e-6 and line.arc is None else None


def _across_line(a: MultiPolygon, b: MultiPolygon, line: Line, rulers: Rulers) -> list[GapAt]:
    """Return the gaps between two letters of a line at foot, half and full cap height; none for slanted lines."""
    quarter = _quarter(line)
    if quarter is None or line.stacked:
        found = _facing_gap(a, b, rulers)
        return [found] if found is not None else []
    (bx, by), _ = line.baseline
    out = []
    for share in HEIGHTS:
        rise = share * line.cap_height
        at = (by - rise, bx + rise, by + rise, bx - rise)[quarter]
        gap = _gap_at(a, b, quarter % 2, at)
        if gap is not None:
            out.append(GapAt("x" if quarter % 2 == 0 else "y", at, to_tape(gap, rulers.x.step)))
    return out


def _gap_at(a: MultiPolygon, b: MultiPolygon, upright: int, at: float) -> float | None:
    """Return the distance between two films along the level (or, ``upright``, the plumb) line at ``at``."""
    spans = []
    for film in (a, b):
        x0, y0, x1, y1 = film.bounds
        line = LineString([(x0 - 1, at), (x1 + 1, at)]) if not upright else LineString([(at, y0 - 1), (at, y1 + 1)])
        hit = line.intersection(film)
        if hit.is_empty:
            return None
        spans.append((hit.bounds[upright], hit.bounds[upright + 2]))
    (a0, a1), (b0, b1) = spans
    gap = b0 - a1 if a0 + a1 <= b0 + b1 else a0 - b1
    return float(gap) if gap > 0 else None


def _facing_gap(a: MultiPolygon, b: MultiPolygon, rulers: Rulers) -> GapAt | None:
    """Return the plumb gap of two films one above the other in the middle of what faces, else the level one."""
    p, q = a.bounds, b.bounds
    for upright in (1, 0):
        low, high = max(p[1 - upright], q[1 - upright]), min(p[3 - upright], q[3 - upright])
        if high - low > 0.5:
            narrowest: tuple[float, float] | None = None
            for share in (0.5, 0.25, 0.75, 0.1, 0.9):
                at = low + (high - low) * share
                gap = _gap_at(a, b, upright, at)
                if gap is not None and (narrowest is None or gap < narrowest[0] - 1e-6):
                    narrowest = (gap, at)
            if narrowest is not None:
                axis = "y" if upright else "x"
                return GapAt(axis, narrowest[1], to_tape(narrowest[0], rulers.x.step))
    return None


def _why(kind: str, edges: Sequence[Edge], lettering: Lettering) -> str:
    text = {glyph.id: glyph.text for glyph in lettering.glyphs}
    edge = min(edges, key=lambda e: e.gap_mm)
    pair = f"{text.get(edge.a) or edge.a} and {text.get(edge.b) or edge.b}"
    return {
        "word": f"between two words, {pair}",
        "letter": f"inside a word, between {pair}, because the word is larger than the usable area or a wish asks",
        "line": "between two lines",
        "ornament": "between the lettering and an ornament",
        "seam": "through film",
    }[kind]
