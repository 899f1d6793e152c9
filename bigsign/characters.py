"""Characters that can't be seen, by name."""

from __future__ import annotations

import unicodedata

__all__ = ["name_of"]


def name_of(char: str) -> str:
    """Return an invisible or strange character by its name and number: "a right-to-left override (U+202E)"."""
    name = {"\t": "tab", "\n": "line break", "\r": "carriage return"}.get(char)
    if name is None:
        name = unicodedata.name(char, "").lower()
    name = name or {"Cs": "lone surrogate", "Co": "private character"}.get(unicodedata.category(char), "")
    name = name or "control character"
    return f"{'an' if name[0] in 'aeiou' else 'a'} {name} (U+{ord(char):04X})"
