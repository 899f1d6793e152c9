"""A value that TOML can't read to the value that was meant, where that can be told beyond doubt."""

from __future__ import annotations

import re

from bigsign.errors import LengthError
from bigsign.length_words import mended_length
from bigsign.toml_reading.typography import basic
from bigsign.units import parse_length

__all__ = ["LENGTH", "UNCLOSED", "UNQUOTED", "is_path", "mended_value", "reads", "without_comment"]

UNQUOTED = "a text stands without quotes"
UNCLOSED = "a quote is missing"
INNER = 'a text holds a " that ends it'
LENGTH = "an inch mark ends the text"
BACKSLASH = "a backslash in double quotes begins a special character"
COMMA = "a number has a decimal comma"
COMMAS = "a comma is missing"
BRACKET = "a bracket is missing"
YES = "true and false stand by themselves, in small letters"
COLON = "there is a : for a ="
AFTER = "there are words after the value"

_TRUE = ("true", "yes", "on", "ja", "oui", "y", "wahr")
_FALSE = ("false", "no", "off", "nein", "non", "n", "falsch")
_PATH = re.compile(r"(?:[A-Za-z]:\\|\\\\|\.{1,2}\\)|[^\n]*\.(?:ttf|otf|ttc|otc|woff2?|svgz?|toml)$", re.IGNORECASE)
_PART = re.compile(r'\[[^\[\]]*\]|\{[^{}]*\}|"(?:[^"\\]|\\.)*"(?=\s*(?:,|$))|\'[^\']*\'(?=\s*(?:,|$))|[^,]+', re.DOTALL)
Mended = tuple[str, str] | None


def reads(value: str) -> bool:
    """Whether TOML reads a text as one value."""
    import io

    import toml_rs

    try:
        toml_rs.load_with_metadata(io.BytesIO(f"x = {value}\n".encode()))
    except (toml_rs.TOMLDecodeError, UnicodeEncodeError):
        return False
    return True


def is_path(content: str) -> bool:
    """Whether the inside of a text looks like a path of Windows."""
    return "\\" in content and _PATH.match(content) is not None


def without_comment(rest: str) -> tuple[str, str]:
    """Return a value and the comment after it; a # within quotes or before figures of a colour begins none."""
    for match in re.finditer(r"#", rest):
        before = rest[: match.start()]
        if re.match(r"#[0-9a-fA-F]{3,8}\b", rest[match.start() :]) and (
            not before.strip() or before.count('"') % 2 or before.rstrip()[-1] in "[{(,"
        ):
            continue
        if before[-1:].isspace() and not re.search(r'[\[,=(]\s*"[^"]*$', before):
            return before.rstrip(), rest[match.start() :]
        if re.fullmatch(r'\s*(?:"[^"]*"|\'[^\']*\'|[^"\'\s]*)', before) and before.strip():
            return before.rstrip(), rest[match.start() :]
    return rest.rstrip(), ""


def mended_value(value: str, listed: bool = False) -> Mended:
    """Return (what is wrong, the value as it should be), or None; ``listed``: a list of texts is meant."""
    value = value.strip()
    if listed and value[:1] not in ("", "[", "(", "{"):
        made = _list_without_brackets(value) or mended_value(value)
        if made is None or made[1].startswith("["):
            return made
        return f"{made[0]} and a bracket is missing", f"[{made[1]}]"
    if not value:
        return None
    if len(value) > 2000 or value.startswith(('"""', "'''")):
        return None
    if value[-1] in ",;" and reads(value[:-1].rstrip()):
        return f"there is a {value[-1]} too many", value[:-1].rstrip()
    if value[0] in "[(":
        return _list(value)
    if value[0] == "{":
        return _table(value)
    if value[0] in "\"'":
        return _quoted(value)
    return _bare(value)


def _bare(value: str) -> Mended:
    low = value.lower().rstrip(".")
    if low in _TRUE or low in _FALSE:
        return YES, "true" if low in _TRUE else "false"
    if re.fullmatch(r"[-+]?\d+,\d+", value):
        return COMMA, value.replace(",", ".")
    number = re.fullmatch(r"([-+]?\d*\.?\d+)\s*(°|degrees?|deg|Grad)", value)
    if number:
        return "a number has a unit", number[1] if not number[1].lstrip("-+").startswith(".") else f"0{number[1]}"
    if re.fullmatch(r"[-+]\s+[\d.]+", value):
        return "a number has a space behind its sign", re.sub(r"\s+", "", value)
    if re.fullmatch(r"\.\d+", value):
        return "a number begins with its point", f"0{value}"
    if re.fullmatch(r"\d+\.", value):
        return "a number ends with its point", value[:-1]
    length = _length(value)
    if length is not None:
        return ("a length stands without quotes", f'"{length}"')
    if "=" in value:
        return None
    if value.count('"') == 1 and value.endswith('"'):
        return UNCLOSED, basic(value[:-1])
    if '"' in value or value[0] in ",]}.:" or (len(value) > 60 and "\\" not in value):
        parts = re.findall(r'"[^"]*"', value)
        return None if not parts else _list_without_brackets(value)
    if is_path(value):
        return UNQUOTED, '"' + value.replace("\\", "/") + '"'
    return UNQUOTED, basic(value)


def _list_without_brackets(value: str) -> Mended:
    made = f"[{value}]"
    return (BRACKET, made) if reads(made) else None


def _length(text: str) -> str | None:
    """Return a length with its marks as words, so that no quote stands in a text; None where it is no length."""
    for candidate in (text, text.rstrip("\"'").rstrip()):
        try:
            parse_length(candidate)
        except LengthError:
            continue
        if not re.search(r"\d", candidate):
            return None
        words = re.sub(r"\s*[\"″”]", " in", candidate)
        return re.sub(r"\s*['′’]", " ft", words).strip() if '"' in text or "'" in text else candidate.strip()
    return mended_length(text, parse_length) if '"' not in text else None


def _quoted(value: str) -> Mended:
    quote = value[0]
    other = "'" if quote == '"' else '"'
    closed = len(value) > 1 and value[-1] == quote
    content = value[1:-1] if closed else value[1:]
    if quote == '"' and closed and is_path(content) and '"' not in content:
        return BACKSLASH, '"' + content.replace("\\\\", "/").replace("\\", "/") + '"'
    if quote == '"' and closed and '"' not in content and "\\" in content:
        return BACKSLASH, basic(content)
    if quote not in content:
        mixed = content.rstrip("“”„’‘»«" + other)
        return UNCLOSED, basic(mixed.rstrip() if mixed else content)
    if closed:
        length = _length(content)
        if length is not None:
            return LENGTH, f'"{length}"'
        if re.search(rf"{quote}\s*,\s*{quote}", content):
            return _list_without_brackets(value)
        if re.search(rf"\s=\s|{quote}\s+{quote}", content):
            return None
        return INNER.replace('"', quote), basic(content)
    text, _, after = content.partition(quote)
    after = after.strip()
    joined = _length(f"{text} {after}".strip())
    if joined is not None and _length(text) is None:
        return "a unit stands outside the quotes", f'"{joined}"'
    if after.startswith(","):
        return _list_without_brackets(value)
    if "=" in after:
        return None
    after = after.removeprefix("//").lstrip()
    begun = "" if after.startswith("#") else "# "
    return f"{AFTER} (a comment begins with #)", f"{quote}{text}{quote}  {begun}{after}"


def _list(value: str) -> Mended:
    """Return a list with the bracket, the quotes or the commas it lacks."""
    what: dict[str, None] = {}
    inside = value[1:].strip()
    if inside.endswith(("]", ")")) and not _opens_more(inside):
        inside = inside[:-1].rstrip()
        if value[0] == "(" or value.endswith(")"):
            what["a list stands in square brackets"] = None
    else:
        what[BRACKET] = None
    spaced = re.sub(r'("(?:[^"\\]|\\.)*")\s+(?=")', r"\1, ", inside)
    if spaced != inside and reads(f"[{spaced}]"):
        what[COMMAS] = None
        return " and ".join(what), f"[{spaced}]"
    parts: list[str] = []
    for part in _parts(inside):
        if reads(part):
            parts.append(part)
            continue
        if part.startswith('"') and part.count('"') == 1 and inside.count(",") > 1 and _ambiguous(inside):
            return None
        mended = mended_value(part)
        if mended is None or mended[0].startswith(AFTER):
            return None
        what[mended[0]] = None
        parts.append(mended[1])
    made = f"[{', '.join(parts)}]"
    return (" and ".join(what), made) if what and reads(made) else None


def _opens_more(inside: str) -> bool:
    """Whether the last bracket of a list's inside closes an inner list."""
    plain = re.sub(r'"(?:[^"\\]|\\.)*"', "", inside)
    return plain.count("[") >= plain.count("]") and "[" in plain


def _ambiguous(inside: str) -> bool:
    """Whether quotes are missing where commas could stand within texts as well as between them."""
    return any(not part.strip().startswith('"') and part.strip() for part in inside.split(","))


def _parts(inside: str) -> list[str]:
    """Return the parts between commas that stand outside texts and brackets; a text that isn't closed ends at one."""
    out: list[str] = []
    rest = inside.strip()
    while rest:
        match = _PART.match(rest)
        if match is None:
            break
        out.append(match[0].strip())
        rest = rest[match.end() :].lstrip().removeprefix(",").lstrip()
    return out


def _table(value: str) -> Mended:
    """Return an inline table with = for : and with the quotes it lacks."""
    what: dict[str, None] = {}
    inside = value[1:].strip()
    if inside.endswith("}"):
        inside = inside[:-1].strip()
    else:
        what[BRACKET] = None
    parts = []
    for part in _parts(inside):
        match = re.fullmatch(r'("[^"]*"|\'[^\']*\'|[^\s=:"]+)\s*(=|:)\s*(.+)', part)
        if match is None:
            return None
        key, between, one = match.groups()
        if between == ":":
            what[COLON] = None
        if key[0] not in "\"'" and not re.fullmatch(r"[A-Za-z0-9_-]+", key):
            what[UNQUOTED] = None
            key = basic(key)
        if not reads(one):
            mended = mended_value(one)
            if mended is None:
                return None
            what[mended[0]] = None
            one = mended[1]
        parts.append(f"{key} = {one}")
    made = "{" + ", ".join(parts) + "}"
    return (" and ".join(what), made) if what and reads(made) else None
