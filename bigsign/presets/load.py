"""The loader of the preset files."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path

from bigsign.errors import Fault, InputError, LengthError
from bigsign.project import Cutter
from bigsign.toml_reading import read_toml
from bigsign.units import parse_length

__all__ = ["CutterPreset", "FilmLimits", "TapeFigures", "film_limits", "known_cutters", "read_cutters", "tape_figures"]

LARGEST = 1_000_000  # bytes


@dataclass(frozen=True, slots=True)
class CutterPreset:
    """A machine and its mats, the usual one first; ``roll`` machines take film without a mat."""

    name: str
    mats: tuple[Cutter, ...]
    roll: bool = False

    def mat(self, name: str | None) -> Cutter | None:
        """Return the mat of that name (None: the first), or None if there is none."""
        return next((mat for mat in self.mats if name is None or mat.mat == name), None)


@dataclass(frozen=True, slots=True)
class FilmLimits:
    """What a film can hold, mm: narrowest stroke, lowest letter, smallest island."""

    least_stroke: float
    least_letter: float
    least_island: float


@dataclass(frozen=True, slots=True)
class TapeFigures:
    """Widths transfer tape is sold in, narrowest first, and what the work takes of tapes; all mm."""

    transfer_widths: tuple[float, ...]
    handling: float
    hinge_past: float
    piece: float


def _text(name: str) -> str:
    return (resources.files("bigsign.presets") / name).read_text("utf-8")


@cache
def known_cutters() -> tuple[CutterPreset, ...]:
    """Return the machines that come with bigsign."""
    return _parse(_text("cutters.toml"), "cutters.toml")


@cache
def film_limits(kind: str) -> FilmLimits:
    """Return the limits of a kind of film ("adhesive", "heat")."""
    table = tomllib.loads(_text("films.toml"))[kind]
    return FilmLimits(*(parse_length(table[key]) for key in ("least_stroke", "least_letter", "least_island")))


@cache
def tape_figures() -> TapeFigures:
    """Return the widths of tapes and what the work takes of them."""
    table = tomllib.loads(_text("tapes.toml"))
    widths = tuple(sorted(parse_length(width) for width in table["transfer_widths"]))
    return TapeFigures(widths, *(parse_length(table[key]) for key in ("handling", "hinge_past", "piece")))


def read_cutters(files: Iterable[Path]) -> tuple[CutterPreset, ...]:
    """Return the known machines with those of ``files`` added; a later one of a name takes its place.

    Raises
    ------
    InputError
        For a file that can't be read or holds anything but machines with mats.
    """
    found = {preset.name: preset for preset in known_cutters()}
    for file in files:
        try:
            with file.open("rb") as stream:
                text = stream.read(LARGEST + 1).decode("utf-8")
        except (OSError, UnicodeDecodeError):
            raise InputError(Fault("the file of cutters can't be read", file.name, "a readable UTF-8 text")) from None
        if len(text) > LARGEST:
            raise InputError(Fault("the file of cutters is larger than 1 MB", file.name, "a smaller file"))
        found.update({preset.name: preset for preset in _parse(text, file.name)})
    return tuple(found.values())


def _parse(text: str, name: str) -> tuple[CutterPreset, ...]:
    right = 'a table a machine, as [my-cutter] mats.12x12 = { width = "11.5 in", length = "11.5 in" }'
    document = read_toml(text.encode(), name)
    if document.faults:
        raise InputError(document.faults)
    tables = document.values
    out = []
    for machine, table in tables.items():
        mats = table.get("mats") if isinstance(table, dict) else None
        if not isinstance(mats, dict) or not mats:
            raise InputError(Fault(f"{machine!r} has no mats", name, right))
        for part in (machine, *mats):
            if not part.strip() or len(part) > 40 or not part.isprintable():
                raise InputError(Fault(f"{part[:40]!r} is no name for a machine or mat", name, "a short plain name"))
        made = []
        for mat, sizes in mats.items():
            try:
                width, length = (parse_length(sizes[key]) for key in ("width", "length"))
                border = parse_length(sizes.get("border", "1/4 in"))
            except (KeyError, TypeError, AttributeError, LengthError) as error:
                raise InputError(Fault(f"mat {mat!r} of {machine!r}: {error}", name, right)) from None
            if min(width, length) < 25 or border < 0:
                fault = Fault(f"mat {mat!r} of {machine!r} is too small", name, "a usable area of 25 mm or more")
                raise InputError(fault)
            made.append(Cutter(machine, mat, width, length, border))
        out.append(CutterPreset(machine, tuple(made), bool(table.get("roll", False))))
    return tuple(out)
