"""The words at a datum symbol: clear of figures, and not on the dimension line where it runs to both sides."""

from __future__ import annotations

import pytest
import shapely
from shapely.geometry import LineString

from bigsign.sheets.dimensions import Datum, Measure, running
from bigsign.sheets.items import Stroke, Text
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
