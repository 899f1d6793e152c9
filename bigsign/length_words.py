"""A length as it was written to the length as it should be written, where that can be told beyond doubt."""

from __future__ import annotations

import re
from collections.abc import Callable

__all__ = ["mended_length"]

#: Units as they are read, and spellings of them that are not, in several languages and with marks of their own.
SPELLINGS = {
    "in": ("inchs", "ins", "in.", "inch.", "zoll", "pouce", "pouces", "pulgadas", "''", "´´", "``", "“", "„", "＂"),
    "ft": ("ft.", "feet.", "foots", "fuß", "fuss", "pieds", "pied", "´", "`", "‘"),
    "mm": ("mm.", "millimetre", "millimetres", "millimeter", "millimeters", "mms"),
    "cm": ("cm.", "centimetre", "centimetres", "centimeter", "centimeters", "cms", "zentimeter"),
    "m": ("m.", "metre", "metres", "meter", "meters", "mtr", "mtrs"),
}  # fmt: skip
_UNITS = {spelling: unit for unit, spellings in SPELLINGS.items() for spelling in (unit, *spellings)}
_QUOTES = "“”„‟«»‹›‘’‚‛\"'"
_DASHES = "‐‑‒–—―−"
_WIDE = {ord("０") + n: str(n) for n in range(10)} | {ord("．"): ".", ord("，"): ",", ord("／"): "/", 0x3000: " "}


def mended_length(text: str, reads: Callable[[str], object]) -> str | None:
    """Return what a text that is no length should read, or None where that can't be told.

    ``reads`` raises ValueError for what is no length.
    """
    body = " ".join(text.translate(_WIDE).split())
    tries = [body]
    if body[:1] in _QUOTES and body[-1:] in _QUOTES and len(body) > 2:
        tries.append(body[1:-1].strip())
    for candidate in tries:
        made = _written(candidate)
        try:
            reads(made)
        except ValueError:
            continue
        return made
    return None


def _written(body: str) -> str:
    """Return a length with marks and units as they are read."""
    body = re.sub(rf"(?<=\d)\s*[{_DASHES}]\s*(?=\d+\s*[/⁄])", " ", body)  # 3–1/2 in
    body = re.sub(rf"(?<=\d)\s*[{_DASHES}]\s*(?=[a-zA-Z])", " ", body)  # 3-in
    body = re.sub(r"(?<=\d)-(?=[a-zA-Z])", " ", body)
    body = re.sub(r"(?<=\d)\.(?=\d\s*[/⁄]\s*\d)", " ", body)  # 43.1/2 in
    body = re.sub(r"(?<=\d)\s*\\\s*(?=\d)", "/", body)  # 1\2 in
    if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?\D*", body):
        if "." in body:  # 1,105.5 mm: the comma parts thousands; without a point it can't be told
            body = body.replace(",", "")
    elif body.count(",") == 1:
        body = re.sub(r"(?<=\d),(?=\d)", ".", body)
    body = re.sub(r"[^\W\d_]+\.?|''|´´|``|[´`‘“„＂]", lambda match: _unit(match[0]), body)
    return " ".join(body.split())


def _unit(word: str) -> str:
    plain = word.lower()
    if plain in _UNITS:
        return (" " if plain[0].isalpha() else "") + _UNITS[plain] if word != _UNITS[plain] else word
    if plain in ("inch", "inches", "feet", "foot"):
        return plain
    return word
