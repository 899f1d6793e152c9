"""Tables of a TOML file that know where each key stands, and gather every fault instead of stopping at the first."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from bigsign.characters import name_of
from bigsign.errors import Fault, LengthError
from bigsign.toml_reading import BROKEN, inner_nodes
from bigsign.toml_reading.typography import basic
from bigsign.units import parse_length

__all__ = ["NEAR", "Table", "first_line", "or_usual"]

NEAR = 0.6  # how alike a misspelt key is to the one meant


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
        self.expected: tuple[str, ...] = ()

    def where(self, key: str = "") -> str:
        """Return where a key stands: file, line, table, key."""
        line = first_line(self.nodes.get(key)) or first_line(self.nodes)
        place = f"{self.file} line {line}" if line else self.file
        return " ".join(part for part in (place, self.label, key) if part)

    def fault(self, key: str, what: str, right: str) -> None:
        """Note a fault at a key."""
        self.faults.append(Fault(what, self.where(key), right))

    def table(self, key: str) -> Table:
        """Return an inner table; an empty one where it is absent or no table."""
        found = self.values.get(key, {})
        if not isinstance(found, Mapping):
            if found is not BROKEN:
                self.fault(key, f"{key} is no table", f"a table [{key}]")
            found = {}
        nodes = inner_nodes(self.nodes.get(key, {})) if found else {}
        return Table(found, nodes if isinstance(nodes, Mapping) else {}, f"[{key}]", self.file, self.faults)

    def expect(self, *keys: str) -> None:
        """Say which keys the table may hold, before any is asked for, so that none is taken for another misspelt."""
        self.expected = keys

    def has(self, key: str) -> bool:
        """Whether the key is there; it is known from now on."""
        if key not in self.known:
            self.known.append(key)
        return key in self.values

    def lacks(self, *keys: str) -> bool:
        """Whether none of ``keys`` is there, nor an unknown key spelt like one of them (that is the fault then)."""
        unknown = [key for key in self.values if key not in self.known and key not in self.expected]
        near = any(difflib.get_close_matches(key, keys, 1, NEAR) for key in unknown)
        return not near and not any(key in self.values for key in keys)

    def value(self, key: str, kind: type | tuple[type, ...], right: str, default: Any = None) -> Any:
        """Return a value of a kind."""
        if not self.has(key):
            return default
        found = self.values[key]
        if found is BROKEN:  # its fault is told
            return default
        if isinstance(found, kind) and (kind is bool or not isinstance(found, bool)):
            return found
        shown = repr(found).lower() if isinstance(found, bool) else _shown(found)
        self.fault(key, f"{key} is {shown}", right + _meant(key, found, kind))
        return default

    def text(self, key: str, default: str | None = None, right: str = "text in quotes") -> str | None:
        """Return a text without control characters."""
        found = self.value(key, str, right, default)
        strange = next((c for c in found if unicodedata.category(c) == "Cc"), None) if isinstance(found, str) else None
        if strange is not None:
            self.fault(key, f"{key} holds {name_of(strange)}", "plain text")
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
        if not self.has(key) or self.values[key] is BROKEN:
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


def _meant(key: str, found: Any, kind: type | tuple[type, ...]) -> str:
    """Return how a value in quotes that needs none, or a text that should be a list, reads; "" where it isn't told."""
    if not isinstance(found, str) or len(found) > 40:
        return ""
    if kind is bool and found.strip().lower() in ("true", "false", "yes", "no"):
        return f": {key} = {'true' if found.strip().lower() in ('true', 'yes') else 'false'}"
    if isinstance(kind, tuple) and float in kind and re.fullmatch(r"-?\d+(\.\d+)?", found.strip()):
        return f": {key} = {found.strip()}"
    if kind is list and key in ("lines", "words", "break_after", "no_break_after") and found.isprintable():
        return f": {key} = [{basic(found)}]"
    return ""


def or_usual(value: float | None, usual: float) -> float:
    """Return a value, or the usual one where it is None."""
    return usual if value is None else value
