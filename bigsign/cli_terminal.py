"""The terminal: where text goes, progress, colour, and what a closed pipe or a signal does."""

from __future__ import annotations

import codecs
import json
import os
import signal
import sys
import time
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from bigsign.errors import Fault, InputError, OutputError

__all__ = ["LONGEST", "Terminal", "Terminated", "plain", "stop_on_sigterm"]

LONGEST = 300  # characters of a line of stderr


class Terminated(BaseException):
    """SIGTERM came; unwinds like Ctrl-C, so that nothing half written stays behind."""


@contextmanager
def stop_on_sigterm() -> Iterator[None]:
    """Let SIGTERM raise :class:`Terminated` within (only possible in the main thread)."""

    def stop(_number: int, _frame: FrameType | None) -> None:
        raise Terminated

    try:
        before = signal.signal(signal.SIGTERM, stop)
    except ValueError:  # not the main thread: the caller has signals of its own
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before if before is not None else signal.SIG_DFL)


def plain(text: str) -> str:
    """Return ``text`` on one line without control characters, so that no file's name can steer the terminal."""
    spaced = " ".join(text.split())
    return "".join(char if unicodedata.category(char) not in ("Cc", "Cf", "Cs") else "�" for char in spaced)


class Terminal:
    """Text to stdout, faults to stderr, progress to stderr only where that is a terminal."""

    def __init__(self, *, quiet: bool = False, colour: bool = True) -> None:
        self.quiet = quiet
        self.live = _is_terminal(sys.stderr) and not quiet
        self.colour = colour and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
        self.stages: list[tuple[str, float]] = []
        self._shown = 0
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="backslashreplace")

    def stage(self, name: str) -> None:
        """Begin a stage: its name is shown while it runs, its start kept for the timings."""
        self.stages.append((name, time.perf_counter()))
        if self.live:
            text = plain(name)[:70] + " …"
            sys.stderr.write("\r" + text.ljust(self._shown))
            sys.stderr.flush()
            self._shown = len(text)

    def clear(self) -> None:
        """Take the progress off the terminal."""
        if self.live and self._shown:
            sys.stderr.write("\r" + " " * self._shown + "\r")
            sys.stderr.flush()
            self._shown = 0

    def seconds(self) -> dict[str, float]:
        """Return the seconds of each stage so far; a stage that came twice has their sum."""
        ends = [start for _, start in self.stages[1:]] + [time.perf_counter()]
        out: dict[str, float] = {}
        for (name, start), end in zip(self.stages, ends, strict=True):
            out[name] = round(out.get(name, 0.0) + end - start, 4)
        return out

    def say(self, lines: Iterable[str]) -> None:
        """Print lines unless quiet."""
        if not self.quiet:
            self.write("\n".join(lines) + "\n")

    def write(self, text: str) -> None:
        """Write to stdout; a reader that has gone away is no fault of ours.

        Raises
        ------
        OutputError
            If stdout can't be written for another reason, such as a full disk.
        """
        self.clear()
        if sys.stdout is None:
            return
        try:
            sys.stdout.write(text)
            sys.stdout.flush()
        except BrokenPipeError:
            _discard(sys.stdout)
        except OSError as error:
            _discard(sys.stdout)
            reason = (error.strerror or "error").lower()
            raise OutputError(Fault(f"the text can't be written ({reason})", "standard output", "room")) from None

    def write_json(self, value: Mapping[str, object]) -> None:
        """Write JSON to stdout; where that is not UTF-8, with escapes, so that it is right in any encoding."""
        plain_only = codecs.lookup(getattr(sys.stdout, "encoding", None) or "ascii").name != "utf-8"
        self.write(json.dumps(value, ensure_ascii=plain_only, indent=1, allow_nan=False) + "\n")

    def faults(self, error: InputError) -> None:
        """Print one line a fault."""
        self.errors(_short(fault) for fault in error.faults)

    def errors(self, texts: Iterable[str]) -> None:
        """Print one ``error:`` line a text, at most ``LONGEST`` characters each."""
        self.clear()
        if sys.stderr is None:
            return
        red = self.colour and _is_terminal(sys.stderr)
        start, end = ("\033[31m", "\033[0m") if red else ("", "")
        try:
            for text in dict.fromkeys(texts):
                line = f"error: {plain(text)}"
                line = line if len(line) <= LONGEST else line[: LONGEST - 1] + "…"
                sys.stderr.write(f"{start}error:{end}{line[6:]}\n")
            sys.stderr.flush()
        except OSError:
            _discard(sys.stderr)

    def write_timings(self, file: Path) -> None:
        """Write the seconds of each stage as JSON."""
        try:
            file.write_bytes((json.dumps(self.seconds(), indent=1, ensure_ascii=False) + "\n").encode())
        except (OSError, ValueError) as error:
            reason = (getattr(error, "strerror", None) or "impossible name").lower()
            raise OutputError(Fault(f"the timings can't be written ({reason})", file.name, "another file")) from None


def _short(fault: Fault) -> str:
    """Return a fault whose parts are cut so that each of what, where and what would be right is still there."""
    room = LONGEST - len("error: ")
    if len(plain(str(fault))) <= room:
        return str(fault)
    parts = [plain(part) for part in (fault.what, fault.where, fault.right)]
    share = (room - 4) // 3
    spare = sum(max(0, share - len(part)) for part in parts)
    out = []
    for part in parts:
        most = share + spare if len(part) > share else share
        spare -= max(0, min(len(part), most) - share)
        out.append(part if len(part) <= most else part[: most - 1] + "…")
    return ", ".join(part for part in out if part)


def _is_terminal(stream: object) -> bool:
    isatty = getattr(stream, "isatty", None)
    return bool(isatty and isatty())


def _discard(stream: object) -> None:
    """Send what is left in a stream to nowhere, so that closing it at exit says nothing either."""
    fileno = getattr(stream, "fileno", None)
    if fileno is None:
        return
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, fileno())
        os.close(nowhere)
    except (OSError, ValueError):
        return
