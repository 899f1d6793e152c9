"""Signs filled into a random guillotine of a board: the tree they are made from is known, and none found may be worse.

A board is cut across, and its parts again, until there are as many cells as wanted. Each cell is filled with words of
letters; across some cuts stands a pair that hooks, or runs a word. The usable area is the largest cell's. The planted
tree is taken for a plan only if each of its cuts is one as the brute force defines them.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations

from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from bigsign.project import PlanSettings, SeamSettings
from bigsign.splitting.tree import Branch, Node, Way
from tests.bench.proof.kinds import Sign
from tests.bench.proof.more_kinds import pair_that_hooks
from tests.bench.proof.trees import LOST, case_of, cut_faults
from tests.bench.proof.verdict import Verdict, parted
from tests.box_lettering import letters_from
from tests.splitting.brute_force import Tree

__all__ = ["GUILLOTINES", "judge_guillotine", "plant"]

GUILLOTINES = ("guillotine", "guillotine hooks", "guillotine words")
GAP = (3.0, 12.0)


@dataclass
class Cell:
    """A part of the board: a cell of letters, or two parts with the cut between them."""

    x0: float
    y0: float
    x1: float
    y1: float
    parts: tuple[Cell, Cell] | None = None
    plumb: bool = False
    letters: list[Polygon] = field(default_factory=list)

    def leaves(self) -> list[Cell]:
        """Return the cells."""
        return [self] if self.parts is None else [cell for part in self.parts for cell in part.leaves()]

    def cuts(self) -> list[Cell]:
        """Return the parts that are cut."""
        return [] if self.parts is None else [self, *self.parts[0].cuts(), *self.parts[1].cuts()]


def plant(kind: str, seed: int) -> tuple[Sign, Cell, list[list[Polygon]]]:
    """Return a sign, the board it was made from, and the words of its letters."""
    rng = random.Random(f"{kind} {seed}")
    board = Cell(0, 0, rng.uniform(150, 260), rng.uniform(110, 200))
    for _ in range(rng.randint(1, 4)):
        _cut(rng.choice(sorted(board.leaves(), key=lambda c: (c.x0 - c.x1) * (c.y1 - c.y0))[:2]), rng)
    for cell in board.leaves():
        _fill(cell, rng)
    if kind == "guillotine hooks":
        for cut in board.cuts():
            before = [(cell, list(cell.letters)) for cell in board.leaves()]
            _bridge(cut, rng)
            if _overlap([letter for cell in board.leaves() for letter in cell.letters]):
                for cell, letters in before:  # an arm that reaches over film of a third cell
                    cell.letters = letters
    cells = [cell for cell in board.leaves() if cell.letters]
    rows: list[list[list[Polygon]]] = []
    over = False
    for cell in cells:
        cell.letters.sort(key=lambda shape: (round(shape.bounds[1] / 30), shape.bounds[0]))
        row: list[list[Polygon]] = []
        for letter in cell.letters:
            if not row or rng.random() < 0.3:
                row.append([])
            row[-1].append(letter)
        if over and rows:  # one line and one word over the cut
            rows[-1][-1].extend(row[0])
            rows[-1].extend(row[1:])
        else:
            rows.append(row)
        over = kind == "guillotine words" and rng.random() < 0.6
    words = [word for row in rows for word in row]
    boxes = [unary_union(cell.letters).bounds for cell in cells]
    usable = max(b[2] - b[0] for b in boxes) + 0.01, max(b[3] - b[1] for b in boxes) + 0.01
    settings = PlanSettings(
        policy=rng.choice(("words", "panels")), placement_tolerance=rng.choice((0.5, 1.0, 4.0)),
        seams=SeamSettings(overlap=0.0),
    )  # fmt: skip
    artwork, lettering = letters_from(rows)
    return Sign(kind, seed, artwork, lettering, usable, "none", settings), board, words


def _overlap(letters: list[Polygon]) -> bool:
    return any(one.intersects(two) for one, two in combinations(letters, 2))


def judge_guillotine(kind: str, seed: int) -> Verdict:
    """Return the verdict on a planted sign: tier by tier in the policy's order."""
    sign, board, words = plant(kind, seed)
    trees = parted(sign)
    if trees is None:
        return Verdict(("refused though planted",), False, False, ())
    (tree,) = trees
    faults = list(cut_faults(tree))
    case = case_of(sign, tree.graph)
    names = {id(shape): rank for rank, shape in enumerate(shape for word in words for shape in word)}
    atom_of = {node: index for index, atom in enumerate(tree.graph.atoms) for node in atom.nodes}
    whole = not tree.graph.contacts and all(len(atom.nodes) == 1 for atom in tree.graph.atoms)
    features = {"free ways" if way.free else "bent cuts" for way in _ways(tree.root)}
    features |= {"broken words"} if tree.measures.in_word_breaks else set()
    if not whole:
        return Verdict(tuple(faults), tree.report.proved, False, (*features, "not as planted"))

    def grown(cell: Cell) -> Tree | None:
        if cell.parts is None:
            atoms = [atom_of[f"g{names[id(shape)] + 1:03d}"] for shape in cell.letters]
            return frozenset(case.unit_of[atom] for atom in atoms) or None
        one, two = grown(cell.parts[0]), grown(cell.parts[1])
        return (one, two) if one is not None and two is not None else one or two

    planted = grown(board)
    assert planted is not None
    if not case.trees.holds(planted):
        return Verdict(tuple(faults), tree.report.proved, False, (*features, "planted plan with another cut"))
    found, wanted = case.trees.cost(case.tree(tree.root)), case.trees.cost(planted)
    if found > wanted:
        lost = LOST & set(tree.report.certificate.dropped)
        faults.append(f"{'unproved' if lost else 'worse'}: {found}, where {wanted} was planted")
    return Verdict(tuple(faults), tree.report.proved, False, (*features, "planted plan"))


def _ways(node: Node) -> Iterator[Way]:
    if isinstance(node, Branch):
        if node.way is not None:
            yield node.way
        yield from _ways(node.first)
        yield from _ways(node.second)


def _cut(cell: Cell, rng: random.Random) -> None:
    """Cut a cell in two, across its longer side as a rule, with a gap."""
    w, h = cell.x1 - cell.x0, cell.y1 - cell.y0
    cell.plumb = w * rng.uniform(0.6, 1.4) > h
    share, gap = rng.uniform(0.35, 0.65), rng.uniform(*GAP)
    if cell.plumb:
        at = cell.x0 + share * w
        cell.parts = (
            Cell(cell.x0, cell.y0, at - gap / 2, cell.y1), Cell(at + gap / 2, cell.y0, cell.x1, cell.y1)
        )  # fmt: skip
    else:
        at = cell.y0 + share * h
        cell.parts = (
            Cell(cell.x0, cell.y0, cell.x1, at - gap / 2), Cell(cell.x0, at + gap / 2, cell.x1, cell.y1)
        )  # fmt: skip


def _fill(cell: Cell, rng: random.Random) -> None:
    """Fill a cell with one line of letters or two, from edge to edge."""
    lines = 2 if cell.y1 - cell.y0 > 75 and rng.random() < 0.4 else 1
    high = (cell.y1 - cell.y0 - 6 * (lines - 1)) / lines
    for line in range(lines):
        x, y = cell.x0, cell.y0 + line * (high + 6)
        while x < cell.x1 - 10:
            width = min(rng.uniform(14, 45), cell.x1 - x)
            cell.letters.append(box(x, y + rng.uniform(0, 0.3) * high, x + width, y + high))
            x += width + rng.uniform(3, 7)


def _bridge(cut: Cell, rng: random.Random) -> None:
    """Put a pair that hooks across a cut, in the room of what stands there; nothing where there is no room."""
    assert cut.parts is not None
    one, two = pair_that_hooks(rng)
    both = unary_union([one, two])
    middle = both.envelope.centroid
    first, second = one.centroid, two.centroid
    if cut.plumb != (abs(first.x - second.x) > abs(first.y - second.y)):
        one, two = (rotate(part, 90, origin=middle) for part in (one, two))
    key = 0 if cut.plumb else 1
    if one.centroid.coords[0][key] > two.centroid.coords[0][key]:
        one, two = two, one
    low, high = rng.choice(cut.parts[0].leaves()), rng.choice(cut.parts[1].leaves())
    x0, y0, x1, y1 = unary_union([one, two]).bounds
    if cut.plumb:
        at, span = (low.x1 + high.x0) / 2, (max(low.y0, high.y0), min(low.y1, high.y1))
        facing = low.x1 == cut.parts[0].x1 and high.x0 == cut.parts[1].x0
        dx, dy = at - (x0 + x1) / 2, sum(span) / 2 - (y0 + y1) / 2
        fits = span[1] - span[0] > y1 - y0
    else:
        at, span = (low.y1 + high.y0) / 2, (max(low.x0, high.x0), min(low.x1, high.x1))
        facing = low.y1 == cut.parts[0].y1 and high.y0 == cut.parts[1].y0
        dx, dy = sum(span) / 2 - (x0 + x1) / 2, at - (y0 + y1) / 2
        fits = span[1] - span[0] > x1 - x0
    if not fits or not facing:
        return
    one, two = translate(one, dx, dy), translate(two, dx, dy)
    room = unary_union([one, two]).envelope.buffer(2.5, join_style="mitre")
    for cell in (low, high):
        cell.letters = [shape for shape in cell.letters if not shape.intersects(room)]
    low.letters.append(one)
    high.letters.append(two)
