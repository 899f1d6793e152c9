"""What the work takes, against sums done by hand (common practice, no source, for the allowances)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import MultiPolygon, box

from bigsign.making import materials
from bigsign.plan_records import MatSheet, Panel, Size
from bigsign.units import TapeStep, parse_tape_step, to_tape
from tests.demos import demo_plan

INCH = 25.4
SIXTEENTHS = TapeStep()
METRIC = parse_tape_step("1 mm")


def panel(width: float, height: float, hinge: float | None = None, colour: str = "#000000") -> Panel:
    """Return a panel with a trim of width × height inches and a hinge line of ``hinge`` inches."""
    some = demo_plan("one_mat").panels[0]
    assert some.hinge is not None
    turned = None if hinge is None else replace(some.hinge, line=((0.0, 0.0), (0.0, hinge * INCH)))
    film = MultiPolygon([box(10, 10, 20, 30)])
    return replace(some, trim=box(5, 5, 5 + width * INCH, 5 + height * INCH), hinge=turned, colour=colour, film=film)


def mat(height: float, colour: str = "#000000", name: str = "black") -> MatSheet:
    load = Size(to_tape(12 * INCH, SIXTEENTHS), to_tape(height * INCH, SIXTEENTHS))
    return replace(demo_plan("one_mat").mats[0], load=load, colour=colour, colour_name=name)


def test_tapes_are_summed_and_rounded_up() -> None:
    panels = [panel(20, 5.25, 20), panel(10.5, 23.3, 10.5), panel(4, 4)]
    found = {tape.kind: tape for tape in materials(panels, [mat(20)], 5, SIXTEENTHS).tapes}
    transfer, masking = found["transfer tape"], found["masking tape"]
    assert transfer.width is not None
    assert transfer.width.tape == "12 in"  # 10 1/2 in is the widest shorter side
    assert transfer.width.mm == pytest.approx(10.5 * INCH)
    assert transfer.width.mm + transfer.width.error_mm == pytest.approx(12 * INCH)
    assert transfer.length.mm == pytest.approx((20 + 23.3 + 4 + 3 * 2) * INCH)  # 53.3
    assert transfer.length.tape == "54 in"
    assert masking.width is None
    assert masking.length.mm == pytest.approx((20 + 10.5 + 2 * 2 + 4 * 5 + 3 * 4 * 4) * INCH)  # 102.5
    assert masking.length.tape == "103 in"


@pytest.mark.parametrize(
    ("short", "said", "strips"),
    [(6, "6 in", 1), (6.01, "12 in", 1), (17, "18 in", 1), (24, "24 in", 1), (30, "48 in", 1), (50, "48 in", 2)],
)
def test_transfer_tape_comes_in_the_next_width_sold(short: float, said: str, strips: int) -> None:
    tape = materials([panel(60, short)], [mat(20)], 0, SIXTEENTHS).tapes[0]
    assert tape.width is not None
    assert tape.width.tape == said
    assert tape.length.mm == pytest.approx(strips * 62 * INCH)
    assert tape.length.tape == f"{strips * 62} in"


def test_a_metric_tape_says_centimetres_rounded_up() -> None:
    tape = materials([panel(20, 5.25)], [mat(20)], 0, METRIC).tapes[0]
    assert tape.width is not None
    assert tape.width.tape == "152 mm"
    assert tape.length.tape == "560 mm"  # 558.8
    both = materials([panel(20, 5.25)], [mat(20)], 0, replace(SIXTEENTHS, both=True)).tapes[0]
    assert both.length.shown == "22 in (560 mm)"


def test_sheets_of_a_size_go_together_the_largest_first() -> None:
    mats = [mat(15.5), mat(20.75), mat(15.5), mat(9, "#cc0000", "red")]
    panels = [panel(5, 5), panel(5, 5, colour="#cc0000"), panel(5, 5)]
    black, red = materials(panels, mats, 0, SIXTEENTHS).films
    assert [(sheet.count, sheet.size.height.tape) for sheet in black.sheets] == [(1, "20 3/4 in"), (2, "15 1/2 in")]
    assert [(sheet.count, sheet.size.height.tape) for sheet in red.sheets] == [(1, "9 in")]
    assert (black.colour_name, red.colour_name) == ("black", "red")
    assert (black.film_area, red.film_area) == (400.0, 200.0)


def test_film_that_is_pressed_on_takes_no_tape() -> None:
    found = materials([panel(20, 5)], [mat(20)], 4, SIXTEENTHS, heat=True)
    assert found.tapes == ()
    assert len(found.films) == 1
