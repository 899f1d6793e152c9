"""Text that flows down a page: paragraphs, facts, numbered steps with boxes to tick, and tables."""

from __future__ import annotations

from collections.abc import Sequence

from bigsign.sheets.items import BLACK, FINE, GREY, HAIR, SMALL_CAP, STEP_CAP, Area, Item, Stroke, Text
from bigsign.sheets.metrics import text_width, wrap

__all__ = ["box_tick", "facts", "heading", "letter", "note_box", "paragraph", "step_height", "step_items", "table"]

LEAD = 1.75  # line pitch over cap height


def heading(x: float, y: float, text: str) -> tuple[list[Item], float]:
    """Return a heading with its foot below ``y``, and the y to go on from."""
    base = y + STEP_CAP + 0.5
    return [Text((x, base), text, STEP_CAP + 0.4, True)], base + 3.2


def paragraph(
    x: float, y: float, width: float, text: str, cap: float = STEP_CAP, colour: str = BLACK, bold: bool = False
) -> tuple[list[Item], float]:
    """Return wrapped text and the y to go on from."""
    out: list[Item] = []
    for line in wrap(text, cap, width, bold):
        y += cap * LEAD
        out.append(Text((x, y - cap * (LEAD - 1) * 0.4), line, cap, bold, "l", colour))
    return out, y + 1.0


def facts(
    x: float,
    y: float,
    width: float,
    rows: Sequence[tuple[str, str]],
    label_width: float = 27.0,
    bottom: float = float("inf"),
) -> tuple[list[Item], float, int]:
    """Return label and value rows with hairlines between, the y below them, and how many ended above ``bottom``."""
    out: list[Item] = []
    done = 0
    for label, value in rows:
        lines = wrap(value, STEP_CAP, width - label_width, bold=True)
        if len(lines) > 1:  # only what fits one line stands out in bold
            lines = wrap(value, STEP_CAP, width - label_width)
        bold = len(lines) == 1 and text_width(value, STEP_CAP, bold=True) <= width - label_width
        if y + 1.5 + STEP_CAP + (len(lines) - 1) * STEP_CAP * LEAD + 1.9 > bottom:
            break
        done += 1
        out.append(Stroke(((x, y), (x + width, y)), HAIR, GREY))
        base = y + 1.5 + STEP_CAP
        out.append(Text((x, base), label, SMALL_CAP, False, "l", GREY))
        for i, line in enumerate(lines):
            out.append(Text((x + label_width, base + i * STEP_CAP * LEAD), line, STEP_CAP, bold))
        y = base + (len(lines) - 1) * STEP_CAP * LEAD + 1.9
    out.append(Stroke(((x, y), (x + width, y)), HAIR, GREY))
    return out, y + 2.0, done


def letter(at: int) -> str:
    """Return a, b, … z, za, zb … for 0, 1, …: the actions of a step."""
    return "z" * (at // 26) + "abcdefghijklmnopqrstuvwxyz"[at % 26]


def box_tick(x: float, base: float, size: float = 3.2) -> Item:
    """Return an empty box to tick whose foot is on a text's baseline."""
    return Area(
        (((x, base - size + 0.4), (x + size, base - size + 0.4), (x + size, base + 0.4), (x, base + 0.4)),),
        None,
        BLACK,
        FINE,
    )


def step_items(x: float, y: float, width: float, number: str, text: str) -> tuple[list[Item], float]:
    """Return one action with its box and number, and the y to go on from."""
    lines = wrap(text, STEP_CAP, width - 14.0)
    base = y + STEP_CAP + 1.0
    out: list[Item] = [box_tick(x, base), Text((x + 11.0, base), number, STEP_CAP, True, "r")]
    for i, line in enumerate(lines):
        out.append(Text((x + 14.0, base + i * STEP_CAP * LEAD), line, STEP_CAP))
    return out, base + (len(lines) - 1) * STEP_CAP * LEAD + 2.0


def step_height(width: float, text: str) -> float:
    """Return the height that :func:`step_items` takes."""
    return STEP_CAP + 3.0 + (len(wrap(text, STEP_CAP, width - 14.0)) - 1) * STEP_CAP * LEAD


def note_box(x: float, y: float, width: float, signal: str, text: str) -> tuple[list[Item], float]:
    """Return a caution: its signal word in a bar, its text beside it, a frame around both."""
    bar = 24.0
    lines = wrap(text, STEP_CAP, width - bar - 6.0)
    height = max(8.0 if signal == "NOTICE" else 12.0, len(lines) * STEP_CAP * LEAD + 3.6)
    out: list[Item] = [
        Area((((x, y), (x + width, y), (x + width, y + height), (x, y + height)),), None, BLACK, FINE),
        Area((((x, y), (x + bar, y), (x + bar, y + height), (x, y + height)),), "#e4e4e4", BLACK, FINE),
    ]
    if signal != "NOTICE":  # the alert triangle is for injury, not for damage (ANSI Z535.4)
        cx, cy = x + bar / 2, y + height / 2 - 2.4
        out.append(Area((((cx, cy - 2.0), (cx + 2.3, cy + 1.8), (cx - 2.3, cy + 1.8)),), None, BLACK, 0.35))
        out.append(Stroke(((cx, cy - 0.7), (cx, cy + 0.6)), 0.35))
        out.append(Stroke(((cx, cy + 1.1), (cx, cy + 1.25)), 0.35))
        out.append(Text((cx, cy + 5.2), signal, STEP_CAP, True, "c"))
    else:
        out.append(Text((x + bar / 2, y + height / 2 + STEP_CAP / 2), signal, STEP_CAP, True, "c"))
    base = y + (height - len(lines) * STEP_CAP * LEAD) / 2 + STEP_CAP + 0.8
    out.extend(Text((x + bar + 3.0, base + i * STEP_CAP * LEAD), line, STEP_CAP) for i, line in enumerate(lines))
    return out, y + height + 2.5


def table(
    x: float, y: float, widths: Sequence[float], head: Sequence[str], rows: Sequence[Sequence[str]], bottom: float
) -> tuple[list[Item], float, int]:
    """Return a table, the y below it, and how many rows found room above ``bottom``."""
    out: list[Item] = []
    total = sum(widths)
    left = x
    for title, width in zip(head, widths, strict=True):
        out.append(Text((left + 1.0, y + SMALL_CAP + 1.0), title, SMALL_CAP, False, "l", GREY))
        left += width
    y += SMALL_CAP + 2.6
    out.append(Stroke(((x, y), (x + total, y)), FINE))
    done = 0
    for row in rows:
        cells = [_fit(text, width - 2.0) for text, width in zip(row, widths, strict=True)]
        height = max(len(cell) for cell in cells) * STEP_CAP * LEAD + 1.8
        if y + height > bottom:
            break
        left = x
        for at, (cell, width) in enumerate(zip(cells, widths, strict=True)):
            for i, line in enumerate(cell):
                base = y + 1.6 + STEP_CAP + i * STEP_CAP * LEAD
                out.append(Text((left + 1.0, base), line, STEP_CAP, at == 0))
            left += width
        y += height
        out.append(Stroke(((x, y), (x + total, y)), HAIR, GREY))
        done += 1
    return out, y, done


def _fit(text: str, width: float) -> list[str]:
    """Return a cell's lines; a word too wide for the cell is shortened with an ellipsis."""
    out = []
    for part in text.split("\n"):
        for line in wrap(part, STEP_CAP, width):
            while text_width(line, STEP_CAP) > width and len(line) > 2:
                line = line.rstrip("…")[:-1] + "…"
            out.append(line)
    return out
