"""What can't be weeded: strokes, letters, islands and holes too small for the film."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity, union_all
from shapely.geometry import Point, Polygon, box

from bigsign.artwork.pieces import Artwork, Piece
from bigsign.findings import Finding
from bigsign.making import weeding_findings
from bigsign.making.weeding import narrow_parts
from bigsign.presets import FilmLimits, film_limits
from bigsign.reading.lettering import Glyph, Lettering, Line, Word

INCH = 25.4


def letter_e(height: float, stroke: float) -> Polygon:
    """Return an E: a stem and three arms of one width."""
    width = 0.6 * height
    middle = (height - stroke) / 2
    arms = [box(0, y, width, y + stroke) for y in (0, middle, height - stroke)]
    shape = union_all([box(0, 0, stroke, height), *arms])
    assert isinstance(shape, Polygon)
    return shape


def pierced(hole: Polygon) -> Polygon:
    """Return a 20 mm square with the hole in its middle."""
    return Polygon(box(0, 0, 20, 20).exterior, [affinity.translate(hole, 10, 10).exterior])


def found(*shapes: Polygon, cap_height: float | None = 100.0, text: str = "EGGS") -> list[Finding]:
    """Return the findings for a line whose glyphs are the shapes; without a height they are ornaments."""
    pieces = tuple(Piece(f"p{n:03d}", "#000000", shape) for n, shape in enumerate(shapes, 1))
    ids = tuple(piece.id for piece in pieces)
    if cap_height is None:
        return list(weeding_findings(Artwork(pieces), Lettering((), (), (), ids)))
    glyphs = tuple(
        Glyph(f"g{n:03d}", "E", (piece.id,), "w001", "l001", piece.shape.bounds, "#000000")
        for n, piece in enumerate(pieces, 1)
    )
    word = Word("w001", text, tuple(glyph.id for glyph in glyphs), "l001")
    line = Line("l001", text, ("w001",), ((0.0, 0.0), (1.0, 0.0)), 0.0, cap_height, 0)
    return list(weeding_findings(Artwork(pieces), Lettering(glyphs, (word,), (line,), ())))


def codes(findings: list[Finding]) -> list[str]:
    return [finding.code for finding in findings]


def test_the_limits_are_those_of_the_advice() -> None:
    """Source: a sign shop's advice page: letters at least 10 mm (3/8 in) high, every line at least 2 mm."""
    limits = film_limits("adhesive")
    assert (limits.least_letter, limits.least_stroke) == (10.0, 2.0)


def test_the_pair_of_a_shop_that_tried() -> None:
    """Source: a decal shop's story: 0.13 in high words of 0.018 in strokes "almost impossible", 0.8 in easy."""
    failing = found(*[letter_e(0.13 * INCH, 0.018 * INCH)] * 4, cap_height=0.13 * INCH)
    assert {"film-small", "film-thin"} <= set(codes(failing))
    factor = 0.8 / 0.13
    assert found(*[letter_e(0.8 * INCH, 0.018 * INCH * factor)] * 4, cap_height=0.8 * INCH) == []


@pytest.mark.parametrize(("stroke", "wanted"), [(1.9, ["film-thin"]), (2.0, []), (2.5, [])])
@pytest.mark.parametrize("angle", [0.0, 37.0])
def test_strokes_are_measured_and_corners_forgiven(stroke: float, wanted: list[str], angle: float) -> None:
    shape = affinity.rotate(letter_e(11.0, stroke), angle)
    assert codes(found(shape, cap_height=11.0)) == wanted


def test_a_thin_stroke_on_a_heavy_piece_is_found() -> None:
    """A bar that crosses a frame is under a hundredth of the film, and tears all the same."""
    frame = Polygon(box(0, 0, 600, 400).exterior, [box(40, 40, 560, 360).exterior])
    assert found(frame, cap_height=None) == []
    for thickness, wanted in ((1.0, ["film-thin"]), (2.0, [])):
        barred = union_all([frame, box(40, 200, 560, 200 + thickness)])
        assert isinstance(barred, Polygon)
        assert narrow_parts(barred, 2.0) < 0.01
        assert codes(found(barred, cap_height=None)) == wanted


def test_rounds_and_pointed_corners_of_large_pieces_are_forgiven() -> None:
    """A star of 36-degree points, a ring and a rounded plate, all sturdy."""
    ring = Point(0, 0).buffer(900).difference(Point(0, 0).buffer(880))
    turns = [(100 - 62 * (n % 2), math.pi * n / 5) for n in range(10)]
    star = Polygon([(radius * math.cos(angle), radius * math.sin(angle)) for radius, angle in turns])
    plate = box(0, 0, 500, 300).buffer(40)
    for shape in (ring, star, plate):
        assert isinstance(shape, Polygon)
        assert found(shape, cap_height=None) == []


def test_one_finding_a_kind_and_line_lists_its_pieces() -> None:
    (finding,) = found(letter_e(60, 1.5), letter_e(60, 9), letter_e(60, 1.5))
    assert (finding.code, finding.pieces) == ("film-thin", ("p001", "p003"))
    assert "2 mm" in finding.message
    assert "100.0 mm high" in finding.message
    assert "EGGS" in finding.message
    assert finding.remedy


def test_low_letters_are_named_with_their_height() -> None:
    (finding,) = found(letter_e(9.5, 2.2), cap_height=9.5)
    assert finding.code == "film-small"
    assert "9.5 mm" in finding.message
    assert found(letter_e(10.0, 2.2), cap_height=10.0) == []


def test_small_islands_and_small_holes() -> None:
    dot, wide = Point(0, 0).buffer(1.3), Point(0, 0).buffer(1.6)
    assert codes(found(letter_e(60, 9), dot)) == ["film-island"]
    assert found(letter_e(60, 9), wide) == []
    (finding,) = found(pierced(dot))
    assert finding.code == "film-island"
    assert "Holes" in finding.message
    assert found(pierced(wide)) == []


def test_ornaments_have_strokes_but_no_letter_height() -> None:
    (finding,) = found(box(0, 0, 100, 1), cap_height=None)
    assert finding.code == "film-thin"
    assert "ornaments" in finding.message


def test_other_films_have_their_own_limits() -> None:
    shape = letter_e(9.0, 1.5)
    pieces = (Piece("p001", "#000000", shape),)
    ornament = Lettering((), (), (), ("p001",))
    assert weeding_findings(Artwork(pieces), ornament)
    assert weeding_findings(Artwork(pieces), ornament, FilmLimits(1.0, 6.0, 2.0)) == ()


@settings(max_examples=60, deadline=None)
@given(st.floats(3, 60), st.floats(0.3, 12), st.floats(0, 180))
def test_a_bar_is_narrow_just_when_it_is_narrower(length: float, width: float, angle: float) -> None:
    bar = affinity.rotate(box(0, 0, max(length, width), width), angle)
    share = narrow_parts(bar, 2.0)
    if width < 1.99:
        assert share == pytest.approx(1.0)
    elif width > 2.01:
        assert share < 0.01
    assert 0 <= share + 1e-9 <= 1 + 2e-9
