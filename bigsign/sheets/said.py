"""Sentences that name letters or lines of the sign, on paper: in other words where the guide's family lacks them."""

from __future__ import annotations

from bigsign.plan_records import Panel, Plan
from bigsign.sheets.metrics import can_show, showable
from bigsign.sheets.own_letters import letter_said
from bigsign.wording import phrase

__all__ = ["action_said", "warning_said"]


def action_said(plan: Plan, panel: Panel, text: str) -> str:
    """Return an action of a panel's step; a gap between letters that can't be drawn is the narrowest, framed beside."""
    if can_show(text):
        return text
    letters = {glyph.id: glyph.text or "" for glyph in plan.glyphs}
    for part in plan.breaks:
        if panel.id in part.panels and part.narrowest is not None:
            a, b = (letters.get(name, "") for name in part.narrowest.between)
            other = next(plan.panel(name).number for name in part.panels if name != panel.id)
            if text == phrase("stick.gap_from", other=other, gap=part.gap.shown, a=a, b=b):
                a, b = (letter_said(plan, name) for name in part.narrowest.between)
                if a and b:
                    return phrase("stick.gap_from", other=other, gap=part.gap.shown, a=a, b=b)
                return phrase("stick.gap_at", other=other, gap=part.gap.shown)
    return text


def warning_said(plan: Plan, text: str) -> str:
    """Return a warning; lines of the sign that can't be shown go by their number, as on the cover."""
    for n, line in enumerate(plan.lines, 1):
        if line.text and not can_show(line.text):
            text = text.replace(f"'{line.text}'", phrase("begin.line", n=n))
    return showable(text)
