"""The slip budget against a simulation: panels are really turned and moved, and their gaps measured."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from bigsign.plan import plan_lettering
from bigsign.plan_records import Break, Panel, Plan, SlipJoin
from bigsign.project import SlipSettings
from bigsign.work.slip import COVERAGE, METHODS, SHOWS, slip_joins
from tests.box_lettering import letters_from, row_of_boxes
from tests.demos import DEMOS, demo_plan
from tests.planning import project_of

Array = npt.NDArray[np.float64]
Complex = npt.NDArray[np.complex128]
SMALL, USUAL = SlipSettings(offset=0.08, tilt=0.15), SlipSettings(offset=0.8, tilt=1.5)
DRAWS = 40_000


def box_plan(rows: int = 2, words: int = 3, gap: float = 24.0) -> Plan:
    """Return a plan of rows of one-letter words, all boxes 120 × 80, each a panel of its own."""
    lines = [
        row_of_boxes([[120.0]] * words, height=80, letter_gap=8, word_gap=gap, x=30, y=30 + row * 110)
        for row in range(rows)
    ]
    project = project_of(120 * words + 24 * words + 60, 110 * rows + 60, usable=(130.0, 90.0))
    plan = plan_lettering(project, *letters_from(lines))
    assert len(plan.panels) == rows * words
    return plan


def test_the_model_plan_has_rings_and_both_directions() -> None:
    plan = box_plan()
    assert len(plan.breaks) > len(plan.panels)
    assert {part.kind for part in plan.breaks} == {"word", "line"}


class Simulation:
    """Every panel's motion z → turn·z + shift in many draws, z = x + iy on the board."""

    def __init__(self, plan: Plan, method: str, limits: SlipSettings, draw: Array) -> None:
        self.turn: list[Complex] = []
        self.shift: list[Complex] = []
        numbers = {panel.id: n for n, panel in enumerate(plan.panels)}
        for n, panel in enumerate(plan.panels):
            x0, y0, x1, y1 = panel.bounds
            centre = complex(x0 + x1, y0 + y1) / 2
            across, down, rise = draw[3 * n : 3 * n + 3]
            turn = np.exp(1j * np.arcsin(rise * limits.tilt / max(x1 - x0, y1 - y0)))
            shift = centre * (1 - turn) + limits.offset * (across + 1j * down)
            for base_turn, base_shift in [self.base(plan, method, panel, numbers)] if method != "edge" else []:
                shift = base_turn * shift + base_shift
                turn = base_turn * turn
            self.turn.append(turn)
            self.shift.append(shift)

    def base(self, plan: Plan, method: str, panel: Panel, numbers: dict[str, int]) -> tuple[Complex, Complex]:
        """Return the motion of what the panel is laid against."""
        up = []
        for part in plan.breaks:
            if panel.id in part.panels:
                other = next(name for name in part.panels if name != panel.id)
                if numbers[other] < numbers[panel.id]:
                    up.append((["letter", "word", "line"].index(part.kind), part.gap.mm, numbers[other]))
        if not up:
            return np.ones(DRAWS, complex), np.zeros(DRAWS, complex)
        held = [min(up)[2]] if method == "butt" else [number for _, _, number in up]
        turn = np.exp(1j * np.mean([np.angle(self.turn[k]) for k in held], axis=0))
        # midway as seen at the panel itself
        at = complex(panel.bounds[0] + panel.bounds[2], panel.bounds[1] + panel.bounds[3]) / 2
        place = np.mean([self.turn[k] * at + self.shift[k] for k in held], axis=0)
        return turn, place - turn * at

    def side(self, n: int, ends: tuple[complex, complex], at: float, upright: bool) -> Array:
        """Return where the moved side between two corners of panel ``n`` crosses the level (plumb) line at ``at``."""
        a, b = (self.turn[n] * end + self.shift[n] for end in ends)
        if upright:
            share = (at - a.real) / (b.real - a.real)
            return np.asarray(a.imag + share * (b.imag - a.imag))
        share = (at - a.imag) / (b.imag - a.imag)
        return np.asarray(a.real + share * (b.real - a.real))


def simulated(plan: Plan, part: Break, moved: Simulation) -> list[tuple[Array, Array]]:
    """Return the errors (of the gap, of the later panel's place) at both ends of where two boxes face."""
    first, second = sorted((plan.panel(name) for name in part.panels), key=lambda p: p.number)
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = first.bounds, second.bounds
    upright = min(ax1, bx1) - max(ax0, bx0) > 1.0
    out = []
    for at in (max(ax0, bx0), min(ax1, bx1)) if upright else (max(ay0, by0), min(ay1, by1)):
        after = (by0 > ay0) if upright else (bx0 > ax0)
        if upright:
            own, other = (ay1, by0) if after else (ay0, by1)
            ends = (complex(ax0, own), complex(ax1, own)), (complex(bx0, other), complex(bx1, other))
        else:
            own, other = (ax1, bx0) if after else (ax0, bx1)
            ends = (complex(own, ay0), complex(own, ay1)), (complex(other, by0), complex(other, by1))
        a = moved.side(first.number - 1, ends[0], at, upright) - own
        b = moved.side(second.number - 1, ends[1], at, upright) - other
        out.append(((b - a) if after else (a - b), b))
    return out


@pytest.mark.parametrize(("limits", "beyond"), [(SMALL, 1.01), (USUAL, 1.07)])
@pytest.mark.parametrize("method", METHODS)
def test_worst_case_and_root_sum_square_hold_in_a_simulation(
    method: str, limits: SlipSettings, beyond: float
) -> None:
    """Slips are taken as small: turned edges that also shift add a few per cent at usual limits, hardly any below."""
    plan = box_plan()
    joins = {j.break_id: j for j in slip_joins(plan.panels, plan.breaks, limits, plan.tape_step) if j.method == method}
    rng = np.random.default_rng(20)
    size = (3 * len(plan.panels), DRAWS)
    spread_out = Simulation(plan, method, limits, rng.uniform(-1, 1, size))
    corners = Simulation(plan, method, limits, rng.choice([-1.0, 1.0], size))
    for part in plan.breaks:
        join = joins[part.id]
        for which, rss, worst in ((0, join.rss, join.worst), (1, join.place_rss, join.place_worst)):
            found = max(float(np.std(errors[which])) for errors in simulated(plan, part, spread_out))
            assert found == pytest.approx(rss.mm, rel=0.03), (part.id, which)
            extremes = [np.abs(errors[which]).max() for errors in simulated(plan, part, corners)]
            assert max(extremes) <= worst.mm * beyond, (part.id, which)
            assert max(extremes) >= worst.mm * 0.9, (part.id, which)


def of(joins: tuple[SlipJoin, ...], part: Break, method: str) -> SlipJoin:
    return next(join for join in joins if (join.break_id, join.method) == (part.id, method))


def test_two_panels_by_hand() -> None:
    """Offset 1, no tilt: from the edges two slips of 1 meet, √2/√3 to expect; butted it is one slip."""
    plan = box_plan(rows=1, words=2)
    joins = slip_joins(plan.panels, plan.breaks, SlipSettings(1.0, 0.0), plan.tape_step)
    edge, butt = of(joins, plan.breaks[0], "edge"), of(joins, plan.breaks[0], "butt")
    assert edge.worst.mm == pytest.approx(2.0)
    assert edge.rss.mm == pytest.approx((2 / 3) ** 0.5)
    assert butt.worst.mm == pytest.approx(1.0)
    assert butt.rss.mm == pytest.approx(3**-0.5)
    assert edge.place_worst.mm == pytest.approx(1.0)
    assert butt.place_worst.mm == pytest.approx(2.0)


def test_a_chain_of_six_against_one_datum() -> None:
    """ISO 129-1 datum against chain, worked: six steps of ± 1/16 in are 3/8 in off at worst, 0.153 in root-sum-square.

    Here the chain is of butted panels; its expected error is of uniform slips, 1/√3 of the limits' root-sum-square.
    """
    plan = box_plan(rows=1, words=11)
    inch = 25.4
    joins = slip_joins(plan.panels, plan.breaks, SlipSettings(inch / 16, 0.0), plan.tape_step)
    across = sorted(plan.panels, key=lambda panel: panel.bounds[0])
    first = across.index(plan.panels[0])
    depth = {panel.number: abs(n - first) + 1 for n, panel in enumerate(across)}
    sixth = [part for part in plan.breaks if max(depth[plan.panel(name).number] for name in part.panels) == 6]
    assert sixth
    for part in sixth:
        butt, edge = of(joins, part, "butt"), of(joins, part, "edge")
        assert butt.place_worst.mm == pytest.approx(3 / 8 * inch)
        assert butt.place_rss.mm * 3**0.5 == pytest.approx(0.153 * inch, abs=0.0005 * inch)
        assert edge.place_worst.mm == pytest.approx(inch / 16)


def test_a_tilt_tells_most_at_the_ends_of_the_gap() -> None:
    """Boxes 120 wide, 80 high, side by side: a tilt of 3 over 120 moves a corner 40 off the middle by 1."""
    plan = box_plan(rows=1, words=2)
    joins = slip_joins(plan.panels, plan.breaks, SlipSettings(0.0, 3.0), plan.tape_step)
    assert of(joins, plan.breaks[0], "edge").worst.mm == pytest.approx(2.0)
    assert of(joins, plan.breaks[0], "butt").rss.mm == pytest.approx(3**-0.5)


def test_in_a_butted_row_places_creep_and_gaps_do_not() -> None:
    plan = box_plan(rows=1, words=5)
    joins = slip_joins(plan.panels, plan.breaks, SlipSettings(1.0, 0.0), plan.tape_step)
    butt = [join for join in joins if join.method == "butt"]
    assert [join.worst.mm for join in butt] == pytest.approx([1.0] * 4)
    # from the middle one outward: two neighbours, and two of theirs
    assert sorted(join.place_worst.mm for join in butt) == pytest.approx([2.0, 2.0, 3.0, 3.0])
    assert all(join.place_worst.mm == pytest.approx(1.0) for join in joins if join.method == "edge")


@pytest.mark.parametrize(("gap", "shows"), [(24.0, False), (6.0, True)])
def test_what_shows_is_judged_by_the_gap(gap: float, shows: bool) -> None:
    plan = box_plan(rows=1, words=2, gap=gap)
    joins = slip_joins(plan.panels, plan.breaks, SlipSettings(1.0, 0.0), plan.tape_step)
    edge = of(joins, plan.breaks[0], "edge")
    assert edge.shows is shows
    assert ("card" in edge.advice) is shows


@pytest.mark.parametrize("name", DEMOS)
def test_every_break_has_its_three_ways(name: str) -> None:
    plan = demo_plan(name)
    assert [(j.break_id, j.method) for j in plan.slip] == [(b.id, m) for b in plan.breaks for m in METHODS]
    gap = {part.id: part.gap.mm for part in plan.breaks}
    for join in plan.slip:
        assert 0 < join.rss.mm < join.worst.mm
        assert join.shows is (COVERAGE * join.rss.mm > SHOWS * gap[join.break_id])
        assert join.advice


def test_no_slip_no_error_and_no_joins_no_budget() -> None:
    plan = box_plan(rows=1, words=2)
    for join in slip_joins(plan.panels, plan.breaks, SlipSettings(0.0, 0.0), plan.tape_step):
        assert join.worst.mm == join.rss.mm == 0.0
        assert not join.shows
    assert slip_joins(plan.panels[:1], (), USUAL, plan.tape_step) == ()


def test_limits_come_from_the_project() -> None:
    plan = box_plan(rows=1, words=2)
    looser = replace(plan.project, slip=SlipSettings(2.0, 2.0))
    again = slip_joins(plan.panels, plan.breaks, looser.slip, plan.tape_step)
    assert [join.rss.mm for join in again] == pytest.approx([2 * join.rss.mm for join in plan.slip])
