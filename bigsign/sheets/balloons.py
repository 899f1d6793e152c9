"""Panel numbers in circles outside a drawing, in rows along its sides, each with a leader to its panel.

After ISO 6433 (from memory): item numbers in circles of one size, larger than the measures, in aligned rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from bigsign.sheets.items import Box, Circle, Item, Point, Stroke
from bigsign.sheets.labels import Taken, spread
from bigsign.sheets.style import BLACK, FINE, GREY, HAIR, MEASURE_CAP, STEP_CAP
from bigsign.sheets.writing import line

__all__ = ["RING", "Numbered", "balloons", "number_circle"]

RADIUS, SMALL_RADIUS = 3.3, 2.4
PAST = 3.0  # how far a row of circles may reach past the ends of its side
OFF = 7.0  # from the drawing's edge to the middle of a circle
#: Room that a row of circles takes along a side, mm.
RING = OFF + RADIUS + 1.0
PITCH = 2 * RADIUS + 1.4
SAMPLES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)


@dataclass(frozen=True, slots=True)
class Numbered:
    """What a number belongs to, on the paper: its outline, and its film."""

    number: int
    outline: BaseGeometry
    film: BaseGeometry


def number_circle(at: Point, number: int, radius: float = RADIUS) -> list[Item]:
    """Return a number in a circle."""
    cap = MEASURE_CAP if number < 100 and radius >= RADIUS else STEP_CAP
    return [Circle(at, radius, "#ffffff", BLACK, FINE), line((at[0], at[1] + cap / 2), str(number), cap, True, "c")]


def balloons(things: Sequence[Numbered], frame: Box, sides: str = "tblr") -> tuple[list[Item], set[str]]:
    """Return the numbered circles round a drawing's frame, and the sides that carry any.

    Each leader starts at the side (t, b, l, r of those allowed) and the place from which it reaches its outline
    over the least of the others' film, then over the shortest way. Where the sides are full, small circles stand
    on the rest.
    """
    room = {side: frame[2] - frame[0] if side in "tb" else frame[3] - frame[1] for side in sides}
    chosen: dict[str, list[tuple[float, Point, int]]] = {}
    crowded: list[Numbered] = []
    for thing in things:
        shapely.prepare(thing.film)  # each is held against leaders by the hundred
    for thing in things:
        others = [other.film for other in things if other is not thing]
        open_sides = "".join(s for s in sides if (len(chosen.get(s, ())) + 1) * PITCH <= room[s] + 2 * PAST)
        ways = _ways(thing, frame, open_sides)
        if not ways:
            crowded.append(thing)
            continue
        side, along, foot = min(ways, key=lambda way: (_cost(way, others, frame), sides.index(way[0])))
        chosen.setdefault(side, []).append((along, foot, thing.number))
    out: list[Item] = []
    for side, row in sorted(chosen.items()):
        low, high = (frame[0], frame[2]) if side in "tb" else (frame[1], frame[3])
        slack = max(0.0, len(row) * PITCH - (high - low)) / 2
        places = spread([along for along, _, _ in row], [PITCH] * len(row), low - slack, high + slack)
        for place, (along, foot, number) in zip(places, row, strict=True):
            at, elbow = _on_side(side, place, frame, OFF), _on_side(side, along, frame, 1.6)
            out.append(Stroke((at, elbow, foot), HAIR, GREY))
            out.append(Circle(foot, 0.55, BLACK, None))
            out += number_circle(at, number)
    return [*out, *_inside(crowded, frame)], set(chosen)


def _inside(things: Sequence[Numbered], frame: Box) -> list[Item]:
    """Return small circles on the things themselves, where the sides are full; those that would touch are left out."""
    out: list[Item] = []
    taken = Taken(frame)
    for thing in things:
        at = thing.outline.representative_point()
        ring = (at.x - SMALL_RADIUS, at.y - SMALL_RADIUS, at.x + SMALL_RADIUS, at.y + SMALL_RADIUS)
        if taken.free(ring, 0.4):
            taken.add(ring)
            out += number_circle((at.x, at.y), thing.number, SMALL_RADIUS)
    return out


def _on_side(side: str, along: float, frame: Box, off: float) -> Point:
    return {
        "t": (along, frame[1] - off),
        "b": (along, frame[3] + off),
        "l": (frame[0] - off, along),
        "r": (frame[2] + off, along),
    }[side]


def _ways(thing: Numbered, frame: Box, sides: str) -> list[tuple[str, float, Point]]:
    """Return (side, place along it, end of the leader) for a few places on each side."""
    x0, y0, x1, y1 = thing.outline.bounds
    out = []
    for side in sides:
        upright = side in "tb"
        low, high = (x0, x1) if upright else (y0, y1)
        for share in SAMPLES:
            along = low + share * (high - low)
            across = LineString([(along, y0 - 1), (along, y1 + 1)] if upright else [(x0 - 1, along), (x1 + 1, along)])
            hit = across.intersection(thing.outline)
            if hit.is_empty:
                continue
            bounds = hit.bounds
            end = bounds["ltrb".index(side)] + (0.9 if side in "tl" else -0.9)
            out.append((side, along, (along, end) if upright else (end, along)))
    return out


def _cost(way: tuple[str, float, Point], others: Sequence[BaseGeometry], frame: Box) -> tuple[float, float]:
    side, along, foot = way
    start = _on_side(side, along, frame, 0.0)
    leader = LineString([start, foot])
    crossed = sum(leader.intersection(film).length for film in others if film.intersects(leader))
    return round(crossed, 1), round(leader.length, 1)
