"""What is too much is refused in words that name what was counted; what can be given in part is given."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest

from bigsign.artwork.make import make_artwork
from bigsign.budgets import BUDGETS, Budgets
from bigsign.errors import InputError
from bigsign.fit import check_fit
from bigsign.parting import panels_by_area
from bigsign.plan import make_plan
from bigsign.presets import read_cutters
from bigsign.project import Cutter
from bigsign.project_file import load_project
from bigsign.reading import read_lettering

SIGN = '[sign]\nwidth = "60 in"\nheight = "60 in"\n[cutter]\nuse = "desktop-12"\nmat = "12x12"\n'


def drawing(tmp_path: Path, inside: str, width: str = "10 in") -> Path:
    (tmp_path / "drawing.svg").write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" viewBox="0 0 100 100">{inside}</svg>'
    )
    file = tmp_path / "sign.toml"
    file.write_text(f'{SIGN}[[artwork]]\nfile = "drawing.svg"\nwidth = "{width}"\n')
    return file


def dots(count: int) -> str:
    return "".join(f'<circle cx="{5 + 10 * (n % 9)}" cy="{5 + 10 * (n // 9)}" r="2"/>' for n in range(count))


def less(monkeypatch: pytest.MonkeyPatch, module: str, **budgets: int) -> None:
    monkeypatch.setattr(f"bigsign.{module}.BUDGETS", replace(BUDGETS, **budgets))


def refusal(file: Path) -> str:
    with pytest.raises(InputError) as told:
        make_plan(load_project(file))
    (fault,) = told.value.faults
    return f"{fault.what}, {fault.where}, {fault.right}"


def test_every_budget_is_told_of_in_the_record() -> None:
    said = Budgets.__doc__ or ""
    assert all(f"    {field.name} : " in said for field in fields(Budgets))
    assert all(getattr(BUDGETS, field.name) > 0 for field in fields(Budgets))


def test_too_many_pieces(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    less(monkeypatch, "artwork.unite", pieces=20)
    assert "21 pieces of film" in (said := refusal(drawing(tmp_path, dots(21))))
    assert "at most 20" in said
    assert len(make_plan(load_project(drawing(tmp_path, dots(20)))).pieces) == 20


def test_too_many_colours(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    less(monkeypatch, "artwork.unite", colours=2)
    three = "".join(f'<rect x="{30 * n}" width="20" height="20" fill="#{n}00000"/>' for n in range(3))
    assert "3 colours of film" in refusal(drawing(tmp_path, three))


def test_too_many_that_lie_over_one_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    less(monkeypatch, "artwork.unite", meetings=9)
    stack = "".join(f'<rect x="{n}" y="{n}" width="50" height="50"/>' for n in range(5))  # ten pairs meet
    assert "too many shapes lie over one another" in (said := refusal(drawing(tmp_path, stack)))
    assert "at most 9 pairs" in said


def test_too_many_letters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    less(monkeypatch, "artwork.make", letters=8)
    file = tmp_path / "sign.toml"
    file.write_text(f'{SIGN}[[lettering]]\nlines = ["FRESH EGGS"]\ncap_height = "2 in"\n')
    assert "9 letters" in refusal(file)


def test_too_many_panels_before_any_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    less(monkeypatch, "parting", panels=3)
    file = drawing(tmp_path, '<rect width="100" height="100"/>', "40 in")
    artwork = make_artwork(load_project(file))
    least = panels_by_area(artwork, Cutter("desktop-12", "12x12", 11.5 * 25.4, 11.5 * 25.4))
    assert least == pytest.approx((40 / 11.5) ** 2)
    assert "it would take 12 panels or more" in refusal(file)


def test_of_too_many_pieces_none_is_read_as_a_letter_and_a_warning_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    artwork = make_artwork(load_project(drawing(tmp_path, dots(12))))
    less(monkeypatch, "reading.read", read_parts=11)
    lettering = read_lettering(artwork)
    assert (lettering.glyphs, len(lettering.ornaments)) == ((), 12)
    assert [finding.code for finding in lettering.findings] == ["reading-many"]
    assert "up to 11" in lettering.findings[0].message
    less(monkeypatch, "reading.read", read_parts=12)
    assert "reading-many" not in [finding.code for finding in read_lettering(artwork).findings]


def test_a_row_of_fit_that_would_take_very_many_panels_is_a_note(monkeypatch: pytest.MonkeyPatch) -> None:
    less(monkeypatch, "fit", row_panels=1)
    presets = [preset for preset in read_cutters(()) if preset.name in ("desktop-4", "desktop-15")]
    report = check_fit(["III"], cap_height=400.0, cutters=presets)
    assert report.cutters is not None
    small, large = report.cutters
    assert small.measures is None
    assert "only up to 1 are tried in this table; ask for it by --cutter desktop-4" in small.note
    assert large.measures is not None
    assert small.largest_one_panel is not None
