"""Findings: what a person should know about a plan though it does not stop the work."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Finding", "Source"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where in the input something stands: a file's name, a line in it, an element of a drawing."""

    file: str
    line: int | None = None
    element: str | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """One warning of a plan.

    Parameters
    ----------
    code : from the closed list in docs/warnings.md ("svg-clip", "place-tight" …).
    message : one plain sentence.
    pieces : ids of the pieces it is about, may be empty.
    source : where in the input it stands, if it stands anywhere.
    remedy : what a person can do about it.
    """

    code: str
    message: str
    pieces: tuple[str, ...] = ()
    source: Source | None = None
    remedy: str = ""
