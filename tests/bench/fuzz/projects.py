"""Spoilt project files: reading one gives a project, or an error that says what and where; nothing else."""

from __future__ import annotations

import contextlib
import io
import math
import os
import re
import shutil
import signal
import tempfile
import traceback
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from bigsign.cli_terminal import LONGEST, Terminal
from bigsign.errors import InputError
from bigsign.prepare import prepare
from bigsign.project import Project
from bigsign.project_file import load_project
from tests.bench.fuzz.spoil import spoilt_input
from tests.bench.fuzz.toml_changes import changed_text
from tests.planted_faults import write_project

__all__ = ["SECONDS", "Projects", "TooLongError", "bench", "within", "wrong_words"]

ROOT = Path(__file__).parents[3]
PLACE = r"(spoilt|cutters)\.toml( line \d+| \[|$)"
SECONDS = 20  # of processor time for one input: far more than any takes
EVERY = 20  # of the projects that are read, one in so many is made into artwork too


class TooLongError(Exception):
    """An input took longer than ``SECONDS``."""


class Projects:
    """Good project files with all they name, in one folder; and by number what chance makes of them."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.seed = folder, seed
        files = [*(ROOT / "demo_projects").rglob("*.toml"), *(ROOT / "docs").rglob("*.toml")]
        for file in sorted({path for one in files for path in one.parent.glob("*.*")}):
            shutil.copy(file, folder / file.name)
        shutil.copy(ROOT / "bigsign/presets/start.toml", folder / "start.toml")
        texts = [file.read_bytes() for file in sorted([*(folder / one.name for one in files), folder / "start.toml"])]
        texts += [write_project(folder).read_bytes()] * 3  # it has most keys
        for page in sorted([ROOT / "README.md", *(ROOT / "docs").glob("*.md")]):
            texts += [found.encode() for found in re.findall(r"```toml\n(.*?)```", page.read_text("utf-8"), re.DOTALL)]
        # notes of settings that are left out become settings
        texts += [re.sub(rb"(?m)^# (?=\[|\w+ = )", b"", text) for text in texts]
        self.texts = texts

    def data(self, number: int) -> bytes:
        """Return input ``number``."""
        return spoilt_input(self.texts, self.seed, number, changed_text)

    def verdict(self, number: int, artwork: bool = False) -> str:
        """Read an input; return "read", "refused", or what is wrong with how it was read."""
        file = self.folder / "spoilt.toml"
        file.write_bytes(self.data(number))
        try:
            with within(SECONDS):
                project = load_project(file)
                wrong = _wrong_project(project)
                if artwork and not wrong:
                    prepare(project)
                return wrong or "read"
        except InputError as error:
            return wrong_words(error, "" if artwork else PLACE) or "refused"
        except TooLongError:
            return f"TIME: more than {SECONDS} s"
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            return f"CRASH: {type(error).__name__}: {error} ({Path(last.filename).name}:{last.lineno})"


@contextlib.contextmanager
def within(seconds: int) -> Iterator[None]:
    def stop(*_: object) -> None:
        raise TooLongError

    if not hasattr(signal, "setitimer"):  # Windows
        yield
        return
    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def _wrong_project(project: Project) -> str:
    """Return what can't be in a project that was read without a word, or ""."""
    board = project.board
    sizes = [board.width, board.height, project.cutter.width, project.cutter.length]
    if not all(0 < size <= 1e6 and math.isfinite(size) for size in sizes) or board.margin < 0:
        return f"WRONG: sizes {sizes}"
    if not project.blocks or not project.name:
        return "WRONG: nothing to cut"
    return ""


def wrong_words(error: InputError, place: str) -> str:
    """Return what is wrong with the lines of an error, or ""; each must name a place that matches a pattern."""
    if not error.faults:
        return "WORDS: no fault"
    printed = io.StringIO()
    with contextlib.redirect_stderr(printed):
        Terminal().faults(error)
    lines = printed.getvalue().splitlines()
    if not lines or not all(line.startswith("error: ") and len(line) <= LONGEST for line in lines):
        return f"WORDS: {lines}"
    for fault in error.faults:
        if not (fault.what and fault.right and fault.where):
            return f"WORDS: {fault}"
        if not re.match(place, fault.where):
            return f"WORDS: nowhere: {fault}"
        if re.search(r"Traceback|Error\b|0x[0-9a-f]{10}|<class|object at|NoneType", f"{fault.what} {fault.right}"):
            return f"WORDS: of Python: {fault}"
    return ""


def bench(count: int, seed: int, first: int) -> int:
    """Print figures of ``count`` inputs; 0 if none failed."""
    os.environ["XDG_CONFIG_HOME"] = os.devnull
    verdicts: Counter[str] = Counter()
    faults: list[str] = []
    made = 0
    with tempfile.TemporaryDirectory() as folder:
        inputs = Projects(Path(folder), seed)
        for number in range(first, first + count):
            verdict = inputs.verdict(number)
            if verdict == "read" and number % EVERY == 0:
                made += 1
                verdict = inputs.verdict(number, artwork=True)
                verdict = "read" if verdict == "refused" else verdict
            kind = verdict.partition(":")[0]
            verdicts[kind] += 1
            if kind.isupper():
                faults.append(f"  {number}  {verdict[:300]}")
    shown = ", ".join(f"{word} {verdicts[word]}" for word in ("read", "refused", "CRASH", "TIME", "WRONG", "WORDS"))
    print(f"{count} project files, seed {seed}: {shown.lower()}; {made} made into artwork")
    print("\n".join(faults[:40]))
    return 1 if faults else 0
