"""Tables of a TOML file that know where each key stands, and gather every fault instead of stopping at the first."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from bigsign.errors import Fault, InputError, LengthError
from bigsign.units import parse_length

__all__ = ["Table", "first_line", "parse_toml"]

NEAR = 0.6  # how alike a misspelt key is to the one meant
DEEPEST = 32  # levels: the reader of TOML runs out of stack at some thousands, without an exception


def parse_toml(data: bytes, name: str) -> tuple[Mapping[str, Any], Mapping[str, Any]]:
    """Return (values, nodes with the place of every key) of a TOML file.

    Raises
    ------
    InputError
        With the line, if the bytes are not UTF-8 or not TOML.
    """
    import io

    import toml_rs

    try:
        text = data.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise InputError(Fault("the file is not UTF-8 text", f"{name} line {line}", "save it as UTF-8")) from None
    deep = _too_deep(text)
    if deep:
        raise InputError(Fault("tables or lists nest too deep", f"{name} line {deep}", f"at most {DEEPEST} levels"))
    try:
        document = toml_rs.load_with_metadata(io.BytesIO(data.removeprefix(b"\xef\xbb\xbf")))
    except toml_rs.TOMLDecodeError as error:
        what = str(error.msg).strip().splitlines()[-1]
        raise InputError(Fault(f"broken TOML: {what}", f"{name} line {error.lineno}", "mend this line")) from None
    return document.value, document.meta["nodes"]


_QUOTED = re.compile(
    r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*', re.DOTALL
)


def _too_deep(text: str) -> int:
    """Return the line where brackets nest, or a dotted key runs, deeper than ``DEEPEST``; 0 if none does."""
    bare = _QUOTED.sub(lambda match: "\n" * match[0].count("\n"), text)
    depth = 0
    for number, line in enumerate(bare.split("\n"), 1):
        if line.count(".") > DEEPEST:
            return number
        for char in line:
            depth += (char in "[{") - (char in "]}")
            if depth > DEEPEST:
                return number
    return 0


def first_line(node: Any) -> int | None:
    """Return the line of a key, or of the first key of a table or of its items; None where nothing has a line."""
    if isinstance(node, list):
        lines = [item["value_line"] for item in node if isinstance(item, Mapping) and "value_line" in item]
        return min(lines, default=None)
    if not isinstance(node, Mapping):
        return None
    line = node.get("key_line")
    if isinstance(line, int):
        return max(1, line)
    found = [first_line(inner) for inner in node.values()]
    return min((one for one in found if one is not None), default=None)


class Table:
    """One table: its values, the lines of its keys, and the list that all faults of the file go to.

    Every getter takes a key, notes it as known, and returns the value or ``default`` where the key is absent or
    its value was faulty (a fault is then on the list).
    """

    def __init__(
        self, values: Mapping[str, Any], nodes: Mapping[str, Any], label: str, file: str, faults: list[Fault]
    ) -> None:
        self.values, self.nodes, self.label, self.file, self.faults = values, nodes, label, file, faults
        self.known: list[str] = []

    def where(self, key: str = "") -> str:
        """Return where a key stands: file, line, table, key."""
        line = first_line(self.nodes.get(key)) or first_line(self.nodes)
        place = f"{self.file} line {line}" if line else self.file
        return " ".join(part for part in (place, self.label, key) if part)

    def fault(self, key: str, what: str, right: str) -> None:
        """Note a fault at a key."""
        self.faults.append(Fault(what, self.where(key), right))

    def has(self, key: str) -> bool:
        """Whether the key is there; it is known from now on."""
        if key not in self.known:
            self.known.append(key)
        return key in self.values

    def lacks(self, *keys: str) -> bool:
        """Whether none of ``keys`` is there, nor an unknown key spelt like one of them (that is the fault then)."""
        unknown = [key for key in self.values if key not in self.known]
        near = any(difflib.get_close_matches(key, keys, 1, NEAR) for key in unknown)
        return not near and not any(key in self.values for key in keys)

    def value(self, key: str, kind: type | tuple[type, ...], right: str, default: Any = None) -> Any:
        """Return a value of a kind."""
        if not self.has(key):
            return default
        found = self.values[key]
        if isinstance(found, bool) and kind is not bool:
            self.fault(key, f"{key} is {found!r}".lower(), right)
            return default
        if not isinstance(found, kind):
            self.fault(key, f"{key} is {_shown(found)}", right)
            return default
        return found

    def text(self, key: str, default: str | None = None, right: str = "text in quotes") -> str | None:
        """Return a text without control characters."""
        found = self.value(key, str, right, default)
        if isinstance(found, str) and any(ord(char) < 32 or ord(char) == 127 for char in found):
            self.fault(key, f"{key} holds a tab, line break or control character", "plain text")
            return default
        return None if found is None else str(found)

    def choice(self, key: str, options: Sequence[str], default: str) -> str:
        """Return one of a few words."""
        found = self.text(key, default, f"one of: {', '.join(options)}")
        if found not in options:
            near = difflib.get_close_matches(str(found), options, 1)
            right = f"did you mean {near[0]!r}?" if near else f"one of: {', '.join(options)}"
            self.fault(key, f"{key} is {_shown(found)}", right)
            return default
        return str(found)

    def length(
        self, key: str, default: float | None = None, *, zero: bool = False, negative: bool = False
    ) -> float | None:
        """Return a length in mm: above nought, unless ``zero`` or ``negative`` are allowed."""
        if not self.has(key):
            return default
        return self._length(key, self.values[key], default, zero, negative)

    def _length(self, key: str, found: Any, default: float | None, zero: bool, negative: bool) -> float | None:
        try:
            value = parse_length(found)
        except LengthError as error:
            what, _, right = str(error).rpartition(": ")
            self.fault(key, what, right)
            return default
        if not negative and (value < 0 or (value == 0 and not zero)):
            self.fault(key, f"{key} is {found!r}", "a length of nought or more" if zero else "a length above nought")
            return default
        if abs(value) > 1e6:
            self.fault(key, f"{key} is {found!r}", "a length below a kilometre")
            return default
        return value

    def point(self, key: str) -> tuple[float, float] | None:
        """Return a pair of lengths, or None."""
        right = 'two lengths from the left and the top, as ["6 in", "20 in"]'
        found = self.value(key, list, right)
        if found is None:
            return None
        if len(found) != 2:
            self.fault(key, f"{key} has {len(found)} parts", right)
            return None
        pair = [self._length(key, part, None, True, True) for part in found]
        return None if pair[0] is None or pair[1] is None else (pair[0], pair[1])

    def number(self, key: str, default: float, right: str, good: Callable[[float], bool]) -> float:
        """Return a number for which ``good`` holds."""
        found = self.value(key, (int, float), right, default)
        if not abs(float(found)) < 1e9 or not good(float(found)):
            self.fault(key, f"{key} is {found!r}", right)
            return default
        return float(found)

    def flag(self, key: str, default: bool) -> bool:
        """Return true or false."""
        return bool(self.value(key, bool, "true or false", default))

    def texts(self, key: str, right: str) -> list[str] | None:
        """Return a list of texts, or None."""
        found = self.value(key, list, right)
        if found is None:
            return None
        if not all(isinstance(part, str) for part in found):
            self.fault(key, f"{key} holds something that is no text", right)
            return None
        return [str(part) for part in found]

    def finish(self, later: Iterable[str] = ()) -> None:
        """Note every unknown key with the nearest known one; keys of ``later`` are said to be not built yet."""
        for key in self.values:
            if key in self.known:
                continue
            if key in later:
                self.fault(key, f"{key} is not built yet", "leave it out for now")
                continue
            near = difflib.get_close_matches(key, self.known, 1, NEAR)
            right = f"did you mean {near[0]!r}?" if near else f"known here: {', '.join(self.known)}"
            self.fault(key, f"unknown key {key!r}", right)


def _shown(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."
