"""Sentences that name letters or lines of the sign, on paper: in other words where the guide's family lacks them."""

from __future__ import annotations

import re

from bigsign.plan_records import Panel, Plan
from bigsign.sheets.metrics import can_show, showable
from bigsign.sheets.own_letters import letter_said
from bigsign.wording import panels_said, phrase

__all__ = ["action_said", "by_panels", "warning_said"]


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
    """Return a warning of English words for someone who has the paper only.

    Panels go by their numbers, pieces by their panels' and lines of the sign that can't be shown by their own.
    """
    for n, line in enumerate(plan.lines, 1):
        if line.text and not can_show(line.text):
            text = text.replace(f"'{line.text}'", phrase("begin.line", n=n))
        text = re.sub(rf"\bLine {line.id}\b", f"Line {n}", text)
    text = text.replace("the lines line ", "line ")
    return showable(by_panels(plan, text))


def by_panels(plan: Plan, text: str) -> str:
    """Return a sentence in which panels go by their numbers and pieces by those of the panels that hold them."""
    printed = {panel.id: f"panel {panel.number}" for panel in plan.panels}
    text = re.sub(r"\bpanel-\d+\b", lambda match: printed.get(match[0], match[0]), text)
    if not re.search(r"\bp\d+\b", text):
        return text
    holders = _panels_of_pieces(plan)

    def held(match: re.Match[str]) -> str:
        numbers = holders.get(match[2], [])
        article = "A" if match[1] == "Piece " else "a"
        return f"{article} piece of {panels_said(numbers)}" if numbers else match[0]

    return re.sub(r"\b([Pp]iece )?(p\d+)\b", held, text)


def _panels_of_pieces(plan: Plan) -> dict[str, list[int]]:
    """Return the numbers of the panels that hold parts of each piece."""
    at = {name: panel.number for panel in plan.panels for name in panel.fragments}
    out: dict[str, list[int]] = {}
    for fragment, piece, _ in plan.fragments:
        if fragment in at and at[fragment] not in out.setdefault(piece, []):
            out[piece].append(at[fragment])
    return {piece: sorted(numbers) for piece, numbers in out.items()}
