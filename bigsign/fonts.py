"""Finding fonts: a file, or the family of an installed font package."""

from __future__ import annotations

import difflib
from functools import cache
from importlib import metadata
from pathlib import Path

from bigsign.errors import Fault, InputError
from bigsign.font_tables import what_is_wrong
from bigsign.project import FontFile
from bigsign.project_inputs import is_file

__all__ = ["find_font", "installed_families"]

LARGEST = 40_000_000  # bytes: large fonts for East Asian scripts stay below 25 million
SUFFIXES = (".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2")


def find_font(name: str, folder: Path, where: str = "font") -> FontFile:
    """Return the font ``name`` names: a file below ``folder`` or absolute, else an installed family.

    Raises
    ------
    InputError
        If there is no such file or family (the nearest families are listed), or it is no font.
    """
    path = Path(name)
    if path.suffix.lower() in SUFFIXES:
        shown, file = path.name, path if path.is_absolute() else folder / path
        if not is_file(file):
            raise InputError(Fault(f"no font file {name!r}", where, "a file in the project's folder, or its full path"))
    else:
        families = _families()
        found = families.get(_plain(name))
        if found is None:
            names = sorted(family for family, _ in families.values())
            near = difflib.get_close_matches(name, names, 3, 0.5) or names[:8]
            right = f"a font file, or one of: {', '.join(near)}"
            raise InputError(Fault(f"no font {name!r} is installed", where, right))
        shown, file = found
    return FontFile(shown, _read(file, name, where))


def _read(file: Path, name: str, where: str) -> bytes:
    try:
        with file.open("rb") as stream:
            data = stream.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "impossible name"
        what = f"the font {name!r} can't be read ({reason.lower()})"
        raise InputError(Fault(what, where, "a readable file")) from None
    if len(data) > LARGEST:
        raise InputError(Fault(f"the font {name!r} is larger than {LARGEST // 1_000_000} MB", where, "a smaller file"))
    if data[:4] == b"wOF2" or data[:4] == b"wOFF":
        data = _unpacked(data, name, where)
    if data[:4] not in (b"\0\1\0\0", b"OTTO", b"ttcf", b"true"):
        raise InputError(Fault(f"{name!r} is no font", where, "a TrueType or OpenType font file"))
    wrong = what_is_wrong(data)
    if wrong is not None:
        raise InputError(Fault(f"the font {name!r} {wrong[0]}", where, wrong[1]))
    return data


def _unpacked(data: bytes, name: str, where: str) -> bytes:
    """Return a web font as a plain one."""
    from io import BytesIO

    from fontTools.ttLib import TTFont

    out = BytesIO()
    try:
        # The time of the change is left as it stands, so that the same file gives the same bytes.
        with TTFont(BytesIO(data), recalcTimestamp=False, recalcBBoxes=False) as font:
            font.flavor = None
            font.save(out, reorderTables=False)
    except Exception as error:  # fontTools raises many kinds for broken fonts
        raise InputError(Fault(f"the font {name!r} is broken", where, f"a whole font file ({error})")) from None
    return out.getvalue()


def installed_families() -> list[str]:
    """Return the families of all installed font packages, sorted."""
    return sorted(family for family, _ in _families().values())


def _plain(name: str) -> str:
    return "".join(name.lower().split()).replace("-", "").replace("_", "")


@cache
def _families() -> dict[str, tuple[str, Path]]:
    """Return plain family names with the family and its regular file, from the files of installed packages.

    Font packages keep their fonts in a folder ``files`` of a module of their own; the family is the file's name
    up to its style. Regular (or the variable file) is taken; "Lato Black" and the like name a style.
    """
    out: dict[str, tuple[str, Path]] = {}
    for package in sorted(metadata.distributions(), key=lambda d: str(d.metadata["Name"])):
        name = str(package.metadata["Name"] or "").lower()
        if not name.startswith(("fontpkg-", "font-")):
            continue
        for entry in sorted(package.files or (), key=str):
            if entry.suffix.lower() not in SUFFIXES or "files" not in entry.parts:
                continue
            stem, _, style = entry.stem.partition("[")[0].partition("-")
            family = _spaced(stem)
            path = Path(str(package.locate_file(entry)))
            shown = family if style in ("", "Regular") else f"{family} {_spaced(style)}"
            out.setdefault(_plain(shown), (shown, path))
    return out


def _spaced(stem: str) -> str:
    """Return "ArchivoBlack" as "Archivo Black"."""
    out = ""
    for i, char in enumerate(stem):
        if i and char.isupper() and not stem[i - 1].isupper() and not stem[i - 1].isspace():
            out += " "
        out += char
    return out
