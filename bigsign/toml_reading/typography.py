"""What word processors and phones make of quotes, spaces and dashes, put back where TOML needs the plain ones."""

from __future__ import annotations

import unicodedata

from bigsign.characters import name_of

__all__ = ["basic", "straight"]

DOUBLE = "“”„‟«»″＂"
SINGLE = "‘’‚‛‹›′`´"
DASHES = "‐‑‒–—―−"
_WIDE = {"＝": "=", "［": "[", "］": "]", "｛": "{", "｝": "}", "，": ",", "＃": "#", "：": ":", "、": ","}
_ENDS = ",]}#=:;"

CURLY = "the quotes are curly"
SPACE = "there is a space of another kind (a non-breaking one, say)"
DASH = "there is a long dash for a minus sign"
WIDE = "there are wide signs for plain ones"


def basic(content: str) -> str:
    """Return a text as TOML in the quotes that need no escape where there are such."""
    if '"' not in content and "\\" not in content:
        return f'"{content}"'
    if "'" not in content:
        return f"'{content}'"
    escaped = content.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def straight(row: str) -> tuple[str, list[str]]:
    """Return a line with plain quotes, spaces and dashes outside its texts, and what was found, in words."""
    out: list[str] = []
    found: dict[str, None] = {}
    at = 0
    while at < len(row):
        char = row[at]
        if char == "#":
            out.append(row[at:])
            break
        if char in "\"'":
            end = row.find(char, at + 1)
            while char == '"' and end > 0 and row[end - 1] == "\\" and (end - len(row[:end].rstrip("\\"))) % 2:
                end = row.find(char, end + 1)
            end = len(row) if end < 0 else end + 1
            out.append(row[at:end])
            at = end
            continue
        after_figure = bool(out) and bool(out[-1]) and (out[-1][-1].isdigit() or out[-1][-1] in "½¼¾⅛⅜⅝⅞⅓⅔")
        if char in DOUBLE + SINGLE and not after_figure:
            close = _end(row, at)
            if close is not None:
                out.append(basic(row[at + 1 : close].strip()))
                found[CURLY] = None
                at = close + 1
                continue
            out.append('"')
            found[CURLY] = None
        elif char in _WIDE:
            out.append(_WIDE[char])
            found[WIDE] = None
        elif char in DASHES:
            out.append("-")
            found[DASH] = None
        elif char.isspace() and char not in " \t":
            out.append(" ")
            found[SPACE] = None
        elif unicodedata.category(char) in ("Cf", "Cc") and char != "\t":
            found[f"there is {name_of(char)}, which can't be seen"] = None
        else:
            out.append(char)
        at += 1
    return "".join(out), list(found)


def _end(row: str, at: int) -> int | None:
    """Return where the text that a curly quote at ``at`` begins ends, or None."""
    spaces = "".join({char for char in row if char.isspace()})
    closing = DOUBLE + '"' if row[at] in DOUBLE else SINGLE + "'"
    for end in range(at + 1, len(row)):
        if row[end] not in closing:
            continue
        after = row[end + 1 :].lstrip(spaces)
        if not after or after[0] in _ENDS + "，］｝＃＝":
            return end
    return None
