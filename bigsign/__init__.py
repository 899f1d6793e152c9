"""Bigsign: large cut-film lettering, parted for a small cutter, with cut files and an assembly guide.

The way through: :func:`load_project` reads a project file, :func:`make_plan` finds where everything goes,
:func:`check_plan` checks it independently, :func:`write_all` writes the folder to work from. :func:`check_fit`
answers whether lettering fits a machine, and how large it could be.
"""

from __future__ import annotations

from importlib import import_module, metadata
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bigsign.alternatives import Alternative, make_alternatives
    from bigsign.errors import BigsignError, Fault, InputError, NotYetError, OutputError
    from bigsign.findings import Finding
    from bigsign.fit import FitReport, check_fit
    from bigsign.output.folder import write_all
    from bigsign.plan import check_plan, make_plan
    from bigsign.plan_records import Plan
    from bigsign.project import Project
    from bigsign.project_file import load_project
    from bigsign.units import parse_length, to_tape

__all__ = [
    "Alternative",
    "BigsignError",
    "Fault",
    "Finding",
    "FitReport",
    "InputError",
    "NotYetError",
    "OutputError",
    "Plan",
    "Project",
    "check_fit",
    "check_plan",
    "load_project",
    "make_alternatives",
    "make_plan",
    "parse_length",
    "to_tape",
    "write_all",
]

__version__ = metadata.version("bigsign")

_HOME = {
    "Alternative": "alternatives", "make_alternatives": "alternatives",
    "BigsignError": "errors", "Fault": "errors", "InputError": "errors", "NotYetError": "errors",
    "OutputError": "errors", "Finding": "findings", "FitReport": "fit", "check_fit": "fit",
    "write_all": "output.folder", "check_plan": "plan", "make_plan": "plan", "Plan": "plan_records",
    "Project": "project", "load_project": "project_file", "parse_length": "units", "to_tape": "units",
}  # fmt: skip


def __getattr__(name: str) -> Any:
    """Load a public name when it is first used, so that importing bigsign stays light."""
    if name in _HOME:
        return getattr(import_module(f"bigsign.{_HOME[name]}"), name)
    raise AttributeError(f"module 'bigsign' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])
