"""The words at a datum symbol: clear of figures, and not on the dimension line where it runs to both sides."""

from __future__ import annotations

import pytest
import shapely
from shapely.geometry import LineString

from bigsign.sheets.dimensions import Datum, Measure, running
from bigsign.sheets.items import Circle, Stroke, Text
from bigsign.sheets.labels import clashes
from bigsign.sheets.metrics import ink_box


@pytest.mark.parametrize("places", [(60.0, 180.0), (60.0, 115.0, 125.0, 180.0), (100.0, 120.0)])
def test_words_of_a_middle_line_stand_off_its_dimension_line(places: tuple[float, ...]) -> None:
    across = [Measure(place, f"{n} 1/2 in") for n, place in enumerate(places)]
    middle, top = Datum(120.0, -1, "from middle line"), Datum(90.0, -1, "from top edge")
    items = running((across, middle, (30.0, 250.0)), ([], top, (80.0, 215.0)), (50.0, 90.0))
    (words,) = (item for item in items if isinstance(item, Text) and item.string == "from middle line")
    box = ink_box(words)
    assert box is not None
    drawn = [LineString(item.points) for item in items if isinstance(item, Stroke)]
    assert not any(shapely.box(*box).crosses(one) for one in drawn)


@pytest.mark.parametrize("x", ["15 5/8 in", "6 5/8 in", "8 in", "127 1/16 in"])
@pytest.mark.parametrize("left", [58.0, 70.0, 90.0])
def test_words_stand_at_their_own_symbol_where_both_edges_are_out_of_sight(x: str, left: float) -> None:
    """A reader must not look for the symbol that words belong to."""
    across, down = [Measure(left, x, "trim")], [Measure(60.0, "2 1/4 in", "trim, hinge"), Measure(95.0, "6 in", "line")]
    data = Datum(None, -1, "from left edge"), Datum(None, -1, "from top edge")
    items = running((across, data[0], (17.0, 190.0)), (down, data[1], (53.0, 120.0)), (left - 2.0, 58.0))
    assert clashes(items) == []
    rings = [item for item in items if isinstance(item, Circle)]
    for words in (datum.words for datum in data):
        (text,) = (item for item in items if isinstance(item, Text) and item.string == words)
        box = ink_box(text)
        assert box is not None
        _, y0, x1, y1 = box
        ring = rings[0 if words == data[0].words else 1].centre
        assert 0.0 < ring[0] - x1 < 3.0  # on its row, at its left
        assert y0 < ring[1] < y1


def test_a_broken_line_is_broken_between_its_symbol_and_its_first_arrow() -> None:
    down = [Measure(60.0, "2 1/4 in"), Measure(95.0, "6 in")]
    data = Datum(None, -1, "from left edge"), Datum(None, -1, "from top edge")
    for top in (50.0, 51.0, 52.5):
        items = running(([], data[0], (17.0, 190.0)), (down, data[1], (top, 120.0)), (60.0, 60.0))
        (ring,) = (item for item in items if isinstance(item, Circle))
        (zigzag,) = (item for item in items if isinstance(item, Stroke) and len(item.points) == 4)
        y = [point[1] for point in zigzag.points]
        assert ring.centre[1] + 1.0 < min(y)
        assert max(y) < 60.0 - 2.4 + 0.3
