"""Uniting shapes into pieces: by colour, by what lies between, in reading order; area kept."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import union_all
from shapely.geometry import MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from bigsign.artwork.pieces import Piece
from bigsign.artwork.unite import Layer, unite_layers
from bigsign.findings import Source

RED, BLUE, GREEN = "#aa2222", "#2222aa", "#22aa22"


def layer(colour: str, *shapes: Polygon, file: str | None = None) -> Layer:
    return Layer(colour, MultiPolygon(shapes), Source(file) if file else None)


def outline(pieces: tuple[Piece, ...]) -> list[tuple[str, float]]:
    return [(piece.colour, piece.shape.area) for piece in pieces]


def test_overlapping_and_touching_shapes_of_a_colour_are_one_piece() -> None:
    pieces = unite_layers([layer(RED, box(0, 0, 4, 4)), layer(RED, box(2, 0, 6, 4)), layer(RED, box(6, 0, 8, 4))])
    assert outline(pieces) == [(RED, 32.0)]
    assert pieces[0].id == "p001"


def test_shapes_that_meet_in_a_point_are_two_pieces() -> None:
    assert len(unite_layers([layer(RED, box(0, 0, 4, 4)), layer(RED, box(4, 4, 8, 8))])) == 2


def test_another_colour_keeps_its_own_piece_and_the_lower_stays_whole() -> None:
    pieces = unite_layers([layer(RED, box(0, 0, 10, 10)), layer(BLUE, box(2, 2, 6, 6))])
    assert outline(pieces) == [(RED, 100.0), (BLUE, 16.0)]


def test_a_colour_between_two_of_another_parts_them() -> None:
    """Red below and red on top of blue, where they would overlap: two pieces, bottom to top."""
    pieces = unite_layers([layer(RED, box(0, 0, 10, 10)), layer(BLUE, box(1, 1, 9, 9)), layer(RED, box(3, 3, 5, 5))])
    assert outline(pieces) == [(RED, 100.0), (BLUE, 64.0), (RED, 4.0)]


def test_a_colour_that_lies_elsewhere_parts_nothing() -> None:
    pieces = unite_layers([layer(RED, box(0, 0, 4, 4)), layer(BLUE, box(0, 0, 1, 4)), layer(RED, box(3, 0, 8, 4))])
    assert outline(pieces) == [(RED, 32.0), (BLUE, 4.0)]


def test_holes_stay_and_islands_in_them_are_pieces() -> None:
    ring = Polygon(box(0, 0, 10, 10).exterior, [box(2, 2, 8, 8).exterior])
    pieces = unite_layers([layer(RED, ring, box(4, 4, 6, 6))])
    assert outline(pieces) == [(RED, 64.0), (RED, 4.0)]
    assert len(pieces[0].shape.interiors) == 1


def test_dust_is_left_out() -> None:
    assert unite_layers([layer(RED, box(0, 0, 0.04, 0.04))]) == ()
    assert unite_layers([]) == ()
    assert len(unite_layers([layer(RED, box(0, 0, 0.06, 0.06))])) == 1


def test_a_drawings_pieces_are_numbered_in_rows() -> None:
    """Drawn bottom right first; tall and short pieces of a row go left to right, with a dot above one of them."""
    shapes = [box(20, 30, 24, 40), box(0, 30, 4, 40), box(10, 0, 14, 10), box(21, 4, 24, 10), box(0, 1, 4, 9)]
    pieces = unite_layers([layer(RED, shape, file="leaf.svg") for shape in shapes])
    assert [piece.shape.bounds[:2] for piece in pieces] == [(0, 1), (10, 0), (21, 4), (0, 30), (20, 30)]


def test_set_lettering_keeps_its_reading_order() -> None:
    """A line that reads downwards and one left of it: order of setting, not rows."""
    shapes = [box(20, 0, 30, 10), box(20, 15, 30, 25), box(0, 0, 10, 10), box(0, 15, 10, 25)]
    pieces = unite_layers([layer(RED, shape) for shape in shapes])
    assert [piece.shape for piece in pieces] == shapes


def test_upper_layers_come_after_lower_ones() -> None:
    pieces = unite_layers(
        [layer(RED, box(0, 50, 10, 60)), layer(BLUE, box(2, 52, 4, 54)), layer(RED, box(0, 0, 10, 10))]
    )
    assert [(piece.colour, piece.shape.bounds[1]) for piece in pieces] == [(RED, 50), (RED, 0), (BLUE, 52)]


BOXES = st.lists(
    st.tuples(st.sampled_from([RED, BLUE, GREEN]), *[st.integers(0, 12)] * 2, *[st.integers(1, 6)] * 2), max_size=9
)


@settings(max_examples=120, deadline=None)
@given(BOXES)
def test_nothing_is_lost_or_added(drawn: list[tuple[str, int, int, int, int]]) -> None:
    layers = [layer(colour, box(x, y, x + w, y + h)) for colour, x, y, w, h in drawn]
    pieces = unite_layers(layers)
    for colour in (RED, BLUE, GREEN):
        wanted = union_all([one.shape for one in layers if one.colour == colour])
        found = [piece.shape for piece in pieces if piece.colour == colour]
        assert union_all(found).symmetric_difference(wanted).area < 1e-9
    assert all(piece.shape.is_valid and piece.shape.geom_type == "Polygon" for piece in pieces)
    assert [piece.id for piece in pieces] == [f"p{n:03d}" for n in range(1, len(pieces) + 1)]


@settings(max_examples=60, deadline=None)
@given(BOXES)
def test_of_one_colour_pieces_are_the_parts_of_the_union(drawn: list[tuple[str, int, int, int, int]]) -> None:
    layers = [layer(RED, box(x, y, x + w, y + h)) for _, x, y, w, h in drawn]
    whole = union_all([one.shape for one in layers])
    parts = 0 if whole.is_empty else len(getattr(whole, "geoms", [whole]))
    assert len(unite_layers(layers)) == parts


def seen(painted: list[tuple[str, BaseGeometry]]) -> dict[str, BaseGeometry]:
    """Return what is seen of each colour when shapes are laid in order, the later over the earlier."""
    out: dict[str, BaseGeometry] = {}
    for colour, shape in painted:
        out = {other: region.difference(shape) for other, region in out.items()}
        out[colour] = out.get(colour, Polygon()).union(shape)
    return out


@settings(max_examples=200, deadline=None)
@given(BOXES)
def test_pieces_laid_in_order_look_as_drawn(drawn: list[tuple[str, int, int, int, int]]) -> None:
    layers = [layer(colour, box(x, y, x + w, y + h)) for colour, x, y, w, h in drawn]
    wanted = seen([(one.colour, one.shape) for one in layers])
    found = seen([(piece.colour, piece.shape) for piece in unite_layers(layers)])
    assert wanted.keys() == found.keys()
    for colour, region in wanted.items():
        assert region.symmetric_difference(found[colour]).area < 1e-9


def test_woven_colours_are_parted_so_that_they_can_be_laid() -> None:
    """Blue over red on the left, red over blue on the right, the reds touching: one piece could not be both."""
    layers = [layer(RED, box(0, 0, 10, 4)), layer(BLUE, box(2, -2, 20, 2)), layer(RED, box(10, 0, 22, 4))]
    assert outline(unite_layers(layers)) == [(RED, 40.0), (BLUE, 72.0), (RED, 48.0)]


def test_a_shape_on_top_lifts_what_it_is_united_with() -> None:
    layers = [layer(RED, box(20, 0, 30, 10)), layer(BLUE, box(0, 0, 10, 10)), layer(RED, box(5, 0, 25, 10))]
    assert outline(unite_layers(layers)) == [(BLUE, 100.0), (RED, 250.0)]


def test_colours_that_butt_need_no_order() -> None:
    layers = [layer(RED, box(0, 0, 10, 4)), layer(BLUE, box(0, 4, 10, 8)), layer(RED, box(10, 0, 20, 8))]
    assert outline(unite_layers(layers)) == [(RED, 120.0), (BLUE, 40.0)]
