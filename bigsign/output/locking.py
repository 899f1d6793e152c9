"""One run at a time in a folder, and moments that Ctrl-C must not fall into; on every system."""

from __future__ import annotations

import signal
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

from filelock import FileLock, Timeout

from bigsign.errors import Fault, OutputError

__all__ = ["locked", "uninterrupted"]

PUT_OFF = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGBREAK") if hasattr(signal, name))


@contextmanager
def locked(lock: Path, name: str) -> Iterator[None]:
    """Hold the lock file ``lock`` and take it away at the end; ``name``: what an error calls the folder.

    The lock itself is the system's (filelock), so that a run that is killed leaves none behind, only the file.

    Raises
    ------
    OutputError
        If another run holds it, or the file can't be made.
    """
    held = FileLock(lock, timeout=0, is_singleton=False)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # on disks that know no locks a file stands for one: nobody's concern here
            held.acquire()
    except Timeout:
        raise OutputError(Fault("the output folder is in use", name, "wait for the other run")) from None
    except OSError as error:
        right = error.strerror or "a folder you may write to"
        raise OutputError(Fault("the output folder can't be written", name, right)) from None
    try:
        yield
    finally:
        # Only who holds the lock takes its file away, and before letting go: whoever opened it in between finds that
        # it is gone and tries anew. Windows takes away no file that is open: there letting go does it.
        with suppress(OSError):
            lock.unlink()
        held.release()


@contextmanager
def uninterrupted() -> Iterator[None]:
    """Put off Ctrl-C and SIGTERM until the end; in other threads than the main one they never come."""
    came: list[int] = []

    def note(number: int, _frame: FrameType | None) -> None:
        came.append(number)

    before = {}
    try:
        for number in PUT_OFF:
            before[number] = signal.signal(number, note)
    except ValueError:  # not the main thread
        before = {}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler if handler is not None else signal.SIG_DFL)
        for number in dict.fromkeys(came):
            signal.raise_signal(number)
