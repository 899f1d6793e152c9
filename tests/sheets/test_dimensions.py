"""Running dimensions: every figure is there, every arrow at its place, from whichever edge."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from bigsign.sheets.dimensions import Datum, Measure, exact_note, length_note, measure_of, running, size
from bigsign.sheets.grid import scale_text
from bigsign.sheets.items import Area, Circle, Item, Text
from bigsign.sheets.labels import clashes
from bigsign.units import TapeLength, TapeStep, to_tape
from bigsign.wording import speaking

PAGE = (0.0, 0.0, 300.0, 300.0)


def texts(items: list[Item]) -> list[str]:
    return [item.string for item in items if isinstance(item, Text)]


def tips(items: list[Item]) -> list[tuple[float, float]]:
    return [item.rings[0][0] for item in items if isinstance(item, Area)]


@given(
    st.lists(st.integers(0, 160), min_size=1, max_size=16, unique=True),
    st.lists(st.integers(0, 110), min_size=1, max_size=14, unique=True),
    st.sampled_from([-1, 1]),
    st.booleans(),
)
@example([0], [2], -1, False)  # descenders of the words reach below their baseline
@settings(max_examples=60, deadline=None)
def test_no_measure_is_dropped_and_none_clash(xs: list[int], ys: list[int], side: int, seen: bool) -> None:
    across = [Measure(70.0 + x, f"{x} 1/2 in") for x in xs]
    down = [Measure(90.0 + y, f"{y} 1/4 in", "trim" if y % 3 == 0 and len(ys) < 9 else "") for y in ys]
    datum_x = Datum((70.0 if side < 0 else 230.0) if seen else None, side, "from left edge")
    datum_y = Datum((90.0 if side < 0 else 200.0) if seen else None, side, "from top edge")
    items = running((across, datum_x, (30.0, 250.0)), (down, datum_y, (80.0, 215.0)), (70.0, 90.0))
    said = texts(items)
    for measure in (*across, *down):
        assert measure.text in said
    assert said.count("from left edge") == said.count("from top edge") == 1
    assert clashes(items, PAGE) == []


def test_arrows_stand_at_their_places() -> None:
    measures = [Measure(120.0, "2 in"), Measure(160.0, "4 in")]
    nothing: tuple[list[Measure], Datum, tuple[float, float]] = ([], Datum(None, -1, ""), (0.0, 0.0))
    items = running((measures, Datum(80.0, -1, "from left edge"), (20.0, 280.0)), nothing, (80.0, 90.0))
    assert sorted(tip[0] for tip in tips(items)) == pytest.approx([120.0, 160.0])
    assert len({round(tip[1], 6) for tip in tips(items)}) == 1


@pytest.mark.parametrize(("at", "side"), [(80.0, -1), (200.0, 1)])
def test_running_dimensions_share_one_line_from_a_circle_at_their_datum(at: float, side: int) -> None:
    """ISO 129-1 (from memory): running dimensions start at an origin circle, share a line, point away from it."""
    measures = [Measure(120.0, "2 in"), Measure(160.0, "4 in")]
    nothing: tuple[list[Measure], Datum, tuple[float, float]] = ([], Datum(None, -1, ""), (0.0, 0.0))
    items = running((measures, Datum(at, side, "from the edge"), (20.0, 280.0)), nothing, (80.0, 90.0))
    circles = [item.centre for item in items if isinstance(item, Circle)]
    assert [x for x, _ in circles] == pytest.approx([at])
    arrows = [item.rings[0] for item in items if isinstance(item, Area)]
    assert {round(ring[0][1], 6) for ring in arrows} == {round(circles[0][1], 6)}
    for ring in arrows:
        assert (ring[0][0] - ring[1][0]) * side < 0  # the tip is farther from the datum than the arrow's back


def test_an_exact_note_stands_only_where_the_tape_is_off() -> None:
    assert exact_note(TapeLength(1104.9, "43 1/2 in", 0.0)) == ""
    assert exact_note(TapeLength(1104.6, "43 1/2 in", 0.3)) == "1104.6 mm, tape +0.3"
    assert exact_note(TapeLength(1105.2, "43 1/2 in", -0.3)) == "1105.2 mm, tape −0.3"
    with speaking("de"):  # as the words before the work explain it
        assert exact_note(TapeLength(1104.6, "43 1/2 in", 0.3)) == "1104.6 mm, Band +0.3"
        assert (scale_text(1.0), scale_text(2.5)) == ("WAHRE GRÖSSE", "MASSSTAB 1:2.5")


def test_the_other_unit_is_noted_where_both_were_asked_for() -> None:
    assert length_note(to_tape(1104.9, TapeStep(both=True)), "trim") == "trim; 1105 mm"


def test_from_a_middle_line_no_minus_is_shown() -> None:
    assert measure_of(10.0, TapeLength(-76.2, "-3 in", 0.0)).text == "3 in"


@pytest.mark.parametrize("far", [8.0, 60.0])
def test_a_size_has_its_arrows_at_both_ends_and_its_figure_clear(far: float) -> None:
    items = size((50.0, 100.0), (50.0 + far, 100.0), "(12 3/4 in)", 7.0)
    assert sorted(tip[0] for tip in tips(items)) == pytest.approx([50.0, 50.0 + far])
    assert texts(items) == ["(12 3/4 in)"]
    upright = size((50.0, 100.0), (50.0, 100.0 + far), "(12 3/4 in)", 7.0)
    assert sorted(tip[1] for tip in tips(upright)) == pytest.approx([100.0, 100.0 + far])
