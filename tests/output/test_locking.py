"""One run at a time; moments that no signal falls into, on systems with and without masks of signals."""

from __future__ import annotations

import signal
import threading
from pathlib import Path

import pytest

from bigsign.errors import OutputError
from bigsign.output.locking import locked, uninterrupted


def test_the_second_is_refused_and_the_third_may_once_the_first_is_done(tmp_path: Path) -> None:
    lock = tmp_path / ".out.lock"
    with locked(lock, "out"):
        assert lock.exists()
        with pytest.raises(OutputError, match="in use, out, wait"), locked(lock, "out"):
            pass
        assert lock.exists()
    assert not lock.exists()
    with locked(lock, "out"):
        pass
    assert list(tmp_path.iterdir()) == []


def test_a_lock_file_that_a_killed_run_left_is_no_lock(tmp_path: Path) -> None:
    (tmp_path / ".out.lock").write_text("")
    with locked(tmp_path / ".out.lock", "out"):
        pass
    assert list(tmp_path.iterdir()) == []


def test_a_lock_that_cannot_be_made_is_an_error(tmp_path: Path) -> None:
    (tmp_path / ".out.lock").mkdir()
    with pytest.raises(OutputError, match="can't be written, out"), locked(tmp_path / ".out.lock", "out"):
        pass


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_signals_are_put_off_and_come_at_the_end(number: signal.Signals) -> None:
    came: list[int] = []
    before = signal.signal(number, lambda n, _: came.append(n))
    try:
        with uninterrupted():
            signal.raise_signal(number)
            assert came == []
        assert came == [number]
        assert signal.getsignal(number) is not signal.SIG_DFL
    finally:
        signal.signal(number, before)


def test_ctrl_c_that_was_put_off_is_not_lost() -> None:
    after: list[bool] = []

    def work() -> None:
        with uninterrupted():
            signal.raise_signal(signal.SIGINT)
            after.append(True)

    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # a run in the background ignores Ctrl-C
    try:
        with pytest.raises(KeyboardInterrupt):
            work()
    finally:
        signal.signal(signal.SIGINT, before)
    assert after == [True]


def test_other_threads_than_the_main_one_have_nothing_to_put_off() -> None:
    done: list[bool] = []

    def work() -> None:
        with uninterrupted():
            done.append(True)

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert done == [True]
