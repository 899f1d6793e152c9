"""Bounds against the truth: of every set of small signs, and what guards their assumptions."""

from __future__ import annotations

import numpy as np
import pytest

from bigsign.project import Cutter, PlanSettings
from bigsign.splitting.bounds import BreakBound, Chain, PanelBound, RiskBound, find_chains
from bigsign.splitting.cost import Family, Policy
from bigsign.splitting.families import hooks_of, make_family
from bigsign.splitting.graph import build_graph
from bigsign.splitting.hooks import Hooks
from bigsign.splitting.limits import box_fits, panel_limits
from bigsign.splitting.search import BoundBeatenError, search
from bigsign.splitting.separations import Separations
from bigsign.splitting.units import enclosed_pairs, merge_units
from bigsign.splitting.wishes import resolve_wishes
from tests.bench.proof.kinds import Sign, make_sign
from tests.splitting.every_tree import truth_of


def family_of(sign: Sign) -> tuple[Family, Separations, Hooks]:
    graph = build_graph(sign.artwork, sign.lettering, "#000000")
    limits = panel_limits(Cutter("t", "m", *sign.usable), sign.turning)
    units, _ = merge_units(graph, enclosed_pairs(graph), lambda box: box_fits(box, limits))
    hooks = hooks_of(units, graph)
    wishes = resolve_wishes(sign.settings.wishes, sign.lettering)
    family = make_family(graph, units, limits, sign.settings, wishes, hooks)
    return family, Separations([unit.hull for unit in units], hooks), hooks


@pytest.mark.parametrize("kind", ["boxes", "convex", "turned", "stars", "ornaments", "hooks", "mouths", "script"])
@pytest.mark.parametrize("seed", range(900, 908))
def test_no_bound_of_any_set_is_above_the_truth(kind: str, seed: int) -> None:
    sign = make_sign(kind, seed)
    graph = build_graph(sign.artwork, sign.lettering, "#000000")
    if len(graph.atoms) > 6:
        pytest.skip("too many for trying everything")
    family, _, hooks = family_of(sign)
    if len(family.boxes) != len(graph.atoms):
        pytest.skip("some stay together")
    limits = panel_limits(Cutter("t", "m", *sign.usable), sign.turning)
    truth = truth_of(graph, hooks, limits, "words", sign.settings.placement_tolerance)
    assert truth is not None
    for units, (breaks, panels, risk) in truth.least.items():
        assert family.least_breaks(units) <= breaks
        assert family.least_panels(units) <= panels
        assert family.least_risk(units) <= risk


def test_parts_of_a_letter_that_a_seam_parts_bound_their_own_side_of_the_word_only() -> None:
    """Units 0 and 1, 2 and 3 follow one another, 1 and 2 are parts of one letter: no pair parts them."""
    apart = [0b1110, 0b1101, 0b1011, 0b0111]
    bound = BreakBound([[0b0011, 0b1100]], PanelBound(apart, []))
    assert bound.least(0b1111) == 2
    assert bound.least(0b0110) == 0
    whole = BreakBound([[0b0011, 0b0110, 0b1100]], PanelBound(apart, []))
    assert whole.least(0b1111) == 3


def test_a_chain_is_cut_at_its_gentlest_places() -> None:
    chain = Chain((0, 1, 2, 3), (500, 100, 500))
    pairs = [0b1100, 0b1000, 0b0001, 0b0011]  # 0 with 2 and 3, 1 with 3: two panels will do
    bound = RiskBound([chain], pairs)
    assert bound.least(0b1111) == 100
    assert bound.least(0b1011) == 0  # without 2, nothing is known of the place where it stood
    bound.holds = False
    assert bound.least(0b1111) == 0


def test_units_that_may_hook_are_in_no_chain() -> None:
    sign = make_sign("boxes", 3)
    family, _, _ = family_of(sign)
    assert family.chains
    rows = [list(range(len(family.boxes)))]
    squares = [np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]) for x0, y0, x1, y1 in family.boxes]
    everything = (1 << len(family.boxes)) - 1
    assert find_chains(rows, squares, everything, {}) == []


def test_a_parting_below_a_bound_raises() -> None:
    family, separations, _ = family_of(make_sign("boxes", 5))
    policy = Policy("words")
    found = search(family, separations, policy, 20_000)
    assert found.proved
    too_much = (Chain(tuple(range(len(family.boxes))), (10**6,) * (len(family.boxes) - 1)),)
    family.risk_bound._chains, family.risk_bound._masks = too_much, [family.everything]
    with pytest.raises(BoundBeatenError):
        search(family, separations, policy, 20_000)


def test_policies_know_their_settings() -> None:
    assert Policy.of(PlanSettings(policy="mats")).name == "words"
