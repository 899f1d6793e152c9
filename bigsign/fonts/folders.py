"""Where a machine keeps its fonts, by the rules of Linux, macOS and Windows; and where what was read of them is kept.

Linux: the base directory specification (XDG) and fontconfig's usual folders; macOS: the font folders of the system,
the machine and the user; Windows: the machine's and the user's folder, and what the two registry keys list. Folders
are those of the design notes, from memory where no specification is named.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PureWindowsPath

__all__ = ["INSTEAD", "Machine", "cache_file", "font_files", "font_folders"]

INSTEAD = "BIGSIGN_FONT_FOLDERS"
"""A variable of the environment: folders to look into instead of the usual ones, as PATH separates them."""
SUFFIXES = (".ttf", ".otf", ".ttc", ".otc")
REGISTRY = r"SOFTWARE\Microsoft\Windows NT\CurrentVersion\Fonts"
MOST_FILES = 20_000


def _registry() -> list[str]:
    """Return the files that the two registry keys of Windows list: of all users, then of this one."""
    if sys.platform != "win32":
        return []
    import winreg

    out: list[str] = []
    for root in (winreg.HKEY_LOCAL_MACHINE, winreg.HKEY_CURRENT_USER):
        try:
            with winreg.OpenKey(root, REGISTRY) as key:
                values = [winreg.EnumValue(key, n)[1] for n in range(winreg.QueryInfoKey(key)[1])]
        except OSError:  # a key that isn't there, or may not be read
            continue
        out.extend(value for value in values if isinstance(value, str))
    return out


@dataclass(frozen=True, slots=True)
class Machine:
    """What decides where fonts are: the platform (as ``sys.platform``), home, environment, and Windows' registry."""

    platform: str = sys.platform
    home: Path = field(default_factory=lambda: Path(os.path.expanduser("~")))
    environ: Mapping[str, str] = field(default_factory=lambda: os.environ)
    registry: Callable[[], Iterable[str]] = _registry


def font_folders(machine: Machine) -> list[Path]:
    """Return the folders a machine keeps fonts in, the user's own first; they need not exist."""
    given = machine.environ.get(INSTEAD)
    if given is not None:
        return [Path(part) for part in given.split(os.pathsep) if part]
    home = machine.home
    if machine.platform == "win32":
        windows = Path(machine.environ.get("WINDIR") or machine.environ.get("SYSTEMROOT") or r"C:\Windows")
        return [_local(machine) / "Microsoft" / "Windows" / "Fonts", windows / "Fonts"]
    if machine.platform == "darwin":
        return [home / "Library/Fonts", Path("/Library/Fonts"), Path("/System/Library/Fonts")]
    data = _absolute(machine.environ.get("XDG_DATA_HOME")) or home / ".local/share"
    parts = machine.environ.get("XDG_DATA_DIRS", "").split(":")
    shared = [path for part in parts if (path := _absolute(part)) is not None]
    shared += [Path("/usr/local/share"), Path("/usr/share")]  # those of fontconfig, whatever the variable says
    return list(dict.fromkeys([data / "fonts", home / ".fonts", *(path / "fonts" for path in shared)]))


def font_files(machine: Machine, folders: Iterable[Path] | None = None) -> list[Path]:
    """Return the font files in a machine's folders, in order, none twice; what can't be looked into is passed over.

    Web fonts and bitmap formats are left out. ``folders`` stands instead of the machine's own.
    """
    searched = font_folders(machine) if folders is None else list(folders)
    found: dict[str, Path] = {}
    seen: set[str] = set()
    for folder in searched:
        for file in _below(folder, seen):
            if len(found) < MOST_FILES:
                found.setdefault(os.path.normcase(os.path.realpath(file)), file)
    if folders is None and machine.platform == "win32" and INSTEAD not in machine.environ:
        for name in machine.registry():
            # Most values are names in the machine's folder; fonts of a user and of programs have full paths.
            whole = PureWindowsPath(name).is_absolute() or Path(name).is_absolute()
            file = Path(name) if whole else searched[-1] / name
            if file.suffix.lower() in SUFFIXES:
                found.setdefault(os.path.normcase(os.path.realpath(file)), file)
    return list(found.values())


def cache_file(machine: Machine) -> Path:
    """Return where what was read of installed fonts is kept for the next run."""
    if machine.platform == "win32":
        folder = _local(machine)
    elif machine.platform == "darwin":
        folder = machine.home / "Library/Caches"
    else:
        folder = _absolute(machine.environ.get("XDG_CACHE_HOME")) or machine.home / ".cache"
    return folder / "bigsign" / "fonts.json"


def _local(machine: Machine) -> Path:
    given = machine.environ.get("LOCALAPPDATA")
    return Path(given) if given else machine.home / "AppData" / "Local"


def _absolute(text: str | None) -> Path | None:
    """Return a path of the base directory specification, which says that relative ones are ignored."""
    return Path(text) if text and Path(text).is_absolute() else None


def _below(folder: Path, seen: set[str]) -> Iterable[Path]:
    """Yield the font files below a folder by name; links are followed, but no folder is walked twice."""
    for at, folders, files in os.walk(folder, followlinks=True):
        real = os.path.realpath(at)
        if real in seen:
            folders.clear()
            continue
        seen.add(real)
        folders.sort()
        for name in sorted(files):
            if name.lower().endswith(SUFFIXES) and not name.startswith("."):
                yield Path(at) / name
