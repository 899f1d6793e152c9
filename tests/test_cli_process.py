"""The commands as processes of their own: pipes, a full disk, signals, what an import loads."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from tests.cli_place import PROJECT


@pytest.fixture(autouse=True)
def _place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    (tmp_path / "shed.toml").write_text(PROJECT)


def command(*words: str, **more: Any) -> subprocess.Popen[bytes]:
    return subprocess.Popen([sys.executable, "-m", "bigsign", *words], stderr=subprocess.PIPE, **more)


def test_a_closed_pipe_is_no_error(tmp_path: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    run = command("check", "shed.toml", stdout=write)
    os.close(write)
    _, err = run.communicate()
    assert (run.returncode, err) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
def test_a_full_disk_for_the_text_is_one_error() -> None:
    with Path("/dev/full").open("wb") as full:
        run = command("cutters", stdout=full)
        _, err = run.communicate()
    assert run.returncode == 2
    assert re.fullmatch(rb"error: [^\n]+\n", err)


@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGINT, 130)])
def test_signals_end_quietly_with_their_code(tmp_path: Path, number: signal.Signals, code: int) -> None:
    # A program that waits inside the command stands for a long plan.
    waiting = (
        "import sys, time, bigsign, bigsign.cli as c\n"
        "def load(path):\n    print('here', flush=True)\n    time.sleep(30)\n"
        "bigsign.load_project = load\nsys.exit(c.main(['check', 'shed.toml']))\n"
    )
    before = signal.signal(number, signal.SIG_DFL)  # a run in the background ignores Ctrl-C, and so would its child
    run = subprocess.Popen([sys.executable, "-c", waiting], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    signal.signal(number, before)
    assert run.stdout is not None
    assert run.stdout.readline() == b"here\n"
    time.sleep(0.05)
    run.send_signal(number)
    _, err = run.communicate(timeout=20)
    assert (run.returncode, err) == (code, b"")


def test_importing_the_commands_stays_light() -> None:
    heavy = "import sys, bigsign.cli; print([m for m in ('numpy', 'shapely', 'reportlab', 'lxml') if m in sys.modules])"
    assert subprocess.run([sys.executable, "-c", heavy], capture_output=True, check=True).stdout == b"[]\n"
