"""The errors bigsign raises: one root, and faults that each say what, where and what would be right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["BigsignError", "Fault", "InputError", "LengthError", "NotYetError", "OutputError"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with what was given.

    Parameters
    ----------
    what : what is wrong, in plain words ("unknown key 'colr'").
    where : where it stands ("sign.toml line 12, [[lettering]] 1, colr").
    right : what would be right ("did you mean 'colour'?").
    """

    what: str
    where: str
    right: str

    def __str__(self) -> str:
        return ", ".join(part for part in (self.what, self.where, self.right) if part)


class BigsignError(Exception):
    """Root of every error this library raises on purpose."""


class InputError(BigsignError, ValueError):
    """What was given cannot be used; carries every fault found, not only the first."""

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        super().__init__("; ".join(str(fault) for fault in self.faults))


class NotYetError(InputError):
    """A value that the project file allows but this version does not carry out yet."""


class OutputError(InputError):
    """The output folder cannot be written, or holds something that is not ours to replace."""


class LengthError(BigsignError, ValueError):
    """A text that is not a length; the message shows the accepted forms."""
