"""Single letters of the sign in a sentence: in the paper's family, or in the sign's own face where that lacks them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cached_property

from bigsign.plan_records import Plan
from bigsign.sheets.items import Run
from bigsign.sheets.marked import current_spelling, is_marked, marked, spelt_by
from bigsign.sheets.metrics import can_show, showable
from bigsign.sheets.own_face import SignLine, sign_lines
from bigsign.sheets.own_rows import line_row

__all__ = ["letter_said", "letters_of", "letters_said"]


class _OwnLetters:
    """The letters of a sign by the ids of their glyphs; letters that share film go together. Made when first asked."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan

    @cached_property
    def lines(self) -> dict[str, SignLine]:
        """What is drawn for a glyph; without those that their line can't be drawn of."""
        return {
            name: SignLine(letters.text, (letters,), line.rtl)
            for panel in self.plan.panels
            for line in sign_lines(self.plan, panel)
            for letters in line.letters
            for name in letters.glyphs
        }

    def has(self, name: str) -> bool:
        """Whether a glyph can be drawn."""
        return name in self.lines

    def row(self, name: str, cap: float, bold: bool) -> tuple[Run, ...]:
        """Return a glyph, or the letters that it shares film with."""
        return line_row(self.lines[name], cap, bold)


@contextmanager
def letters_of(plan: Plan) -> Iterator[None]:
    """Have sentences spelt with the letters of a plan's sign."""
    with spelt_by(_OwnLetters(plan)):
        yield


def letters_said(plan: Plan, names: Sequence[str]) -> list[str]:
    """Return what stands for glyphs in a list, each once; what can't be drawn is written as U+XXXX."""
    texts = {glyph.id: glyph.text or "" for glyph in plan.glyphs}
    spelling = current_spelling()
    out: dict[str, str] = {}
    for name in names:
        said = letter_said(plan, name) or showable(texts[name])
        drawn = spelling.row(name, 1.0, False)[0].text if spelling is not None and is_marked(said) else texts[name]
        out.setdefault(drawn, said)
    return [said for said in out.values() if said]


def letter_said(plan: Plan, name: str) -> str:
    """Return what stands for a glyph in a sentence; "": its text is not known, or can't be shown."""
    text = next((glyph.text for glyph in plan.glyphs if glyph.id == name), None) or ""
    if can_show(text):
        return text
    spelling = current_spelling()
    return marked(name) if spelling is not None and spelling.has(name) else ""
