"""Setting what a panel says in rows: on one, or broken at words into a column, shortened where there is no room."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from shapely.geometry import Polygon

from bigsign.plan_records import Panel, Plan
from bigsign.sheets.items import Ink, Point, Role, Run, Text
from bigsign.sheets.metrics import run_advance
from bigsign.sheets.own_face import SignLine, sign_lines, spaced
from bigsign.sheets.style import SMALL_CAP, STEP_CAP
from bigsign.sheets.writing import runs_of, wrap

__all__ = ["OwnWords", "Row", "line_row", "panel_words", "row_width", "set_row"]

ABOVE, BELOW = 1.3, 0.45  # room of a row above and below its baseline, heights of capitals; more is made smaller
THIN = 0.01  # mm of paper: finer detail of a letter can't be seen
NEARLY = 0.85  # of its height, for a row that is to hold all
BETWEEN, MORE = " / ", "…"
Row = tuple[Run, ...]


class OwnWords:
    """What a panel says, or the name of the sign, to be set on paper; false where it says nothing.

    ``between`` parts its lines on a row.
    """

    def __init__(self, lines: Sequence[SignLine], between: str = BETWEEN) -> None:
        self.lines, self.between = lines, between

    def __bool__(self) -> bool:
        return bool(self.lines)

    @property
    def text(self) -> str:
        """The text, its lines parted by strokes."""
        return self.between.join(line.text for line in self.lines)

    def one_row(self, width: float, cap: float = STEP_CAP, least: float = SMALL_CAP, bold: bool = False) -> Row:
        """Return all of it on a row: as high as has room in ``width``, down to ``least``, then shortened."""
        fitting = self._fitting(width, least, bold)
        if fitting == len(self.lines):
            rows = (_joined(self.lines, height, bold, self.between) for height in _heights(cap, least))
            return next(row for row in rows if row_width(row) <= width)
        for count in range(fitting, -1, -1):
            before = self.lines[:count]

            def whole(part: SignLine, before: Sequence[SignLine] = before) -> Row:
                return _joined([*before, part], least, bold, self.between)

            if (found := _shortened(self.lines[count], width, least, bold, whole)) is not None:
                return found
        return _squeezed(self.lines[0], width, least, bold) if self.lines else ()

    def _fitting(self, width: float, cap: float, bold: bool) -> int:
        """Return how many of the lines, the first ones, have room on a row."""
        pen = 0.0
        for count, line in enumerate(self.lines):
            pen += row_width(runs_of(self.between, cap, bold)[0]) if count else 0.0
            pen += row_width(line_row(line, cap, bold))
            if pen > width:
                return count
        return len(self.lines)

    def few_rows(self, width: float, most: int) -> list[Row]:
        """Return all of it on a row where that has room hardly smaller, else in rows of its lines, ``most`` at most."""
        row = self.one_row(width, least=NEARLY * STEP_CAP)
        return [row] if "".join(run.text for run in row) == self.text else self.rows(width, STEP_CAP, most)

    def rows(self, width: float, cap: float = STEP_CAP, most: int | None = None) -> list[Row]:
        """Return it in rows of ``width``, broken at its lines, and at words where a line has no room hardly smaller.

        After ``most`` rows it is shortened.
        """
        out: list[Row] = []
        for line in self.lines:
            if not line.letters:
                out += [runs_of(part, cap)[0] for part in wrap(line.text, cap, width)]
                continue
            whole = next(
                (row for h in _heights(cap, NEARLY * cap) if row_width(row := line_row(line, h)) <= width), None
            )
            if whole is not None:
                out.append(whole)
                continue
            start = 0
            for first, end in line.words():
                if first > start and row_width(line_row(line.part(start, end), cap)) > width:
                    out.append(_fitted(line.part(start, first), width, cap))
                    start = first
            out.append(_fitted(line.part(start, len(line.letters)), width, cap))
        if most is not None and len(out) > most:
            out = [*out[: most - 1], _with_more(out[most - 1], width, cap)]
        return out


def panel_words(plan: Plan, panel: Panel) -> OwnWords:
    """Return what a panel says."""
    return OwnWords(sign_lines(plan, panel))


def set_row(at: Point, row: Row | str, cap: float, bold: bool = False, role: Role | None = None) -> Text:
    """Return a row, or a line of plain text, from ``at`` on."""
    return Text(at, runs_of(row, cap, bold)[0] if isinstance(row, str) else row, role=role)


def _heights(cap: float, least: float) -> list[float]:
    return [cap - n * (cap - least) / 4 for n in range(5)] if cap > least else [cap]


def line_row(line: SignLine, cap: float, bold: bool = False, fit: float = 1.0) -> Row:
    """Return a line on a row, in its own face where it can be."""
    if not line.letters:
        return runs_of(line.text, cap, bold)[0]
    shapes = spaced(line.letters)
    top, foot = min(shape.bounds[1] for shape in shapes), max(shape.bounds[3] for shape in shapes)
    size = cap * fit * min(1.0, (ABOVE + BELOW) / (foot - top))
    # what reaches higher than a row does stands lower, and the other way round
    drop = max(0.0, -top * size - ABOVE * cap) - max(0.0, foot * size - BELOW * cap)
    rings = []
    for shape in shapes:
        for part in getattr(shape, "geoms", [shape]):
            slim = part.simplify(THIN / size)
            if isinstance(slim, Polygon) and not slim.is_empty:
                rings += [
                    tuple((round(x * size, 2), round(y * size + drop, 2)) for x, y in ring.coords[:-1])
                    for ring in (slim.exterior, *slim.interiors)
                ]
    width = max(shape.bounds[2] for shape in shapes) * size
    box = (0.0, top * size + drop, width, foot * size + drop)
    return (Run(line.text, 0.0, 0.0, cap, bold, Ink(tuple(rings), box, size, drop, line.rtl)),)


def row_width(row: Row) -> float:
    """Return how far a row reaches, mm."""
    return max((run.along + run_advance(run) for run in row), default=0.0)


def _after(rows: Sequence[Row]) -> Row:
    """Return rows one after the other as one."""
    out: list[Run] = []
    pen = 0.0
    for row in rows:
        out += [replace(run, along=run.along + pen) for run in row]
        pen += row_width(row)
    return tuple(out)


def _joined(lines: Sequence[SignLine], cap: float, bold: bool, between: str) -> Row:
    """Return lines on a row; the first one at the right where all run to the left, but first in reading order."""
    parts: list[Row] = []
    for line in lines:
        parts += [*([runs_of(between, cap, bold)[0]] if parts else []), line_row(line, cap, bold)]
    if not all(line.rtl and line.letters for line in lines):
        return _after(parts)
    wide = row_width(_after(parts))
    return tuple(replace(run, along=wide - run.along - run_advance(run)) for run in _after(parts))


def _shortened(line: SignLine, width: float, cap: float, bold: bool, whole: Callable[[SignLine], Row]) -> Row | None:
    """Return the row that ``whole`` makes of as much of a line as has room with an ellipsis; None where nothing has."""
    more = runs_of(MORE, cap, bold)[0]
    found: Row | None = None
    low, high = 0, len(line.letters) or len(line.text)
    while low < high:  # the more of a line the wider its row
        end = (low + high + 1) // 2
        row = whole(line.part(0, end) if line.letters else SignLine(line.text[:end].rstrip()))
        if row_width(row) + row_width(more) > width:
            high = end - 1
        else:
            low, found = end, row
    if found is None:
        return None
    if not line.rtl or not line.letters:
        return _after([found, more])
    # where a line runs to the left its ellipsis stands at its left, and what is left of that stays there
    start = found[-1].along
    shifted = [replace(run, along=run.along + row_width(more)) if run.along >= start else run for run in found]
    return (*shifted, replace(more[0], along=start))


def _fitted(line: SignLine, width: float, cap: float) -> Row:
    """Return a line in a width: a little smaller, or shortened."""
    for height in _heights(cap, min(cap, SMALL_CAP)):
        row = line_row(line, height)
        if row_width(row) <= width:
            return row
    least = min(cap, SMALL_CAP)
    found = _shortened(line, width, least, False, lambda part: line_row(part, least))
    return found if found is not None else _squeezed(line, width, least, False)


def _squeezed(line: SignLine, width: float, cap: float, bold: bool) -> Row:
    """Return the first letters of a line, as small as their room needs."""
    first = line.part(0, 1) if line.letters else SignLine(line.text[:1])
    row = line_row(first, cap, bold)
    wide = row_width(row)
    return row if wide <= width or not first.letters else line_row(first, cap, bold, max(width, 0.5) / wide)


def _with_more(row: Row, width: float, cap: float) -> Row:
    """Return a row with an ellipsis, smaller where that is needed for its room."""
    more = runs_of(MORE, cap)[0]
    rtl = row[-1].ink is not None and row[-1].ink.rtl
    wide, room = row_width(row), width - row_width(more)
    if wide > room:
        row = tuple(_scaled(run, room / wide) for run in row)
    if not rtl:
        return _after([row, more])
    return (*(replace(run, along=run.along + row_width(more)) for run in row), *more)


def _scaled(run: Run, k: float) -> Run:
    small = replace(run, along=run.along * k, cap=run.cap * k)
    return small if run.ink is None else replace(small, ink=run.ink.scaled(k))
