"""The output folder: it appears whole or not at all, and nothing that is not ours is ever replaced.

What a system dropped into it stays; what a person changed is kept beside it (`keeping`).

Everything is written into a folder beside the wanted one, which then takes its name. A lock file beside it keeps
two runs apart; what a killed run left behind is removed by the next.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import signal
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from bigsign.errors import Fault, OutputError
from bigsign.output.keeping import carry_droppings, digest, is_dropping, keep_changed, listed_files
from bigsign.plan_records import Plan

if TYPE_CHECKING:
    from bigsign.alternatives import Alternative

__all__ = ["check_folder", "write_all"]

Progress = Callable[[str], None]


def write_all(
    plan: Plan,
    folder: Path | str,
    progress: Progress | None = None,
    alternatives: Sequence[Alternative] = (),
) -> tuple[str, ...]:
    """Write the plan's folder and return the names of its files, sorted.

    ``alternatives``: from :func:`bigsign.make_alternatives`, the plan itself first; of the others the numbers and a
    preview are written too.

    Raises
    ------
    OutputError
        If the folder can't be written, holds something this library did not write, or is in use by another run.
    """
    target = Path(folder)
    check_folder(target)
    with _alone(target):
        check_folder(target)
        say = progress or (lambda _: None)
        files = contents(plan, say, alternatives)
        kept = keep_changed(target)
        if kept is not None:
            say(f"files that were changed by hand are kept in {kept}")
        _replace(target, files)
    return tuple(sorted(files))


def contents(
    plan: Plan, progress: Progress = lambda _: None, alternatives: Sequence[Alternative] = ()
) -> dict[str, bytes]:
    """Return every file of the folder by its name."""
    from bigsign.output.cut_files import cut_svg
    from bigsign.output.guide import guide_pdf
    from bigsign.output.plan_json import alternatives_to_list, plan_json
    from bigsign.output.preview import preview_png, preview_svg
    from bigsign.output.template import template_pdf
    from bigsign.sheets import lay_out
    from bigsign.sheets.lay_template import lay_template

    progress("laying out the guide")
    sheets = lay_out(plan, plan.project.plan.paper)
    progress("laying out the full-size template")
    template = lay_template(plan, plan.project.plan.template_paper or plan.project.plan.paper)
    progress("writing guide, template, cut files and preview")
    files: dict[str, bytes] = {"guide.pdf": guide_pdf(sheets, plan), "template.pdf": template_pdf(template, plan)}
    preview = preview_svg(plan)
    files["preview.svg"] = preview.encode()
    files["preview.png"] = preview_png(preview)
    for mat in plan.mats:
        files[mat.file] = cut_svg(plan, mat)
    folders = [f"alternatives/{n}-{one.senses[0]}" if n else None for n, one in enumerate(alternatives)]
    for one, where in zip(alternatives, folders, strict=True):
        if where is not None:
            drawn = preview_svg(one.plan)
            files[f"{where}/preview.svg"], files[f"{where}/preview.png"] = drawn.encode(), preview_png(drawn)
            files[f"{where}/plan.json"] = plan_json(one.plan, ["plan.json", "preview.png", "preview.svg"])
    names = sorted([*files, "plan.json"])
    guide: dict[str, Any] = {"paper": plan.project.plan.paper, "pages": sheets.guide_pages}
    digests = {name: digest(data) for name, data in sorted(files.items())}
    files["plan.json"] = plan_json(
        plan, names, guide, template.record, alternatives_to_list(alternatives, folders), digests
    )
    return files


def check_folder(target: Path) -> None:
    """Raise OutputError unless ``target`` can be made, or is a folder that holds only files of a plan of its own."""
    where = target.name or str(target)
    try:
        _check_folder(target, where)
    except (OSError, ValueError) as error:  # a name too long, a nought byte, a folder that can't be read
        right = getattr(error, "strerror", None) or str(error)
        raise OutputError(Fault("the output folder can't be written", where[:60], right)) from None


def _check_folder(target: Path, where: str) -> None:
    if "\0" in str(target):  # most questions to a path of this kind answer False instead of failing
        raise ValueError("a name without a nought byte")
    if target.absolute().parent == target.absolute():
        raise OutputError(Fault("the output can't be a whole disk", where, "a folder of its own"))
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise OutputError(Fault("the output is no folder", where, "a new folder, or one that an earlier run made"))
    parent = target.absolute().parent
    if not parent.is_dir():
        raise OutputError(Fault("the output's parent folder is not there", where, "an existing folder to put it in"))
    if not os.access(parent, os.W_OK | os.X_OK):
        raise OutputError(Fault("the output folder can't be written", where, "a folder you may write to"))
    if target.is_dir():
        stranger = _stranger(target)
        if stranger is not None:
            right = "another output folder, or move that file away"
            what = f"the output folder holds {stranger!r}, which no earlier run wrote"
            raise OutputError(Fault(what, where, right))


def _stranger(target: Path) -> str | None:
    """Return the first file, or folder with nothing in it, that the folder's own plan.json does not list, or None."""
    found = sorted(
        path.relative_to(target).as_posix()
        for path in target.rglob("*")
        if path.is_symlink() or not path.is_dir() or not any(path.iterdir())
    )
    listed = listed_files(target)
    return next((name for name in found if name not in listed and not is_dropping(name)), None)


@contextmanager
def _alone(target: Path) -> Iterator[None]:
    """Hold the lock of ``target``; raise OutputError if another run holds it."""
    parent = target.absolute().parent
    lock = parent / f".{target.name}.lock"
    handle = _locked(lock, target.name)
    try:
        for left in sorted(parent.iterdir()):
            if left.name.startswith(f".{target.name}.new-"):
                shutil.rmtree(left, ignore_errors=True)
        old = parent / f".{target.name}.old"
        if old.exists():
            if target.exists():
                shutil.rmtree(old, ignore_errors=True)
            else:
                old.rename(target)  # killed between the two renames: the old folder still stands
        yield
    finally:
        # only who holds the lock takes its file away: else a third run would lock a new file beside the first
        lock.unlink(missing_ok=True)
        handle.close()


def _locked(lock: Path, name: str) -> IO[str]:
    """Return the lock file, open and locked; raise OutputError if another run holds it."""
    handle: IO[str] | None = None
    try:
        handle = lock.open("w")
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        # the run before may have taken the file away between our opening and our locking it
        if not lock.exists() or not os.path.samestat(os.fstat(handle.fileno()), lock.stat()):
            raise BlockingIOError
    except OSError as error:
        if handle is not None:
            handle.close()
        if isinstance(error, BlockingIOError):
            raise OutputError(Fault("the output folder is in use", name, "wait for the other run")) from None
        right = error.strerror or "a folder you may write to"
        raise OutputError(Fault("the output folder can't be written", name, right)) from None
    return handle


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Put off Ctrl-C and SIGTERM: between the two renames neither the old folder nor the new one stands."""
    held = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT, signal.SIGTERM})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, held)


def _replace(target: Path, files: Mapping[str, bytes]) -> None:
    """Write ``files`` beside ``target`` and put them in its place."""
    parent = target.absolute().parent
    old = parent / f".{target.name}.old"
    try:
        new = Path(tempfile.mkdtemp(prefix=f".{target.name}.new-", dir=parent))
        try:
            for name, data in sorted(files.items()):
                path = new / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
            if target.is_dir():
                carry_droppings(target, new, files)
            new.chmod(0o755)
            with _uninterrupted():
                try:
                    if target.exists():
                        target.rename(old)
                    new.rename(target)
                except BaseException:
                    if old.exists() and not target.exists():
                        old.rename(target)
                    raise
        except BaseException:
            shutil.rmtree(new, ignore_errors=True)
            raise
        shutil.rmtree(old, ignore_errors=True)
    except OSError as error:
        right = error.strerror or "a folder you may write to"
        raise OutputError(Fault("the output folder can't be written", target.name, right)) from None
