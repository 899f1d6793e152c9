"""Sixty drawings that nobody here made: icons, emoji and flags, read and held against resvg, some the whole way.

Source: the packages that tests/drawings/README.md names, unchanged. `python -m tests.bench.corpus` does the same with
thousands.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from bigsign import check_plan, load_project, make_plan, write_all
from bigsign.artwork.drawing import read_drawing
from bigsign.project import DrawingSpec
from tests.artwork.test_svg_rendering import agrees, as_read, picture

DRAWINGS = Path(__file__).parents[1] / "drawings"
FILES = sorted(DRAWINGS.glob("*/*.svg"))
WHOLE = ("feather/anchor", "flags/bj", "lucide/flower", "rounds/ca")


def named(file: Path) -> str:
    return f"{file.parent.name}/{file.stem}"


def test_there_are_sixty_and_each_folder_keeps_its_licence() -> None:
    assert len(FILES) == 60
    said = (DRAWINGS / "README.md").read_text("utf-8")
    for folder in {file.parent for file in FILES}:
        assert len((folder / "LICENSE.txt").read_text("utf-8")) > 500
        assert f"`{folder.name}/`" in said


@pytest.mark.parametrize("file", FILES, ids=named)
def test_what_is_read_is_what_a_renderer_shows(file: Path) -> None:
    drawing = read_drawing(DrawingSpec(file.name, file.read_bytes(), 304.8, None, (500.0, 500.0), {}, "[[artwork]] 1"))
    drawn, _ = as_read(file)
    same = any(agrees(picture(drawn, zoom), picture(file.read_text("utf-8"), zoom)) for zoom in (4, 16))
    assert same
    assert all(shape.shape.is_valid for shape in drawing.shapes)


@pytest.mark.parametrize("name", WHOLE)
def test_the_whole_way(name: str, tmp_path: Path) -> None:
    (tmp_path / "drawing.svg").write_bytes((DRAWINGS / f"{name}.svg").read_bytes())
    panels = []
    for width in ("4 in", "20 in"):
        (tmp_path / "sign.toml").write_text(
            '[sign]\nwidth = "40 in"\nheight = "40 in"\n[cutter]\nuse = "desktop-12"\nmat = "12x12"\n'
            f'[[artwork]]\nfile = "drawing.svg"\nwidth = "{width}"\n'
        )
        plan = make_plan(load_project(tmp_path / "sign.toml"))
        assert check_plan(plan) == []
        write_all(plan, tmp_path / "out")
        panels.append(len(plan.panels))
    assert panels[0] < panels[1]  # wider than the mat it parts
