"""Reading the project file and every file it names into a :class:`bigsign.project.Project`.

All faults are gathered and raised together. This is the only place that reads input files.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from shapely.geometry import box

from bigsign.errors import Fault, InputError, LengthError, NotYetError
from bigsign.presets import read_cutters
from bigsign.project import Board, Cutter, DrawingSpec, Film, LetteringSpec, PlanSettings, Project, Wish
from bigsign.project_blocks import drawing_block, lettering_block, missing_characters
from bigsign.project_inputs import Inputs, cutter_files, read_file, version
from bigsign.toml_table import Table, parse_toml
from bigsign.units import TapeStep, parse_tape_step

__all__ = ["load_project", "missing_characters", "version"]

LARGEST_PROJECT = 1_000_000  # bytes
LEAST_USABLE = 25.0  # mm
LATER_TABLES = ("stock", "press", "marks", "slip", "reading", "seams")
TABLES = ("sign", "cutter", "film", "lettering", "artwork", "plan")


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
        super().__init__(path.parent)
        self.path = path

    def project(self) -> Project:
        data = read_file(self.path, self.path.name or str(self.path), LARGEST_PROJECT, "the project file")
        values, nodes = parse_toml(data, self.path.name)
        self.take(data)
        top = Table(values, nodes, "", self.path.name, self.faults)
        for name in TABLES:
            top.has(name)
        for name in LATER_TABLES:
            if name in values:
                top.known.append(name)
                self.not_yet(top, name, f"[{name}]")
        top.finish()
        sign, board = self.sign(top)
        cutter, turning = self.cutter(top)
        film = self.film(top)
        settings = self.settings(top)
        blocks = self.blocks(top, board)
        if self.faults:
            raise InputError([*self.faults, *self.later])
        if self.later:
            raise NotYetError(self.later)
        return Project(
            sign[0], sign[1], self.path.name, board, cutter, turning, film, tuple(blocks), settings,
            dict(self.names), self.digest.hexdigest(),
        )  # fmt: skip

    def table(self, top: Table, name: str) -> Table:
        found = top.values.get(name, {})
        if not isinstance(found, Mapping):
            top.fault(name, f"{name} is no table", f"a table [{name}]")
            found = {}
        nodes = top.nodes.get(name, {}) if found else {}
        inner = nodes.get("value", nodes) if isinstance(nodes, Mapping) else {}
        return Table(found, inner if isinstance(inner, Mapping) else {}, f"[{name}]", self.path.name, self.faults)

    def sign(self, top: Table) -> tuple[tuple[str, str], Board]:
        table = self.table(top, "sign")
        name = table.text("name", self.path.stem) or self.path.stem
        revision = table.text("revision", "") or ""
        for key, value in (("name", name), ("revision", revision)):
            if len(value) > 60:
                table.fault(key, f"{key} has {len(value)} characters", "at most 60")
        if table.has("outline"):
            self.not_yet(table, "outline", "a board outline")
        width, height = table.length("width"), table.length("height")
        for key, value in (("width", width), ("height", height)):
            if key not in table.values:
                table.fault("", f"the board's {key} is missing", f'{key} = "48 in" in [sign]')
            elif value is None:
                pass
        margin = table.length("margin", 0.0, zero=True) or 0.0
        edges = table.texts("reference", 'two edges, as ["left", "top"]') or ["left", "top"]
        reference = ("left", "top")
        if len(edges) == 2 and edges[0] in ("left", "right", "middle") and edges[1] in ("top", "bottom", "middle"):
            reference = (edges[0], edges[1])
        else:
            table.fault("reference", f"reference is {edges}", "left, right or middle; then top, bottom or middle")
        table.finish()
        w, h = width or 1.0, height or 1.0
        if width and height and 2 * margin >= min(width, height):
            table.fault("margin", "the margin leaves nothing of the board", "a smaller margin")
        return (name, revision), Board(w, h, box(0, 0, w, h), margin, reference)

    def cutter(self, top: Table) -> tuple[Cutter, str]:
        table = self.table(top, "cutter")
        turning = table.choice("turning", ("quarter", "none", "any"), "quarter")
        if turning == "any":
            self.not_yet(table, "turning", 'turning = "any"')
        own = [key for key in ("name", "width", "length", "border") if table.has(key)]
        use, mat = table.text("use"), table.text("mat")
        cutter = Cutter("none", "none", 1e5, 1e5)
        if use is not None and own:
            table.fault("use", f"both use and {own[0]} are given", "a known cutter, or name, width, length and border")
        elif use is not None:
            cutter = self.known(table, use, mat) or cutter
        elif {"width", "length"} <= set(own):
            if mat is not None:
                table.fault("mat", "mat goes with use", "leave it out beside width and length")
            width, length = table.length("width"), table.length("length")
            border = table.length("border", 6.35, zero=True)
            if width and length and min(width, length) < LEAST_USABLE:
                table.fault("width" if width < LEAST_USABLE else "length", "the usable area is under 25 mm", "25 mm or more")
            cutter = Cutter(table.text("name", "own cutter") or "own cutter", "own mat", width or 1e5, length or 1e5, border or 0.0)
        elif "use" not in table.values:
            table.fault("", "no cutter is given", 'use = "desktop-12" in [cutter] (see `bigsign cutters`)')
        table.finish()
        return cutter, turning

    def known(self, table: Table, use: str, mat: str | None) -> Cutter | None:
        files = cutter_files(self.folder)
        try:
            presets = {preset.name: preset for preset in read_cutters(files)}
        except InputError as error:
            self.faults.extend(error.faults)
            return None
        for file in files:
            self.take(file.read_bytes())
        preset = presets.get(use)
        if preset is None:
            table.fault("use", f"no cutter {use!r} is known", f"one of: {', '.join(presets)}")
            return None
        if preset.roll:
            self.not_yet(table, "use", "cutting from a roll")
            return None
        found = preset.mat(mat)
        if found is None:
            table.fault("mat", f"{use} has no mat {mat!r}", f"one of: {', '.join(m.mat for m in preset.mats)}")
        return found

    def film(self, top: Table) -> Film:
        table = self.table(top, "film")
        film = Film(table.choice("kind", ("adhesive", "heat"), "adhesive"), table.choice("side", ("face", "inside"), "face"))
        table.finish()
        if film.kind == "heat":
            self.not_yet(table, "kind", 'film kind = "heat"')
        if film.side == "inside":
            self.not_yet(table, "side", 'film side = "inside"')
        return film

    def settings(self, top: Table) -> PlanSettings:
        table = self.table(top, "plan")
        policy = table.choice("policy", ("words", "panels", "mats"), "words")
        if policy == "mats":
            self.not_yet(table, "policy", 'policy = "mats"')
        step = TapeStep()
        text = table.text("tape_step")
        if text is not None:
            try:
                step = parse_tape_step(text)
            except LengthError as error:
                table.fault("tape_step", *str(error).split(" is not ", 1) if " is not " in str(error) else (str(error), "1/16 in"))
        defaults = PlanSettings()
        settings = PlanSettings(
            policy=policy,
            clearance=_or(table.length("clearance", zero=True), defaults.clearance),
            placement_tolerance=_or(table.length("placement_tolerance"), defaults.placement_tolerance),
            trim_margin=_or(table.length("trim_margin", zero=True), defaults.trim_margin),
            hinge=table.choice("hinge", ("auto", "top", "centre", "side", "none"), "auto"),
            spacing=_or(table.length("spacing", zero=True), defaults.spacing),
            weed_box=table.flag("weed_box", True),
            tape_step=step,
            paper=table.choice("paper", ("letter", "a4"), "letter"),
            both_units=table.flag("both_units", False),
            wishes=tuple(self.wishes(table)),
        )
        table.finish()
        return settings

    def wishes(self, table: Table) -> list[Wish]:
        out = []
        right = 'a list of lists, as [["FRESH", "EGGS"]]'
        keep = table.value("keep", list, right) or []
        for group in keep:
            if not isinstance(group, list) or not group or not all(isinstance(text, str) and text.strip() for text in group):
                table.fault("keep", "keep holds something that is no list of texts", right)
            else:
                out.append(Wish("keep", tuple(group), table.where("keep")))
        for key in ("break_after", "no_break_after"):
            texts = table.texts(key, 'a list of texts, as ["FRESH", "HONEY|3"]') or []
            for text in texts:
                if not text.strip():
                    table.fault(key, f"{key} holds an empty text", "a word, or an id of `bigsign check`")
            out.extend(Wish(key, (text,), table.where(key)) for text in texts if text.strip())
        return out

    def blocks(self, top: Table, board: Board) -> list[LetteringSpec | DrawingSpec]:
        placed: list[tuple[int, LetteringSpec | DrawingSpec | None]] = []
        for name, read in (("lettering", lettering_block), ("artwork", drawing_block)):
            found = top.values.get(name, [])
            if not isinstance(found, list) or not all(isinstance(part, Mapping) for part in found):
                top.fault(name, f"{name} is no list of tables", f"[[{name}]]")
                continue
            nodes = top.nodes.get(name, {})
            inner: Sequence[Any] = nodes.get("value", []) if isinstance(nodes, Mapping) else []
            for at, values in enumerate(found):
                node = inner[at] if at < len(inner) else {}
                table = Table(values, node.get("value", {}), f"[[{name}]] {at + 1}", self.path.name, self.faults)
                block = read(self, table, board)
                placed.append((int(node.get("value_line", 0) or 0), block))
        if not placed:
            self.faults.append(Fault("there is nothing to cut", self.path.name, "a [[lettering]] or an [[artwork]]"))
        placed.sort(key=lambda item: item[0])
        return [block for _, block in placed if block is not None]


def _or(value: float | None, default: float) -> float:
    return default if value is None else value
