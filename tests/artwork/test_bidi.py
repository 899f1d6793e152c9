"""Mixed directions against Unicode's own tests (BidiCharacterTest.txt, 15.0.0) and another implementation."""

from __future__ import annotations

from pathlib import Path

from bidi import get_display
from hypothesis import given, settings
from hypothesis import strategies as st

from bigsign.artwork.bidi import base_level, bidi_runs, levels

DATA = Path(__file__).parent / "data" / "bidi_levels.txt"
CASES = [line.split(";") for line in DATA.read_text("utf-8").splitlines() if not line.startswith("#")]


def visual(text: str) -> list[int]:
    """Return the characters' indices from left to right."""
    order: list[int] = []
    for run in bidi_runs(text):
        indices = range(run.start, run.end)
        order.extend(reversed(indices) if run.level % 2 else indices)
    return order


def test_cases_of_the_unicode_tests() -> None:
    assert len(CASES) > 300
    for codes, _, base, wanted, order in CASES:
        text = "".join(chr(int(code, 16)) for code in codes.split())
        assert base_level(text) == int(base)
        for found, level in zip(levels(text), wanted.split(), strict=True):
            assert level in ("x", str(found)), codes
        kept = {int(index) for index in order.split()}
        assert [i for i in visual(text) if i in kept] == [int(index) for index in order.split()]


@settings(max_examples=300, deadline=None)
@given(st.text("abc\u05d0\u05d1\u05d2\u0628\u063312\u0661 .,+-%&!'\"", max_size=14))
def test_another_implementation_agrees(text: str) -> None:
    """Source: the python-bidi package; no brackets here, since it also mirrors them."""
    # That package takes the white space at a line's end for inner white space.
    text = text.strip()
    assert "".join(text[i] for i in visual(text)) == get_display(text)
