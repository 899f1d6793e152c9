"""Plans that are best in another sense: fewest broken words, fewest panels, fewest mats, widest gaps, even panels.

The same artwork is parted under several orders of what matters; of the plans found the best in each sense is kept, so
that a person can choose. Policy `mats` is the choice of the first of them made for the person.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bigsign.prepare import check_template, prepare
from bigsign.project import Project, Weights

if TYPE_CHECKING:
    from bigsign.artwork.pieces import Artwork
    from bigsign.plan_records import Plan
    from bigsign.reading.lettering import Lettering

__all__ = ["Alternative", "fewest_mats", "make_alternatives"]

Progress = Callable[[str], None]

#: What is tried beside the project's own setting: text as the project file would have it, policy, weights.
SETTINGS: tuple[tuple[str, str, Weights | None], ...] = (
    ('[plan] policy = "words"', "words", None),
    ('[plan] policy = "panels"', "panels", None),
    ("[weights] in_word_breaks = 1, panels = 1", "words", Weights(1.0, 1.0, 0.0)),
    ("[weights] in_word_breaks = 1, panels = 2", "words", Weights(1.0, 2.0, 0.0)),
    ("[weights] in_word_breaks = 2, panels = 1, risk = 1", "words", Weights(2.0, 1.0, 1.0)),
)


@dataclass(frozen=True, slots=True)
class Alternative:
    """A plan, the senses in which it is the best of those found, and the setting that gives it.

    ``senses``: "asked" (the project's own setting), "words", "panels", "mats", "gaps", "even".
    """

    senses: tuple[str, ...]
    setting: str
    plan: Plan


def make_alternatives(project: Project, count: int = 3, progress: Progress | None = None) -> tuple[Alternative, ...]:
    """Return the plan of ``project`` and up to ``count`` others, each the best found in another sense.

    An alternative with fewer panels asks for the templates of those it has.

    Raises
    ------
    InputError
        As :func:`bigsign.make_plan`.
    """
    say = progress or (lambda _: None)
    begun = prepare(project, say)
    found = _plans(project, begun.artwork, begun.lettering, say)
    chosen: dict[int, list[str]] = {0: ["asked"]}
    for sense, key in _SENSES:
        best = min(range(len(found)), key=lambda n: (key(found[n][1]), n))
        chosen.setdefault(best, []).append(sense)
    kept = sorted(chosen, key=lambda n: (n != 0, list(chosen.values()).index(chosen[n])))[: count + 1]
    return tuple(Alternative(tuple(chosen[n]), found[n][0], found[n][1]) for n in kept)


def fewest_mats(project: Project, artwork: Artwork, lettering: Lettering, progress: Progress) -> Plan:
    """Return the plan with the fewest mats (or the least film used), then as ``words``, of several good ones."""
    words = replace(project.plan, policy="words", template_panels=())  # whose numbers are those of the plan chosen
    found = _plans(replace(project, plan=words), artwork, lettering, progress)
    best = min(found, key=lambda pair: _mats(pair[1]))[1]
    how = f"fewest mats of {len(found)} partings"
    # what was proved of one parting says nothing of the mats that others would need
    search = tuple(
        replace(
            report, policy="mats", method=f"{report.method}; {how}",
            certificate=report.certificate if len(best.mats) == 1 else replace(
                report.certificate, dropped=("mats", *report.certificate.dropped)
            ),
        )
        for report in best.search
    )  # fmt: skip
    return replace(best, project=project, search=search)


def _plans(
    project: Project, artwork: Artwork, lettering: Lettering, say: Progress
) -> list[tuple[str, Plan]]:
    """Return (setting, plan) of every setting, the project's own first; plans with the same panels once."""
    from bigsign.plan import plan_lettering

    own = project.plan
    tries = [("as the project file has it", own.policy, own.weights), *SETTINGS]
    out: list[tuple[str, Plan]] = []
    seen: set[tuple[tuple[str, ...], ...]] = set()
    for setting, policy, weights in tries:
        say(f"trying {setting}")
        made = replace(project, plan=replace(own, policy=policy, weights=weights))
        plan = plan_lettering(made, artwork, lettering)
        if not out:  # before the others are tried; they may well have fewer panels
            check_template(project, len(plan.panels))
        asked = tuple(n for n in own.template_panels if n <= len(plan.panels))
        if asked != own.template_panels:
            plan = replace(plan, project=replace(made, plan=replace(made.plan, template_panels=asked)))
        panels = tuple(sorted(panel.fragments for panel in plan.panels))
        if panels not in seen:
            seen.add(panels)
            out.append((setting, plan))
    return out


Key = tuple[float, ...]


def _words(plan: Plan) -> Key:
    m = plan.measures
    return m.seam_length, m.in_word_breaks, m.panels, m.risk, m.largest_panel_area


def _panels(plan: Plan) -> Key:
    m = plan.measures
    return m.panels, m.seam_length, m.in_word_breaks, m.risk, m.largest_panel_area


def _mats(plan: Plan) -> Key:
    return len(plan.mats), *_words(plan), sum(mat.used_length for mat in plan.mats)


def _gaps(plan: Plan) -> Key:
    return plan.measures.risk, *_words(plan)


def _even(plan: Plan) -> Key:
    return plan.measures.largest_panel_area, *_words(plan)


_SENSES: Sequence[tuple[str, Callable[[Plan], Key]]] = (
    ("words", _words), ("panels", _panels), ("mats", _mats), ("gaps", _gaps), ("even", _even),
)  # fmt: skip
