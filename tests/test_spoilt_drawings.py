"""Drawings spoilt by chance are read or refused in words: the short form of `python -m tests.bench.fuzz drawings`."""

from __future__ import annotations

import pytest

from tests.bench.fuzz.drawings import Drawings

COUNT = 240
SEED = 1


@pytest.mark.parametrize("first", range(0, COUNT, 40))
def test_a_spoilt_drawing_is_read_or_refused_in_words(first: int) -> None:
    inputs = Drawings(SEED)
    verdicts = {number: inputs.verdict(number) for number in range(first, first + 40)}
    assert {number: said for number, said in verdicts.items() if said.partition(":")[0].isupper()} == {}
    assert {"read", "refused"} <= set(verdicts.values())  # some of both, or nothing is tried


def test_the_same_number_is_the_same_drawing() -> None:
    assert [Drawings(SEED).data(n) for n in range(5)] == [Drawings(SEED).data(n) for n in range(5)]
    assert len({Drawings(SEED).data(n) for n in range(50)}) > 40
