"""Plans of a few words in any face that the tests have, for what the paper says of them."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory

from bigsign.plan import make_plan
from bigsign.plan_records import Plan
from bigsign.project_file import load_project

__all__ = ["font_of", "lettered_plan"]


def font_of(package: str, start: str = "") -> Path:
    """Return the first upright font file of a package of fonts whose name begins so."""
    found = find_spec(package)
    assert found is not None
    assert found.origin is not None
    files = sorted((Path(found.origin).parent / "files").glob(f"{start}*.ttf"))
    return next(file for file in files if "Italic" not in file.name)


@cache
def lettered_plan(lines: tuple[str, ...], package: str, start: str = "", more: str = "", board: str = "48 in") -> Plan:
    """Return the plan of lines of capitals 3 in high on a square board, cut on a small mat."""
    shown = ", ".join(f'"{line}"' for line in lines)
    text = f"""
[sign]
name = "Marrow Lane trial"
width = "{board}"
height = "{board}"
[cutter]
use = "desktop-12"
mat = "12x12"
[[lettering]]
lines = [{shown}]
font = '{font_of(package, start)}'
cap_height = "3 in"
{more}
"""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "trial.toml"
        file.write_text(text, encoding="utf-8")
        return make_plan(load_project(file))
