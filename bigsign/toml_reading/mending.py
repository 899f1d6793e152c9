"""A statement that TOML can't read: what is wrong with it in plain words, and how it should read."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass

from bigsign.toml_reading.statements import HEAD, Statement, bare
from bigsign.toml_reading.typography import straight
from bigsign.toml_reading.values import BACKSLASH, is_path, mended_value, reads, without_comment

__all__ = ["EXAMPLE", "LISTS", "ONCE", "Mending", "key_of", "mend", "mend_head", "statement_reads"]

LONGEST = 1000  # characters of a line, and lines of a list, that people write; nothing longer is looked at closely
MOST_ROWS = 200
LISTS = ("lettering", "artwork")  # tables of which there may be several: in double brackets
ONCE = ("sign", "cutter", "film", "plan", "reading", "seams", "slip", "weights", "marks", "site")  # in single ones
TEXTS = ("lines", "words", "break_after", "no_break_after")  # keys of lists of texts
EXAMPLE = 'a key, = and a value, as width = "12 in"; words stand in straight quotes, remarks behind a #'
_KEY = re.compile(r"^(\s*)((?:[A-Za-z_][\w-]*(?: [A-Za-z]\w*){0,2}|\"[^\"]*\"|'[^']*'))\s*(:=|==|=>|->|=|:)\s*(.*)$")
_NO_SIGN = re.compile(r"^(\s*)([A-Za-z_][\w-]*)(?:\s+[-~]?\s*)(?=[\"'\[\d.])(.+)$")
_REMARK = re.compile(r"^\s*(?://|;|--|/\*|<!--|!|%|REM\b|\*)")
_HEAD = re.compile(r"^\s*[\[<({]{0,2}\s*([A-Za-z_]\w*)\s*[\])>}]{0,2}\s*:?\s*(?:#.*)?$")
_PATHS = re.compile(r'^(\s*)(font|file|outline)(\s*=\s*)"([^"\n]*)"(\s*(?:#.*)?)$')


@dataclass(frozen=True, slots=True)
class Mending:
    """What is wrong in the line ``offset`` of a statement and how the line should read ("" where it can't be told).

    ``text`` is the whole statement to go on with; None: nothing of it can be used.
    """

    what: str
    line: str
    text: str | None
    offset: int = 0
    key: str = ""


def statement_reads(text: str) -> bool:
    """Whether TOML reads a statement by itself."""
    import toml_rs

    try:
        toml_rs.load_with_metadata(io.BytesIO(text.encode()))
    except (toml_rs.TOMLDecodeError, UnicodeEncodeError):
        return False
    return True


def mend(one: Statement) -> Mending | None:
    """Return what is wrong with a statement; None: nothing."""
    path = _PATHS.match(one.text) if len(one.text) <= LONGEST else None
    if path is not None and is_path(path[4]) and "\\" in path[4].replace("\\\\", ""):
        line = f'{path[1]}{path[2]}{path[3]}"{path[4].replace(chr(92) * 2, "/").replace(chr(92), "/")}"{path[5]}'
        return Mending(BACKSLASH, line, line, key=path[2])
    if one.empty or statement_reads(one.text):
        return None
    rows = one.text.split("\n")
    if len(rows) > MOST_ROWS or max(map(len, rows)) > LONGEST:
        return Mending("this line can't be read", "", None, key=key_of(one.text[:LONGEST]))
    cleaned = [straight(row) for row in rows]
    found = next((n for n, (row, what) in enumerate(cleaned) if what), None)
    text = "\n".join(row for row, _ in cleaned)
    what = list(dict.fromkeys(word for _, words in cleaned for word in words))
    if found is not None and statement_reads(text):
        return Mending(_joined(what), cleaned[found][0], text, found, key_of(text))
    if len(rows) > 1:
        return _lines([row for row, _ in cleaned], what)
    return _line(text, what)


def mend_head(text: str) -> Mending | None:
    """Return what is wrong with the brackets of a table's head, None: it is right or no head."""
    if len(text) > LONGEST:
        return None
    head = HEAD.match(text)
    if head is None:
        broken = _HEAD.match(straight(text)[0])
        if broken is None or (not re.match(r"\s*[\[<({]", text) and not re.search(r"[\]:]\s*$", text)):
            return None
        if re.match(r"\s*\w+\s*=", text):
            return None
        name = broken[1]
    else:
        name = head[2]
        want = 2 if name in LISTS else 1 if name in ONCE else len(head[1])
        if len(head[1]) == want == len(head[3]):
            return None
    brackets = ("[[", "]]") if name in LISTS or (name not in ONCE and text.lstrip().startswith("[[")) else ("[", "]")
    line = f"{brackets[0]}{name}{brackets[1]}"
    return Mending("the head of a table has other brackets", line, line)


def _line(text: str, what: list[str]) -> Mending:
    if _REMARK.match(text):
        line = "# " + _REMARK.sub("", text).strip()
        return Mending("a remark begins with another sign than #", line, line)
    match = _KEY.match(text)
    if match is not None:
        indent, key, between, rest = match.groups()
        if between != "=":
            what = [*what, f"there is {between} for ="]
    else:
        plain = _NO_SIGN.match(text)
        if plain is None:
            return Mending(_joined(what) or "this line is no key with a value", "", None, key=key_of(text))
        indent, key, rest = plain.groups()
        what = [*what, "the = is missing"]
    if " " in key and key[0] not in "\"'":
        what = [*what, "a key has a space in its name"]
        key = key.replace(" ", "_")
    two = re.search(r"(?<=[\"'\]\d])\s*[,;]?\s+(?=[A-Za-z_]\w*\s*=(?!=))", rest)
    if two is not None and reads(rest[: two.start()].strip(" ,;")):
        first = f"{indent}{key} = {rest[: two.start()].strip(' ,;')}"
        second = indent + rest[two.end() :]
        if statement_reads(first + "\n" + second):
            line = f"{first} and, on a line of its own, {second.strip()}"
            return Mending("two keys stand on one line", line, f"{first}\n{second}")
    value, comment = without_comment(rest)
    if not reads(value):
        mended = mended_value(value, key in TEXTS)
        if mended is None:
            right = "there is no value" if not value else "this value can't be read"
            return Mending(_joined([*what, right]), "", None, key=key)
        what, value = [*what, mended[0]], mended[1]
    line = f"{indent}{key} = {value}{'  ' + comment if comment else ''}"
    if not statement_reads(line):
        return Mending(_joined(what) or "this line can't be read", "", None, key=key)
    return Mending(_joined(what) or "this line can't be read", line, line, key=key)


def _lines(rows: list[str], what: list[str]) -> Mending:
    """Mend a list over several lines: its closing bracket, or the quotes and commas of one of its lines."""
    key = key_of(rows[0])
    for closing in ("]", "}"):
        if statement_reads("\n".join([*rows, closing])):
            last = max((n for n, row in enumerate(rows) if bare(row).strip()), default=0)
            body, comment = without_comment(rows[last]) if "#" in rows[last] else (rows[last].rstrip(), "")
            line = f"{body}{closing}{'  ' + comment if comment else ''}"
            text = "\n".join([*rows[:last], line, *rows[last + 1 :]])
            if statement_reads(text):
                return Mending(_joined([*what, "a bracket is missing"]), line, text, last, key)
    for number, row in enumerate(rows):
        for mended in _rows_of_list(row, number == len(rows) - 1):
            text = "\n".join([*rows[:number], mended, *rows[number + 1 :]])
            if statement_reads(text):
                words = "a comma is missing" if mended.count('"') == row.count('"') else "a quote is missing"
                return Mending(_joined([*what, words]), mended, text, number, key)
    return Mending(_joined([*what, "this list can't be read"]), "", None, 0, key)


def _rows_of_list(row: str, last: bool) -> list[str]:
    """Return how a line of a list might be meant: with a comma at its end, or with a quote at either end."""
    body = row.strip()
    indent = row[: len(row) - len(row.lstrip())]
    if not body or body.startswith("#"):
        return []
    out = []
    if not last and bare(body).endswith('""'):
        out.append(f"{indent}{body},")
    if body.count('"') == 1:
        inner = body.rstrip(",")
        comma = "," if body.endswith(",") else ""
        out.append(f'{indent}{inner}"{comma}' if body.startswith('"') else f'{indent}"{inner}{comma}')
    return out


def key_of(text: str) -> str:
    """Return the key a statement begins with, or ""."""
    match = re.match(r"\s*([A-Za-z_][\w-]*)\s*[=:]", text)
    return match[1] if match else ""


def _joined(what: list[str]) -> str:
    return " and ".join(dict.fromkeys(what))
