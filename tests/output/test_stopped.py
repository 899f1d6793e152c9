"""Whenever a write is stopped, the folder is the old one or the new one, and the next run leaves nothing behind."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from bigsign.errors import OutputError
from bigsign.output.folder import write_all
from tests.demos import demo_plan
from tests.output.file_operations import counted, small_contents, tree

resource = pytest.importorskip("resource") if sys.platform != "win32" else None
forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes of this system don't fork")

#: What may be there before: nothing, an old plan, an old plan with droppings and a file changed by hand.
BEFORE = ("nothing", "plan", "changed")


def begun(folder: Path, monkeypatch: pytest.MonkeyPatch, before: str) -> tuple[dict[str, bytes], dict[str, bytes]]:
    """Set the stage; return the old files and the new ones."""
    target = folder / "out"
    small_contents(monkeypatch, "old")
    if before != "nothing":
        write_all(demo_plan("one_mat"), target)
    if before == "changed":
        (target / ".DS_Store").write_bytes(b"x")
        (target / "preview.svg").write_bytes(b"mine")
    old = tree(target)
    return old, small_contents(monkeypatch, "new")


def number_of_operations(folder: Path, monkeypatch: pytest.MonkeyPatch, before: str) -> int:
    trial = folder / "trial"
    trial.mkdir()
    begun(trial, monkeypatch, before)
    with counted(trial) as operations:
        write_all(demo_plan("one_mat"), trial / "out")
    return operations.count


def is_new(found: dict[str, bytes], new: dict[str, bytes]) -> bool:
    return {name: data for name, data in found.items() if name != ".DS_Store"} == new


def runs_again(folder: Path, new: dict[str, bytes], before: str) -> None:
    """Assert that the next run ends well and leaves nothing but the new folder and what a person changed of the old."""
    write_all(demo_plan("one_mat"), folder / "out")
    assert is_new(tree(folder / "out"), new)
    left = [path.name for path in folder.iterdir() if path.name != "out" and not path.name.startswith("out-kept")]
    assert left == []
    kept = [path.read_bytes() for path in folder.glob("out-kept*/preview.svg")]
    assert (b"mine" in kept) == (before == "changed")


@forks
@pytest.mark.parametrize("before", BEFORE)
def test_a_kill_at_any_file_operation_leaves_the_old_folder_or_the_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, before: str
) -> None:
    total = number_of_operations(tmp_path, monkeypatch, before)
    assert total > 10
    between = 0
    for at in range(1, total + 1):
        folder = tmp_path / str(at)
        folder.mkdir()
        old, new = begun(folder, monkeypatch, before)
        child = os.fork()
        if child == 0:  # dies at the operation, as by SIGKILL or a loss of power: nothing is cleared away
            with counted(folder, at, lambda: os._exit(9)):
                write_all(demo_plan("one_mat"), folder / "out")
            os._exit(0)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9
        target = folder / "out"
        if before != "nothing" and not target.exists():  # between the two renames: the old one waits beside it
            between += 1
            target = folder / ".out.old"
        assert tree(target) == old or is_new(tree(target), new)
        runs_again(folder, new, before)
    assert between <= 1


def test_the_old_folder_comes_back_though_the_next_run_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old, new = begun(tmp_path, monkeypatch, "plan")
    (tmp_path / "out").rename(tmp_path / ".out.old")  # as a kill between the two renames leaves it
    with monkeypatch.context() as patched:
        patched.setattr(Path, "write_bytes", lambda *_: full())
        with pytest.raises(OutputError):
            write_all(demo_plan("one_mat"), tmp_path / "out")
    assert tree(tmp_path / "out") == old
    runs_again(tmp_path, new, "plan")


@forks
def test_a_kill_in_the_middle_of_a_file_is_no_different(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_bytes = Path.write_bytes
    for at in range(1, 5):
        folder = tmp_path / str(at)
        folder.mkdir()
        old, new = begun(folder, monkeypatch, "plan")
        child = os.fork()
        if child == 0:
            written: list[str] = []

            def half(self: Path, data: bytes, at: int = at, written: list[str] = written) -> int:
                written.append(self.name)
                if len(written) == at:
                    write_bytes(self, data[: len(data) // 2])
                    os._exit(9)
                return write_bytes(self, data)

            Path.write_bytes = half  # type: ignore[assignment,method-assign]
            write_all(demo_plan("one_mat"), folder / "out")
            os._exit(0)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9
        assert tree(folder / "out") == old
        runs_again(folder, new, "plan")


def full() -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def interrupted() -> None:
    raise KeyboardInterrupt


@pytest.mark.parametrize("before", BEFORE)
@pytest.mark.parametrize(("stop", "raised"), [(full, OutputError), (interrupted, KeyboardInterrupt)])
def test_an_error_at_any_file_operation_leaves_the_old_folder_or_the_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop: Callable[[], None], raised: type[BaseException], before: str
) -> None:
    total = number_of_operations(tmp_path, monkeypatch, before)
    stopped = 0
    for at in range(1, total + 1):
        folder = tmp_path / str(at)
        folder.mkdir()
        old, new = begun(folder, monkeypatch, before)
        with counted(folder, at, stop):
            try:
                write_all(demo_plan("one_mat"), folder / "out")
            except raised:  # any other one is a fault
                stopped += 1
        assert tree(folder / "out") == old or is_new(tree(folder / "out"), new)
        runs_again(folder, new, before)
    assert stopped > total // 2


@forks
def test_a_full_disk_is_one_error_and_nothing_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert resource is not None
    old, new = begun(tmp_path, monkeypatch, "plan")
    read, write = os.pipe()
    child = os.fork()
    if child == 0:  # the system itself refuses a file of more than 8 kB
        resource.setrlimit(resource.RLIMIT_FSIZE, (8192, 8192))
        try:
            write_all(demo_plan("one_mat"), tmp_path / "out")
        except OutputError as error:
            os.write(write, str(error).encode())
        os._exit(0)
    os.waitpid(child, 0)
    assert b"can't be written" in os.read(read, 1000)
    assert tree(tmp_path / "out") == old
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    runs_again(tmp_path, new, "plan")


TWO = """
import os, sys
from bigsign.errors import OutputError
from bigsign.output import folder
from pathlib import Path
from tests.output.file_operations import small_contents
import pytest
files = small_contents(pytest.MonkeyPatch(), sys.argv[2])
print("here", flush=True)
sys.stdin.readline()
for _ in range(30):
    try:
        folder.write_all(None, sys.argv[1])
    except OutputError as error:
        assert "in use" in str(error), error
"""


def test_two_runs_at_once_end_well_and_one_plan_stands(tmp_path: Path) -> None:
    target = tmp_path / "out"
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", TWO, str(target), word],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=Path(__file__).parents[2],
        )
        for word in ("one", "two", "three")
    ]  # fmt: skip
    for run in runs:
        assert run.stdout is not None
        assert run.stdout.readline() == b"here\n"
    for run in runs:  # all are ready: now at once
        assert run.stdin is not None
        run.stdin.write(b"\n")
        run.stdin.flush()
    for run in runs:
        _, err = run.communicate(timeout=60)
        assert (run.returncode, err) == (0, b"")
    found = tree(target)
    assert found["preview.svg"] in (b"one", b"two", b"three")
    assert found["guide.pdf"] == found["preview.svg"] * 5000
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
