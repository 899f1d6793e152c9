"""What has to be at hand: sheets of each film, transfer tape, masking tape.

Sheets are those of the mats. Transfer tape runs along a panel's longer side and spans the shorter one; masking tape
makes the hinges, holds a panel's corners while it hangs dry, and takes the pencilled marks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from bigsign.plan_needs import FilmNeed, Materials, SheetNeed, TapeNeed
from bigsign.presets.load import TapeFigures, tape_figures
from bigsign.units import TapeLength, TapeStep, to_tape, to_tape_up

if TYPE_CHECKING:
    from bigsign.plan_records import MatSheet, Panel

__all__ = ["materials"]

CORNERS = 4


def materials(
    panels: Sequence[Panel], mats: Sequence[MatSheet], pieces_of_tape: int, step: TapeStep, *, heat: bool = False
) -> Materials:
    """Return what the work takes.

    Parameters
    ----------
    panels : all panels, with their hinges.
    mats : the mats they are cut on, in the order of cutting.
    pieces_of_tape : how many marks take a piece of masking tape each.
    heat : film that is pressed on has its own carrier, and takes no transfer tape and no hinges.
    """
    films = tuple(_film(colour, panels, mats) for colour in dict.fromkeys(mat.colour for mat in mats))
    if heat:
        return Materials(films)
    figures = tape_figures()
    return Materials(films, (_transfer(panels, step, figures), _masking(panels, pieces_of_tape, step, figures)))


def _film(colour: str, panels: Sequence[Panel], mats: Sequence[MatSheet]) -> FilmNeed:
    """Return the sheets of a colour, those of one size together, the largest first."""
    own = [mat for mat in mats if mat.colour == colour]
    sizes: dict[tuple[str, str], list[MatSheet]] = {}
    for mat in own:
        sizes.setdefault((mat.load.width.tape, mat.load.height.tape), []).append(mat)
    sheets = [
        SheetNeed(len(alike), max((mat.load for mat in alike), key=lambda load: (load.height.mm, load.width.mm)))
        for alike in sizes.values()
    ]
    sheets.sort(key=lambda sheet: (-sheet.size.width.mm * sheet.size.height.mm, sheet.size.width.mm))
    area = math.fsum(panel.film.area for panel in panels if panel.colour == colour)
    return FilmNeed(colour, own[0].colour_name, tuple(sheets), area)


def _sides(panels: Iterable[Panel]) -> list[tuple[float, float]]:
    """Return the (shorter, longer) side of each panel's trim."""
    boxes = [panel.trim.bounds for panel in panels]
    pairs = [sorted((x1 - x0, y1 - y0)) for x0, y0, x1, y1 in boxes]
    return [(shorter, longer) for shorter, longer in pairs]


def _transfer(panels: Sequence[Panel], step: TapeStep, figures: TapeFigures) -> TapeNeed:
    """Return the transfer tape: a panel wider than any tape sold takes strips side by side."""
    sides = _sides(panels)
    widest = max(shorter for shorter, _ in sides)
    sold = next((width for width in figures.transfer_widths if width >= widest - 1e-6), figures.transfer_widths[-1])
    strips = [max(1, math.ceil(shorter / sold - 1e-9)) for shorter, _ in sides]
    span = max(shorter / count for (shorter, _), count in zip(sides, strips, strict=True))
    length = math.fsum(
        count * (longer + 2 * figures.handling) for (_, longer), count in zip(sides, strips, strict=True)
    )
    said = to_tape(sold, step)
    width = TapeLength(span, said.tape, said.mm + said.error_mm - span, said.other)
    return TapeNeed("transfer tape", to_tape_up(length, step), width)


def _masking(panels: Sequence[Panel], pieces: int, step: TapeStep, figures: TapeFigures) -> TapeNeed:
    hinges = [math.dist(*panel.hinge.line) + 2 * figures.hinge_past for panel in panels if panel.hinge is not None]
    length = math.fsum(hinges) + figures.piece * (pieces + CORNERS * len(panels))
    return TapeNeed("masking tape", to_tape_up(length, step))
