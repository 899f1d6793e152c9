"""Grapheme clusters against Unicode's own tests (GraphemeBreakTest.txt, 15.0.0)."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from bigsign.artwork.graphemes import grapheme_starts, graphemes

CASES = [
    line.split()
    for line in (Path(__file__).parent / "data" / "grapheme_breaks.txt").read_text("utf-8").splitlines()
    if not line.startswith("#")
]


def test_every_case_of_the_unicode_tests() -> None:
    assert len(CASES) == 602
    wrong = []
    for case in CASES:
        parts = " ".join(case).strip("÷ ").split(" ÷ ")
        wanted = ["".join(chr(int(code, 16)) for code in part.split(" × ")) for part in parts]
        if graphemes("".join(wanted)) != wanted:
            wrong.append(case)
    assert wrong == []


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=12))
def test_clusters_make_up_the_text(text: str) -> None:
    parts = graphemes(text)
    assert "".join(parts) == text
    assert all(parts)
    assert grapheme_starts(text) == [len("".join(parts[:i])) for i in range(len(parts))]
