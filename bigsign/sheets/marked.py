"""Marks in a sentence round what is to be drawn in the sign's own face, and who draws it while sheets are laid out.

Sentences stay plain text that can be measured, broken into lines and cut short; a mark holds the id of a glyph.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Protocol

from bigsign.sheets.items import Run

__all__ = ["Spelling", "current_spelling", "is_marked", "marked", "marked_parts", "spelt_by"]

OPEN, CLOSE = "\ue000", "\ue001"  # of the private use area: no sentence holds them
_MARKED = re.compile(f"{OPEN}([^{OPEN}{CLOSE}]+){CLOSE}")


class Spelling(Protocol):
    """Draws glyphs of the sign in a sentence."""

    def has(self, name: str) -> bool:
        """Whether the glyph of that id can be drawn."""

    def row(self, name: str, cap: float, bold: bool) -> tuple[Run, ...]:
        """Return it from 0 on, beside capitals ``cap`` mm high."""


_current: ContextVar[Spelling | None] = ContextVar("spelling", default=None)


@contextmanager
def spelt_by(spelling: Spelling) -> Iterator[None]:
    """Have marked glyphs drawn by ``spelling``."""
    token = _current.set(spelling)
    try:
        yield
    finally:
        _current.reset(token)


def current_spelling() -> Spelling | None:
    """Return who draws marked glyphs; None: nobody does."""
    return _current.get()


def marked(name: str) -> str:
    """Return the mark of a glyph's id."""
    return f"{OPEN}{name}{CLOSE}"


def is_marked(text: str) -> bool:
    """Whether a text holds marks, or what is left of one that was cut through."""
    return OPEN in text or CLOSE in text


def marked_parts(text: str) -> Iterator[tuple[str, bool]]:
    """Yield the parts of a text, and whether each is the id of a glyph; what is left of a cut mark is dropped."""
    at = 0
    for match in _MARKED.finditer(text):
        yield text[at : match.start()].translate({ord(OPEN): None, ord(CLOSE): None}), False
        yield match[1], True
        at = match.end()
    tail = text[at:]
    yield (tail.partition(OPEN)[0] if OPEN in tail else tail.replace(CLOSE, "")), False
