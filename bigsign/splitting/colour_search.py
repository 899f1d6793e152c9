"""The search over one colour: whole words as units first, letters where that does not settle it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bigsign.errors import InputError
from bigsign.project import PlanSettings
from bigsign.reading.lettering import Lettering
from bigsign.splitting.bits import set_of
from bigsign.splitting.cost import Family, Policy
from bigsign.splitting.families import hooks_of, make_family
from bigsign.splitting.graph import ColourGraph
from bigsign.splitting.large import LARGE, LARGE_PIECES, LARGE_WORDS, area_size, search_areas
from bigsign.splitting.limits import Box, box_fits
from bigsign.splitting.passages import Passages
from bigsign.splitting.search import search
from bigsign.splitting.search_records import Found
from bigsign.splitting.separations import Separations
from bigsign.splitting.too_big import wish_faults
from bigsign.splitting.units import Unit, enclosed_pairs, merge_units
from bigsign.splitting.wishes import Resolved

__all__ = ["ColourSearch", "Level"]


@dataclass(frozen=True)
class Level:
    """One granularity of a colour: its units, and the family and separations a search needs."""

    units: Sequence[Unit]
    family: Family
    passages: Passages
    separations: Separations | None = None


@dataclass(frozen=True)
class ColourSearch:
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
    ) -> tuple[Level, Found, str]:
        """Return the level searched, what was found there, and how.

        Whole words are units first. Letters are units where that does not settle it: a word may have to break where
        whole words can't be cut apart, or where fewer panels come first.
        """
        policy = Policy.of(self.settings)
        if len(words) > LARGE_WORDS:
            return *self.areas(words, policy, budget), "words as units, area by area"
        if len(words) > LARGE_PIECES and 2 * len(words) > len(letters):
            return *self.areas(words, policy, budget // 4), "pieces as units, area by area"
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

    def areas(self, units: Sequence[Unit], policy: Policy, budget: int) -> tuple[Level, Found]:
        """Search very many units area by area."""
        family = make_family(self.graph, units, self.limits, self.settings, self.wishes)
        share = budget // max(10, len(units) // area_size(len(units)))

        def some(ranks: Sequence[int]) -> Found:
            return self.search(self.level([units[rank] for rank in ranks]), policy, share)

        passages = Passages([unit.hull for unit in units], hooks_of(units, self.graph))
        return Level(units, family, passages), search_areas(family, some, policy)

    def search(self, level: Level, policy: Policy, budget: int) -> Found:
        """Search a level that holds its separations."""
        assert level.separations is not None
        return search(level.family, level.separations, policy, budget)

    def settled(
        self,
        found: Found,
        policy: Policy,
        level: Level,
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

    def level(self, units: Sequence[Unit]) -> Level:
        """Return what a search over these units needs."""
        hooks = hooks_of(units, self.graph)
        family = make_family(self.graph, units, self.limits, self.settings, self.wishes, hooks)
        separations = Separations([unit.hull for unit in units], hooks)
        for cut in self.barred:
            sides = [set_of(n for n, unit in enumerate(units) if side.issuperset(unit.atoms)) for side in cut]
            separations.passages.bar(sides[0], sides[1])
        return Level(units, family, separations.passages, separations)
