"""The full-size template: the whole sign at 1:1 over as many sheets as its film needs.

The sign is covered by a grid of equal *cells*, one a sheet. A sheet shows its own cell and half the overlap more on
every side. At each corner of a cell stands a joining mark, which the sheets of all cells that meet there show at the
same point of the sign, by one name. Sheets are trimmed along the left and upper side of their cell and laid on the
sheets there, so that marks fall on marks. Cells without film or tape marks get no sheet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from bigsign.budgets import BUDGETS
from bigsign.plan_records import Plan, Point, TapeMark
from bigsign.sheets.grid import BLOCK, page_size
from bigsign.sheets.items import Box, Sheets
from bigsign.sheets.style import MARGIN

__all__ = ["OVERLAP", "Grid", "JoiningMark", "Template", "Tile", "make_grid"]

OVERLAP = 10.0  # how much of the sign two neighbouring sheets both show, mm
SIDE = 1.5  # from the page's frame to what is drawn of the sign
HEAD = 10.0  # from the frame's top, for the sheet's name
TRIES = 5  # places of the grid tried in each direction, for the fewest sheets
LEAST = 0.05  # film or marks that reach less far into a cell don't make it a sheet, mm: neighbours show them
# I and O are taken for 1 and 0; M is kept for the joining marks' names
ROW_LETTERS = "ABCDEFGHJKLNPQRSTUVWXYZ"

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class JoiningMark:
    """A cross that all sheets show whose cells meet at ``at`` (mm on the sign)."""

    id: str
    at: Point


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet: its name, its own ``cell`` and the part of the sign it shows, and where on the paper that lies.

    ``paper_origin`` is the place of ``sign_box``'s top-left corner from the paper's top-left. ``page`` counts the
    pages of the file, from 1. ``corners`` are the names of the joining marks at the cell's top-left, top-right,
    bottom-left and bottom-right.
    """

    page: int
    label: str
    row: int
    column: int
    cell: Box
    sign_box: Box
    paper_origin: Point
    corners: tuple[str, str, str, str]


@dataclass(frozen=True)
class Grid:
    """How the sign is covered: cells of ``cell`` (width, height) mm from ``origin``, and the sheets there are."""

    paper: str
    landscape: bool
    origin: Point
    cell: tuple[float, float]
    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    marks: tuple[JoiningMark, ...]

    @property
    def drawn(self) -> bool:
        """Whether the sheets are drawn: nobody joins more than ``BUDGETS.template_sheets``, and they take minutes."""
        return len(self.tiles) <= BUDGETS.template_sheets

    @cached_property
    def by_place(self) -> dict[tuple[int, int], Tile]:
        """The sheets by (row, column), from 0."""
        return {(tile.row, tile.column): tile for tile in self.tiles}

    def box(self, row: int, column: int) -> Box:
        """Return a cell."""
        x, y = self.origin[0] + column * self.cell[0], self.origin[1] + row * self.cell[1]
        return x, y, x + self.cell[0], y + self.cell[1]


@dataclass(frozen=True)
class Template:
    """The template's grid and its pages: the map first, then the sheets row by row."""

    grid: Grid
    sheets: Sheets

    @property
    def record(self) -> dict[str, Any]:
        """The template as plan.json has it."""
        return {
            "paper": self.grid.paper,
            "overlap_mm": OVERLAP,
            "pages": [
                {
                    "page": tile.page,
                    "label": tile.label,
                    "sign_box": [round(v, 6) + 0.0 for v in tile.sign_box],
                    "paper_origin_mm": [round(v, 6) for v in tile.paper_origin],
                    "cell": [round(v, 6) + 0.0 for v in tile.cell],
                    "marks": list(tile.corners),
                }
                for tile in (self.grid.tiles if self.grid.drawn else ())
            ],
            "marks": [
                {"id": mark.id, "at": [round(v, 6) + 0.0 for v in mark.at]}
                for mark in (self.grid.marks if self.grid.drawn else ())
            ],
        }


def row_name(row: int) -> str:
    """Return the letters of a row, from 0: A, B … Z, AA, AB … without I, M and O."""
    more, last = divmod(row, len(ROW_LETTERS))
    return (row_name(more - 1) if more else "") + ROW_LETTERS[last]


def make_grid(plan: Plan, paper: str) -> Grid:
    """Return the grid that takes the fewest sheets of ``paper``, upright or lying; upright where both take as many."""
    shapes, taped = _shown(plan)
    points = np.array([mark.at for mark in taped], dtype=float).reshape(-1, 2)
    found = [_covering(shapes, points, paper, landscape) for landscape in (False, True)]
    _, landscape, cell, origin, kept = min(found, key=lambda way: way[:2])
    return _filled(paper, landscape, cell, origin, kept)


def _shown(plan: Plan) -> tuple[list[BaseGeometry], tuple[TapeMark, ...]]:
    """Return the film and the tape marks that the sheets must show: all, or those of the panels asked for."""
    asked = plan.project.plan.template_panels
    if not asked:
        return [piece.shape for piece in plan.pieces], plan.tape_marks
    panels = [panel for panel in plan.panels if panel.number in asked]
    own = {mark.id for panel in panels for mark in plan.marks_on(panel)}
    films: list[BaseGeometry] = [part for panel in panels for part in panel.film.geoms]
    return films, tuple(mark for mark in plan.tape_marks if mark.id in own)


Covering = tuple[int, bool, tuple[float, float], Point, npt.NDArray[np.bool_]]


def _cell_size(paper: str, landscape: bool) -> tuple[float, float]:
    width, height = page_size(paper, landscape)
    return (
        width - 2 * (MARGIN + SIDE) - OVERLAP,
        height - 2 * MARGIN - HEAD - BLOCK - SIDE - OVERLAP,
    )


def _covering(shapes: Sequence[BaseGeometry], points: FloatArray, paper: str, landscape: bool) -> Covering:
    """Return the best place of the grid for one way of laying the paper: the sheets it takes, and which they are."""
    width, height = _cell_size(paper, landscape)
    film = shapely.STRtree(shapes)
    boxes = np.array([shape.bounds for shape in shapes])
    low = np.vstack([boxes[:, :2], points]).min(axis=0)
    high = np.vstack([boxes[:, 2:], points]).max(axis=0)
    columns, rows = (
        max(1, math.ceil((high[axis] - low[axis] - 2 * LEAST) / size)) for axis, size in enumerate((width, height))
    )
    spare = (columns * width - (high[0] - low[0]), rows * height - (high[1] - low[1]))
    # from the middle outward, so that the film stands in the middle of its sheets where nothing is to be saved
    shares = sorted((n / (TRIES - 1) for n in range(TRIES)), key=lambda share: (abs(share - 0.5), share))
    best: Covering | None = None
    for across, down in product(shares, repeat=2):
        origin = (round(float(low[0] - across * spare[0]), 3), round(float(low[1] - down * spare[1]), 3))
        kept = _needed(film, points, origin, (width, height), (rows, columns))
        if best is None or int(kept.sum()) < best[0]:
            best = (int(kept.sum()), landscape, (width, height), origin, kept)
    assert best is not None
    return best


def _needed(
    film: shapely.STRtree, points: FloatArray, origin: Point, cell: tuple[float, float], shape: tuple[int, int]
) -> npt.NDArray[np.bool_]:
    """Return, by row and column, which cells hold film or a tape mark."""
    row, column = np.divmod(np.arange(shape[0] * shape[1]), shape[1])
    x, y = origin[0] + column * cell[0], origin[1] + row * cell[1]
    cells = shapely.box(x + LEAST, y + LEAST, x + cell[0] - LEAST, y + cell[1] - LEAST)
    kept = np.zeros(len(cells), dtype=bool)
    kept[film.query(cells, predicate="intersects")[0]] = True
    for at in points:
        place = np.floor((at - np.array(origin)) / np.array(cell)).astype(int)
        place = np.clip(place, 0, (shape[1] - 1, shape[0] - 1))
        kept[place[1] * shape[1] + place[0]] = True
    return kept.reshape(shape)


def _filled(
    paper: str, landscape: bool, cell: tuple[float, float], origin: Point, kept: npt.NDArray[np.bool_]
) -> Grid:
    rows, columns = kept.shape
    bare = Grid(paper, landscape, origin, cell, columns, rows, (), ())
    names: dict[tuple[int, int], str] = {}
    for row, column in product(range(rows + 1), range(columns + 1)):
        around = kept[max(0, row - 1) : row + 1, max(0, column - 1) : column + 1]
        if around.any():
            names[row, column] = f"M{len(names) + 1}"
    tiles: list[Tile] = []
    half = OVERLAP / 2
    for row, column in product(range(rows), range(columns)):
        if kept[row, column]:
            x0, y0, x1, y1 = bare.box(row, column)
            corners = tuple(names[row + down, column + right] for down in (0, 1) for right in (0, 1))
            tiles.append(
                Tile(
                    page=len(tiles) + 2,  # the map is page 1
                    label=f"{row_name(row)}{column + 1}",
                    row=row,
                    column=column,
                    cell=(x0, y0, x1, y1),
                    sign_box=(x0 - half, y0 - half, x1 + half, y1 + half),
                    paper_origin=(MARGIN + SIDE, MARGIN + HEAD),
                    corners=(corners[0], corners[1], corners[2], corners[3]),
                )
            )
    marks = tuple(
        JoiningMark(name, (origin[0] + column * cell[0], origin[1] + row * cell[1]))
        for (row, column), name in names.items()
    )
    return Grid(paper, landscape, origin, cell, columns, rows, tuple(tiles), marks)
