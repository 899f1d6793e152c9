"""Lengths in and out.

1 in = 25.4 mm exactly: CSS Values and Units. Midway between two graduations, the even one: NIST Handbook 44,
section 10.3.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bigsign.errors import LengthError
from bigsign.units import TapeStep, on_mark, parse_length, parse_tape_step, to_tape, to_tape_up


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("43 1/2 in", 1104.9), ("43½ in", 1104.9), ("43 ½ in", 1104.9), ("43-1/2 in", 1104.9), ("9.5in", 241.3),
        ("3' 4 1/2\"", 1028.7), ("3 ft 4 1/2 in", 1028.7), ("120 mm", 120), ("12 cm", 120), ("1.2 m", 1200),
        ("3/4 in", 19.05), (".5 in", 12.7), ("½ in", 12.7), ("2 feet", 609.6), ('12"', 304.8), ("-1 in", -25.4),
        ("0 mm", 0), ("1⁄2 in", 12.7), ("  7 mm ", 7),
    ],
)  # fmt: skip
def test_accepted_forms(text: str, mm: float) -> None:
    assert parse_length(text) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    ["", "12", "12,5 in", "nan in", "inf", "in", "1/0 in", "1 in 2 ft", "1 m 2 cm", "1 ft 2 mm", "1e3 mm", "1 2 in",
     "4 1/2", "12 px", "--1 in", "1 ft 2 in 3 in", "0x10 mm", "٣ x",
     "9" * 5000 + " in", "1/" + "9" * 5000 + " in", "4: in"],
)  # fmt: skip
def test_anything_else_shows_the_accepted_forms(text: str) -> None:
    with pytest.raises(LengthError, match="43 1/2 in"):
        parse_length(text)


def test_a_long_text_is_shown_short() -> None:
    with pytest.raises(LengthError) as caught:
        parse_length("9" * 5000 + " in")
    assert len(str(caught.value)) < 250


@given(st.integers(0, 400), st.integers(0, 15))
def test_sixteenths_come_back_as_they_were_said(whole: int, sixteenths: int) -> None:
    fraction = Fraction(sixteenths, 16)
    said = f"{whole} {fraction.numerator}/{fraction.denominator} in" if sixteenths else f"{whole} in"
    mm = parse_length(said)
    shown = to_tape(mm, TapeStep())
    assert parse_length(shown.tape) == pytest.approx(mm, abs=1e-9)
    assert abs(shown.error_mm) < 1e-9
    assert on_mark(mm, TapeStep())


@given(st.floats(-5000, 5000), st.sampled_from(["1/16 in", "1/8 in", "1/32 in", "1 mm", "5 mm"]))
def test_the_tape_is_never_farther_than_half_a_step(mm: float, step_text: str) -> None:
    step = parse_tape_step(step_text)
    shown = to_tape(mm, step)
    assert abs(shown.error_mm) <= step.mm / 2 + 1e-6
    assert parse_length(shown.tape) == pytest.approx(mm + shown.error_mm, abs=1e-6)


@pytest.mark.parametrize(("thirtyseconds", "tape"), [(1, "0 in"), (3, "1/8 in"), (5, "1/8 in"), (7, "1/4 in")])
def test_halves_go_to_the_even_mark(thirtyseconds: int, tape: str) -> None:
    assert to_tape(thirtyseconds * 25.4 / 32, TapeStep()).tape == tape


@pytest.mark.parametrize("text", ["1/3 in", "2 in", "0 in", "0.5 mm", "20 mm", "-1 mm", "1.5 mm", "3/16 in"])
def test_a_step_no_tape_has_is_refused(text: str) -> None:
    with pytest.raises(LengthError):
        parse_tape_step(text)


@pytest.mark.parametrize(
    ("mm", "unit", "said"),
    [
        (25.4, "in", "1 in"),
        (25.4000001, "in", "1 in"),  # a ten-millionth over a mark is no more than it
        (25.41, "in", "2 in"),
        (0.1, "mm", "10 mm"),
        (1230.0, "mm", "1230 mm"),
        (1230.1, "mm", "1240 mm"),
        (0.0, "in", "0 in"),
    ],
)
def test_what_is_bought_is_rounded_up(mm: float, unit: str, said: str) -> None:
    found = to_tape_up(mm, TapeStep(unit))
    assert found.tape == said
    assert found.mm == mm
    assert parse_length(said) - mm == pytest.approx(found.error_mm)
    assert found.other == ""


def test_both_units_are_rounded_up_each_for_itself() -> None:
    assert to_tape_up(100.0, TapeStep(both=True)).shown == "4 in (100 mm)"
    assert to_tape_up(100.0, TapeStep("mm", Fraction(1), True)).shown == "100 mm (4 in)"
