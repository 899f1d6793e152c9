"""Reading the project file and every file it names into a :class:`bigsign.project.Project`.

All faults are gathered and raised together. This is the only place that reads input files.
"""

from __future__ import annotations

import hashlib
import os
import unicodedata
from collections.abc import Mapping, Sequence
from importlib import metadata
from pathlib import Path
from typing import Any

from shapely.geometry import box

from bigsign.colours import parse_colour
from bigsign.errors import Fault, InputError, LengthError, NotYetError
from bigsign.fonts import find_font
from bigsign.presets import read_cutters
from bigsign.project import Board, Cutter, DrawingSpec, Film, FontFile, LetteringSpec, PlanSettings, Project, Wish
from bigsign.toml_table import Table, parse_toml
from bigsign.units import TapeStep, parse_tape_step

__all__ = ["load_project", "missing_characters", "version"]

LARGEST_PROJECT = 1_000_000  # bytes
LARGEST_DRAWING = 16_000_000
LEAST_USABLE = 25.0  # mm
LATER_TABLES = ("stock", "press", "marks", "slip", "reading", "seams")
TABLES = ("sign", "cutter", "film", "lettering", "artwork", "plan")


def version() -> str:
    """Return the version of bigsign."""
    return metadata.version("bigsign")


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


class _Reader:
    """Reads one project; ``faults`` fills up along the way."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.folder = path.parent
        self.faults: list[Fault] = []
        self.later: list[Fault] = []
        self.digest = hashlib.sha256(f"bigsign {version()}".encode())
        self.names: dict[str, str] = {}

    def project(self) -> Project:
        data = self.read(self.path, self.path.name, LARGEST_PROJECT, "the project file")
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

    # files

    def read(self, file: Path, name: str, largest: int, what: str) -> bytes:
        """Return a file's bytes, or raise at once."""
        try:
            if not file.is_file():
                raise InputError(Fault(f"{what} is not there" if not file.exists() else f"{what} is no plain file", name, "an existing file"))
            if file.stat().st_size > largest:
                raise InputError(Fault(f"{what} is larger than {largest // 1_000_000} MB", name, "a smaller file"))
            return file.read_bytes()
        except OSError as error:
            raise InputError(Fault(f"{what} can't be read", name, error.strerror or "a readable file")) from None

    def take(self, data: bytes) -> None:
        """Count bytes into the project's sha256."""
        self.digest.update(len(data).to_bytes(8, "big"))
        self.digest.update(data)

    def inside(self, table: Table, key: str) -> bytes | None:
        """Return the bytes of a plain file inside the project's folder."""
        name = table.text(key)
        if name is None:
            return None
        file = self.folder / name
        try:
            outside = Path(name).is_absolute() or not file.resolve().is_relative_to(self.folder.resolve())
        except (OSError, ValueError):
            outside = True
        if outside:
            table.fault(key, f"{name!r} is outside the project's folder", "a file inside it, by its relative path")
            return None
        try:
            data = self.read(file, table.where(key), LARGEST_DRAWING, f"{key} {name!r}")
        except InputError as error:
            self.faults.extend(error.faults)
            return None
        self.take(data)
        return data

    def not_yet(self, table: Table, key: str, what: str) -> None:
        self.later.append(Fault(f"{what} is not built yet", table.where(key), "leave it out for now"))

    # tables

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
        home = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "bigsign" / "cutters.toml"
        files = [file for file in (home, self.folder / "cutters.toml") if file.is_file()]
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
        for name in ("lettering", "artwork"):
            found = top.values.get(name, [])
            if not isinstance(found, list) or not all(isinstance(part, Mapping) for part in found):
                top.fault(name, f"{name} is no list of tables", f"[[{name}]]")
                continue
            nodes = top.nodes.get(name, {})
            inner: Sequence[Any] = nodes.get("value", []) if isinstance(nodes, Mapping) else []
            for at, values in enumerate(found):
                node = inner[at] if at < len(inner) else {}
                table = Table(values, node.get("value", {}), f"[[{name}]] {at + 1}", self.path.name, self.faults)
                block = self.lettering(table, board) if name == "lettering" else self.drawing(table, board)
                placed.append((int(node.get("value_line", 0) or 0), block))
        if not placed:
            self.faults.append(Fault("there is nothing to cut", self.path.name, "a [[lettering]] or an [[artwork]]"))
        placed.sort(key=lambda item: item[0])
        return [block for _, block in placed if block is not None]

    def colour(self, table: Table, key: str, text: str, *, none: bool = False) -> str:
        right = 'a CSS colour name or "#rrggbb"' + (', or "none"' if none else "")
        if none and text.strip().lower() == "none":
            return "none"
        try:
            colour = parse_colour(text)
        except ValueError:
            table.fault(key, f"{text!r} is no colour", right)
            return "#000000"
        self.names.setdefault(colour, text.strip())
        return colour

    def lettering(self, table: Table, board: Board) -> LetteringSpec | None:
        start = len(self.faults)
        right = 'a list of lines, as ["FRESH EGGS", "& HONEY"]'
        lines = table.texts("lines", right)
        if lines is None and "lines" not in table.values:
            table.fault("", "lines is missing", right)
        lines = [line.rstrip() for line in lines or []]
        for line in lines:
            if any(ord(char) < 32 or unicodedata.category(char) in ("Zl", "Zp", "Cc") for char in line):
                table.fault("lines", "a line holds a tab, line break or control character", "one text a line")
            if len(line) > 2000:
                table.fault("lines", f"a line has {len(line)} characters", "at most 2000")
        if "lines" in table.values and not any(line.strip() for line in lines):
            table.fault("lines", "the phrase is empty", right)
        font_name = table.text("font", "Anton") or "Anton"
        font = FontFile(font_name, b"")
        try:
            font = find_font(font_name, self.folder, table.where("font"))
            self.take(font.data)
        except InputError as error:
            self.faults.extend(error.faults)
        axes = self.axes(table, font)
        given = [key for key in ("cap_height", "width", "height") if table.has(key)]
        if len(given) != 1:
            what = "no size is given" if not given else f"{' and '.join(given)} are given"
            table.fault(given[0] if given else "", what, "exactly one of cap_height, width and height")
        sizes = {key: table.length(key) for key in ("cap_height", "width", "height")}
        leading = table.number("leading", 1.4, "a number above 0 and up to 20", lambda v: 0 < v <= 20)
        align = table.choice("align", ("left", "centre", "right"), "centre")
        turn = table.number("turn", 0.0, "degrees from -360 to 360", lambda v: -360 <= v <= 360)
        stacked = table.flag("stacked", False)
        colour = self.colour(table, "colour", table.text("colour", "black") or "black")
        centre = table.point("centre") or (board.width / 2, board.height / 2)
        table.finish()
        if font.data:
            lacking = missing_characters(font, "".join(lines))
            if lacking:
                shown = ", ".join(repr(char) for char in lacking[:12])
                more = f" and {len(lacking) - 12} more" if len(lacking) > 12 else ""
                table.fault("lines", f"the font {font.name} has no {shown}{more}", "another font, or other characters")
        if len(self.faults) > start:
            return None
        return LetteringSpec(
            tuple(lines), font, axes, sizes["cap_height"], sizes["width"], sizes["height"], leading, align, turn,
            stacked, colour, centre, table.where(),
        )  # fmt: skip

    def axes(self, table: Table, font: FontFile) -> dict[str, float]:
        found = table.value("axes", dict, "a table of axes, as {wght = 700}") or {}
        out: dict[str, float] = {}
        known = _axes_of(font) if found and font.data else {}
        for name, value in found.items():
            low, high = known.get(name, (None, None))
            if font.data and low is None:
                right = f"one of: {', '.join(known)}" if known else "leave axes out: this font has none"
                table.fault("axes", f"the font has no axis {name!r}", right)
            elif isinstance(value, bool) or not isinstance(value, (int, float)):
                table.fault("axes", f"axis {name} is {value!r}", "a number")
            elif low is not None and high is not None and not low <= value <= high:
                table.fault("axes", f"axis {name} is {value:g}", f"a number from {low:g} to {high:g}")
            else:
                out[name] = float(value)
        return out

    def drawing(self, table: Table, board: Board) -> DrawingSpec | None:
        start = len(self.faults)
        if "file" not in table.values:
            table.fault("", "file is missing", 'file = "leaf.svg"')
        data = self.inside(table, "file")
        name = str(table.values.get("file", ""))
        if table.has("width") and table.has("height"):
            table.fault("width", "both width and height are given", "one of them, or neither")
        width, height = table.length("width"), table.length("height")
        table.known += [key for key in ("width", "height") if key not in table.known]
        centre = table.point("centre") or (board.width / 2, board.height / 2)
        colours = {}
        mapping = table.value("colours", dict, 'a table, as {"#ffffff" = "none"}') or {}
        for old, new in mapping.items():
            if not isinstance(new, str):
                table.fault("colours", f"the colour for {old!r} is {new!r}", 'a colour in quotes, or "none"')
                continue
            names = dict(self.names)
            key = self.colour(table, "colours", old)
            self.names = names  # a colour of the drawing is not yet a film
            colours[key] = self.colour(table, "colours", new, none=True)
        table.finish()
        if len(self.faults) > start or data is None:
            return None
        return DrawingSpec(name, data, width, height, centre, colours, table.where())


def _or(value: float | None, default: float) -> float:
    return default if value is None else value


def _axes_of(font: FontFile) -> dict[str, tuple[float, float]]:
    from io import BytesIO

    from fontTools.ttLib import TTFont

    with TTFont(BytesIO(font.data), fontNumber=font.index, lazy=True) as tables:
        if "fvar" not in tables:
            return {}
        return {axis.axisTag: (axis.minValue, axis.maxValue) for axis in tables["fvar"].axes}


def missing_characters(font: FontFile, text: str) -> list[str]:
    """Return the characters of ``text`` the font has no glyph for, in order of first use.

    A character that composes (NFC) or decomposes (NFD) into ones the font has is not missing; spaces, joiners,
    variation selectors and direction marks need no glyph.
    """
    from io import BytesIO

    from fontTools.ttLib import TTFont, TTLibError

    try:
        with TTFont(BytesIO(font.data), fontNumber=font.index, lazy=True) as tables:
            cmap = set(tables.getBestCmap() or {})
    except (TTLibError, KeyError, AssertionError) as error:
        raise InputError(Fault(f"the font {font.name} is broken: {error}", font.name, "a whole font file")) from None
    out: list[str] = []
    for char in dict.fromkeys(unicodedata.normalize("NFC", text)):
        if char.isspace() or unicodedata.category(char) == "Cf" or 0xFE00 <= ord(char) <= 0xFE0F:
            continue
        if ord(char) in cmap or all(ord(part) in cmap for part in unicodedata.normalize("NFD", char)):
            continue
        out.append(char)
    return out
