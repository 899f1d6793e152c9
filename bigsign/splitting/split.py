"""The splitting room's way through: artwork and lettering in, the best cut tree of each colour out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from itertools import product

from networkx.utils import UnionFind

from bigsign.artwork.pieces import Artwork
from bigsign.errors import Fault, InputError
from bigsign.findings import Finding
from bigsign.project import Cutter, PlanSettings
from bigsign.reading.lettering import Lettering
from bigsign.splitting.bits import set_of
from bigsign.splitting.bounds import PanelBound, find_chains
from bigsign.splitting.certificate import CLASSES, DROPPED, TIERS, Certificate, CertTree
from bigsign.splitting.cost import Family, Pair, Policy, apart_masks, risk_of
from bigsign.splitting.graph import ColourGraph
from bigsign.splitting.hooks import Hooks
from bigsign.splitting.large import LARGE, LARGE_WORDS, search_areas
from bigsign.splitting.layers import glyph_outlines, layered_graphs
from bigsign.splitting.limits import Box, box_fits, panel_limits
from bigsign.splitting.passages import Passages
from bigsign.splitting.seams import Marks, part_pieces, reunite
from bigsign.splitting.search import Found, Other, Parting, search, units_of
from bigsign.splitting.separations import Separations
from bigsign.splitting.too_big import PieceTooBigError, piece_faults, wish_faults
from bigsign.splitting.tree import (
    BarredCut,
    Branch,
    CutTree,
    Leaf,
    Measures,
    NextPlace,
    Node,
    SearchReport,
    Splitting,
    leaves,
)
from bigsign.splitting.units import Unit, enclosed_pairs, merge_units
from bigsign.splitting.wishes import Resolved, resolve_wishes

__all__ = ["BUDGET", "hooks_of", "make_family", "panel_limits", "split", "split_colour"]

BUDGET = 20_000  # sets of units whose cuts are listed, a search; about a quarter of a second a thousand


@dataclass(frozen=True)
class _Level:
    """One granularity of a colour: its units, and the family and separations a search needs."""

    units: Sequence[Unit]
    family: Family
    passages: Passages
    separations: Separations | None = None


def split(
    artwork: Artwork,
    lettering: Lettering,
    cutter: Cutter,
    turning: str,
    settings: PlanSettings,
    progress: Callable[[str], None] | None = None,
    budget: int = BUDGET,
    marks: Marks | None = None,
    barred: Collection[BarredCut] = (),
) -> Splitting:
    """Return the best parting of every colour.

    Parameters
    ----------
    marks : tape marks of the board between two places of an axis; seams go onto marks where that costs nothing.
    barred : cuts not to be made, for they could not be laid out on the board.

    Raises
    ------
    InputError
        For a piece that no seam can part into what fits, and for wishes that cannot hold.
    """
    wishes = resolve_wishes(settings.wishes, lettering)
    trees: list[CutTree] = []
    findings: list[Finding] = []
    faults: list[Fault] = []
    limits = panel_limits(cutter, turning)
    outlines = glyph_outlines(artwork, lettering)
    graphs: list[ColourGraph] = []
    for whole in layered_graphs(artwork, lettering, limits):
        graph, found, stuck = part_pieces(whole, lettering, outlines, limits, settings.seams, marks)
        faults.extend(piece_faults(stuck, lettering, limits, settings.tape_step))
        findings.extend(found)
        graphs.append(graph)
    if faults:
        raise PieceTooBigError(faults)
    for graph in graphs:
        if progress is not None:
            progress(f"finding the best parting of {len(graph.atoms)} shapes, {graph.colour}")
        tree, found = split_colour(graph, lettering, limits, turning, settings, wishes, budget, barred)
        trees.append(tree)
        findings.extend(found)
    return Splitting(tuple(trees), tuple(findings))


def split_colour(
    graph: ColourGraph,
    lettering: Lettering,
    limits: Sequence[tuple[float, float]],
    turning: str,
    settings: PlanSettings,
    wishes: Sequence[Resolved],
    budget: int,
    barred: Collection[BarredCut] = (),
) -> tuple[CutTree, list[Finding]]:
    """Return the best cut tree of one colour, and what a person should know of it."""
    own = [cut.sides for cut in barred if (cut.colour, cut.layer) == (graph.colour, graph.layer)]
    colour = _Colour(graph, lettering, limits, settings, wishes, own)
    words, letters, given_up = colour.units()
    level, found, method = colour.best(words, letters, given_up, budget)
    if found.parting is None:
        raise InputError(_no_parting(wishes, graph))
    root = _tree(found.parting, level, graph, found.others)
    graph = reunite(graph, [leaf.atoms for leaf in leaves(root)])
    findings = [] if found.proved else [_unproved(graph.colour, found)]
    policy = Policy.of(settings)
    breaks, panels, risk = policy.unpack(found.cost)
    measures = Measures(graph.seam_length, graph.seams, breaks, panels, risk / 1000, _largest_area(root, graph))
    certificate = _certificate(level, found, root, graph, measures, limits, bool(own))
    how = f"{CLASSES[certificate.cuts]}; {method}"
    if certificate.dropped:
        how = "; ".join([how, *(DROPPED[code] for code in certificate.dropped)])
    report = SearchReport(graph.colour, policy.name, turning, how, found.states, certificate, graph.layer)
    return CutTree(graph.colour, root, measures, report, graph), findings


def _certificate(
    level: _Level, found: Found, root: Node, graph: ColourGraph, measures: Measures,
    limits: Sequence[tuple[float, float]], barred: bool,
) -> Certificate:
    """Return the certificate of a parting: nothing is claimed but what was searched to its end."""
    dropped = [] if found.proved else ["areas" if level.separations is None else "budget"]
    if barred or (level.separations is not None and not level.separations.complete):
        dropped.append("lines")
    if not graph.seams_strict:
        dropped.append("seam-rules")
    if not graph.seams_exact:
        dropped.append("seams")
    elif graph.seams:
        dropped.append("seam-places")
    breaks, panels, risk = found.bound
    bound: dict[str, float | None] = dict.fromkeys(TIERS)
    bound["seam_length"], bound["seams"] = graph.seam_bound, graph.seams if graph.seams_exact else None
    # bounds of the later tiers hold for the atoms as seams left them: with seams nothing is claimed of others
    if not graph.seams:
        bound |= {"in_word_breaks": breaks, "panels": panels, "risk": None if risk is None else risk / 1000}
        if found.proved:
            bound["largest_panel_area"] = measures.largest_panel_area
    cuts = "free" if found.freed else "bent" if level.passages.bends else "straight"
    return Certificate(cuts, _cert_tree(root, graph), asdict(measures), bound, tuple(dropped), _witness(graph, limits))


def _cert_tree(node: Node, graph: ColourGraph) -> CertTree:
    if isinstance(node, Leaf):
        return tuple(dict.fromkeys(f.id for atom in node.atoms for f in graph.atoms[atom].fragments))
    return _cert_tree(node.first, graph), _cert_tree(node.second, graph)


def _witness(graph: ColourGraph, limits: Sequence[tuple[float, float]]) -> tuple[tuple[str, ...], ...]:
    """Return sets of fragments of which no two go on a panel together, as many as are found."""
    atoms = [n for n, atom in enumerate(graph.atoms) if atom.fragments]
    apart = apart_masks([graph.atoms[n].bounds for n in atoms], limits)
    rows: dict[int, int] = {}
    for rank, n in enumerate(atoms):
        for line in {graph.line_of[node] for node in graph.atoms[n].nodes if node in graph.line_of}:
            rows[line] = rows.get(line, 0) | 1 << rank
    chosen = PanelBound(apart, [rows[line] for line in sorted(rows)]).witness((1 << len(atoms)) - 1)
    return tuple(tuple(f.id for f in graph.atoms[atoms[rank]].fragments) for rank in chosen)


@dataclass(frozen=True)
class _Colour:
    """One colour and what is asked of its parting."""

    graph: ColourGraph
    lettering: Lettering
    limits: Sequence[tuple[float, float]]
    settings: PlanSettings
    wishes: Sequence[Resolved]
    barred: Sequence[frozenset[frozenset[int]]] = ()

    def fits(self, box: Box) -> bool:
        """Whether a film box can be one panel."""
        return box_fits(box, self.limits)

    def units(self) -> tuple[list[Unit], list[Unit], list[Sequence[int]]]:
        """Return words as units, letters as units, and the words that fit a panel and yet could not be kept whole.

        Raises InputError for wishes that can't hold.
        """
        atoms_of, step = self.graph.atoms_of, self.settings.tape_step
        firm: list[Sequence[int]] = [*enclosed_pairs(self.graph)]
        for wish in self.wishes:
            for group in wish.together:
                asked = sorted({atom for node in group for atom in atoms_of.get(node, ())})
                firm.extend([asked] if asked else [])
        letters, _ = merge_units(self.graph, firm, self.fits)
        faults = wish_faults(self.graph, letters, self.wishes, self.fits, step, self.limits)
        if faults:
            raise InputError(faults)
        whole = [group for group in self.words() if len(group) > 1 and not self.must_part(group)]
        words, dropped = merge_units(self.graph, firm, self.fits, whole)
        return words, letters, [group for group in dropped if self.fits(self.box(group))]

    def words(self) -> list[list[int]]:
        """Return the atoms of each word, in reading order."""
        out: dict[str, list[int]] = {}
        for index, atom in enumerate(self.graph.atoms):
            for node in atom.nodes:
                word = self.graph.word_of.get(node)
                if word is not None and index not in out.setdefault(word, []):
                    out[word].append(index)
        return list(out.values())

    def must_part(self, group: Sequence[int]) -> bool:
        """Whether a wish breaks inside this set of atoms."""
        atoms_of, members = self.graph.atoms_of, set(group)
        return any(
            not members.isdisjoint(atoms_of.get(a, ())) and not members.isdisjoint(atoms_of.get(b, ()))
            for wish in self.wishes
            for a, b in wish.apart
        )

    def box(self, group: Sequence[int]) -> Box:
        """Return the film box of a set of atoms."""
        boxes = [self.graph.atoms[index].bounds for index in group]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )

    def best(
        self, words: Sequence[Unit], letters: Sequence[Unit], given_up: Sequence[Sequence[int]], budget: int
    ) -> tuple[_Level, Found, str]:
        """Return the level searched, what was found there, and how.

        Whole words are units first. Letters are units where that does not settle it: a word may have to break where
        whole words can't be cut apart, or where fewer panels come first.
        """
        policy = Policy.of(self.settings)
        if len(words) > LARGE_WORDS:
            return *self.areas(words, policy, budget), "words as units, area by area"
        coarse = self.level(words)
        found = self.search(coarse, policy, budget)
        settled = found.parting is not None and self.settled(found, policy, coarse, letters, given_up)
        if found.proved and settled:
            return coarse, found, "words as units"
        if len(letters) > LARGE:
            rough, other = self.areas(letters, policy, budget)
            if found.parting is None or (other.parting is not None and other.cost < found.cost):
                return rough, other, "letters as units, area by area"
            return coarse, replace(found, proved=False, bound=other.bound), "words as units"
        fine = self.level(letters)
        other = self.search(fine, policy, budget)
        better = other.parting is not None and (
            found.parting is None or (other.cost, other.area) < (found.cost, found.area)
        )
        level, best, method = coarse, found, "words as units"
        if better or other.proved:
            level, best, method = fine, other, "letters as units"
        states = found.states + other.states
        return level, replace(best, proved=other.proved, states=states, bound=other.bound), method

    def areas(self, units: Sequence[Unit], policy: Policy, budget: int) -> tuple[_Level, Found]:
        """Search very many units area by area."""
        family = make_family(self.graph, units, self.limits, self.settings, self.wishes)

        def some(ranks: Sequence[int]) -> Found:
            return self.search(self.level([units[rank] for rank in ranks]), policy, budget // 10)

        passages = Passages([unit.hull for unit in units], hooks_of(units, self.graph))
        return _Level(units, family, passages), search_areas(family, some, policy)

    def search(self, level: _Level, policy: Policy, budget: int) -> Found:
        """Search a level that holds its separations."""
        assert level.separations is not None
        return search(level.family, level.separations, policy, budget)

    def settled(
        self,
        found: Found,
        policy: Policy,
        level: _Level,
        letters: Sequence[Unit],
        given_up: Sequence[Sequence[int]],
    ) -> bool:
        """Whether no plan that breaks another word can be better than the one found with whole words as units.

        With ``words``: the breaks are the fewest possible, so every plan as good leaves the same words whole. With
        ``panels``: the panels too are the fewest possible even with letters as units.
        """
        if given_up or policy.weights is not None:
            return False
        # where neighbours hook, cuts between letters may bend where those between whole words do not
        if level.passages.bends:
            return False
        breaks, panels, _ = policy.unpack(found.cost)
        if breaks > level.family.least_breaks(level.family.everything):
            return False
        if policy.name == "words":
            return True
        family = make_family(self.graph, letters, self.limits, self.settings, self.wishes)
        return panels <= family.least_panels(family.everything)

    def level(self, units: Sequence[Unit]) -> _Level:
        """Return what a search over these units needs."""
        hooks = hooks_of(units, self.graph)
        family = make_family(self.graph, units, self.limits, self.settings, self.wishes, hooks)
        separations = Separations([unit.hull for unit in units], hooks)
        for cut in self.barred:
            sides = [set_of(n for n, unit in enumerate(units) if side.issuperset(unit.atoms)) for side in cut]
            separations.passages.bar(sides[0], sides[1])
        return _Level(units, family, separations.passages, separations)


def hooks_of(units: Sequence[Unit], graph: ColourGraph) -> Hooks:
    """Return what hooks among units: each by itself, and the words that are whole among them."""
    words: UnionFind[int] = UnionFind(range(len(units)))
    unit_of = {atom: rank for rank, unit in enumerate(units) for atom in unit.atoms}
    whole: dict[str, set[int]] = {}
    missing: set[str] = set()
    for index, atom in enumerate(graph.atoms):
        for word in {graph.word_of[node] for node in atom.nodes if node in graph.word_of}:
            if index in unit_of:
                whole.setdefault(word, set()).add(unit_of[index])
            else:
                missing.add(word)
    for ranks in whole.values():
        words.union(*sorted(ranks))
    groups = [set_of(group) for group in words.to_sets() if len(group) > 1]
    broken = set_of(rank for word in missing for rank in whole.get(word, ()))
    return Hooks(
        [graph.film_of(unit.atoms) for unit in units], [unit.hull for unit in units],
        sorted(group for group in groups if not group & broken),
    )  # fmt: skip


def make_family(
    graph: ColourGraph,
    units: Sequence[Unit],
    limits: Sequence[tuple[float, float]],
    settings: PlanSettings,
    wishes: Sequence[Resolved],
    hooks: Hooks | None = None,
) -> Family:
    """Return the family of a search: units (all of a graph, or some) with boxes, edges, wishes, lines, words.

    ``hooks``: what hooks among the units; None: they are looked at here.
    """
    unit_of_atom = {atom: rank for rank, unit in enumerate(units) for atom in unit.atoms}
    stands = {
        node: [unit_of_atom[atom] for atom in atoms if atom in unit_of_atom]
        for node, atoms in graph.atoms_of.items()
        if any(atom in unit_of_atom for atom in atoms)
    }
    gaps: dict[int, float] = {}
    joins: dict[int, int] = {}
    for join in graph.joins:
        a, b = unit_of_atom.get(join.a), unit_of_atom.get(join.b)
        if a != b and a is not None and b is not None:
            both = 1 << a | 1 << b
            gaps[both] = min(gaps.get(both, float("inf")), join.gap_mm)
            joins[both] = joins.get(both, 0) + (graph.edges[join.edge].kind == "letter")
    pairs = [Pair(both, risk_of(gap, settings.placement_tolerance), joins[both]) for both, gap in gaps.items()]
    pairs.sort(key=lambda pair: (-pair.risk, pair.both))
    apart = [0] * len(units)
    for wish in wishes:
        for first, second in wish.apart:
            for a, b in product(stands.get(first, ()), stands.get(second, ())):
                if a != b:
                    apart[a] |= 1 << b
                    apart[b] |= 1 << a
    rows: dict[int, dict[int, None]] = {}
    for node, line in graph.line_of.items():
        rows.setdefault(line, {}).update(dict.fromkeys(stands.get(node, ())))
    spelled: dict[str, set[int]] = {}
    for join in graph.joins:
        edge = graph.edges[join.edge]
        a, b = unit_of_atom.get(join.a), unit_of_atom.get(join.b)
        if edge.kind == "letter" and a is not None and b is not None and a != b:
            spelled.setdefault(graph.word_of[edge.a], set()).add(1 << a | 1 << b)
    in_rows = [list(rows[line]) for line in sorted(rows)]
    hooks = hooks or hooks_of(units, graph)
    risks = {pair.both: pair.risk for pair in pairs}
    return Family(
        [unit.bounds for unit in units], limits, pairs, apart, [set_of(row) for row in in_rows],
        [sorted(spelled[word]) for word in sorted(spelled)],
        find_chains(in_rows, [unit.hull for unit in units], hooks.hookable, risks),
    )  # fmt: skip


def _tree(parting: Parting, level: _Level, graph: ColourGraph, others: Mapping[int, Other | None]) -> Node:
    units = level.units
    if isinstance(parting, int):
        atoms = _atoms(parting, units)
        order = {node: rank for rank, node in enumerate(node for atom in graph.atoms for node in atom.nodes)}
        nodes = dict.fromkeys(node for atom in atoms for node in graph.atoms[atom].nodes)
        return Leaf(tuple(sorted(nodes, key=order.__getitem__)), tuple(atoms))
    first, second = (_tree(side, level, graph, others) for side in parting)
    everything = units_of(parting)
    place = _next_place(others[everything], everything, units, graph) if everything in others else None
    way = level.passages.way(units_of(parting[0]), units_of(parting[1]))
    return Branch(first, second, place, way)


def _atoms(mask: int, units: Sequence[Unit]) -> list[int]:
    return sorted(atom for rank, unit in enumerate(units) if mask >> rank & 1 for atom in unit.atoms)


def _next_place(other: Other | None, everything: int, units: Sequence[Unit], graph: ColourGraph) -> NextPlace:
    """Return what another cut would have cost, and between which two nodes it would have run."""
    if other is None:
        return NextPlace(False)
    here, there = set(_atoms(other.side, units)), set(_atoms(everything ^ other.side, units))
    parted = [
        join for join in graph.joins
        if (join.a in here and join.b in there) or (join.a in there and join.b in here)
    ]  # fmt: skip
    edge = graph.edges[min(parted, key=lambda join: (join.gap_mm, join.edge)).edge] if parted else None
    return NextPlace(
        True, other.breaks, other.panels, other.risk / 1000, other.area * 100.0,
        None if edge is None else edge.a, None if edge is None else edge.b,
    )  # fmt: skip


def _largest_area(root: Node, graph: ColourGraph) -> float:
    """Return the box area of the largest panel's film, mm²."""
    if isinstance(root, Branch):
        return max(_largest_area(root.first, graph), _largest_area(root.second, graph))
    boxes = [graph.atoms[atom].bounds for atom in root.atoms]
    width = max(b[2] for b in boxes) - min(b[0] for b in boxes)
    height = max(b[3] for b in boxes) - min(b[1] for b in boxes)
    return width * height


def _unproved(colour: str, found: Found) -> Finding:
    breaks, panels, _ = found.bound
    return Finding(
        "fit-unproved",
        f"The search for the best parting of {colour} was cut short after {found.states} states; "
        f"no plan has fewer than {breaks} broken words and {panels} panels.",
        remedy="The plan can be used; a smaller design or a larger mat lets the search finish.",
    )


def _no_parting(wishes: Sequence[Resolved], graph: ColourGraph) -> list[Fault]:
    if wishes:
        return [
            Fault(f"no parting into panels holds {wish.label}", wish.wish.where, "drop or change this wish")
            for wish in wishes
        ]
    return [
        Fault(
            f"no straight cuts part the {graph.colour} film into panels that fit", "the artwork",
            "more space between its lines or letters, or a larger mat",
        )
    ]  # fmt: skip
