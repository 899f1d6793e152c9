"""Font files that are cut short, or hold no outlines to cut."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont, newTable
from hypothesis import given, settings
from hypothesis import strategies as st

from bigsign.errors import InputError
from bigsign.fonts import find_font
from bigsign.fonts.tables import what_is_wrong

WHOLE = find_font("Anton", Path()).data


def without(*tags: str, picture: bool = False) -> bytes:
    with TTFont(BytesIO(WHOLE)) as font:
        for tag in tags:
            del font[tag]
        if picture:
            font["SVG "] = table = newTable("SVG ")
            table.docList = []
        out = BytesIO()
        font.save(out)
    return out.getvalue()


def test_a_whole_font_has_nothing_wrong() -> None:
    assert what_is_wrong(WHOLE) is None


@settings(deadline=None)
@given(st.integers(4, len(WHOLE) - 4))
def test_a_font_cut_short_anywhere_is_told(length: int) -> None:
    assert what_is_wrong(WHOLE[:length]) is not None


def test_a_truncated_file_is_one_fault(tmp_path: Path) -> None:
    (tmp_path / "short.ttf").write_bytes(WHOLE[: len(WHOLE) // 2])
    with pytest.raises(InputError, match="cut short"):
        find_font("short.ttf", tmp_path)


def test_a_font_without_outlines_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "none.ttf").write_bytes(without("glyf", "loca"))
    with pytest.raises(InputError, match="no outlines"):
        find_font("none.ttf", tmp_path)


def test_a_font_of_pictures_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "emoji.ttf").write_bytes(without("glyf", "loca", picture=True))
    with pytest.raises(InputError, match="pictures of letters"):
        find_font("emoji.ttf", tmp_path)
