"""What a folder holds besides a plan's files as they were written: droppings of systems, and what people changed."""

from __future__ import annotations

import fnmatch
import hashlib
import json
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

__all__ = ["carry_droppings", "digest", "is_dropping", "keep_changed", "listed_files"]

#: Names that operating systems, file managers and editors leave in folders by themselves (common practice, no source).
DROPPINGS = (
    ".DS_Store", "._*", ".Spotlight-V100", ".Trashes", ".fseventsd", "Thumbs.db", "ehthumbs.db", "desktop.ini",
    "Desktop.ini", ".directory", "*~", ".*.sw?", ".~lock.*#", "~$*", ".#*", "#*#", ".thumbnails", "Icon\r",
)  # fmt: skip


def is_dropping(name: str) -> bool:
    """Whether a file, or a folder it lies in, is what a system or an editor leaves by itself."""
    return any(fnmatch.fnmatchcase(part, pattern) for part in Path(name).parts for pattern in DROPPINGS)


def digest(data: bytes) -> str:
    """Return by what a file is known again: its SHA-256."""
    return hashlib.sha256(data).hexdigest()


def listed_files(folder: Path) -> dict[str, str]:
    """Return the files that a folder's own plan.json lists, with their digests or ""; none where it holds no plan.

    Raises
    ------
    OSError
        If its plan.json is there and can't be read: what people changed would be taken for nothing.
    """
    try:
        plan: Any = json.loads((folder / "plan.json").read_text("utf-8"))
        known = plan.get("digests", {})
        own = plan.get("format") == "bigsign-plan"
        return {name: str(known.get(name, "")) for name in plan["files"]} if own else {}
    except (FileNotFoundError, NotADirectoryError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def keep_changed(folder: Path) -> str | None:
    """Copy the files of a plan's folder that were changed since to a folder beside it; return its name, None: none was.

    A file of which the folder does not say how it was written counts as unchanged.

    Raises
    ------
    OSError
        If a file can't be read or copied: then nothing may take the folder's place.
    """
    changed = []
    for name, known in listed_files(folder).items():
        try:
            if known and digest((folder / name).read_bytes()) != known:
                changed.append(name)
        except FileNotFoundError:  # a person took it away
            continue
    if not changed:
        return None
    count = 1
    while (kept := folder.absolute().parent / f"{folder.name}-kept{'' if count == 1 else f'-{count}'}").exists():
        count += 1
    for name in changed:
        (kept / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(folder / name, kept / name)
    return kept.name


def carry_droppings(old: Path, new: Path, files: Mapping[str, bytes]) -> None:
    """Copy what systems left in a folder to the one that takes its place, where the folder it lay in is there too."""
    for path in sorted(old.rglob("*")):
        name = path.relative_to(old).as_posix()
        if path.is_file() and not path.is_symlink() and is_dropping(name) and name not in files:
            target = new / name
            if target.parent.is_dir() or is_dropping(target.parent.name):
                target.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(path, target)
