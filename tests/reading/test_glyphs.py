"""Parts into glyphs: marks go to their own letter, like marks join, letters side by side stay apart."""

from __future__ import annotations

import pytest
from shapely.geometry import Point, Polygon, box

from bigsign.reading.glyphs import Part, group_parts

ELL = Polygon([(0, 0), (14, 0), (14, 86), (60, 86), (60, 100), (0, 100)])
TEE = Polygon([(0, 0), (70, 0), (70, 14), (42, 14), (42, 100), (28, 100), (28, 14), (0, 14)])


def _parts(**shapes: Polygon) -> list[Part]:
    return [Part(name, shape, shape.bounds) for name, shape in shapes.items()]


def _groups(parts: list[Part], top: float = 0, foot: float = 100) -> list[str]:
    return ["".join(sorted(part.piece for part in glyph)) for glyph in group_parts(parts, top, foot)]


def _ring(x: float, y: float, outer: float, inner: float) -> Polygon:
    return Polygon(Point(x, y).buffer(outer).exterior, [Point(x, y).buffer(inner).exterior.coords])


def test_two_dots_over_one_stem_are_one_letter_and_leave_their_neighbours_alone() -> None:
    parts = _parts(
        a=box(0, 30, 53, 100), i=box(66, 30, 80, 100), v=box(93, 30, 150, 100),
        x=box(50, 5, 64, 19), y=box(82, 5, 96, 19),
    )  # fmt: skip
    assert _groups(parts) == ["a", "ixy", "v"]


def test_a_dot_over_each_of_two_stems_makes_two_letters() -> None:
    parts = _parts(i=box(0, 30, 14, 100), j=box(30, 30, 44, 100), x=box(0, 5, 14, 19), y=box(30, 5, 44, 19))
    assert _groups(parts) == ["ix", "jy"]


@pytest.mark.parametrize(
    ("name", "first", "second"),
    [
        ("colon", box(0, 30, 14, 44), box(0, 86, 14, 100)),
        ("equals", box(0, 35, 50, 45), box(0, 60, 50, 70)),
        ("quote", box(0, 0, 10, 35), box(22, 0, 32, 35)),
        ("wide quote of a heavy face", box(0, 0, 28, 44), box(26, 0, 54, 44)),
        ("exclamation", box(0, 0, 14, 70), box(0, 86, 14, 100)),
        ("stencil halves", box(0, 0, 60, 46), box(0, 54, 60, 100)),
    ],
)
def test_what_belongs_together_is_one_glyph(name: str, first: Polygon, second: Polygon) -> None:
    assert _groups(_parts(a=first, b=second, z=box(80, 0, 130, 100))) == ["ab", "z"], name


@pytest.mark.parametrize(
    ("name", "first", "second"),
    [
        ("two stops", box(0, 86, 14, 100), box(30, 86, 44, 100)),
        ("a stop under a quote", box(0, 86, 14, 100), box(0, 0, 14, 30)),
        ("an apostrophe over the foot of an L", ELL, box(40, 0, 52, 30)),
        ("a comma under the arm of a T", TEE, box(54, 86, 66, 115)),
        ("two stems", box(0, 0, 20, 100), box(24, 0, 44, 100)),
    ],
)
def test_what_stands_apart_stays_apart(name: str, first: Polygon, second: Polygon) -> None:
    assert sorted(_groups(_parts(a=first, b=second))) == ["a", "b"], name


def test_a_bar_between_two_rings_is_a_percent_sign() -> None:
    bar = Polygon([(70, 0), (84, 0), (44, 100), (30, 100)])
    parts = _parts(a=_ring(22, 24, 22, 10), b=bar, c=_ring(92, 76, 22, 10), o=_ring(150, 76, 22, 10))
    assert _groups(parts) == ["abc", "o"]


def test_a_kernel_in_a_counter_belongs_to_its_letter() -> None:
    parts = _parts(o=_ring(50, 50, 50, 35), k=box(45, 45, 55, 55), n=box(120, 0, 160, 100))
    assert _groups(parts) == ["ko", "n"]
