"""Lengths as people write them: what they should read, told only where it is beyond doubt."""

from __future__ import annotations

import pytest

from bigsign.errors import LengthError
from bigsign.units import parse_length


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("12,5 in", "12.5 in"), ("0,5 m", "0.5 m"), ("“12 in”", "12 in"), ("3–1/2 in", "3 1/2 in"), ("12 IN", "12 in"),
        ("12 Inches", "12 inches"), ("12 in.", "12 in"), ("12''", "12in"), ("120 millimetres", "120 mm"),
        ("12 Zoll", "12 in"), ("43.1/2 in", "43 1/2 in"), ("12-in", "12 in"), ("1,105.5 mm", "1105.5 mm"),
        ("1２．5 in", "12.5 in"), ("3 ft. 4 in.", "3 ft 4 in"), ("120 MM", "120 mm"), ("«12 cm»", "12 cm"),
    ],
)  # fmt: skip
def test_what_is_meant_is_said(text: str, meant: str) -> None:
    with pytest.raises(LengthError) as caught:
        parse_length(text)
    assert f'write "{meant}"' in str(caught.value)
    assert parse_length(meant) > 0


@pytest.mark.parametrize("text", ["12", "1,105 mm", "1,2,3 in", "12 px", "a foot", "12 x 48 in", "nan in"])
def test_what_could_mean_several_things_is_not_guessed(text: str) -> None:
    with pytest.raises(LengthError) as caught:
        parse_length(text)
    assert "write it with a unit" in str(caught.value)
