"""Line widths and dashes as drawing standards have them (ISO 128, ISO 3098: from memory)."""

from __future__ import annotations

import pytest

from bigsign.sheets import lay_out
from bigsign.sheets.items import Area, Circle, Text
from bigsign.sheets.style import ACCENT, BREAK, CHAIN, DASHED, FINE, FIRM, HAIR, SMALL_CAP, STEP_CAP, TITLE_CAP
from tests.demos import DEMOS, demo_plan


def test_wide_lines_are_twice_as_wide_as_narrow_ones_and_of_the_series() -> None:
    """ISO 128-2: widths of a drawing are in the ratio 2:1, from 0.18, 0.25, 0.35, 0.5, 0.7 mm; hatching is finer."""
    assert FIRM == 2 * FINE
    assert HAIR < FINE
    assert {HAIR, FINE, FIRM} <= {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0}


def test_heights_of_letters_are_of_the_series() -> None:
    """ISO 3098: 1.8, 2.5, 3.5, 5, 7, 10 mm. Figures of measures stand between, for room."""
    assert {SMALL_CAP, STEP_CAP, TITLE_CAP} <= {1.8, 2.5, 3.5, 5.0, 7.0, 10.0}


def test_kinds_of_lines_differ_by_their_dots() -> None:
    """ISO 128-2: dashed, long-dash-dot, long-dash-double-dot; gaps alike, a dot far shorter than a dash."""
    assert (len(DASHED), len(CHAIN), len(BREAK)) == (2, 4, 6)
    for pattern in (CHAIN, BREAK):
        dashes, gaps = pattern[::2], set(pattern[1::2])
        assert len(gaps) == 1
        assert all(dot <= dashes[0] / 6 for dot in dashes[1:])


@pytest.mark.parametrize("name", DEMOS)
def test_dimensions_are_narrow_and_the_film_in_hand_is_wide(name: str) -> None:
    """ISO 128-2: outlines in wide lines, dimension lines and leaders in narrow ones."""
    plan = demo_plan(name)
    for page in lay_out(plan, "letter").pages:
        for item in page.items:
            if not isinstance(item, Text | Area | Circle) and item.colour == ACCENT:
                assert item.width <= FINE
        if page.panel is not None and page.drawings:
            assert any(isinstance(item, Area) and item.width == FIRM for item in page.items)
