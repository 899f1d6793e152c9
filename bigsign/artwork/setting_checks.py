"""What of a block of lettering can't be set as asked, and what a person should know of how it is set."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence

from bigsign.artwork.bidi import EXPLICIT
from bigsign.artwork.scripts import DOWNWARD, JOINING, script_words, scripts_in
from bigsign.artwork.shaping import Face, ShapedGlyph
from bigsign.characters import name_of
from bigsign.errors import Fault, InputError
from bigsign.findings import Finding
from bigsign.project import LetteringSpec

__all__ = ["check_face", "check_shaped", "lettering_findings", "may_be_blank", "undrawn"]

DOWN = 45.0  # degrees either side of a quarter turn in which a line is taken to run downward


def check_face(spec: LetteringSpec, face: Face) -> None:
    """Raise InputError with what can be told before shaping: unknown axes, hidden direction marks, unread rules."""
    faults = _early(spec, face)
    if faults:
        raise InputError(faults)


def check_shaped(spec: LetteringSpec, face: Face, shaped: Sequence[Sequence[ShapedGlyph]]) -> None:
    """Raise InputError naming the characters that can't be drawn."""
    font, where = spec.font.name, spec.where
    faults = []
    lacking = {_named(char) for row in shaped for glyph in row if glyph.missing for char in _missing(face, glyph)}
    if lacking:
        shown = ", ".join(sorted(lacking)[:12])
        faults.append(Fault(f"the font {font} has no {shown}", where, "another font or other letters"))
    faults.extend(undrawn(spec, [glyph for row in shaped for glyph in row if not glyph.outline]))
    if faults:
        raise InputError(faults)


def lettering_findings(
    spec: LetteringSpec, face: Face, shaped: Sequence[Sequence[ShapedGlyph]]
) -> tuple[Finding, ...]:
    """Return the warnings of a block: letters in colours, scripts that are not set as they are written."""
    return (*_colour_findings(spec, shaped), *_script_findings(spec, face))


def _early(spec: LetteringSpec, face: Face) -> list[Fault]:
    font, where = spec.font.name, spec.where
    known = f"one of: {', '.join(face.axes)}" if face.axes else "no axes"
    unknown = [axis for axis in spec.axes if axis not in face.axes]
    faults = [Fault(f"the font {font} has no axis {axis!r}", where, known) for axis in unknown]
    for axis, value in spec.axes.items():
        low, high = face.axes.get(axis, (value, value))
        if axis in face.axes and not low <= value <= high:
            faults.append(Fault(f"axis {axis} is {value:g}", where, f"a number from {low:g} to {high:g}"))
    hidden = dict.fromkeys(char for line in spec.lines for char in line if char in EXPLICIT)
    faults.extend(Fault(f"the text holds {name_of(char)}", where, "the letters alone") for char in hidden)
    if face.rules.graphite:
        for script in (script for script in scripts_in(spec.lines) if not face.rules.suffice(script)):
            name = script_words(script)
            what = f"the font {font} has its rules for {name} as Graphite only, which is not read"
            faults.append(Fault(what, where, f"a font with OpenType rules for {name}"))
    return faults


def undrawn(spec: LetteringSpec, glyphs: Sequence[ShapedGlyph]) -> list[Fault]:
    """Return a fault each for letters that nothing can be cut of: drawn in colours only, or not at all."""
    out = []
    for coloured, what in ((True, "in colours only"), (False, "")):
        texts = {_named(g.text) for g in glyphs if g.coloured is coloured and not may_be_blank(g.text)}
        if texts:
            shown = ", ".join(sorted(texts)[:12])
            said = f"has {shown} {what}" if coloured else f"has no outline for {shown}"
            right = "a font with outlines for it" if coloured else "a font that draws it"
            out.append(Fault(f"the font {spec.font.name} {said}", spec.where, right))
    return out


def _colour_findings(spec: LetteringSpec, shaped: Sequence[Sequence[ShapedGlyph]]) -> tuple[Finding, ...]:
    """Warn of letters that the font has in several colours: their plain outlines are what is cut."""
    texts = list(dict.fromkeys(glyph.text for row in shaped for glyph in row if glyph.coloured and glyph.outline))
    if not texts:
        return ()
    shown = ", ".join(repr(text) for text in texts[:12]) + (f" and {len(texts) - 12} more" if len(texts) > 12 else "")
    said = f"The font {spec.font.name} has {shown} in colours; their plain outlines are cut, all in one colour."
    remedy = "If the colours are wanted: the letters as a drawing, each colour a shape of its own."
    return (Finding("font-colour", said, remedy=remedy),)


def _script_findings(spec: LetteringSpec, face: Face) -> Iterator[Finding]:
    """Warn of scripts that stand otherwise than their readers write them."""
    for script in scripts_in(spec.lines):
        name = script_words(script)
        if not face.rules.suffice(script):
            said = f"The font {spec.font.name} has no rules for {name}: its letters are set one by one, as they come."
            remedy = "Another font; or show it to somebody who reads it before anything is cut."
            yield Finding("font-script", said, remedy=remedy)
        elif spec.stacked and script in JOINING:
            said = f"Stacked letters do not join: {name} is set one letter at a time."
            yield Finding("font-script", said, remedy="A line that is turned instead (turn = 90) keeps its joins.")
        if script in DOWNWARD and (spec.stacked or abs(spec.turn % 360 - 90) > DOWN):
            said = f"{name} is written from the top down; here its letters lie on their side along the line."
            yield Finding("font-script", said, remedy="turn = 90 makes the line run down.")


def _missing(face: Face, glyph: ShapedGlyph) -> list[str]:
    """Return the characters of a cluster that have no glyph; the whole cluster where each has one."""
    absent = [char for char in glyph.text if not may_be_blank(char) and face.nominal(char) is None]
    return [] if not glyph.text.strip() else absent or [glyph.text]


def _named(text: str) -> str:
    """Return a character as people and programs know it: 'Ж' (U+0416)."""
    return f"{text!r} ({' '.join(f'U+{ord(char):04X}' for char in text)})"


def may_be_blank(text: str) -> bool:
    """Whether it is right that nothing is drawn: white space, joiners, variation selectors, fillers."""
    return all(char.isspace() or unicodedata.category(char) in ("Cc", "Cf", "Mn", "Zs") for char in text)
