"""Seams held against those of twins, and against the least that may be left beside one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from shapely.geometry import LineString

from bigsign.splitting.tree import CutTree
from tests.bench.proof.kinds import Sign
from tests.bench.proof.verdict import parted

__all__ = ["seam_faults"]

NEAR = 0.5  # mm from a seam's line to the film it parts: half of what the knife takes, and more


def seam_faults(sign: Sign, trees: Sequence[CutTree], twins: dict[str, Sign]) -> Iterator[str]:
    """Yield slivers, and where a twin's seams differ, or a larger mat's are longer; only of what is called exact."""
    for tree in trees:
        yield from _slivers(sign, tree)
        bound = tree.report.bound["seam_length"]
        if bound is not None and bound > tree.measures.seam_length + 0.01:
            yield f"unsound: bound {bound} of seams of {tree.measures.seam_length}"
    own = _exact(trees)
    for name, twin in twins.items() if own is not None else ():
        found = parted(twin)
        if found is None:
            yield f"refused when {name}, where seams parted it"
            continue
        theirs = _exact(found)
        if theirs is None or own is None:
            continue
        if name == "larger":
            if theirs > own:
                yield f"worse: seams {theirs} on a larger mat, {own} on the smaller"
        elif theirs != own:
            yield f"unsound: seams {own}, {name} {theirs}"


def larger(sign: Sign) -> Sign:
    """Return a sign with a larger mat."""
    return replace(sign, usable=(sign.usable[0] * 1.2, sign.usable[1] * 1.1))


def _exact(trees: Sequence[CutTree]) -> tuple[int, int] | None:
    """Return the seams' length in whole mm and number, if said to be the shortest with no rule dropped."""
    for tree in trees:
        bound = tree.report.bound
        if bound["seams"] is None or bound["seam_length"] is None or "seam-rules" in tree.report.certificate.dropped:
            return None
        if abs(bound["seam_length"] - tree.measures.seam_length) > 1e-6:
            return None
    return round(sum(tree.measures.seam_length for tree in trees)), sum(tree.measures.seams for tree in trees)


def _slivers(sign: Sign, tree: CutTree) -> Iterator[str]:
    if "seam-rules" in tree.report.certificate.dropped:
        return
    for contact in tree.graph.contacts:
        line = LineString(contact.line)
        key = 0 if contact.line[0][0] == contact.line[1][0] else 1
        for index in (contact.under, contact.upper):
            for fragment in tree.graph.atoms[index].fragments:
                bounds = fragment.shape.bounds
                whole = next(p.shape for p in sign.artwork.pieces if p.id == fragment.piece)
                if fragment.shape.area > 0.999 * whole.area or fragment.shape.distance(line) > NEAR:
                    continue
                if bounds[key + 2] - bounds[key] < sign.settings.seams.sliver - 0.5:
                    yield f"sliver: {fragment.id} is {bounds[key + 2] - bounds[key]:.2f} mm from its seam"
