"""Keys and tables that stand twice: said with both lines, and read on as one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bigsign.errors import Fault
from bigsign.toml_reading.mending import key_of
from bigsign.toml_reading.statements import HEAD, Statement

__all__ = ["merge_repeats", "repeated"]

AGAIN = "bigsign-again-"  # the name of a second table of a name until both are one


def repeated(parts: Sequence[Statement], at: int, name: str) -> tuple[Fault, str]:
    """Return the fault of a statement that says what an earlier one said, and the text to go on with."""
    one = parts[at]
    head = HEAD.match(one.text)
    place = f"{name} line {one.first}"
    if head is not None:
        first = next((other.first for other in parts[:at] if (h := HEAD.match(other.text)) and h[2] == head[2]), None)
        since = f" (first in line {first})" if first else ""
        right = f"one table [{head[2]}] that holds all its keys"
        return Fault(f"the table [{head[2]}] stands twice{since}", place, right), f"[{AGAIN}{one.first}-{head[2]}]"
    key = key_of(one.text)
    first = next((o.first for o in parts[:at] if key and o.table == one.table and key_of(o.text) == key), None)
    where = " ".join(part for part in (place, one.table, key) if part)
    if first is None:
        return Fault(f"{key or 'a key'} stands twice", where, "each key once in its table"), ""
    return Fault(f"{key} stands twice (first in line {first})", where, "one of the two lines"), ""


def merge_repeats(values: dict[str, Any], nodes: dict[str, Any], name: str) -> list[Fault]:
    """Put what a second table of a name holds into the first; return the faults of keys that stand in both."""
    faults = []
    for again in [key for key in values if key.startswith(AGAIN)]:
        begun, _, first = again.removeprefix(AGAIN).partition("-")
        more, more_nodes = values.pop(again), nodes.pop(again, {})
        into, into_nodes = values.get(first), nodes.get(first)
        if not (isinstance(into, dict) and isinstance(into_nodes, dict) and isinstance(more, dict)):
            continue
        for key, value in more.items():
            node = more_nodes.get(key, {}) if isinstance(more_nodes, dict) else {}
            if key not in into:
                into[key], into_nodes[key] = value, node
                continue
            line = _line(into_nodes.get(key))
            since = f" (first in line {line})" if line else ""
            where = f"{name} line {_line(node) or begun} [{first}] {key}"
            faults.append(Fault(f"{key} stands twice{since}", where, "one of the two lines"))
    return faults


def _line(node: Any) -> int | None:
    """Return the line of a key, or of the first key of a table; None where there is none."""
    if not isinstance(node, dict):
        return None
    if isinstance(node.get("key_line"), int):
        return int(node["key_line"])
    return next((line for inner in node.values() if (line := _line(inner))), None)
