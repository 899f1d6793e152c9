"""Labels: spread without crowding, placed only where it is free; and the check that finds clashes."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from bigsign.sheets.items import Item
from bigsign.sheets.labels import Taken, clashes, label_at, spread
from bigsign.sheets.metrics import ink_box
from bigsign.sheets.writing import line

FRAME = (0.0, 0.0, 200.0, 200.0)


@given(st.lists(st.tuples(st.floats(0, 200), st.floats(1, 6)), min_size=1, max_size=25))
@settings(max_examples=80, deadline=None)
def test_labels_keep_their_order_and_their_room(wanted: list[tuple[float, float]]) -> None:
    places, pitches = [w[0] for w in wanted], [w[1] for w in wanted]
    out = spread(places, pitches, 0.0, 200.0)
    order = sorted(range(len(places)), key=lambda i: (places[i], i))
    for a, b in itertools.pairwise(order):
        assert out[b] - out[a] >= (pitches[a] + pitches[b]) / 2 - 1e-6
    for place, pitch in zip(out, pitches, strict=True):
        assert place >= pitch / 2 - 1e-6
        assert place <= 200.0 - pitch / 2 + 1e-6


def test_labels_with_room_stay_where_they_are() -> None:
    assert spread([10.0, 70.0, 40.0], [5.0] * 3, 0.0, 100.0) == pytest.approx([10.0, 70.0, 40.0])


def test_two_labels_that_crowd_share_the_shift() -> None:
    assert spread([50.0, 52.0], [6.0, 6.0], 0.0, 100.0) == pytest.approx([48.0, 54.0])


def test_a_label_takes_the_first_free_place_and_keeps_it() -> None:
    taken = Taken(FRAME, [(40, 40, 60, 60)], [box(90, 40, 110, 60)])
    first = label_at(taken, "12", 3.0, True, "#000000", [(50, 50), (100, 50), (150, 50)])
    assert first is not None
    ink = ink_box(first)
    assert ink is not None
    assert ink[0] < 150 < ink[2]
    assert label_at(taken, "13", 3.0, True, "#000000", [(150, 50)]) is None
    assert label_at(taken, "14", 3.0, True, "#000000", [(199.9, 50)]) is None


def test_the_check_finds_overlapping_ink() -> None:
    items: list[Item] = [line((50, 50), "43 1/2 in", 3.0), line((52, 51), "A–A", 3.0)]
    assert clashes(items, FRAME) == ["'43 1/2 in' overlaps 'A–A'"]


def test_the_check_finds_turned_ink_over_level_ink() -> None:
    items: list[Item] = [line((50, 50), "level", 3.0), line((54, 55), "turned", 3.0, turned=True)]
    assert len(clashes(items, FRAME)) == 1


def test_the_check_finds_ink_outside_the_frame() -> None:
    assert clashes([line((198, 50), "out", 3.0)], FRAME) == ["'out' stands outside the frame"]


def test_the_check_passes_lines_set_one_below_the_other() -> None:
    items: list[Item] = [line((50, 50), "gap", 2.5), line((50, 54.5), "HINGE", 2.5)]
    assert clashes(items, FRAME) == []
