"""Breaks: the line, the gap and the gaps at stated heights between each two panels that part neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.ops import nearest_points, substring

from bigsign.placing.cut_lines import LaidCut
from bigsign.placing.rulers import Rulers
from bigsign.plan_records import Break, BreakEnd, GapAt, Narrowest, NextBest, Point
from bigsign.reading.lettering import Lettering, Line
from bigsign.splitting.tree import Contact, Edge, NextPlace
from bigsign.units import to_tape
from bigsign.wording import phrase

__all__ = ["PanelShape", "Parted", "make_break"]

PAST_SEAM = 10.0  # mm: how far the line of a seam is drawn beyond its film
TIGHTEST = ("contact", "letter", "word", "line", "ornament")
HEIGHTS = (("foot", 0.02), ("half", 0.5), ("full", 0.98))  # of cap height above the baseline, just inside film


@dataclass(frozen=True, slots=True)
class Parted:
    """A parted edge with the film on both its sides; ``seam`` where it passes through film."""

    edge: Edge
    gap_mm: float
    first: MultiPolygon
    second: MultiPolygon
    seam: Contact | None = None
    upper: str | None = None  # the panel whose film laps the other's


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
    parted: Sequence[Parted],
    cut: LaidCut,
    lettering: Lettering,
    rulers: Rulers,
) -> Break:
    """Return the break between two panels.

    Parameters
    ----------
    parted : the parted edges between them, at least one.
    cut : the cut of the tree that parts them.
    """
    tightest = min((one.edge.kind for one in parted), key=TIGHTEST.index)
    seams = [one.seam for one in parted if one.seam is not None]
    line = _along_seams(cut, seams) if tightest == "contact" else _portion(cut, first.trim, second.trim)
    drawn = LineString(line)
    clearance = min(drawn.distance(first.film), drawn.distance(second.film))
    shared = first.trim.buffer(1e-4).intersection(second.trim.buffer(1e-4))
    butts = not shared.is_empty and shared.length / 2 > 1.0 and tightest != "contact"
    gap = float(first.film.distance(second.film))
    gaps = _gaps([one for one in parted if one.edge.kind == tightest], tightest, lettering, rulers)
    ends = tuple(BreakEnd(point, rulers.point(point)) for point in (line[0], line[-1]))
    return Break(
        break_id, (first.id, second.id), "seam" if tightest == "contact" else tightest, line, ends, butts,
        float(clearance), to_tape(gap, rulers.x.step), gaps, sum(seam.length for seam in seams),
        max((seam.overlap for seam in seams), default=0.0), _why(tightest, parted, lettering),
        upper=next((one.upper for one in parted if one.upper), None),
        overlap=to_tape(seams[0].overlap, rulers.x.step) if seams and seams[0].overlap else None,
        narrowest=_narrowest(first.film, second.film, parted) if tightest != "contact" else None,
        next_best=None if cut.next_place is None else _next_best(cut.next_place, lettering), way=cut.chosen.way,
    )  # fmt: skip


def _narrowest(first: MultiPolygon, second: MultiPolygon, parted: Sequence[Parted]) -> Narrowest:
    a, b = ((float(p.x), float(p.y)) for p in nearest_points(first, second))
    return Narrowest((a, b), _named(min(parted, key=lambda one: one.gap_mm)))


def _portion(cut: LaidCut, first: Polygon, second: Polygon) -> tuple[Point, ...]:
    """Return the part of the cut's line beside which both trims stand; that of either where they don't face."""
    line = LineString(cut.line)
    spans = []
    for trim in (first, second):
        run = shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(trim)))
        spans.append((float(run.min()), float(run.max())))
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    if high - low < 1.0:
        low, high = min(s[0] for s in spans), max(s[1] for s in spans)
    return _part(line, low, high)


def _along_seams(cut: LaidCut, seams: Sequence[Contact]) -> tuple[Point, ...]:
    """Return the part of the cut's line along the seams, a little longer at both ends: trims of frames reach far."""
    line = LineString(cut.line)
    run = shapely.line_locate_point(line, shapely.points([point for seam in seams for point in seam.line]))
    return _part(line, float(run.min()) - PAST_SEAM, float(run.max()) + PAST_SEAM)


def _part(line: LineString, low: float, high: float) -> tuple[Point, ...]:
    part = substring(line, max(0.0, low), min(line.length, high))
    return tuple((round(float(x), 9), round(float(y), 9)) for x, y in part.coords)


def _gaps(edges: Sequence[Parted], kind: str, lettering: Lettering, rulers: Rulers) -> tuple[GapAt, ...]:
    glyphs = {glyph.id: glyph for glyph in lettering.glyphs}
    lines = {line.id: line for line in lettering.lines}
    out: list[GapAt] = []
    if kind in ("letter", "word"):
        for one in edges:
            line = lines[glyphs[one.edge.a].line]
            out.extend(replace(gap, between=_named(one)) for gap in _across_line(one.first, one.second, line, rulers))
    elif kind != "contact":
        chosen = edges if len(edges) <= 3 else [edges[0], edges[len(edges) // 2], edges[-1]]
        for one in chosen:
            found = _facing_gap(one.first, one.second, rulers)
            if found is not None:
                out.append(replace(found, between=_named(one)))
    unique = {(gap.along, round(gap.at_mm, 3)): gap for gap in out}
    return tuple(unique.values())


def _named(one: Parted) -> tuple[str, str]:
    return one.edge.a, one.edge.b


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
    for where, share in HEIGHTS:
        rise = share * line.cap_height
        at = (by - rise, bx + rise, by + rise, bx - rise)[quarter]
        gap = _gap_at(a, b, quarter % 2, at)
        if gap is not None:
            out.append(GapAt("x" if quarter % 2 == 0 else "y", at, to_tape(gap, rulers.x.step), where))
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


def _why(kind: str, parted: Sequence[Parted], lettering: Lettering) -> str:
    text = {glyph.id: glyph.text for glyph in lettering.glyphs}
    edge = min(parted, key=lambda one: one.gap_mm).edge
    names = {"first": text.get(edge.a) or edge.a, "second": text.get(edge.b) or edge.b}
    if kind == "contact":
        return phrase("why.seam" if edge.a != edge.b else "why.seam_through", **names)
    return phrase(f"why.{kind}", **names)


def _next_best(place: NextPlace, lettering: Lettering) -> NextBest:
    """Return what the next best place for a cut would have cost, in figures and in one line."""
    if not place.found:
        return NextBest(0, 0, 0.0, 0.0, phrase("next.none"))
    text = {glyph.id: glyph.text for glyph in lettering.glyphs}
    costs = [
        phrase(key + ("" if abs(figure) == 1 else "_many"), n=abs(figure))
        for key, figure in (("next.break", place.breaks), ("next.panel", place.panels))
        if figure > 0
    ]
    if not costs and place.risk > 0:
        costs = [phrase("next.risk", n=f"{place.risk:.2f}") if place.risk >= 0.01 else phrase("next.hair")]
    if not costs and place.area > 0:
        costs = [phrase("next.area")]
    cost = phrase("next.nothing") if not costs else phrase("next.and").join(costs)
    if place.a is None or place.b is None:
        words = phrase("next.elsewhere", cost=cost)
    elif place.a == place.b:
        words = phrase("next.through", first=text.get(place.a) or place.a, cost=cost)
    else:
        names = {"first": text.get(place.a) or place.a, "second": text.get(place.b) or place.b}
        words = phrase("next.between", cost=cost, **names)
    return NextBest(place.breaks, place.panels, place.risk, place.area, words)
