"""The one beginning of plan, alternatives, check and fit: artwork made, held against the board, and read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shapely.geometry import box

from bigsign.artwork.pieces import Artwork
from bigsign.errors import Fault, InputError
from bigsign.project import DrawingSpec, Project
from bigsign.reading.lettering import Lettering
from bigsign.tolerances import TOLERANCES
from bigsign.units import to_tape

__all__ = ["Prepared", "check_on_board", "check_template", "prepare"]

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Prepared:
    """A project with its artwork at finished size and what was read of it."""

    project: Project
    artwork: Artwork
    lettering: Lettering


def prepare(project: Project, progress: Progress | None = None, on_board: bool = True) -> Prepared:
    """Return what every question about a project begins with.

    Parameters
    ----------
    on_board : whether film beyond the board is an error; not where only a size is asked after.

    Raises
    ------
    InputError
        If the artwork can't be used, or doesn't fit the board.
    """
    from bigsign.artwork import make_artwork
    from bigsign.reading import read_lettering

    say = progress or (lambda _: None)
    say("setting lettering and reading drawings")
    artwork = make_artwork(project)
    if on_board:
        check_on_board(project, artwork)
    say("reading letters, words and lines")
    return Prepared(project, artwork, read_lettering(artwork, project.given))


def check_template(project: Project, panels: int) -> None:
    """Raise InputError if the project asks for the template of a panel that its plan does not have."""
    strange = [n for n in project.plan.template_panels if n > panels]
    if strange:
        raise InputError(
            Fault(
                f"a template of panel {strange[0]}",
                f"{project.file}, [plan] template_panels",
                f"numbers from 1 to {panels}, the panels of this plan",
            )
        )


def check_on_board(project: Project, artwork: Artwork) -> None:
    """Raise InputError if there is no film, or film outside the board or inside its margin.

    One fault a side of the board, saying how far the film goes beyond it and what would be enough.
    """
    if not artwork.pieces:
        raise InputError(Fault("there is nothing to cut", project.file, "a [[lettering]] or [[artwork]] with film"))
    boxes = [piece.shape.bounds for piece in artwork.pieces]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    board, step = project.board, project.plan.tape_step
    slack = TOLERANCES.fit
    width, height = x1 - x0, y1 - y0
    room = (board.width - 2 * board.margin, board.height - 2 * board.margin)
    if width > room[0] + slack or height > room[1] + slack:
        size = f"{to_tape(width, step).tape} × {to_tape(height, step).tape}"
        has = f"{to_tape(room[0], step).tape} × {to_tape(room[1], step).tape}"
        raise InputError(
            Fault(
                f"the artwork is {size}, larger than the board inside its margin, {has}",
                f"{project.file} [sign]", "a larger board, a smaller margin or smaller artwork",
            )
        )  # fmt: skip
    beyond = {
        "left": board.margin - x0,
        "top": board.margin - y0,
        "right": x1 - (board.width - board.margin),
        "bottom": y1 - (board.height - board.margin),
    }
    faults = [
        Fault(
            f"artwork reaches {to_tape(by, step).tape} beyond the board's {side} margin"
            if board.margin
            else f"artwork reaches {to_tape(by, step).tape} over the board's {side} edge",
            _blocks_beyond(project, artwork, side),
            "move its centre, make it smaller, or enlarge the board",
        )
        for side, by in beyond.items()
        if by > slack
    ]
    inner = box(0, 0, board.width, board.height)
    if not faults and not board.outline.equals(inner):
        inner = board.outline.buffer(-board.margin + slack)
        if not all(inner.covers(piece.shape) for piece in artwork.pieces):
            faults.append(
                Fault("artwork reaches over the board's outline", f"{project.file} [sign]", "smaller artwork")
            )
    if faults:
        raise InputError(faults)


def _blocks_beyond(project: Project, artwork: Artwork, side: str) -> str:
    """Return where in the project the film farthest out on a side comes from."""
    axis, pick = {"left": (0, min), "top": (1, min), "right": (2, max), "bottom": (3, max)}[side]
    piece = pick(artwork.pieces, key=lambda p: p.shape.bounds[axis])
    if piece.source is not None:
        return f"{piece.source.file} line {piece.source.line}, {piece.source.element}"
    blocks = [block.where for block in project.blocks if not isinstance(block, DrawingSpec)]
    for line in artwork.known:
        if any(piece.id in glyph.pieces for glyph in line.glyphs):
            return f"{project.blocks[line.block].where}, line {line.text!r}"
    return blocks[0] if blocks else project.file
