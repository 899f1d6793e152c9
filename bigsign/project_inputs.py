"""What reading a project file gathers along the way: faults, the digest of all inputs, the spelling of colours."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from importlib import metadata
from pathlib import Path

from bigsign.colours import parse_colour
from bigsign.errors import Fault, InputError
from bigsign.toml_table import Table

__all__ = ["Inputs", "cutter_files", "is_file", "printable", "read_file", "shown_list", "version"]

WINDOWS = os.name == "nt"
LARGEST_DRAWING = 20_000_000  # bytes


def version() -> str:
    """Return the version of bigsign."""
    return metadata.version("bigsign")


def is_file(path: Path) -> bool:
    """Whether there is a plain file; False too where its folder can't be looked into or the name is impossible."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def read_file(file: Path, where: str, largest: int, what: str) -> bytes:
    """Return a file's bytes, at most ``largest``.

    Raises
    ------
    InputError
        If it is not there, no plain file, too large, or can't be read.
    """
    try:
        there, is_plain = file.exists(), file.is_file()
        data = b""
        if is_plain:  # a pipe or a device is never opened: reading it might not end
            with file.open("rb") as stream:
                data = stream.read(largest + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "impossible name"
        raise InputError(Fault(f"{what} can't be read ({reason.lower()})", where, "a readable file")) from None
    if not is_plain:
        what_is = f"{what} is no plain file" if there else f"{what} is not there"
        raise InputError(Fault(what_is, where, "a file" if there else "an existing file"))
    if len(data) > largest:
        raise InputError(Fault(f"{what} is larger than {largest // 1_000_000} MB", where, "a smaller file"))
    return data


def cutter_files(folder: Path) -> list[Path]:
    """Return the files of cutters that add to the known ones: the user's own, then the one in ``folder``."""
    base = os.environ.get("APPDATA" if WINDOWS else "XDG_CONFIG_HOME", "")
    if not base or not Path(base).is_absolute():  # the base directory specification: relative ones are ignored
        base = os.path.join(os.path.expanduser("~"), ".config")
    files = (Path(base) / "bigsign" / "cutters.toml", folder / "cutters.toml")
    return [file for file in files if is_file(file)]


def printable(name: str) -> str:
    """Return the name of a file as text that can be printed, the same in every locale; what is no text becomes "�"."""
    text = os.fsencode(name).decode("utf-8", "replace")
    return "".join(char if char.isprintable() else "�" for char in text)


class Inputs:
    """Reads the files of one project; ``faults`` and ``later`` (not built yet) fill up along the way."""

    def __init__(self, folder: Path, stem: str) -> None:
        self.folder = folder
        self.stem = stem  # of the project file's name: what a sign without a name is called
        self.faults: list[Fault] = []
        self.later: list[Fault] = []
        self.digest = hashlib.sha256(f"bigsign {version()}".encode())
        self.names: dict[str, str] = {}

    def take(self, data: bytes) -> None:
        """Count bytes into the digest of all inputs."""
        self.digest.update(len(data).to_bytes(8, "big"))
        self.digest.update(data)

    def not_yet(self, table: Table, key: str, what: str, right: str = "leave it out for now") -> None:
        """Note a value that the project file allows but this version does not carry out."""
        self.later.append(Fault(f"{what} is not built yet", table.where(key), right))

    def inside(self, table: Table, key: str) -> bytes | None:
        """Return the bytes of a plain file inside the project's folder, or None with a fault noted."""
        name = table.text(key)
        if name is None:
            return None
        if not name.strip():
            table.fault(key, f"{key} is empty", "a file inside the project's folder, by its relative path")
            return None
        file = self.folder / name
        slashed = name.replace("\\", "/")
        if slashed != name and os.sep == "/" and not is_file(file):
            # a project from Windows: there it works, and with slashes it works everywhere
            table.fault(key, f"{key} is {_short(name)}, with backslashes", f'slashes, as {key} = "{slashed}"')
            return None
        try:
            outside = Path(name).is_absolute() or not file.resolve().is_relative_to(self.folder.resolve())
        except (OSError, ValueError, RuntimeError):  # RuntimeError: links that run in a circle
            outside = True
        if outside:
            table.fault(key, f"{name!r} is outside the project's folder", "a file inside it, by its relative path")
            return None
        try:
            data = read_file(file, table.where(key), LARGEST_DRAWING, f"{key} {name!r}")
        except InputError as error:
            self.faults.extend(error.faults)
            return None
        self.take(data)
        return data

    def colour(self, table: Table, key: str, text: str, *, none: bool = False) -> str:
        """Return a film colour as "#rrggbb" and remember how it was spelt; with ``none`` "none" is one too."""
        if none and text.strip().lower() == "none":
            return "none"
        colour = self.parsed_colour(table, key, text, ', or "none"' if none else "")
        if colour is None:
            return "#000000"
        self.names.setdefault(colour, text.strip())
        return colour

    def parsed_colour(self, table: Table, key: str, text: str, more: str = "") -> str | None:
        """Return a colour as "#rrggbb", or None with a fault noted."""
        try:
            return parse_colour(text)
        except ValueError:
            table.fault(key, f"{_short(text)} is no colour", 'a CSS colour name or "#rrggbb"' + more)
            return None


def shown_list(names: Sequence[str], most: int = 12) -> str:
    """Return names with commas; a long list ends "and 14 more"."""
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def _short(text: str) -> str:
    shown = repr(text)
    return shown if len(shown) <= 40 else shown[:37] + "..."
