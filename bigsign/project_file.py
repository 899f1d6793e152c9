"""Reading the project file and every file it names into a :class:`bigsign.project.Project`.

All faults are gathered and raised together. This is the only place that reads input files.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from bigsign.errors import Fault, InputError, NotYetError
from bigsign.project import Board, DrawingSpec, Given, LetteringSpec, Project
from bigsign.project_blocks import drawing_block, lettering_block, missing_characters
from bigsign.project_inputs import Inputs, printable, read_file, version
from bigsign.project_settings import marks_table, plan_table, seams_table, site_table, slip_table, weights_table
from bigsign.project_sign import cutter_table, film_table, sign_table
from bigsign.toml_reading import BROKEN, inner_nodes, read_toml
from bigsign.toml_table import NEAR, Table

__all__ = ["load_project", "missing_characters", "version"]

LARGEST_PROJECT = 1_000_000  # bytes
LATER_TABLES = ("stock", "press")
TABLES = (
    "sign", "cutter", "film", "lettering", "artwork", "plan", "reading", "seams", "slip", "weights", "marks", "site",
)  # fmt: skip


def load_project(path: Path | str) -> Project:
    """Return the project a TOML file describes.

    Parameters
    ----------
    path : the project file. Drawings it names lie in its folder; fonts may also be absolute or installed.

    Raises
    ------
    InputError
        With every fault found: what, where (file, line, table, key), and what would be right.
    NotYetError
        If the only faults are values that this version does not carry out yet.
    """
    return _Reader(Path(path)).project()


class _Reader(Inputs):
    """Reads the tables of one project."""

    def __init__(self, path: Path) -> None:
        super().__init__(path.parent, printable(path.stem))
        self.path, self.name = path, printable(path.name)

    def project(self) -> Project:
        data = read_file(self.path, self.name or str(self.path), LARGEST_PROJECT, "the project file")
        document = read_toml(data, self.name)
        self.take(data)
        self.faults.extend(document.faults)
        top = Table(document.values, document.nodes, "", self.name, self.faults)
        self.names_of_tables(top)
        (name, revision), board = sign_table(self, top.table("sign"))
        cutter, turning = cutter_table(self, top.table("cutter"))
        film = film_table(self, top.table("film"))
        settings = replace(
            plan_table(top.table("plan")),
            seams=seams_table(top.table("seams"), film),
            weights=weights_table(top.table("weights")) if "weights" in top.values else None,
        )
        slip = slip_table(top.table("slip"))
        given = self.given(top)
        marks = marks_table(top.table("marks"))
        site = site_table(top.table("site"))
        blocks = self.blocks(top, board)
        if self.faults:
            raise InputError(sorted([*self.faults, *self.later], key=self.place_of))
        if self.later:
            raise NotYetError(self.later)
        return Project(
            name, revision, self.name, board, cutter, turning, film, tuple(blocks), settings,
            dict(self.names), self.digest.hexdigest(), slip, given, marks, site,
        )  # fmt: skip

    def place_of(self, fault: Fault) -> tuple[bool, int]:
        """Return by what faults are sorted: those of the project file by line, then all others."""
        found = re.match(rf"{re.escape(self.name)} line (\d+)", fault.where)
        return found is None, int(found[1]) if found else 0

    def names_of_tables(self, top: Table) -> None:
        """Note tables that there are not; one whose name is misspelt is read all the same, for its own faults."""
        for name in TABLES:
            top.has(name)
        for name in LATER_TABLES:
            if name in top.values:
                top.known.append(name)
                self.not_yet(top, name, f"[{name}]")
        top.finish()
        free = [name for name in TABLES if name not in top.values]
        values, nodes = dict(top.values), dict(top.nodes)
        for key in top.values:
            near = difflib.get_close_matches(key, free, 1, NEAR) if key not in top.known else []
            if near and isinstance(values[key], Mapping | list) and near[0] not in values:
                values[near[0]], nodes[near[0]] = values[key], nodes.get(key, {})
        top.values, top.nodes = values, nodes

    def given(self, top: Table) -> Given | None:
        table = top.table("reading")
        right = 'the words of the drawing in reading order, as ["FRESH EGGS", "& HONEY"]'
        texts = table.texts("words", right)
        table.finish()
        if texts is None:
            return None
        if not texts or not all(text.strip() for text in texts):
            table.fault("words", "words holds no text or an empty one", right)
            return None
        if not any("file" in block for block in _tables(top.values.get("artwork"))):
            table.fault("words", "words are given, but no drawing", "an [[artwork]], or leave [reading] out")
        return Given(tuple(unicodedata.normalize("NFC", text) for text in texts), table.where("words"))

    def blocks(self, top: Table, board: Board) -> list[LetteringSpec | DrawingSpec]:
        placed: list[tuple[int, LetteringSpec | DrawingSpec | None]] = []
        wrong = False
        for name, read in (("lettering", lettering_block), ("artwork", drawing_block)):
            found = top.values.get(name, [])
            if not isinstance(found, list) or not all(isinstance(part, Mapping) for part in found):
                wrong = True
                if found is not BROKEN:
                    top.fault(name, f"{name} is no list of tables", f"[[{name}]]")
                continue
            nodes = inner_nodes(top.nodes.get(name, {}))
            inner: Sequence[Any] = nodes if isinstance(nodes, list) else []
            for at, values in enumerate(found):
                node = inner[at] if at < len(inner) else {}
                keys = inner_nodes(node)
                label = f"[[{name}]] {at + 1}"
                table = Table(values, keys if isinstance(keys, Mapping) else {}, label, self.name, self.faults)
                block = read(self, table, board)
                placed.append((_line_of(node), block))
        if not placed and not wrong:
            self.faults.append(Fault("there is nothing to cut", self.name, "a [[lettering]] or an [[artwork]]"))
        placed.sort(key=lambda item: item[0])
        return [block for _, block in placed if block is not None]


def _line_of(node: Mapping[str, Any]) -> int:
    """Return the first line of a value's node, 0 where it has none."""
    line = node.get("value_line")
    first = line[0] if isinstance(line, tuple | list) else line
    return first if isinstance(first, int) else 0


def _tables(found: object) -> list[Mapping[str, Any]]:
    return [part for part in found if isinstance(part, Mapping)] if isinstance(found, list) else []
