"""All faces installed on a machine, by family and style: those of font packages, then of its usual folders.

What was read of a file is kept in the user's cache folder, by its path, size and time, so that the next run need not
open every file. That record is only ever a shortcut: whatever is wrong with it, the files are read again.
"""

from __future__ import annotations

import contextlib
import json
import os
import stat
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from bigsign.fonts.faces import FaceName, faces_of
from bigsign.fonts.folders import Machine, cache_file, font_files
from bigsign.fonts.packages import package_fonts

__all__ = ["InstalledFace", "installed_faces"]

FORMAT = 1
LARGEST_CACHE = 100_000_000  # bytes
Kept = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class InstalledFace:
    """A face and the file that holds it."""

    face: FaceName
    file: Path


def installed_faces(
    folders: Iterable[Path] | None = None, machine: Machine | None = None, *, fresh: bool = False
) -> list[InstalledFace]:
    """Return every face that can be named, first those of font packages, then by folder and file.

    Parameters
    ----------
    folders : to look into instead of the usual ones; nothing is kept of them for the next run.
    machine : whose rules and environment hold; default: this one's.
    fresh : whether to read every file again.

    Notes
    -----
    Never raises for a font: what can't be read, or is none, is left out.
    """
    machine = machine or Machine()
    files = [file for _, file in package_fonts().values() if file.suffix.lower() not in (".woff", ".woff2")]
    files += font_files(machine, folders)
    place = cache_file(machine) if folders is None else None
    kept: Kept = _read(place) if place is not None and not fresh else {}
    now: dict[str, object] = {}
    out: list[InstalledFace] = []
    for file in dict.fromkeys(files):
        try:
            facts = file.stat()
            if not stat.S_ISREG(facts.st_mode):  # a pipe is never opened: reading it might not end
                continue
            key, stamp = str(file), [facts.st_size, facts.st_mtime_ns]
            faces = _faces(kept.get(key), stamp)
            if faces is None:
                faces = faces_of(file)
        except (OSError, ValueError):
            continue
        now[key] = [*stamp, [asdict(face) for face in faces]]
        out.extend(InstalledFace(face, file) for face in faces if face.family)
    if place is not None and now != kept:
        _write(place, now)
    return out


def _faces(entry: object, stamp: list[int]) -> list[FaceName] | None:
    """Return what is kept of a file, or None where that is of another file, or not as it was written."""
    if not isinstance(entry, list) or len(entry) != 3 or entry[:2] != stamp or not isinstance(entry[2], list):
        return None
    try:
        return [_face(**made) for made in entry[2]]
    except (TypeError, ValueError):
        return None


def _face(
    family: str, style: str, index: int, axes: list[list[object]], uncommon: list[float], also: list[str],
    families: list[str], wrong: str,
) -> FaceName:
    """Return a kept face; raises TypeError or ValueError if it is not as it was written."""
    texts = (family, style, wrong, *also, *families)
    if not all(isinstance(text, str) for text in texts) or not isinstance(index, int) or len(uncommon) != 4:
        raise TypeError("not a face")
    slant, width, weight, named = (float(value) for value in uncommon)
    place = tuple((str(tag), float(str(at))) for tag, at in axes)
    return FaceName(family, style, index, place, (slant, width, weight, named), tuple(also), tuple(families), wrong)


def _read(file: Path) -> Kept:
    try:
        if file.stat().st_size > LARGEST_CACHE:
            return {}
        found = json.loads(file.read_bytes())
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(found, dict) or found.get("format") != FORMAT or not isinstance(found.get("files"), dict):
        return {}
    files: Kept = found["files"]
    return files


def _write(file: Path, files: Kept) -> None:
    """Write the record whole or not at all; a folder that can't be written to is no fault of anybody's."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=".fonts-")
    except OSError:
        return
    try:
        with os.fdopen(handle, "w", encoding="ascii") as stream:
            json.dump({"format": FORMAT, "files": files}, stream)
        os.replace(name, file)
    except (OSError, ValueError):
        with contextlib.suppress(OSError):
            os.unlink(name)
