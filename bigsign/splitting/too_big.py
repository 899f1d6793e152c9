"""What cannot fit: faults that name the piece, its size, the limit, and the largest size at which it would fit."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bigsign.errors import Fault, InputError
from bigsign.reading.lettering import Lettering
from bigsign.splitting.graph import Atom, ColourGraph
from bigsign.splitting.limits import Box, box_fits
from bigsign.splitting.units import Unit
from bigsign.splitting.wishes import Resolved
from bigsign.tolerances import TOLERANCES
from bigsign.units import TapeStep, to_tape

__all__ = ["PieceTooBigError", "piece_faults", "scale_that_fits", "wish_faults"]



class PieceTooBigError(InputError):
    """A piece larger than the usable area that no seam parts into what fits."""


def scale_that_fits(box: Box, limits: Sequence[tuple[float, float]]) -> float:
    """Return the largest factor by which ``box`` may be scaled and still fit one of ``limits``."""
    width, height = box[2] - box[0], box[3] - box[1]
    return max(
        min((w - TOLERANCES.fit) / max(width, 1e-9), (h - TOLERANCES.fit) / max(height, 1e-9)) for w, h in limits
    )


def piece_faults(
    atoms: Sequence[Atom], lettering: Lettering, limits: Sequence[tuple[float, float]], step: TapeStep
) -> list[Fault]:
    """Return a fault for each atom (a piece, or connected letters) that fits in no way allowed."""
    out = []
    for atom in atoms:
        factor = scale_that_fits(atom.bounds, limits)
        if box_fits(atom.bounds, limits):
            continue
        kind = "connected letters" if len(atom.nodes) > 1 else "piece"
        out.append(
            Fault(
                f"the {kind} {name_of(atom.nodes, atom.pieces, lettering)} is {size_text(atom.bounds, step)}, "
                f"larger than the usable area {limit_text(limits, step)}",
                where_of(atom.nodes, lettering),
                f"it fits at {floor_percent(factor)} of this size; no seam parts it into what fits",
            )
        )
    return out


def wish_faults(
    graph: ColourGraph,
    units: Sequence[Unit],
    wishes: Sequence[Resolved],
    fits: Callable[[Box], bool],
    step: TapeStep,
    limits: Sequence[tuple[float, float]],
) -> list[Fault]:
    """Return a fault for each wish that keeps together more than fits, or parts what must stay together."""
    out = []
    atoms_of = graph.atoms_of
    unit_of = {atom: unit for unit in units for atom in unit.atoms}
    for wish in wishes:
        kept = [atom for group in wish.together for node in group for atom in atoms_of.get(node, ())]
        sizes = [unit_of[atom].bounds for atom in kept if not fits(unit_of[atom].bounds)]
        if sizes:
            out.append(
                Fault(
                    f"{wish.label} cannot hold: it makes a panel of {size_text(sizes[0], step)}",
                    wish.wish.where, f"at most {limit_text(limits, step)}, or drop the wish",
                )
            )  # fmt: skip
        for a, b in wish.apart:
            both = [(unit_of[i], unit_of[j]) for i in atoms_of.get(a, ()) for j in atoms_of.get(b, ())]
            if both and all(one is other for one, other in both):
                out.append(
                    Fault(
                        f"{wish.label} cannot hold: a frame or a wish keeps both sides together",
                        wish.wish.where, "another place, or drop one of the wishes",
                    )
                )  # fmt: skip
                break
    return out


def name_of(nodes: Sequence[str], pieces: Sequence[str], lettering: Lettering) -> str:
    """Return what a person calls these nodes: their letters where known, else their piece ids."""
    text = {glyph.id: glyph.text for glyph in lettering.glyphs}
    letters = "".join(text.get(node) or "" for node in nodes)
    shown = ", ".join(pieces[:4]) + ("" if len(pieces) <= 4 else f" and {len(pieces) - 4} more")
    return f"{letters!r} ({shown})" if letters else shown


def where_of(nodes: Sequence[str], lettering: Lettering) -> str:
    """Return the line in which ``nodes`` stand, or say that they belong to none."""
    lines = {line.id: line for line in lettering.lines}
    for glyph in lettering.glyphs:
        if glyph.id == nodes[0]:
            line = lines[glyph.line]
            return f"line {line.text!r}" if line.text else f"line {line.id}"
    return "the artwork"


def size_text(box: Box, step: TapeStep) -> str:
    """Return a box's size for people."""
    return f"{to_tape(box[2] - box[0], step).tape} × {to_tape(box[3] - box[1], step).tape}"


def limit_text(limits: Sequence[tuple[float, float]], step: TapeStep) -> str:
    """Return the usable area for people."""
    return f"{to_tape(limits[0][0], step).tape} × {to_tape(limits[0][1], step).tape}"


def floor_percent(factor: float) -> str:
    """Return a factor as a percentage rounded down to a tenth, so that what it says does fit."""
    return f"{int(factor * 1000) / 10:g} %"
