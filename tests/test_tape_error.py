"""What a tape itself may be off by, against the tables of the rules.

NIST Handbook 44, section 5.52 (as quoted in a federal text on access tolerances): up to 6 ft 1/32 in, 7 to 30 ft 1/16,
31 to 55 ft 1/8, 56 to 80 ft 3/16, 81 to 100 ft 1/4. Directive 2014/32/EU, MI-008: a + b·L mm, L rounded up to whole
metres; class II: 3 m 0.9 mm, 5 m 1.3, 8 m 1.9, 10 m 2.3 (published tables agree).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from bigsign.plan import plan_lettering
from bigsign.plan_records import Plan
from bigsign.tape_error import class_error, handbook_44_error, tape_error
from bigsign.units import TapeStep, to_tape
from tests.box_lettering import letters_from, row_of_boxes
from tests.planning import project_of

FOOT, INCH = 304.8, 25.4


@pytest.mark.parametrize(
    ("feet", "inches"),
    [
        (1, Fraction(1, 32)), (6, Fraction(1, 32)), (7, Fraction(1, 16)), (30, Fraction(1, 16)), (31, Fraction(1, 8)),
        (55, Fraction(1, 8)), (56, Fraction(3, 16)), (80, Fraction(3, 16)), (81, Fraction(1, 4)), (100, Fraction(1, 4)),
    ],
)  # fmt: skip
def test_handbook_44(feet: int, inches: Fraction) -> None:
    assert handbook_44_error(feet * FOOT) == pytest.approx(float(inches) * INCH)


def test_handbook_44_goes_by_whole_feet_and_ends_at_100() -> None:
    assert handbook_44_error(6 * FOOT + 0.01) == pytest.approx(INCH / 16)
    assert handbook_44_error(100 * FOOT + 0.01) is None


@pytest.mark.parametrize(
    ("accuracy", "metres", "mm"),
    [("II", 3, 0.9), ("II", 5, 1.3), ("II", 8, 1.9), ("II", 10, 2.3), ("I", 10, 1.1), ("III", 10, 4.6)],
)
def test_accuracy_classes(accuracy: str, metres: int, mm: float) -> None:
    assert class_error(metres * 1000.0, accuracy) == pytest.approx(mm)
    assert class_error(metres * 1000.0 - 999.0, accuracy) == pytest.approx(mm)  # every metre that is begun counts whole


def wide_plan(width: float) -> Plan:
    boxes = letters_from([row_of_boxes([[120.0]], height=80, letter_gap=8, word_gap=24, x=30, y=30)])
    return plan_lettering(project_of(width, 200, usable=(130.0, 90.0)), *boxes)


def test_the_plan_says_it_for_the_longer_side_of_the_board() -> None:
    found = wide_plan(2400.0).tape_error
    assert found.over.mm == 2400.0
    assert found.handbook_44 is not None
    assert found.handbook_44.tape == "1/16 in"
    assert found.class_ii.mm == pytest.approx(0.9)
    small = wide_plan(1800.0).tape_error.handbook_44
    assert small is not None
    assert small.tape == "1/32 in"  # though the plan's own tape is read to 1/16 in
    board = wide_plan(1800.0).sign
    longer = to_tape(40_000.0, TapeStep())
    far = tape_error(replace(board, height=longer))
    assert far.over == longer
    assert far.handbook_44 is None
    assert far.class_ii.mm == pytest.approx(8.3)
