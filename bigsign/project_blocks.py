"""The blocks of a project file: words set in a font, shapes from a drawing."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from bigsign.characters import name_of
from bigsign.errors import Fault, InputError
from bigsign.fonts import find_font
from bigsign.project import Board, DrawingSpec, FontFile, LetteringSpec
from bigsign.project_inputs import Inputs, shown_list
from bigsign.toml_table import Table

__all__ = ["drawing_block", "lettering_block", "line_faults", "missing_characters", "trimmed"]

LONGEST_LINE = 2000  # characters; what a board holds is far less, so more is a mistake
MOST_LINES = 500
MOST_STRANGE = 5  # characters that can't be set, named a line
#: Classes of hidden marks that force a direction (Unicode Annex 9, table 4); setting works the direction out itself.
EXPLICIT = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
LINES_RIGHT = 'a list of lines, as ["FRESH EGGS", "& HONEY"]'


def trimmed(line: str) -> str:
    """Return a line without the white space at its end; other control characters there stay, as faults to find."""
    space = [char for char in dict.fromkeys(line) if char.isspace() and (char in "\t\n\r" or not _is_control(char))]
    return line.rstrip("".join(space)) if space else line


def _is_control(char: str) -> bool:
    return unicodedata.category(char) == "Cc"


def line_faults(lines: Sequence[str]) -> list[tuple[str, str]]:
    """Return (what is wrong, what would be right) of lines to set; white space at their ends is already dropped."""
    out = []
    for number, line in enumerate(lines, 1):
        seen: dict[str, int] = {}
        for at, char in enumerate(line, 1):
            if unicodedata.category(char) in ("Cc", "Zl", "Zp", "Cs") or unicodedata.bidirectional(char) in EXPLICIT:
                seen.setdefault(char, at)
        for char, at in list(seen.items())[:MOST_STRANGE]:
            right = "the letters alone: each script runs its own way"
            if unicodedata.bidirectional(char) not in EXPLICIT:
                right = "plain text, one text a line"
            before = f"after {line[max(0, at - 11) : at - 1]!r}" if at > 1 else "at its beginning"
            out.append((f"line {number} of the text holds {name_of(char)} {before}", right))
        if len(line) > LONGEST_LINE:
            out.append((f"a line has {len(line)} characters", f"at most {LONGEST_LINE}"))
    if len(lines) > MOST_LINES:
        out.append((f"there are {len(lines)} lines", f"at most {MOST_LINES}"))
    if not any(_needs_glyph(char) for line in lines for char in line):
        out.append(("the phrase is empty", LINES_RIGHT))
    return out


def lettering_block(inputs: Inputs, table: Table, board: Board) -> LetteringSpec | None:
    """Return a [[lettering]] block, or None with its faults noted."""
    start = len(inputs.faults)
    table.expect(
        "lines", "font", "axes", "cap_height", "width", "height", "leading", "align", "turn", "stacked", "colour",
        "centre",
    )  # fmt: skip
    lines = _lines(table)
    font = _font(inputs, table)
    axes = _axes(table, font)
    given = [key for key in ("cap_height", "width", "height") if table.has(key)]
    if len(given) > 1 or table.lacks("cap_height", "width", "height"):
        what = "no size is given" if not given else f"{' and '.join(given)} are given"
        table.fault(given[0] if given else "", what, "exactly one of cap_height, width and height")
    sizes = {key: table.length(key) for key in ("cap_height", "width", "height")}
    leading = table.number("leading", 1.4, "a number above 0 and up to 20", lambda v: 0 < v <= 20)
    align = table.choice("align", ("left", "centre", "right"), "centre")
    turn = table.number("turn", 0.0, "degrees from -360 to 360", lambda v: -360 <= v <= 360)
    stacked = table.flag("stacked", False)
    colour = inputs.colour(table, "colour", table.text("colour", "black") or "")
    centre = table.point("centre") or (board.width / 2, board.height / 2)
    table.finish()
    if font is not None:
        try:
            lacking = missing_characters(font, "".join(lines))
        except InputError as error:
            inputs.faults.extend(Fault(f.what, table.where("font"), f.right) for f in error.faults)
            return None
        if lacking:
            what = f"the font {font.name} has no {shown_list([repr(char) for char in lacking])}"
            table.fault("lines", what, "another font, or other characters")
    if len(inputs.faults) > start or font is None:
        return None
    return LetteringSpec(
        tuple(lines), font, axes, sizes["cap_height"], sizes["width"], sizes["height"], leading, align, turn,
        stacked, colour, centre, table.where(),
    )  # fmt: skip


def _lines(table: Table) -> list[str]:
    found = table.texts("lines", LINES_RIGHT)
    if found is None:
        if table.lacks("lines"):
            table.fault("", "lines is missing", LINES_RIGHT)
        return []
    lines = [trimmed(line) for line in found]
    for what, right in line_faults(lines):
        table.fault("lines", what, right)
    return lines


def _font(inputs: Inputs, table: Table) -> FontFile | None:
    name = table.text("font", "Anton")
    if name is None:
        return None
    if name == "Anton" and "font" in table.values and table.values["font"] != "Anton":
        return None  # the value was faulty: its fault is noted
    try:
        font = find_font(name, inputs.folder, table.where("font"))
    except InputError as error:
        inputs.faults.extend(error.faults)
        return None
    inputs.take(font.data)
    return font


def _axes(table: Table, font: FontFile | None) -> dict[str, float]:
    found = table.value("axes", dict, "a table of axes, as {wght = 700}") or {}
    known = axes_of(font) if found and font is not None else {}
    out: dict[str, float] = {}
    for name, value in found.items():
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            table.fault("axes", f"axis {name} is {value!r}", "a number")
        elif font is not None and name not in known:
            right = f"one of: {', '.join(known)}" if known else "leave axes out: this font has none"
            table.fault("axes", f"the font has no axis {name!r}", right)
        elif font is not None and not known[name][0] <= value <= known[name][1]:
            low, high = known[name]
            table.fault("axes", f"axis {name} is {value:g}", f"a number from {low:g} to {high:g}")
        else:
            out[name] = float(value)
    return out


def drawing_block(inputs: Inputs, table: Table, board: Board) -> DrawingSpec | None:
    """Return an [[artwork]] block, or None with its faults noted."""
    start = len(inputs.faults)
    table.expect("file", "width", "height", "centre", "colours")
    if table.lacks("file"):
        table.fault("", "file is missing", 'file = "leaf.svg"')
    data = inputs.inside(table, "file")
    if data is not None:
        _check_kind(inputs, table, data)
    if table.has("width") & table.has("height"):
        table.fault("width", "both width and height are given", "one of them, or neither")
    width, height = table.length("width"), table.length("height")
    centre = table.point("centre") or (board.width / 2, board.height / 2)
    colours: dict[str, str] = {}
    for old, new in (table.value("colours", dict, 'a table, as {"#ffffff" = "none"}') or {}).items():
        if not isinstance(new, str):
            table.fault("colours", f"the colour for {old!r} is {new!r}", 'a colour in quotes, or "none"')
            continue
        key = inputs.parsed_colour(table, "colours", old)  # a colour of the drawing is not yet one of film
        film = inputs.colour(table, "colours", new, none=True)
        if key is not None and colours.setdefault(key, film) != film:
            table.fault("colours", f"{old!r} is given two film colours", "one for each colour of the drawing")
    table.finish()
    if len(inputs.faults) > start or data is None:
        return None
    return DrawingSpec(str(table.values["file"]), data, width, height, centre, colours, table.where())


def _check_kind(inputs: Inputs, table: Table, data: bytes) -> None:
    """Note a file that is no drawing at all, with all other faults; what stands in a drawing is read later."""
    from bigsign.artwork.svg_file import plain_svg

    where = f"{table.where('file')}, {table.values['file']}"
    try:
        plain_svg(data, lambda what, right: InputError(Fault(what, where, right)))
    except InputError as error:
        inputs.faults.extend(error.faults)


def axes_of(font: FontFile) -> dict[str, tuple[float, float]]:
    """Return the least and greatest value of each axis of a variable font; empty for others."""
    import uharfbuzz as hb

    axes = hb.Face(font.data, font.index).axis_infos
    return {str(axis.tag): (float(axis.min_value), float(axis.max_value)) for axis in axes}


def _needs_glyph(char: str) -> bool:
    """Whether a character draws something: not spaces, joiners, direction marks or variation selectors."""
    if char.isspace() or unicodedata.category(char) in ("Cf", "Cc"):
        return False
    return not (0xFE00 <= ord(char) <= 0xFE0F or 0xE0100 <= ord(char) <= 0xE01EF)


def missing_characters(font: FontFile, text: str) -> list[str]:
    """Return the characters of ``text`` the font has no glyph for, in order of first use.

    A character that composes (NFC) or decomposes (NFD) into ones the font has is not missing; spaces, joiners,
    variation selectors and direction marks need no glyph.

    Raises
    ------
    InputError
        If the font is broken.
    """
    import uharfbuzz as hb

    face = hb.Face(font.data, font.index)
    letters = hb.Font(face)
    if face.glyph_count == 0 or not (face.unicodes or letters.get_nominal_glyph(0x20) is not None):
        raise InputError(Fault(f"the font {font.name} is broken", font.name, "a whole font file"))

    def has(char: str) -> bool:  # HarfBuzz knows fonts of symbols too, whose letters lie elsewhere in the font
        return letters.get_nominal_glyph(ord(char)) is not None

    return [
        char
        for char in dict.fromkeys(unicodedata.normalize("NFC", text))
        if _needs_glyph(char)
        and not has(char)
        and not all(has(part) for part in unicodedata.normalize("NFD", char))
    ]
