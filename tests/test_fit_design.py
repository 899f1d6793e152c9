"""A limit as it is shown."""

from __future__ import annotations

from fractions import Fraction

import pytest

from bigsign.fit_design import tape_below
from bigsign.units import TapeStep


@pytest.mark.parametrize(("mm", "below"), [(101.6, "101 mm"), (102.0, "102 mm"), (101.9995, "102 mm")])
def test_a_limit_is_shown_no_larger_than_it_is(mm: float, below: str) -> None:
    assert tape_below(mm, TapeStep("mm", Fraction(1))).tape == below
