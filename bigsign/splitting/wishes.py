"""Fixed wishes: keep these together, break here, never break here; texts become glyphs, or an error says why not."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bigsign.errors import Fault, InputError
from bigsign.project import Wish
from bigsign.reading.lettering import Lettering

__all__ = ["Resolved", "resolve_wishes"]


@dataclass(frozen=True, slots=True)
class Resolved:
    """A wish as node ids: sets to keep together, or pairs of nodes that go to different panels."""

    wish: Wish
    together: tuple[tuple[str, ...], ...] = ()
    apart: tuple[tuple[str, str], ...] = ()

    @property
    def label(self) -> str:
        """The wish as the project spells it."""
        return f"{self.wish.kind} = {', '.join(self.wish.texts)}"


def resolve_wishes(wishes: Iterable[Wish], lettering: Lettering) -> list[Resolved]:
    """Return every wish as nodes.

    Raises
    ------
    InputError
        With one fault for each text that fits nothing, or several things (their ids are listed).
    """
    faults: list[Fault] = []
    out: list[Resolved] = []
    for wish in wishes:
        try:
            out.append(_resolve(wish, lettering))
        except InputError as error:
            faults.extend(error.faults)
    if faults:
        raise InputError(faults)
    return out


def _resolve(wish: Wish, lettering: Lettering) -> Resolved:
    if wish.kind == "keep":
        nodes = [node for text in wish.texts for node in _find(text, wish, lettering)]
        return Resolved(wish, together=(tuple(dict.fromkeys(nodes)),))
    after = _find(wish.texts[0], wish, lettering)[-1]
    before, behind = _two_sides(after, wish, lettering)
    if wish.kind == "break_after":
        return Resolved(wish, apart=tuple((a, b) for a in before for b in behind))
    return Resolved(wish, together=((*before, *behind),))


def _find(text: str, wish: Wish, lettering: Lettering) -> tuple[str, ...]:
    """Return the glyphs (or the ornament) that a wish's text names; the last one is where "after" stands."""
    words = {word.id: word for word in lettering.words}
    if text in words:
        return words[text].glyphs
    if text in {glyph.id for glyph in lettering.glyphs} or text in lettering.ornaments:
        return (text,)
    for line in lettering.lines:
        if line.id == text:
            return tuple(glyph for word in line.words for glyph in words[word].glyphs)
    body, _, letters = text.partition("|")
    match = re.fullmatch(r"(.*)#(\d+)", body)
    body, use = (match[1], int(match[2])) if match else (body, 0)
    runs = list(_runs(body, lettering))
    if use:
        if not 1 <= use <= len(runs):
            raise _fault(wish, f"there is no use {use} of {body!r}", f"it is there {len(runs)} times")
        runs = [runs[use - 1]]
    if not runs:
        known = ", ".join(dict.fromkeys(word.text or word.id for word in lettering.words))
        raise _fault(wish, f"{text!r} is no word and no id of this sign", f"one of: {known}")
    if len(runs) > 1:
        ids = ", ".join("+".join(run) for run in runs)
        raise _fault(wish, f"{text!r} fits {len(runs)} places", f"one of these ids, or {body}#1: {ids}")
    glyphs = [glyph for word in runs[0] for glyph in words[word].glyphs]
    if letters:
        if not letters.isdigit() or not 1 <= int(letters) <= len(glyphs):
            raise _fault(wish, f"{text!r} names no letter", f"a number from 1 to {len(glyphs)} after the bar")
        glyphs = glyphs[: int(letters)]
    return tuple(glyphs)


def _runs(text: str, lettering: Lettering) -> Iterable[tuple[str, ...]]:
    """Yield the runs of words of one line whose texts make ``text``."""
    wanted = text.split()
    texts = {word.id: word.text for word in lettering.words}
    for line in lettering.lines if wanted else ():
        for at in range(len(line.words) - len(wanted) + 1):
            run = line.words[at : at + len(wanted)]
            if [texts[word] for word in run] == wanted:
                yield run


def _two_sides(after: str, wish: Wish, lettering: Lettering) -> tuple[Sequence[str], Sequence[str]]:
    """Return the glyphs just before and just behind the place after ``after``."""
    words = {word.id: word for word in lettering.words}
    rows = [[glyph for word in line.words for glyph in words[word].glyphs] for line in lettering.lines]
    for rank, row in enumerate(rows):
        if after in row:
            at = row.index(after)
            if at + 1 < len(row):
                return [after], [row[at + 1]]
            if rank + 1 < len(rows):
                return row, rows[rank + 1]
            raise _fault(wish, f"{wish.texts[0]!r} ends the last line", "a place with lettering after it")
    raise _fault(wish, f"{wish.texts[0]!r} is not in a line", "a word or letter of a line")


def _fault(wish: Wish, what: str, right: str) -> InputError:
    return InputError(Fault(what, wish.where, right))
