"""Cautions on paper: the signal word in a grey band, the text beside it, or below it where the column is narrow.

The alert triangle stands before signal words of injury, not before NOTICE (ANSI Z535.4, from memory).
"""

from __future__ import annotations

from bigsign.plan_records import Plan
from bigsign.presets.cautions import Caution, cautions_for
from bigsign.sheets.items import Area, Item, Stroke
from bigsign.sheets.style import BLACK, FINE, STEP_CAP
from bigsign.sheets.writing import LEADING, line, rectangle, text_width, wrap
from bigsign.wording import phrase, said_cautions

__all__ = ["caution_height", "caution_items", "plan_cautions", "split_caution"]

BAND = 28.0  # width of the band beside the text
HEAD = 6.0  # height of the band above it
NARROW = 100.0  # columns narrower than this have the band above
BAND_GREY = "#dcdcdc"
PITCH = LEADING * STEP_CAP


def plan_cautions(plan: Plan) -> tuple[Caution, ...]:
    """Return the cautions that apply to a plan, in the language spoken, the gravest first."""
    return said_cautions(cautions_for(plan.sign.width.mm, plan.sign.height.mm, plan.site))


def split_caution(text: str) -> tuple[str, str]:
    """Return a step's caution as its signal word and its text."""
    signal, _, body = text.partition(": ")
    return signal, body


def caution_height(text: str, width: float) -> float:
    """Return the height of a caution's box."""
    if width < NARROW:
        return HEAD + len(wrap(text, STEP_CAP, width - 6.0)) * PITCH + 2.6
    return max(8.4, len(wrap(text, STEP_CAP, width - BAND - 6.0)) * PITCH + 3.0)


def caution_items(left: float, top: float, width: float, signal: str, text: str) -> list[Item]:
    """Return a caution in its box."""
    height = caution_height(text, width)
    narrow = width < NARROW
    lines = wrap(text, STEP_CAP, width - 6.0 if narrow else width - BAND - 6.0)
    right, bottom = left + width, top + height
    band_w, band_h = (width, HEAD) if narrow else (BAND, height)
    items: list[Item] = [
        rectangle(left, top, left + band_w, top + band_h, BAND_GREY, None),
        rectangle(left, top, right, bottom, None, BLACK, FINE),
    ]
    items += _signal(left, top, band_w, band_h, signal)
    if narrow:
        items.append(Stroke(((left, top + HEAD), (right, top + HEAD)), FINE))
        x, base = left + 3.0, top + HEAD + 2.0 + STEP_CAP
    else:
        items.append(Stroke(((left + BAND, top), (left + BAND, bottom)), FINE))
        x, base = left + BAND + 3.0, (top + bottom) / 2 - (len(lines) - 1) * PITCH / 2 + STEP_CAP / 2
    for index, part in enumerate(lines):
        items.append(line((x, base + index * PITCH), part, STEP_CAP))
    return items


def _signal(left: float, top: float, width: float, height: float, signal: str) -> list[Item]:
    middle, base = left + width / 2, top + height / 2 + STEP_CAP / 2
    if signal == phrase("signal.NOTICE"):
        return [line((middle, base), signal, STEP_CAP, True, "c")]
    word = text_width(signal, STEP_CAP, True)
    start = middle - (word + 5.6) / 2
    x, foot = start + 2.1, top + height / 2 + 1.7
    ring = ((x, foot - 3.6), (x + 2.1, foot), (x - 2.1, foot))
    return [
        Area((ring,), "#ffffff", BLACK, 0.35),
        Stroke(((x, foot - 2.5), (x, foot - 1.2)), 0.4),
        Stroke(((x, foot - 0.64), (x, foot - 0.6)), 0.4),
        line((start + 5.6, base), signal, STEP_CAP, True),
    ]
