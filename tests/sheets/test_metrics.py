"""The paper's own letters: which face a text is written in."""

from __future__ import annotations

import pytest

from bigsign.sheets.metrics import can_show, run_width, segments, showable


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Fresh eggs, Käse", [(0, "Fresh eggs, Käse")]),
        ("Čerstvé vejce z naší farmy", [(1, "Čerstvé"), (0, " vejce z naší farmy")]),
        ("Čerstvé vejce – štěrkový dvůr", [(1, "Čerstvé vejce – štěrkový dvůr")]),
        ("μέλι & honey", [(1, "μέλι"), (0, " & honey")]),
        ("1 – 2", [(0, "1 – 2")]),
        ("мёд-1", [(1, "мёд-1")]),
        ("x種", [(0, "xU+7A2E")]),
    ],
)
def test_a_word_stays_in_one_face(text: str, parts: list[tuple[int, str]]) -> None:
    assert list(segments(text)) == parts


def test_what_no_face_has_can_not_be_shown() -> None:
    assert can_show("Čerstvé μέλι")
    assert not can_show("לחם")
    assert showable("a ל\nb") == "a U+05DC b"


def test_a_line_is_as_wide_as_its_words() -> None:
    whole = run_width("Čerstvé eggs and more", 3.0)
    assert whole == pytest.approx(run_width("Čerstvé", 3.0) + run_width(" eggs and more", 3.0))
