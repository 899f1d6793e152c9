"""The tables that say what is made and on what: [sign], [cutter] and [film]."""

from __future__ import annotations

import difflib

from shapely.geometry import box

from bigsign.errors import InputError
from bigsign.presets import CutterPreset, known_cutters, read_cutters
from bigsign.project import Board, Cutter, Film
from bigsign.project_inputs import Inputs, cutter_files
from bigsign.toml_table import Table, or_usual

__all__ = ["cutter_table", "film_table", "sign_table"]

LEAST_USABLE = 25.0  # mm
DEFAULT_BORDER = 6.35  # mm
LONGEST_NAME = 60  # characters: what a title block has room for


def sign_table(inputs: Inputs, table: Table) -> tuple[tuple[str, str], Board]:
    """Return the name, the revision and the board; faults go to the table's list."""
    table.expect("name", "revision", "width", "height", "margin", "reference", "outline")
    usual = inputs.stem if len(inputs.stem) <= LONGEST_NAME else inputs.stem[: LONGEST_NAME - 1] + "…"
    name = table.text("name", usual) or usual
    revision = table.text("revision", "") or ""
    for key, value in (("name", name), ("revision", revision)):
        if len(value) > LONGEST_NAME:
            table.fault(key, f"{key} has {len(value)} characters", f"at most {LONGEST_NAME}")
    if table.has("outline"):
        inputs.not_yet(table, "outline", "a board outline")
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
    if any(size is not None and 2 * margin >= size for size in (width, height)):
        table.fault("margin", "the margin leaves nothing of the board", "a smaller margin")
    return (name, revision), Board(w, h, box(0, 0, w, h), margin, reference)


def cutter_table(inputs: Inputs, table: Table) -> tuple[Cutter, str]:
    """Return the cutter and how panels may turn on its mats; faults go to the table's list."""
    table.expect("use", "mat", "name", "width", "length", "border", "turning")
    turning = table.choice("turning", ("quarter", "none", "any"), "quarter")
    if turning == "any":
        inputs.not_yet(table, "turning", 'turning = "any"')
    own = [key for key in ("name", "width", "length", "border") if table.has(key)]
    use, mat = table.text("use"), table.text("mat")
    cutter = None
    if "use" in table.values:
        if own:
            right = "a known cutter, or name, width, length and border"
            table.fault("use", f"both use and {own[0]} are given", right)
        elif use is not None:
            cutter = _known(inputs, table, use, mat)
    elif own:
        cutter = _own_cutter(table)
    elif table.lacks("use"):
        _presets(inputs)
        table.fault("", "no cutter is given", 'use = "desktop-12" in [cutter] (see `bigsign cutters`)')
    table.finish()
    return cutter or Cutter("none", "none", 1e5, 1e5), turning


def _own_cutter(table: Table) -> Cutter | None:
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
    return Cutter(name, "own mat", width, length, or_usual(border, DEFAULT_BORDER))


def _known(inputs: Inputs, table: Table, use: str, mat: str | None) -> Cutter | None:
    presets, whole = _presets(inputs)
    preset = presets.get(use)
    if preset is None and not whole:
        return None  # it may stand in the file that could not be read
    if preset is None:
        near = difflib.get_close_matches(use, presets, 1)
        right = f"did you mean {near[0]!r}?" if near else f"one of: {', '.join(presets)}"
        table.fault("use", f"no cutter {use!r} is known", right)
        return None
    if preset.roll:
        inputs.not_yet(table, "use", "cutting from a roll", "a cutter with mats for now")
        return None
    found = preset.mat(mat)
    if found is None:
        table.fault("mat", f"{use} has no mat {mat!r}", f"one of: {', '.join(m.mat for m in preset.mats)}")
        return None
    # What the plan uses of a file of cutters is this record: other machines in it leave the plan as it is.
    inputs.take(repr(found).encode())
    return found


def _presets(inputs: Inputs) -> tuple[dict[str, CutterPreset], bool]:
    """Return the cutters by name, and whether all files of them could be read; if not, a fault is noted."""
    try:
        return {preset.name: preset for preset in read_cutters(cutter_files(inputs.folder))}, True
    except InputError as error:
        inputs.faults.extend(error.faults)
    return {preset.name: preset for preset in known_cutters()}, False


def film_table(inputs: Inputs, table: Table) -> Film:
    """Return the kind of film and the side it is seen from; faults go to the table's list."""
    kind = table.choice("kind", ("adhesive", "heat"), "adhesive")
    film = Film(kind, table.choice("side", ("face", "inside"), "face"))
    table.finish()
    if film.kind == "heat":
        inputs.not_yet(table, "kind", 'film kind = "heat"')
    if film.side == "inside":
        inputs.not_yet(table, "side", 'film side = "inside"')
    return film
