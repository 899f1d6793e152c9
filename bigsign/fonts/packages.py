"""The fonts of installed font packages (Python packages `fontpkg-…` and `font-…`), by the names of their files."""

from __future__ import annotations

from functools import cache
from importlib import metadata
from pathlib import Path

from bigsign.fonts.faces import plain_name

__all__ = ["installed_families", "package_fonts"]

SUFFIXES = (".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2")


def installed_families() -> list[str]:
    """Return the families of all installed font packages, sorted."""
    return sorted(family for family, _ in package_fonts().values())


@cache
def package_fonts() -> dict[str, tuple[str, Path]]:
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
            out.setdefault(plain_name(shown), (shown, path))
    return out


def _spaced(stem: str) -> str:
    """Return "ArchivoBlack" as "Archivo Black"."""
    out = ""
    for i, char in enumerate(stem):
        if i and char.isupper() and not stem[i - 1].isupper() and not stem[i - 1].isspace():
            out += " "
        out += char
    return out
