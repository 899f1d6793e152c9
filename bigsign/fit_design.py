"""What a fit is asked of: the block to try at the size asked for, and the largest size that needs no parting.

Film grows in proportion to its size, so the largest size follows from one measured film box; it is then set at
that size and measured again, and corrected until it does fit.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from shapely.geometry import box

from bigsign.errors import Fault, InputError
from bigsign.fonts import find_font
from bigsign.project import (
    Board,
    Cutter,
    DrawingSpec,
    Film,
    FontFile,
    LetteringSpec,
    PlanSettings,
    Project,
)
from bigsign.project_blocks import line_faults, missing_characters, trimmed
from bigsign.project_inputs import shown_list, version
from bigsign.tolerances import TOLERANCES
from bigsign.units import TapeLength, TapeStep, to_tape

if TYPE_CHECKING:
    from bigsign.artwork.pieces import Artwork

__all__ = ["Design", "block_to_try", "film_of", "largest_one_panel", "project_of", "tape_below"]

AROUND = 25.4  # mm of board around the film: room for trim outlines


@dataclass(frozen=True, slots=True)
class Design:
    """The block to try, and its film at the size asked for."""

    block: LetteringSpec | DrawingSpec
    size_of: str
    size: float
    text: str


def block_to_try(
    lines: Sequence[str],
    svg: bytes | None,
    svg_name: str,
    font: str | FontFile,
    folder: Path,
    sizes: dict[str, float | None],
) -> LetteringSpec | DrawingSpec:
    """Return the block to try, at the board's corner for now."""
    faults: list[Fault] = []
    given = [key for key, value in sizes.items() if value is not None]
    for key in given:
        value = sizes[key]
        if value is not None and not 0 < value < 1e6:
            faults.append(Fault(f"{key} is {value:g} mm", _option(key), "a length above nought"))
    if svg is not None:
        if lines:
            faults.append(Fault("both text and a drawing are given", "--svg", "one of them"))
        if sizes["cap_height"] is not None or len(given) > 1:
            faults.append(Fault(f"{' and '.join(given)} are given", "--svg", "width or height, or neither"))
        if faults:
            raise InputError(faults)
        return DrawingSpec(svg_name, svg, sizes["width"], sizes["height"], (0.0, 0.0), {}, "--svg")
    if len(given) != 1:
        what = "no size is given" if not given else f"{' and '.join(given)} are given"
        faults.append(Fault(what, "the size", "exactly one of --cap-height, --width and --height"))
    stripped = tuple(trimmed(line) for line in lines)
    faults.extend(Fault(what, "the text", right) for what, right in line_faults(stripped))
    try:
        found = font if isinstance(font, FontFile) else find_font(font, folder, "--font")
        lacking = missing_characters(found, "".join(stripped))
    except InputError as error:
        raise InputError([*faults, *error.faults]) from None
    if lacking:
        what = f"the font {found.name} has no {shown_list([repr(char) for char in lacking])}"
        faults.append(Fault(what, "the text", "another font, or other characters"))
    if faults:
        raise InputError(faults)
    return LetteringSpec(
        stripped, found, {}, sizes["cap_height"], sizes["width"], sizes["height"], 1.4, "centre", 0.0, False,
        "#000000", (0.0, 0.0), "the text",
    )  # fmt: skip


def _option(key: str) -> str:
    return "--" + key.replace("_", "-")


def project_of(
    block: LetteringSpec | DrawingSpec, turning: str, step: TapeStep, film: tuple[float, float] = (1.0, 1.0)
) -> Project:
    """Return a project of one block on a board just larger than its film."""
    width, height = film[0] + 2 * AROUND, film[1] + 2 * AROUND
    placed = replace(block, centre=(width / 2, height / 2))
    return Project(
        name="fit",
        revision="",
        file=os.path.basename(block.where),
        board=Board(width, height, box(0, 0, width, height)),
        cutter=Cutter("none", "none", 1e5, 1e5),
        turning=turning,
        film=Film(),
        blocks=(placed,),
        plan=PlanSettings(tape_step=step),
        colour_names={"#000000": "black"},
        sha256=version(),
    )


def film_of(project: Project) -> tuple[Artwork, tuple[float, float]]:
    """Return a project's artwork, and the width and height of its film."""
    from bigsign.artwork import make_artwork

    artwork = make_artwork(project)
    if not artwork.pieces:
        raise InputError(Fault("there is nothing to cut", project.blocks[0].where, "filled shapes or letters"))
    boxes = [piece.shape.bounds for piece in artwork.pieces]
    return artwork, (
        max(b[2] for b in boxes) - min(b[0] for b in boxes),
        max(b[3] for b in boxes) - min(b[1] for b in boxes),
    )


def _factor(artwork: Artwork, cutter: Cutter, turning: str) -> float:
    """Return by how much the artwork may be enlarged until a colour's film just fits the usable area."""
    out = []
    for colour in dict.fromkeys(piece.colour for piece in artwork.pieces):
        boxes = [piece.shape.bounds for piece in artwork.pieces if piece.colour == colour]
        width = max(b[2] for b in boxes) - min(b[0] for b in boxes)
        height = max(b[3] for b in boxes) - min(b[1] for b in boxes)
        ways = [(cutter.width, cutter.length)]
        if turning != "none":
            ways.append((cutter.length, cutter.width))
        out.append(max(min(w / width, h / height) for w, h in ways))
    return min(out)


def largest_one_panel(project: Project, design: Design, artwork: Artwork) -> TapeLength:
    """Return the largest size at which each colour is one panel; found by proportion, then verified.

    Curves are flattened within a tolerance that does not grow with the size, so proportion alone may be off by
    a few hundredths of a millimetre; two corrections take that away.
    """
    size = design.size
    for _ in range(4):
        factor = _factor(artwork, project.cutter, project.turning)
        size *= factor
        if design.size_of == "cap_height" and isinstance(design.block, LetteringSpec):
            block: LetteringSpec | DrawingSpec = replace(design.block, cap_height=size)
        elif design.size_of == "width":
            block = replace(design.block, width=size)
        else:
            block = replace(design.block, height=size)
        artwork, _ = film_of(replace(project, blocks=(block,)))
        if abs(_factor(artwork, project.cutter, project.turning) - 1) * size <= TOLERANCES.fit / 2:
            break
    return tape_below(size, project.plan.tape_step)


def tape_below(mm: float, step: TapeStep) -> TapeLength:
    """Return a length whose ``tape`` is the mark below, unless the one above is nearer than a micrometre."""
    marks = int(Fraction(mm + TOLERANCES.fit) / Fraction(step.mm))
    shown = to_tape(marks * step.mm, step)
    return TapeLength(mm, shown.tape, shown.mm + shown.error_mm - mm)
