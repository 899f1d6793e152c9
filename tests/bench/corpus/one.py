"""One drawing the whole way, in a process of its own: `python -m tests.bench.corpus.one FILE WIDTH_MM MAT SECONDS`.

Prints one line of JSON: the verdict, what was said, and the most memory held.
"""

from __future__ import annotations

import json
import resource
import sys
import tempfile
import warnings
from pathlib import Path

from bigsign import check_plan, load_project, make_plan, write_all
from bigsign.errors import BigsignError, InputError
from tests.artwork.test_svg_rendering import agrees, as_read, picture

__all__ = ["judge"]

PROJECT = """
[sign]
name = "Corpus"
width = "100 in"
height = "100 in"
[cutter]
use = "desktop-12"
mat = "{mat}"
[[artwork]]
file = "{file}"
width = "{width} mm"
centre = ["50 in", "50 in"]
"""


def judge(file: Path, width: float, mat: str) -> tuple[str, str]:
    """Return (verdict, what was said): right, warned, refused, wrong or crash."""
    warnings.simplefilter("error")
    with tempfile.TemporaryDirectory() as folder:
        project = Path(folder) / "sign.toml"
        (Path(folder) / "drawing.svg").write_bytes(file.read_bytes())
        project.write_text(PROJECT.format(mat=mat, file="drawing.svg", width=width))
        try:
            plan = make_plan(load_project(project))
        except InputError as error:
            return "refused", str(error)[:200]
        except BigsignError as error:
            return "crash", f"{type(error).__name__}: {error}"[:200]
        except Exception as error:  # a bench goes on, and says what fell over
            return "crash", f"{type(error).__name__}: {error}"[:200]
        faults = check_plan(plan)
        if faults:
            return "crash", f"check: {faults[0]}"[:200]
        try:
            write_all(plan, Path(folder) / "out")
        except Exception as error:
            return "crash", f"writing: {type(error).__name__}: {error}"[:200]
    told = sorted({finding.code for finding in plan.warnings if finding.code.startswith("svg-")})
    drawn, _ = as_read(file)
    if not agrees(picture(drawn, 4), picture(file.read_text("utf-8", "replace"), 4)):
        return ("warned", ", ".join(told)) if told else ("wrong", "the rendering differs, and nothing is said")
    return "right", ", ".join(told)


if __name__ == "__main__":
    seconds = int(sys.argv[4])
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 5))
    verdict, said = judge(Path(sys.argv[1]), float(sys.argv[2]), sys.argv[3])
    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(json.dumps({"verdict": verdict, "said": said, "mb": held}))
