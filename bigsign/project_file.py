"""Reading the project file and every file it names into a :class:`bigsign.project.Project`.

All faults are gathered and raised together. This is the only place that reads input files.
"""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from shapely.geometry import box

from bigsign.errors import Fault, InputError, LengthError, NotYetError
from bigsign.presets import read_cutters
from bigsign.project import (
    Board,
    Cutter,
    DrawingSpec,
    Film,
    Given,
    LetteringSpec,
    MarkSettings,
    PlanSettings,
    Project,
    SeamSettings,
    Site,
    SlipSettings,
    Weights,
    Wish,
)
from bigsign.project_blocks import drawing_block, lettering_block, missing_characters
from bigsign.project_inputs import Inputs, cutter_files, read_file, version
from bigsign.toml_table import Table, parse_toml
from bigsign.units import TapeStep, parse_tape_step

__all__ = ["load_project", "missing_characters", "version"]

LARGEST_PROJECT = 1_000_000  # bytes
LEAST_USABLE = 25.0  # mm
DEFAULT_BORDER = 6.35  # mm
LARGEST_OVERLAP = 25.4  # mm
MARK_SIZES = (3.0, 25.4)  # mm: smaller ones can't be weeded
LONGEST_NAME = 60  # characters: what a title block has room for
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
        settings = replace(self.settings(top), seams=self.seams(top, film), weights=self.weights(top))
        slip = self.slip(top)
        given = self.given(top)
        marks = self.marks(top)
        site = self.site(top)
        blocks = self.blocks(top, board)
        if self.faults:
            raise InputError([*self.faults, *self.later])
        if self.later:
            raise NotYetError(self.later)
        return Project(
            sign[0], sign[1], self.path.name, board, cutter, turning, film, tuple(blocks), settings,
            dict(self.names), self.digest.hexdigest(), slip, given, marks, site,
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
            if len(value) > LONGEST_NAME:
                table.fault(key, f"{key} has {len(value)} characters", f"at most {LONGEST_NAME}")
        if table.has("outline"):
            self.not_yet(table, "outline", "a board outline")
        width, height = table.length("width"), table.length("height")
        for key in ("width", "height"):
            if table.lacks(key, "outline"):
                table.fault("", f"the board's {key} is missing", f'{key} = "48 in" in [sign]')
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
        cutter = None
        if "use" in table.values:
            if own:
                right = "a known cutter, or name, width, length and border"
                table.fault("use", f"both use and {own[0]} are given", right)
            elif use is not None:
                cutter = self.known(table, use, mat)
        elif own:
            cutter = self.own_cutter(table)
        elif table.lacks("use"):
            table.fault("", "no cutter is given", 'use = "desktop-12" in [cutter] (see `bigsign cutters`)')
        table.finish()
        return cutter or Cutter("none", "none", 1e5, 1e5), turning

    def own_cutter(self, table: Table) -> Cutter | None:
        if "mat" in table.values:
            table.fault("mat", "mat goes with use", "leave it out beside width and length")
        width, length = table.length("width"), table.length("length")
        border = table.length("border", DEFAULT_BORDER, zero=True)
        for key, value in (("width", width), ("length", length)):
            if table.lacks(key):
                table.fault("", f"the cutter's {key} is missing", f'the usable area, as {key} = "11 1/2 in"')
            elif value is not None and value < LEAST_USABLE:
                table.fault(key, f"the usable area's {key} is under 25 mm", "25 mm or more")
        name = table.text("name", "own cutter") or "own cutter"
        if width is None or length is None:
            return None
        return Cutter(name, "own mat", width, length, _or(border, DEFAULT_BORDER))

    def known(self, table: Table, use: str, mat: str | None) -> Cutter | None:
        try:
            presets = {preset.name: preset for preset in read_cutters(cutter_files(self.folder))}
        except InputError as error:
            self.faults.extend(error.faults)
            return None
        preset = presets.get(use)
        if preset is None:
            near = difflib.get_close_matches(use, presets, 1)
            right = f"did you mean {near[0]!r}?" if near else f"one of: {', '.join(presets)}"
            table.fault("use", f"no cutter {use!r} is known", right)
            return None
        if preset.roll:
            self.not_yet(table, "use", "cutting from a roll", "a cutter with mats for now")
            return None
        found = preset.mat(mat)
        if found is None:
            table.fault("mat", f"{use} has no mat {mat!r}", f"one of: {', '.join(m.mat for m in preset.mats)}")
            return None
        # What the plan uses of a file of cutters is this record: other machines in it leave the plan as it is.
        self.take(repr(found).encode())
        return found

    def film(self, top: Table) -> Film:
        table = self.table(top, "film")
        kind = table.choice("kind", ("adhesive", "heat"), "adhesive")
        film = Film(kind, table.choice("side", ("face", "inside"), "face"))
        table.finish()
        if film.kind == "heat":
            self.not_yet(table, "kind", 'film kind = "heat"')
        if film.side == "inside":
            self.not_yet(table, "side", 'film side = "inside"')
        return film

    def seams(self, top: Table, film: Film) -> SeamSettings:
        table, defaults = self.table(top, "seams"), SeamSettings()
        overlap = table.length("overlap", zero=True)
        if film.kind == "heat" and overlap:
            table.fault("overlap", "heat-applied film is given an overlap", "0, it butts: two layers would show")
        usual = 0.0 if film.kind == "heat" else defaults.overlap
        right = "degrees from 0 to 60"
        found = SeamSettings(
            _or(overlap, usual),
            _or(table.length("sliver", zero=True), defaults.sliver),
            table.number("angle", defaults.angle, right, lambda value: 0 <= value <= 60),
        )
        if found.overlap > LARGEST_OVERLAP:
            table.fault("overlap", f"an overlap of {found.overlap:g} mm", f"{LARGEST_OVERLAP:g} mm or less")
        table.finish()
        return found

    def weights(self, top: Table) -> Weights | None:
        if "weights" not in top.values:
            return None
        table = self.table(top, "weights")
        right = "a number from 0 to 1000"
        found = [
            table.number(key, 0.0, right, lambda value: 0 <= value <= 1000)
            for key in ("in_word_breaks", "panels", "risk")
        ]
        if not any(found) and not table.faults:
            table.fault("", "no weight is above 0", "in_word_breaks = 5, panels = 1, risk = 0, for example")
        table.finish()
        return Weights(*found)

    def settings(self, top: Table) -> PlanSettings:
        table = self.table(top, "plan")
        policy = table.choice("policy", ("words", "panels", "mats"), "words")
        step = TapeStep()
        text = table.text("tape_step")
        if text is not None:
            try:
                step = parse_tape_step(text)
            except LengthError as error:
                table.fault("tape_step", *_what_and_right(error))
        both = table.flag("both_units", False)
        step = replace(step, both=both)
        defaults = PlanSettings()
        paper = table.choice("paper", ("letter", "a4"), "letter")
        settings = PlanSettings(
            policy=policy,
            clearance=_or(table.length("clearance", zero=True), defaults.clearance),
            placement_tolerance=_or(table.length("placement_tolerance"), defaults.placement_tolerance),
            trim_margin=_or(table.length("trim_margin", zero=True), defaults.trim_margin),
            hinge=table.choice("hinge", ("auto", "top", "centre", "side", "none"), "auto"),
            spacing=_or(table.length("spacing", zero=True), defaults.spacing),
            weed_box=table.flag("weed_box", True),
            tape_step=step,
            paper=paper,
            both_units=both,
            wishes=tuple(self.wishes(table)),
            language=table.choice("language", ("en", "de"), "en"),
            template_paper=table.choice("template_paper", ("letter", "a4", "tabloid", "a3"), paper),
            template_panels=self.template_panels(table),
        )
        table.finish()
        return settings

    def template_panels(self, table: Table) -> tuple[int, ...]:
        right = "a list of panels' numbers, as [1, 3]"
        found = table.value("template_panels", list, right) or []
        if not all(isinstance(n, int) and not isinstance(n, bool) and n > 0 for n in found):
            table.fault("template_panels", "template_panels holds something that is no panel's number", right)
            return ()
        return tuple(dict.fromkeys(int(n) for n in found))

    def slip(self, top: Table) -> SlipSettings:
        table = self.table(top, "slip")
        defaults = SlipSettings()
        slip = SlipSettings(
            _or(table.length("offset", zero=True), defaults.offset), _or(table.length("tilt", zero=True), defaults.tilt)
        )
        table.finish()
        return slip

    def marks(self, top: Table) -> MarkSettings:
        table, usual = self.table(top, "marks"), MarkSettings()
        use = table.choice("use", ("auto", "on", "off"), usual.use)
        size = _or(table.length("size"), usual.size)
        if not MARK_SIZES[0] <= size <= MARK_SIZES[1]:
            table.fault("size", f"register marks of {size:g} mm", f"{MARK_SIZES[0]:g} mm to {MARK_SIZES[1]:g} mm")
        table.finish()
        return MarkSettings(use, size)

    def site(self, top: Table) -> Site:
        table, usual = self.table(top, "site"), Site()
        surface = table.choice("surface", ("painted", "bare", "glass"), usual.surface)
        right = "true or false; leave it out if you don't know"
        known = {key: table.value(key, bool, right) for key in ("old_paint", "fresh_paint", "hung", "street")}
        for key in ("old_paint", "fresh_paint"):
            if known[key] and surface != "painted":
                table.fault(key, f"{key} is true, but the surface is {surface}", 'surface = "painted", or leave it out')
        solvent = table.flag("solvent", usual.solvent)
        foot = table.length("foot", zero=True)
        table.finish()
        return Site(surface, known["old_paint"], known["fresh_paint"], solvent, foot, known["hung"], known["street"])

    def wishes(self, table: Table) -> list[Wish]:
        out = []
        right = 'a list of lists, as [["FRESH", "EGGS"]]'
        keep = table.value("keep", list, right) or []
        for group in keep:
            good = isinstance(group, list) and group and all(isinstance(t, str) and t.strip() for t in group)
            if not good:
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

    def given(self, top: Table) -> Given | None:
        table = self.table(top, "reading")
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


def _what_and_right(error: LengthError) -> tuple[str, str]:
    """Return the parts of a message "X is not Y" or "X is not a length: Y"."""
    what, colon, right = str(error).rpartition(": ")
    if colon:
        return what, right
    what, _, right = str(error).partition(" is not ")
    return f"{what} is no step of a tape", right


def _tables(found: object) -> list[Mapping[str, Any]]:
    return [part for part in found if isinstance(part, Mapping)] if isinstance(found, list) else []


def _or(value: float | None, default: float) -> float:
    return default if value is None else value
