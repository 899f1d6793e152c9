"""A TOML text in statements: a table's head, or a key with its value, over one or more lines.

The parting goes on where a text or a list is not closed, so that one fault doesn't swallow the lines below it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

__all__ = ["HEAD", "KEY", "Statement", "bare", "statements", "tables_of"]

HEAD = re.compile(r"^\s*(\[\[?)\s*([A-Za-z_][\w-]*)\s*(\]\]?)\s*(?:#.*)?$")
KEY = re.compile(r"^\s*([A-Za-z_][\w-]*)\s*=")
_NO_HEADS = ("true", "false", "inf", "nan")
_STRING = re.compile(r'"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*')


@dataclass(frozen=True, slots=True)
class Statement:
    """Lines ``first`` to the last of ``text`` (numbered from 1) with the table they stand in, as people read it."""

    first: int
    text: str
    table: str = ""

    @property
    def empty(self) -> bool:
        """Whether there is nothing but white space and a comment."""
        return not self.text.strip() or self.text.lstrip(" \t").startswith("#")


def bare(text: str) -> str:
    """Return a text with closed texts as "" and comments as nothing; a quote that isn't closed stays."""
    return _STRING.sub(lambda match: "" if match[0].startswith("#") else '""', text)


def statements(text: str) -> list[Statement]:
    """Return the statements of a text in order; together they hold every line."""
    rows = text.split("\n")
    out: list[Statement] = []
    at = 0
    while at < len(rows):
        end = _end(rows, at)
        out.append(Statement(at + 1, "\n".join(rows[at:end])))
        at = end
    return tables_of(out)


def tables_of(found: list[Statement]) -> list[Statement]:
    """Return the statements with the table each stands in: "[sign]", or "[[lettering]] 2" for the second of a list."""
    counts: dict[str, int] = {}
    table = ""
    out = []
    for one in found:
        head = HEAD.match(one.text)
        if head is not None:
            name = head[2]
            counts[name] = counts.get(name, 0) + 1
            table = f"[[{name}]] {counts[name]}" if head[1] == "[[" else f"[{name}]"
        out.append(replace(one, table=table))
    return out


def _end(rows: list[str], at: int) -> int:
    """Return the line after the statement that begins at a line (counted from 0)."""
    if rows[at].lstrip().startswith("#") or HEAD.match(rows[at]):
        return at + 1
    for quote in ('"""', "'''"):
        opened = re.match(rf"[^#\"']*=\s*{quote}", rows[at])
        if opened:
            close = _closing(rows, at, opened.end(), quote)
            if close is not None:
                return close + 1
    open_brackets: list[str] = []
    end = at
    while end < len(rows):
        if open_brackets and _begins_anew(rows, end, open_brackets[-1]):
            return end
        for char in bare(rows[end]):
            if char in "[{":
                open_brackets.append(char)
            elif char in "]}" and open_brackets:
                open_brackets.pop()
        end += 1
        if not open_brackets:
            return end
    return at + 1 if "{" in open_brackets else end  # a list that is never closed holds all that is left


def _closing(rows: list[str], at: int, column: int, quote: str) -> int | None:
    """Return the line where a text over several lines ends, or None where it seems not to have been meant."""
    if quote in rows[at][column:]:
        return at
    for number in range(at + 1, len(rows)):
        if quote in rows[number]:
            return number
        if HEAD.match(rows[number]):
            return None
    return None


def _begins_anew(rows: list[str], at: int, bracket: str) -> bool:
    """Whether a line within an open bracket begins a new statement, so that the bracket was never closed."""
    head = HEAD.match(rows[at])
    if head is not None and head[2] not in _NO_HEADS:
        return True
    if KEY.match(rows[at]) is None:
        return False
    before = next((bare(rows[n]).strip() for n in range(at - 1, -1, -1) if bare(rows[n]).strip()), "")
    return bracket == "[" or not before.endswith(("{", ","))
