"""Stopping a write at one of its file operations: by an error, by Ctrl-C, by a kill, or by a disk that is full."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from bigsign.output import folder
from bigsign.output.keeping import digest

__all__ = ["Operations", "counted", "small_contents", "tree"]

#: What the interpreter reports (PEP 578) of each file that is opened, made, renamed, copied or removed.
EVENTS = {
    "open", "os.mkdir", "os.rename", "os.remove", "os.rmdir", "os.chmod", "os.utime", "os.scandir", "os.listdir",
    "shutil.rmtree", "shutil.copyfile", "shutil.copymode", "shutil.copystat",
}  # fmt: skip


class Operations:
    """Counts the operations below a folder, and does ``stop`` at one of them."""

    def __init__(self) -> None:
        self.place = ""
        self.count = 0
        self.at = -1
        self.stop: Callable[[], None] = lambda: None
        self.names: list[str] = []

    def heard(self, event: str, words: tuple[object, ...]) -> None:
        if not self.place or event not in EVENTS:
            return
        paths = [os.fsdecode(word) for word in words if isinstance(word, str | bytes | os.PathLike)]
        if not any(path.startswith(self.place) for path in paths) and event not in ("os.remove", "os.rmdir"):
            return
        self.count += 1
        self.names.append(event)
        if self.count == self.at:
            self.stop()


OPERATIONS = Operations()
sys.addaudithook(OPERATIONS.heard)


@contextmanager
def counted(place: Path, at: int = -1, stop: Callable[[], None] = lambda: None) -> Iterator[Operations]:
    """Count the file operations below ``place``, and do ``stop`` at number ``at`` (from 1)."""
    OPERATIONS.count, OPERATIONS.at, OPERATIONS.stop, OPERATIONS.names = 0, at, stop, []
    OPERATIONS.place = str(place)
    try:
        yield OPERATIONS
    finally:
        OPERATIONS.place = ""


def small_contents(monkeypatch: pytest.MonkeyPatch, word: str) -> dict[str, bytes]:
    """Let every plan come to a few small files that say ``word``; return them."""
    files = {"guide.pdf": word.encode() * 5000, "preview.svg": word.encode(), "mats/mat-01-black.svg": word.encode()}
    names = sorted([*files, "plan.json"])
    digests = {name: digest(data) for name, data in files.items()}
    plan = {"format": "bigsign-plan", "files": names, "digests": digests}
    files["plan.json"] = json.dumps(plan).encode()
    monkeypatch.setattr(folder, "contents", lambda *_: dict(files))
    return files


def tree(path: Path) -> dict[str, bytes]:
    """Return the files of a folder by name; empty where there is none."""
    return {p.relative_to(path).as_posix(): p.read_bytes() for p in path.rglob("*") if p.is_file()}
