"""One drawing, read or taken the whole way, in a process of its own that may take only so much time."""

from __future__ import annotations

import json
import os
import resource
import signal
import tempfile
import warnings
from pathlib import Path

from bigsign import check_plan, load_project, make_plan, write_all
from bigsign.artwork import make_artwork
from bigsign.errors import InputError
from bigsign.findings import Finding
from tests.artwork.test_svg_rendering import agrees, as_read, picture

__all__ = ["judge_apart"]

LARGEST = 4_000  # pixels of a picture's longer side

PROJECT = """
[sign]
name = "Corpus"
width = "100 in"
height = "100 in"
[cutter]
use = "desktop-12"
mat = "12x12"
[[artwork]]
file = "drawing.svg"
width = "{width} mm"
centre = ["50 in", "50 in"]
"""


def judge_apart(file: Path, width: float, seconds: int, whole: bool) -> tuple[str, str, int]:
    """Return (verdict, what was said, MB held): right, warned, refused, wrong, crash or hang.

    ``seconds`` of processor time, so that other work on the machine does not count; ``whole``: the whole way, not only
    the reading.
    """
    out, into = os.pipe()
    child = os.fork()
    if not child:
        os.close(out)
        resource.setrlimit(resource.RLIMIT_CPU, (seconds + int(resource.getrusage(resource.RUSAGE_SELF).ru_utime),) * 2)
        with os.fdopen(into, "w") as pipe:
            pipe.write(json.dumps(judge(file, width, whole)))
        os._exit(0)
    os.close(into)
    with os.fdopen(out) as pipe:
        told = pipe.read()
    _, status, used = os.wait4(child, 0)
    if told:
        verdict, said, held = json.loads(told)
        return verdict, said, held
    held = used.ru_maxrss // 1024
    code = os.waitstatus_to_exitcode(status)
    late = -code in (signal.SIGXCPU, signal.SIGKILL)
    return "hang" if late else "crash", f"over {seconds} s" if late else f"exit {code}", held


def judge(file: Path, width: float, whole: bool) -> tuple[str, str, int]:
    """Return (verdict, what was said, the MB held before the rendering, which is not the project's)."""
    warnings.simplefilter("error")
    with tempfile.TemporaryDirectory() as folder:
        project = Path(folder) / "sign.toml"
        (Path(folder) / "drawing.svg").write_bytes(file.read_bytes())
        project.write_text(PROJECT.format(width=width))
        try:
            findings = _taken(project) if whole else make_artwork(load_project(project)).findings
        except InputError as error:
            return "refused", str(error)[:200], _held()
        except Exception as error:  # a bench goes on, and says what fell over
            return "crash", f"{type(error).__name__}: {error}"[:200], _held()
    held = _held()
    told = sorted({finding.code for finding in findings if finding.code.startswith("svg-")})
    drawn, _ = as_read(file)
    text = file.read_text("utf-8", "replace")
    # The renderer thickens lines below a pixel: where the pictures differ they are held against each other larger.
    across = max(picture(text, 1).shape)
    usual = max(1, min(4, 2 * LARGEST // across))  # a page of metres is looked at as it is
    if not _agree(drawn, text, usual) and not _agree(drawn, text, max(usual, min(16, LARGEST // across))):
        return "warned" if told else "wrong", ", ".join(told) or "the rendering differs, and nothing is said", held
    return "right", ", ".join(told), held


def _agree(ours: str, theirs: str, zoom: int) -> bool:
    return agrees(picture(ours, zoom), picture(theirs, zoom))


def _held() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def _taken(project: Path) -> tuple[Finding, ...]:
    """Take a project the whole way, and return what its plan warns of."""
    plan = make_plan(load_project(project))
    faults = check_plan(plan)
    if faults:
        raise RuntimeError(f"check: {faults[0]}")
    write_all(plan, project.parent / "out")
    return plan.warnings
