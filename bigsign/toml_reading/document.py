"""A TOML file as values with the line of each key; what is wrong with its writing is told all at once.

Where a line can be mended beyond doubt the reading goes on with the mended line, so that what is wrong elsewhere is
told as well; the fault stands all the same. A value that can't be told is ``BROKEN``: known, and at fault.
"""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate
from typing import Any

from bigsign.errors import Fault, InputError
from bigsign.toml_reading.mending import EXAMPLE, LISTS, ONCE, Mending, key_of, mend, mend_head
from bigsign.toml_reading.repeats import merge_repeats, repeated
from bigsign.toml_reading.source import text_of
from bigsign.toml_reading.statements import Statement, statements, tables_of

__all__ = ["BROKEN", "DEEPEST", "Document", "inner_nodes", "read_toml"]

DEEPEST = 32  # levels: the reader of TOML runs out of stack at some thousands, without an exception
MOST = 40  # faults of the writing: who makes more has another kind of file


class _Broken:
    """A value that could not be read; its fault is told."""

    def __repr__(self) -> str:
        return "a value that can't be read"


BROKEN = _Broken()
#: What TOML may read and is not meant: a head in the wrong brackets, a path of Windows.
_QUICK = re.compile(
    rf"^[ \t]*(?:\[(?:{'|'.join(LISTS)})\]|\[\[(?:{'|'.join(ONCE)})\]|(?:font|file|outline)[ \t]*=[^\n]*\\)",
    re.MULTILINE,
)


@dataclass(frozen=True, slots=True)
class Document:
    """The values of a file, the nodes with the place of every key, and the faults of its writing."""

    values: dict[str, Any]
    nodes: dict[str, Any]
    faults: list[Fault] = field(default_factory=list)


def read_toml(data: bytes, name: str) -> Document:
    """Return what the bytes of a TOML file hold.

    Raises
    ------
    InputError
        If it is a file of another kind, or nothing of it can be read.
    """
    faults: list[Fault] = []
    text, bad = text_of(data, name, faults)
    deep = _too_deep(text)
    if deep:
        raise InputError(
            [*faults, Fault("tables or lists nest too deep", f"{name} line {deep}", f"at most {DEEPEST} levels")]
        )
    if not bad and not _QUICK.search(text):
        found = _parsed(text)
        if not isinstance(found, _Stop):
            _place_empty(found[1], statements(text) if _has_empty(found[1]) else [])
            return Document(*found, faults)
    return _Mender(text, name, bad, faults).document()


@dataclass(frozen=True, slots=True)
class _Stop:
    """Where and why the reader of TOML stopped."""

    line: int
    words: str


def _parsed(text: str) -> tuple[dict[str, Any], dict[str, Any]] | _Stop:
    import toml_rs

    try:
        document = toml_rs.load_with_metadata(io.BytesIO(text.encode()))
    except toml_rs.TOMLDecodeError as error:
        return _Stop(max(1, int(error.lineno)), str(error.msg).strip().splitlines()[-1])
    except UnicodeEncodeError:  # half a surrogate pair, of a file in another encoding
        return _Stop(1, "no text")
    return document.value, document.meta["nodes"]


class _Mender:
    """Mends the statements of one text and parses what they are then."""

    def __init__(self, text: str, name: str, bad: set[int], faults: list[Fault]) -> None:
        self.name, self.bad, self.faults = name, bad, faults
        self.parts = statements(text)
        self.rows = [one.text.count("\n") + 1 for one in self.parts]  # of the file, each statement
        self.broken: set[int] = set()

    def document(self) -> Document:
        for at, one in enumerate(self.parts):
            found = mend_head(one.text)
            if found is not None:
                self.told(at, found)
        self.parts = tables_of(self.parts)
        for at, one in enumerate(self.parts):
            if self.bad and self.bad & set(range(one.first, one.first + self.rows[at])):
                self.drop(at, key_of(one.text))
            else:
                found = mend(one)
                if found is not None:
                    self.told(at, found)
            if len(self.faults) > MOST:
                raise InputError([*self.faults, Fault("there are more faults", self.name, "mend these first")])
        for _ in range(MOST):
            found_all = _parsed("\n".join(one.text for one in self.parts))
            if not isinstance(found_all, _Stop):
                return self.finished(*found_all)
            self.stopped(found_all)
        raise InputError(self.faults)

    def told(self, at: int, found: Mending) -> None:
        """Note a fault and go on with the statement as it should be."""
        one = self.parts[at]
        place = f"{self.name} line {one.first + found.offset}"
        where = " ".join(part for part in (place, one.table if found.key else "", found.key) if part)
        self.faults.append(Fault(found.what, where, f"write {found.line.strip()}" if found.line else EXAMPLE))
        if found.text is None:
            self.drop(at, found.key)
        else:
            self.parts[at] = replace(one, text=found.text)

    def drop(self, at: int, key: str) -> None:
        """Leave a statement out; its key stays as one that is broken."""
        one = self.parts[at]
        if key:
            self.broken.add(one.first)
        self.parts[at] = replace(one, text=f'{key} = ""' if key else "")

    def stopped(self, stop: _Stop) -> None:
        """Note why the reader stopped at a statement, and leave it out."""
        rows = accumulate(one.text.count("\n") + 1 for one in self.parts)
        at = next((n for n, row in enumerate(rows) if row >= stop.line), len(self.parts) - 1)
        one = self.parts[at]
        if stop.words == "duplicate key":
            fault, text = repeated(self.parts, at, self.name)
        else:
            fault, text = Fault("this line can't be read", f"{self.name} line {one.first}", EXAMPLE), ""
        if text == one.text:
            raise InputError([*self.faults, fault])
        self.faults.append(fault)
        self.parts[at] = replace(one, text=text)

    def finished(self, values: dict[str, Any], nodes: dict[str, Any]) -> Document:
        origin = [0]
        for one, rows in zip(self.parts, self.rows, strict=True):
            origin += [one.first + min(n, rows - 1) for n in range(one.text.count("\n") + 1)]
        self.placed(values, nodes, origin)
        _place_empty(nodes, self.parts)
        self.faults.extend(merge_repeats(values, nodes, self.name))
        return Document(values, nodes, self.faults)

    def placed(self, values: Any, nodes: Any, origin: list[int]) -> None:
        """Give every node its line in the file, and every broken key its value that says so."""
        if isinstance(nodes, list):
            for at, node in enumerate(nodes):
                self.placed(values[at] if isinstance(values, list) else None, node, origin)
        if not isinstance(nodes, dict):
            return
        if _is_wrapper(nodes):
            for word in ("key_line", "value_line"):
                line = nodes.get(word)
                first = line[0] if isinstance(line, tuple | list) else line  # (first, last) of several lines
                if isinstance(first, int):
                    nodes[word] = origin[min(first, len(origin) - 1)]
            self.placed(values, nodes["value"], origin)
            return
        for key, node in nodes.items():
            self.placed(values.get(key) if isinstance(values, dict) else None, node, origin)
            line = node.get("key_line") if isinstance(node, dict) else None
            if isinstance(line, int) and line in self.broken and isinstance(values, dict):
                values[key] = BROKEN


def _place_empty(nodes: dict[str, Any], parts: Sequence[Statement]) -> None:
    """Give tables that hold no key, and so no line, the line of their head."""
    for one in parts:
        head = re.match(r"\s*\[\s*([\w-]+(?:\s*\.\s*[\w-]+)*)\s*\]", one.text)
        within, names = nodes, re.split(r"\s*\.\s*", head[1]) if head is not None else []
        for name in names[:-1]:
            within = within.get(name, {}) if isinstance(within, dict) else {}
        if names and isinstance(within, dict) and within.get(names[-1]) == {}:
            within[names[-1]] = {"key_raw": names[-1], "key_line": one.first, "value": {}}


def _has_empty(nodes: Any) -> bool:
    """Whether a table within ``nodes`` holds no key."""
    return isinstance(nodes, dict) and not _is_wrapper(nodes) and (not nodes or any(map(_has_empty, nodes.values())))


def inner_nodes(node: Any) -> Any:
    """Return the nodes of the keys of a table, or of the parts of a list, of which ``node`` is the node."""
    return node["value"] if isinstance(node, dict) and _is_wrapper(node) else node


def _is_wrapper(node: dict[str, Any]) -> bool:
    """Whether a node is that of one value; else it is a table's, with the nodes of its keys."""
    return "value" in node and any(isinstance(node.get(word), str) for word in ("key_raw", "value_raw"))


_QUOTED = re.compile(r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*', re.DOTALL)


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
