"""The output folder: it appears whole or not at all, and nothing that is not ours is ever replaced.

What a system dropped into it stays; what a person changed is kept beside it (`keeping`).

Everything is written into a folder beside the wanted one, which then takes its name. A lock file beside it keeps
two runs apart; what a killed run left behind is removed by the next.
"""

from __future__ import annotations

import os
import secrets
import shutil
import stat
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bigsign.errors import Fault, OutputError
from bigsign.output.keeping import carry_droppings, digest, is_dropping, keep_changed, listed_files
from bigsign.output.locking import locked, uninterrupted
from bigsign.output.names import WINDOWS, wrong_name
from bigsign.plan_records import Plan

if TYPE_CHECKING:
    from bigsign.alternatives import Alternative

__all__ = ["check_folder", "write_all"]

LOOKS = 5  # at a folder that changes meanwhile
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
    with _in_words(target.name), _alone(target):
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
    wrong = wrong_name(target.name)
    if wrong is not None:
        raise OutputError(Fault(f"the output folder's name {wrong[0]}", where[:60], wrong[1]))
    if target.absolute().parent == target.absolute():
        raise OutputError(Fault("the output can't be a whole disk", where, "a folder of its own"))
    if not _folder_or_nothing(target):
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


def _folder_or_nothing(target: Path) -> bool:
    """Whether there is a folder or nothing, no link either; asked once, as another run may just replace it."""
    try:
        return stat.S_ISDIR(target.lstat().st_mode)
    except FileNotFoundError:
        return True


def _stranger(target: Path) -> str | None:
    """Return the first file, or folder with nothing in it, that the folder's own plan.json does not list, or None.

    This is asked before the work too, without the lock: another run may replace the folder while it is looked at, and
    then it is looked at again.
    """
    for _ in range(LOOKS):
        listed = listed_files(target)
        try:
            found = sorted(
                path.relative_to(target).as_posix()
                for path in target.rglob("*")
                if path.is_symlink() or not path.is_dir() or not any(path.iterdir())
            )
        except FileNotFoundError:
            continue
        strange = next((name for name in found if name not in listed and not is_dropping(name)), None)
        if strange is None or listed == listed_files(target):
            return strange
    raise OutputError(Fault("the output folder is in use", target.name, "wait for the other run"))


@contextmanager
def _alone(target: Path) -> Iterator[None]:
    """Hold the lock of ``target``, and clear away what a killed run left; raise OutputError if another run holds it."""
    parent = target.absolute().parent
    with locked(parent / f".{target.name}.lock", target.name):
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


def _replace(target: Path, files: Mapping[str, bytes]) -> None:
    """Write ``files`` beside ``target`` and put them in its place."""
    parent = target.absolute().parent
    old = parent / f".{target.name}.old"
    new = parent / f".{target.name}.new-{secrets.token_hex(4)}"
    try:
        new.mkdir()  # with the rights that folders of this person have
        for name, data in sorted(files.items()):
            path = new / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        if target.is_dir():
            carry_droppings(target, new, files)
        with uninterrupted():
            try:
                if target.exists():
                    _rename(target, old)
                _rename(new, target)
            except BaseException:
                if old.exists() and not target.exists():
                    old.rename(target)
                raise
    except BaseException:
        shutil.rmtree(new, ignore_errors=True)
        raise
    shutil.rmtree(old, ignore_errors=True)


@contextmanager
def _in_words(name: str) -> Iterator[None]:
    """Turn what the system refuses into an error that says so."""
    try:
        yield
    except OSError as error:
        right = error.strerror or "a folder you may write to"
        if WINDOWS and isinstance(error, PermissionError):
            right = "close what is open of it in other programs, or choose another folder"
        raise OutputError(Fault("the output folder can't be written", name, right)) from None


def _rename(path: Path, to: Path) -> None:
    """Rename a folder; on Windows, where a virus scanner may hold a new file for a moment, try some times."""
    for wait in (0.05, 0.1, 0.2, 0.4) if WINDOWS else ():
        try:
            path.rename(to)
            return
        except PermissionError:
            time.sleep(wait)
    path.rename(to)
