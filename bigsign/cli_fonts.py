"""`bigsign fonts`: the faces that can be named, by family and style, and a sheet of samples on request."""

from __future__ import annotations

import contextlib
import difflib
import os
import tempfile
from collections.abc import Sequence
from pathlib import Path

from bigsign.cli_terminal import Terminal, plain
from bigsign.errors import Fault, InputError, OutputError
from bigsign.fonts.faces import plain_name
from bigsign.fonts.installed import InstalledFace, installed_faces

__all__ = ["list_fonts"]


def list_fonts(word: str, sample: Path | None, units: str, terminal: Terminal) -> bool:
    """Print the faces with ``word`` in their name, and write a sheet of samples if asked to.

    Returns
    -------
    bool : whether there are any.

    Raises
    ------
    InputError
        If the sheet is to be neither PDF nor SVG; OutputError if it can't be written.
    """
    kind = _kind_of(sample)
    terminal.stage("reading the fonts")
    every = _by_name(installed_faces())
    wanted = plain_name(word)
    faces = [one for one in every if wanted in plain_name(f"{one.face.family} {one.face.style}")]
    if not faces:
        names = {plain_name(one.face.family): one.face.family for one in every}
        near = [names[text] for text in difflib.get_close_matches(wanted, sorted(names), 3, 0.5)]
        hint = f" The nearest: {', '.join(plain(name) for name in near)}." if near else ""
        terminal.say([f"No installed font has {plain(word)!r} in its name.{hint}" if word else "No font is installed."])
        return False
    terminal.say(_listed(faces))
    if sample is not None:
        terminal.stage("drawing the samples")
        _write(sample, _sheet(faces, kind, units))
        terminal.say(["", f"Wrote {plain(str(sample))}."])
    return True


def _by_name(faces: Sequence[InstalledFace]) -> list[InstalledFace]:
    """Return faces by family and style, each name once: the one that the name means."""
    found: dict[str, InstalledFace] = {}
    for one in faces:
        key = plain_name(f"{one.face.family} {one.face.style}")
        if key not in found or (found[key].face.wrong and not one.face.wrong):
            found[key] = one
    return sorted(found.values(), key=lambda one: (one.face.family.casefold(), one.face.uncommon, one.face.style))


def _listed(faces: Sequence[InstalledFace]) -> list[str]:
    """Return a line a family, with its styles, the plainest first; what can't be cut is said."""
    rows: dict[str, list[str]] = {}
    for one in faces:
        note = f" ({one.face.wrong})" if one.face.wrong else ""
        rows.setdefault(one.face.family, []).append(plain(one.face.style) + note)
    wide = min(40, max(len(plain(family)) for family in rows))
    return [f"{plain(family).ljust(wide)}  {', '.join(styles)}" for family, styles in rows.items()]


def _kind_of(sample: Path | None) -> str:
    if sample is None:
        return ""
    kind = sample.suffix.lower()
    if kind not in (".pdf", ".svg"):
        raise InputError(Fault(f"--sample {_shown(sample)} is neither", "bigsign fonts", "a file named .pdf or .svg"))
    try:
        good = sample.absolute().parent.is_dir() and not sample.is_dir()
    except (OSError, ValueError):
        good = False
    if not good:  # before the work rather than after it
        raise OutputError(Fault(f"{_shown(sample)} can't be written", "--sample", "a file in a folder of yours"))
    return kind


def _shown(file: Path) -> str:
    """Return a file's name for an error, a very long one without its middle: what is wrong with it stands after it."""
    text = str(file)
    return repr(text if len(text) <= 120 else f"{text[:60]}…{text[-50:]}")


def _sheet(faces: Sequence[InstalledFace], kind: str, units: str) -> bytes:
    from bigsign.fonts.sample import sample_rows
    from bigsign.fonts.sheet import sample_pdf, sample_svg

    rows = sample_rows(faces)
    return sample_svg(rows) if kind == ".svg" else sample_pdf(rows, "a4" if units == "mm" else "letter")


def _write(file: Path, data: bytes) -> None:
    """Write a file whole or not at all."""
    try:
        handle, name = tempfile.mkstemp(dir=file.absolute().parent, prefix=f".{file.name[:40]}-")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
            umask = os.umask(0)
            os.umask(umask)
            os.chmod(name, 0o666 & ~umask)  # as any other file: temporary ones are for their owner alone
            os.replace(name, file)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(name)
            raise
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "impossible name").lower()
        raise OutputError(Fault(f"{_shown(file)} can't be written ({reason})", "--sample", "another file")) from None
