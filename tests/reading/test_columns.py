"""Columns: letters centred one under the other are; capitals of a turned line and level lines are not."""

from __future__ import annotations

from shapely.affinity import rotate
from shapely.geometry import Polygon, box

from bigsign.reading.columns import find_columns
from bigsign.reading.glyphs import Part


def _parts(*shapes: Polygon) -> list[Part]:
    return [Part(f"p{n}", shape, shape.bounds) for n, shape in enumerate(shapes)]


def _letters(*places: tuple[float, float, float]) -> list[Part]:
    """Return letters 100 tall as (middle, foot, width)."""
    return _parts(*(box(x - w / 2, foot - 100, x + w / 2, foot) for x, foot, w in places))


def test_letters_on_a_pitch_with_a_step_left_out_are_two_words() -> None:
    (column,) = find_columns(_letters((0, 100, 60), (0, 240, 75), (0, 520, 40), (0, 660, 70)))
    assert column.words == (0, 0, 1, 1)
    assert [len(glyph) for glyph in column.glyphs] == [1, 1, 1, 1]


def test_a_dot_belongs_to_the_letter_of_its_step() -> None:
    parts = [*_letters((0, 100, 60), (0, 240, 75), (0, 380, 40)), *_parts(box(-8, 220 - 100 - 60, 8, 80))]
    parts[-1] = Part("dot", box(-8, 145, 8, 150), (-8, 145, 8, 150))
    (column,) = find_columns([*parts[:1], Part("i", box(-9, 160, 9, 240), (-9, 160, 9, 240)), parts[2], parts[-1]])
    assert [len(glyph) for glyph in column.glyphs] == [1, 2, 1]


def test_capitals_of_a_turned_line_are_no_column() -> None:
    level = [box(x, 0, x + w, 100) for x, w in ((0, 60), (75, 90), (180, 40), (235, 70))]
    turned = [rotate(shape, 90, origin=(0, 0)) for shape in level]
    assert find_columns(_parts(*turned)) == []


def test_words_under_each_other_are_no_column() -> None:
    row = [(x, foot, 50.0) for foot in (100, 240, 380) for x in (0.0, 70.0, 140.0)]
    assert find_columns(_letters(*row)) == [] or len(find_columns(_letters(*row))) == 3
    assert find_columns(_letters((0, 100, 300), (0, 240, 280), (0, 380, 310))) == []
