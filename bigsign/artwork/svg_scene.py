"""What a drawing shows, before any curve is flattened: marks, bottom to top, in px of its page.

The walk makes these, the geometry turns them into shapes at whatever tolerance the finished size asks for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bigsign.artwork.flatten import Command, Matrix, control_points
from bigsign.findings import Finding, Source

__all__ = ["FARTHEST", "Clip", "ClipPart", "Mark", "MaskPart", "Page", "Scene", "Stroke", "is_sound"]

FARTHEST = 1e8
"""No coordinate in px may lie farther out: 26 km, and doubles still resolve a nanometre there."""


@dataclass(frozen=True, slots=True, eq=False)
class ClipPart:
    """One outline of a clip, in px of the page, itself cut by ``clips``."""

    commands: tuple[Command, ...]
    rule: str
    clips: tuple[Clip, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Clip:
    """A clip shows the union of its parts, a mask what its parts leave in turn; without parts it shows nothing."""

    parts: tuple[ClipPart | MaskPart, ...]


@dataclass(frozen=True, slots=True)
class Stroke:
    """How an outline is drawn as a line, in user units: ``dashes`` empty for a whole line."""

    width: float
    cap: str
    join: str
    miter_limit: float
    dashes: tuple[float, ...] = ()
    offset: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """One filled outline, or one stroked one.

    ``commands`` are in user units and ``matrix`` takes them to px of the page, for a stroke is as wide as
    user units say. ``stroke`` is None for a fill under ``rule``. Every one of ``clips`` cuts it.
    """

    commands: tuple[Command, ...]
    matrix: Matrix
    colour: str
    source: Source
    clips: tuple[Clip, ...]
    rule: str = "nonzero"
    stroke: Stroke | None = None


@dataclass(frozen=True, slots=True, eq=False)
class MaskPart:
    """What one shape of a mask shows or hides, over what the parts before it do."""

    mark: Mark
    shows: bool


@dataclass(frozen=True, slots=True)
class Page:
    """The page in px; ``stated`` says whether the drawing gives it a physical size."""

    width: float
    height: float
    stated: bool


@dataclass(frozen=True, slots=True)
class Scene:
    """All marks of a drawing; ``page`` is None where it has neither a size nor a view box."""

    marks: tuple[Mark, ...]
    page: Page | None
    findings: tuple[Finding, ...]


def is_sound(commands: Iterable[Command]) -> bool:
    """Whether every coordinate of an outline is a number within :data:`FARTHEST`."""
    for command in commands:
        for x, y in control_points(command):
            # Written so that nan, which no comparison holds for, fails.
            if not (-FARTHEST < x < FARTHEST and -FARTHEST < y < FARTHEST):
                return False
    return True
