"""Nests: frames are left out, what they hold is read; outlined letters keep their kernels."""

from __future__ import annotations

from shapely.geometry import Point, Polygon, box

from bigsign.reading.glyphs import Part
from bigsign.reading.nests import find_nests


def _parts(**shapes: Polygon) -> list[Part]:
    return [Part(name, shape, shape.bounds) for name, shape in shapes.items()]


def _ring(x: float, y: float, outer: float, inner: float) -> Polygon:
    return Polygon(Point(x, y).buffer(outer).exterior, [Point(x, y).buffer(inner).exterior.coords])


def test_a_frame_holds_what_is_read_for_itself() -> None:
    frame = Polygon(box(0, 0, 500, 200).exterior, [box(10, 10, 490, 190).exterior.coords])
    nests = find_nests(_parts(f=frame, a=box(50, 50, 100, 150), b=box(120, 50, 170, 150), c=box(200, 50, 250, 150)))
    assert nests.frames == ("f",)
    assert [part.piece for part in nests.parts] == ["a", "b", "c"]
    assert nests.kernels == {}


def test_outlined_letters_beside_each_other_hold_their_counters() -> None:
    parts = _parts(o=_ring(50, 50, 50, 46), k=_ring(50, 50, 25, 21), i=box(120, 0, 150, 100), s=_ring(220, 50, 50, 46))
    nests = find_nests(parts)
    assert nests.frames == ()
    assert nests.kernels == {"o": ("k",)}
    assert [part.piece for part in nests.parts] == ["o", "i", "s"]


def test_a_ring_alone_around_something_is_a_frame() -> None:
    nests = find_nests(_parts(o=_ring(50, 50, 50, 46), k=box(30, 30, 70, 70)))
    assert nests.frames == ("o",)
