"""Finding fonts by file and by family."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from bigsign.errors import InputError
from bigsign.fonts import find_font, installed_families


@pytest.mark.parametrize("name", ["Alfa Slab One", "alfa slab one", "AlfaSlabOne", "ALFA-SLAB-ONE"])
def test_a_family_is_found_whatever_its_case_and_spaces(tmp_path: Path, name: str) -> None:
    font = find_font(name, tmp_path)
    assert font.name == "Alfa Slab One"
    with TTFont(BytesIO(font.data)) as tables:
        assert tables["name"].getBestFamilyName() == "Alfa Slab One"


def test_the_demos_fonts_are_installed() -> None:
    families = installed_families()
    assert {"Anton", "Archivo Black", "Alfa Slab One", "Lato"} <= set(families)
    assert families == sorted(families)


def test_the_regular_style_is_taken(tmp_path: Path) -> None:
    with TTFont(BytesIO(find_font("Lato", tmp_path).data)) as tables:
        assert tables["name"].getBestSubFamilyName() == "Regular"


def test_a_file_is_found_in_the_folder_and_by_full_path(tmp_path: Path) -> None:
    data = find_font("Anton", tmp_path).data
    (tmp_path / "own face.ttf").write_bytes(data)
    assert find_font("own face.ttf", tmp_path).data == data
    assert find_font(str(tmp_path / "own face.ttf"), Path("/")).data == data


def test_a_web_font_is_unpacked_to_the_same_bytes_each_time(tmp_path: Path) -> None:
    out = BytesIO()
    with TTFont(BytesIO(find_font("Anton", tmp_path).data)) as tables:
        tables.flavor = "woff"
        tables.save(out)
    (tmp_path / "a.woff").write_bytes(out.getvalue())
    first = find_font("a.woff", tmp_path).data
    assert first[:4] == b"\0\1\0\0"
    assert find_font("a.woff", tmp_path).data == first


@pytest.mark.parametrize("name", ["Antonn", "gone.ttf", "a" * 5000 + ".ttf", "", "../up"])
def test_a_font_that_is_not_there_is_one_fault(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError) as caught:
        find_font(name, tmp_path, "sign.toml line 3")
    (fault,) = caught.value.faults
    assert fault.where == "sign.toml line 3"
    assert fault.right


def test_the_nearest_family_is_offered(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="Anton"):
        find_font("Antom", tmp_path)
