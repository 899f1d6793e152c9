"""Composing lines of text: measures with their small fractions, breaking lines, columns of facts and steps.

A measure ("43 1/2 in") is set bold, its fraction small but of real characters in reading order.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

from bigsign.sheets.items import Area, Entry, Item, Point, Role, Run, Stroke, Text
from bigsign.sheets.marked import current_spelling, is_marked, marked_parts
from bigsign.sheets.metrics import run_advance, run_width
from bigsign.sheets.style import BLACK, FINE, GREY, HAIR, PALE, SMALL_CAP, STEP_CAP

__all__ = ["LEADING", "TICK_GAP", "Column", "line", "rectangle", "runs_of", "text_width", "tick_box", "wrap"]

_LENGTH = re.compile(r"\d+ \d+/\d+ in\b|\d+/\d+ in\b|\d+(?:\.\d+)? (?:in|mm)\b")
_FRACTION = re.compile(r"(\d+)/(\d+)")
SMALL = 0.72  # size of a fraction's figures: at 2.5 mm capitals they are 1.8 mm high, the least on these sheets
TICK_GAP = 1.1  # between steps, mm
LEADING = 1.8  # line pitch over the height of capitals


def runs_of(text: str, cap: float, bold: bool = False) -> tuple[tuple[Run, ...], float]:
    """Return the runs of a line of text and its width in mm. Lengths in it are bold; what is marked is drawn."""
    if not is_marked(text):
        return _plain_runs(text, cap, bold)
    spelling = current_spelling()
    out: list[Run] = []
    pen = 0.0
    for part, is_glyph in marked_parts(text):
        if not is_glyph:
            runs, width = _plain_runs(part, cap, bold)
        elif spelling is not None and spelling.has(part):
            runs = spelling.row(part, cap, bold)
            width = max(run.along + run_advance(run) for run in runs)
        else:
            continue
        out += [replace(run, along=run.along + pen) for run in runs]
        pen += width
    return tuple(out), pen


@cache
def _plain_runs(text: str, cap: float, bold: bool) -> tuple[tuple[Run, ...], float]:
    out: list[Run] = []
    pen = 0.0

    def put(part: str, height: float, heavy: bool, rise: float = 0.0) -> None:
        nonlocal pen
        if part:
            out.append(Run(part, pen, rise, height, heavy))
            pen += run_width(part, height, heavy)

    at = 0
    for match in _LENGTH.finditer(text):
        put(text[at : match.start()], cap, bold)
        measure = match[0]
        aside = text[: match.start()].endswith("(")  # what stands in brackets is noted beside a measure
        heavy = bold or (cap >= STEP_CAP and not aside)
        fraction = _FRACTION.search(measure)
        if fraction is None or cap * SMALL < SMALL_CAP - 1e-9:
            put(measure, cap, heavy)
        else:
            put(measure[: fraction.start()], cap, heavy)
            put(fraction[1], cap * SMALL, heavy, cap * (1 - SMALL))
            put("/", cap * SMALL, heavy, cap * (1 - SMALL) / 2)
            put(fraction[2], cap * SMALL, heavy)
            put(measure[fraction.end() :], cap, heavy)
        at = match.end()
    put(text[at:], cap, bold)
    return tuple(out), pen


def text_width(text: str, cap: float, bold: bool = False) -> float:
    """Return the width of a line as :func:`line` sets it."""
    return runs_of(text, cap, bold)[1]


def line(
    at: Point,
    text: str,
    cap: float = STEP_CAP,
    bold: bool = False,
    align: str = "l",
    colour: str = BLACK,
    turned: bool = False,
    role: Role | None = None,
) -> Text:
    """Return a line of text; ``at`` is on the baseline at its left end, middle or right end (``align`` l, c, r)."""
    runs, width = runs_of(text, cap, bold)
    back = {"l": 0.0, "c": width / 2, "r": width}[align]
    start = (at[0], at[1] + back) if turned else (at[0] - back, at[1])
    return Text(start, runs, colour, turned, role)


def wrap(text: str, cap: float, width: float, bold: bool = False) -> list[str]:
    """Return the lines into which ``text`` breaks at spaces; a length never breaks. New lines are kept.

    A word wider than the line is broken where it is full.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        glued = _LENGTH.sub(lambda match: match[0].replace(" ", "\u00a0"), paragraph)
        current = ""
        for word in glued.split(" "):
            whole = word.replace("\u00a0", " ")
            trial = f"{current} {whole}" if current else whole
            if text_width(trial, cap, bold) <= width:
                current = trial
                continue
            if current:
                lines.append(current)
            while text_width(whole, cap, bold) > width and len(whole) > 1:
                cut = max(n for n in range(1, len(whole)) if n == 1 or text_width(whole[:n], cap, bold) <= width)
                lines.append(whole[:cut])
                whole = whole[cut:]
            current = whole
        lines.append(current)
    return lines


def rectangle(
    x0: float, y0: float, x1: float, y1: float, fill: str | None, stroke: str | None = BLACK, width: float = FINE
) -> Area:
    """Return a rectangle."""
    return Area((((x0, y0), (x1, y0), (x1, y1), (x0, y1)),), fill, stroke, width)


def tick_box(left: float, baseline: float, size: float = 3.0) -> Area:
    """Return a box to tick, centred on a line of steps."""
    top = baseline - STEP_CAP / 2 - size / 2
    return rectangle(left, top, left + size, top + size, "#ffffff", BLACK, FINE)


class Column:
    """Text set downwards in a column: keeps the items and the height used so far."""

    def __init__(self, left: float, top: float, width: float) -> None:
        self.left, self.width, self.y = left, width, top
        self.items: list[Item] = []

    @property
    def right(self) -> float:
        """The column's right edge."""
        return self.left + self.width

    def gap(self, height: float) -> None:
        """Leave room."""
        self.y += height

    def text(
        self,
        text: str,
        cap: float = STEP_CAP,
        bold: bool = False,
        colour: str = BLACK,
        indent: float = 0.0,
        role: Role | None = None,
    ) -> None:
        """Set a paragraph, or what ``role`` says it is."""
        for part in wrap(text, cap, self.width - indent, bold):
            self.items.append(line((self.left + indent, self.y + cap), part, cap, bold, "l", colour, role=role))
            self.y += LEADING * cap
            if isinstance(role, Entry):
                role = Entry(role.of, role.label)

    def rule(self, colour: str = PALE) -> None:
        """Draw a thin rule across the column."""
        self.items.append(Stroke(((self.left, self.y), (self.right, self.y)), HAIR, colour))

    def heading(self, text: str) -> None:
        """Set a heading with a rule below it."""
        self.text(text, STEP_CAP, True, role="H2")
        self.gap(-0.6)
        self.rule(BLACK)
        self.gap(2.2)

    def fact(self, label: str, value: str, indent: float, note: str = "") -> None:
        """Set a small grey label, its value beside it from ``indent`` on, a small note, and a rule below."""
        name = Entry("facts", label=True, first=True)
        self.items.append(line((self.left, self.y + STEP_CAP), label, SMALL_CAP, False, "l", GREY, role=name))
        self.text(value, indent=indent, role=Entry("facts"))
        if note:
            self.gap(-0.4)
            self.text(note, SMALL_CAP, False, GREY, indent, Entry("facts"))
        self.gap(-0.5)
        self.rule()
        self.gap(1.5)

    def tick(self, text: str, number: str = "") -> None:
        """Set a step with a box to tick, and its number if it has one."""
        self.items.append(tick_box(self.left, self.y + STEP_CAP))
        indent = 5.2
        if number:
            name = Entry("steps", label=True, first=True)
            self.items.append(line((self.left + indent, self.y + STEP_CAP), number, STEP_CAP, True, role=name))
            indent += 7.6
        self.text(text, indent=indent, role=Entry("steps", first=not number))
        self.gap(TICK_GAP)

    def tick_height(self, text: str, number: str = "") -> float:
        """Return the height :meth:`tick` would use."""
        indent = 5.2 + (7.6 if number else 0.0)
        return len(wrap(text, STEP_CAP, self.width - indent)) * LEADING * STEP_CAP + TICK_GAP

    def fits(self, height: float, bottom: float) -> bool:
        """Whether ``height`` more has room above ``bottom``."""
        return self.y + height <= bottom + 1e-9
