"""Signs filled into a parting that is known: what is found may never be worse than what was planted."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import pairwise

from shapely.affinity import translate
from shapely.geometry import MultiPolygon, Polygon, box

from bigsign.project import PlanSettings, SeamSettings
from bigsign.splitting.tree import Branch, Node
from tests.bench.proof.kinds import KINDS, Sign
from tests.bench.proof.verdict import Verdict, parted
from tests.box_lettering import letters_from

__all__ = ["PLANTED", "judge_planted"]

PLANTED = ("planted boxes", "planted hooks", "planted combs", "planted spirals")
CELL = (120.0, 90.0)
GAP = 8.0


def judge_planted(kind: str, seed: int) -> Verdict:
    """Part a sign of a known parting: rows of cells, each filled with letters; hooked pairs stand across the cuts.

    The planted plan has a panel a cell and no broken word; with hooked pairs across two cells of a row, one letter of a
    pair is in each.
    """
    rng = random.Random(f"{kind} {seed}")
    rows = _rows(kind, rng)
    cells = [word for row in rows for word in row]
    planted = len(cells)
    boxes = [MultiPolygon(cell).bounds for cell in cells]
    usable = max(b[2] - b[0] for b in boxes) + 0.01, max(b[3] - b[1] for b in boxes) + 0.01
    artwork, lettering = letters_from(rows)
    settings = PlanSettings(policy=rng.choice(("words", "panels")), seams=SeamSettings(overlap=0.0))
    sign = Sign(kind, seed, artwork, lettering, usable, "none", settings)
    trees = parted(sign)
    if trees is None:
        return Verdict(("refused, though planted",), False, False, ())
    (tree,) = trees
    found = (tree.measures.in_word_breaks, tree.measures.panels)
    wanted = (0, planted)
    if settings.policy == "panels":
        found, wanted = (found[1], found[0]), (wanted[1], wanted[0])
    faults = [f"worse: {found} where {wanted} was planted"] if found > wanted and tree.report.proved else []
    if found > wanted and not tree.report.proved:
        faults = [f"unproved, and {found} where {wanted} was planted"]
    ways = {branch.way.free for branch in _branches(tree.root) if branch.way is not None}
    return Verdict(tuple(faults), tree.report.proved, False, tuple("free ways" if f else "bent cuts" for f in ways))


def _branches(node: Node) -> Iterator[Branch]:
    if isinstance(node, Branch):
        yield node
        yield from _branches(node.first)
        yield from _branches(node.second)


def _rows(kind: str, rng: random.Random) -> list[list[list[Polygon]]]:
    """Return rows of words, a cell each."""
    rows: list[list[list[Polygon]]] = []
    across, down = rng.randint(2, 3), rng.randint(1, 2)
    for r in range(down):
        row: list[list[Polygon]] = []
        y = r * (CELL[1] + GAP)
        for c in range(across):
            row.append(_word(rng, c * (CELL[0] + GAP), y))
        if kind != "planted boxes":
            # the last letter of each cell and the first of the next make way for two that interlock across the cut
            for c, (left, right) in enumerate(pairwise(row)):
                one, two = _pair(kind, rng)
                edge = (c + 1) * (CELL[0] + GAP) - GAP / 2
                x = edge - (one.union(two).bounds[0] + one.union(two).bounds[2]) / 2
                one, two = translate(one, x, y + 10), translate(two, x, y + 10)
                left[:] = [s for s in left if s.bounds[2] < one.union(two).bounds[0] - 2] + [one]
                right[:] = [two] + [s for s in right if s.bounds[0] > one.union(two).bounds[2] + 2]
        rows.append(row)
    return rows


def _word(rng: random.Random, x: float, y: float) -> list[Polygon]:
    out, at = [], x
    while at < x + CELL[0] - 12:
        w = min(rng.uniform(12, 30), x + CELL[0] - at)
        out.append(box(at, y + rng.uniform(0, 8), at + w, y + CELL[1] - 30))
        at += w + rng.uniform(3, 6)
    return out


def _pair(kind: str, rng: random.Random) -> tuple[Polygon, Polygon]:
    made = KINDS[kind.removeprefix("planted ")](rng)[0].pieces
    pair = [piece.shape for piece in made]
    hooked = next((a, b) for a in pair for b in pair if a is not b and a.convex_hull.intersects(b.convex_hull))
    left, right = sorted(hooked, key=lambda shape: shape.bounds[0] + shape.bounds[2])
    return left, right
