"""The known cutters and films."""

from __future__ import annotations

from pathlib import Path

import pytest

from bigsign.errors import InputError
from bigsign.presets import film_limits, known_cutters, read_cutters

INCH = 25.4


def test_the_known_cutters_have_the_usable_areas_of_the_trade() -> None:
    """Common practice, no source: the mat less about half an inch."""
    mats = [mat for preset in known_cutters() for mat in preset.mats]
    areas = {(mat.name, mat.mat): (round(mat.width / INCH, 9), round(mat.length / INCH, 9)) for mat in mats}
    assert areas == (
        {
            ("desktop-4", "4x12"): (4, 11.5),
            ("desktop-8", "8x12"): (8, 11.5),
            ("desktop-12", "12x12"): (11.5, 11.5),
            ("desktop-12", "12x24"): (11.5, 23.5),
            ("desktop-15", "15x24"): (14.5, 23.5),
            ("roll-24", "roll"): (23, 108),
        }
    )
    assert {mat.border for p in known_cutters() for mat in p.mats} == {6.35}
    assert [p.name for p in known_cutters() if p.roll] == ["roll-24"]


def test_film_limits() -> None:
    limits = film_limits("adhesive")
    assert (limits.least_stroke, limits.least_letter) == (2, 10)


def test_a_users_file_adds_and_replaces(tmp_path: Path) -> None:
    file = tmp_path / "cutters.toml"
    small = '[desktop-4]\nmats.x = { width = "3 in", length = "9 in" }\n'
    file.write_text(small + '[big]\nmats.y = { width = "1 m", length = "2 m" }\n')
    found = {preset.name: preset for preset in read_cutters([file])}
    assert [mat.mat for mat in found["desktop-4"].mats] == ["x"]
    assert found["big"].mats[0].width == 1000
    assert len(found) == len(known_cutters()) + 1


@pytest.mark.parametrize(
    "text",
    [
        "x", "a = 1", "[a]", "[a]\nmats = []", "[a]\nmats.b = 3", '[a]\nmats.b = { width = "3 in" }',
        '[a]\nmats.b = { width = "3", length = "9 in" }', '[a]\nmats.b = { width = "1 mm", length = "9 in" }',
        '[a]\nmats.b = { width = "9 in", length = "9 in", border = "-1 in" }',
        '["a\\nb"]\nmats.b = { width = "9 in", length = "9 in" }', "a = " + "[" * 5000,
    ],
)  # fmt: skip
def test_a_bad_file_is_one_fault_that_names_it(tmp_path: Path, text: str) -> None:
    file = tmp_path / "cutters.toml"
    file.write_text(text)
    with pytest.raises(InputError) as caught:
        read_cutters([file])
    (fault,) = caught.value.faults
    assert fault.where.startswith("cutters.toml")
