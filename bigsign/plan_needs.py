"""What the plan says of the place the sign goes to, and of what the work takes.

Fields are named as in plan.json (docs/reference.md).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bigsign.plan_records import Size
    from bigsign.units import TapeLength

__all__ = ["FilmNeed", "Materials", "SheetNeed", "SiteFrame", "TapeNeed"]


@dataclass(frozen=True, slots=True)
class SiteFrame:
    """The [site] table as the plan shows it, and how much of the board film covers.

    ``covered_percent`` and ``dark_percent``: the share of the board's area that lies under film, and under dark film;
    whole numbers, rounded up. None: not known.
    """

    surface: str = "painted"
    old_paint: bool | None = None
    fresh_paint: bool | None = None
    solvent: bool = True
    foot: TapeLength | None = None
    hung: bool | None = None
    street: bool | None = None
    covered_percent: int = 0
    dark_percent: int = 0

    @property
    def may_be_fresh(self) -> bool:
        """Whether film or tape may come on fresh paint."""
        return self.surface == "painted" and self.fresh_paint is not False


@dataclass(frozen=True, slots=True)
class SheetNeed:
    """How many sheets of film of a size, as they are laid on the mat."""

    count: int
    size: Size


@dataclass(frozen=True, slots=True)
class FilmNeed:
    """The sheets of a colour, the largest first; ``film_area`` is what ends up on the sign, mm²."""

    colour: str
    colour_name: str
    sheets: tuple[SheetNeed, ...]
    film_area: float


@dataclass(frozen=True, slots=True)
class TapeNeed:
    """Tape: ``kind`` is "transfer tape" or "masking tape".

    The lengths' mm are what is used; their texts are rounded up, the width to the next one sold.
    """

    kind: str
    length: TapeLength
    width: TapeLength | None = None


@dataclass(frozen=True, slots=True)
class Materials:
    """Everything that is used up."""

    films: tuple[FilmNeed, ...] = ()
    tapes: tuple[TapeNeed, ...] = ()
