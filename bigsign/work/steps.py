"""The steps of the work: prepare and measure, strike lines, mark, hang all dry, check, stick one by one, finish.

Each panel is stuck exactly once, in the order of the panels. Transfer tape stays on until butting neighbours are
stuck; where film will lie over a panel its tape comes off first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bigsign.plan_needs import SiteFrame
from bigsign.plan_records import Break, EdgeDistance, Panel, RegisterMark, SignFrame, Step, TapeMark, marks_on
from bigsign.presets.cautions import Caution, cautions_for
from bigsign.project import Film
from bigsign.wording import panels_said, phrase, place_said, said_cautions

__all__ = ["make_steps"]

LEAST_EDGE = 5.0  # mm: a shorter straight side of a trim can't be laid by
PREPARE = ("glass-heat-much", "glass-breaks", "solvent", "old-paint", "old-paint-unknown")


def make_steps(
    panels: Sequence[Panel],
    breaks: Sequence[Break],
    sign: SignFrame,
    site: SiteFrame,
    tape_marks: Sequence[TapeMark],
    film: Film,
    marks: Sequence[RegisterMark] = (),
    texts: Mapping[str, str | None] | None = None,
    over: Sequence[tuple[str, str]] = (),
) -> tuple[Step, ...]:
    """Return the steps, numbered from 1.

    Parameters
    ----------
    panels : in the order of work.
    texts : of glyphs, by id: gaps are said to be from letter to letter where both are known.
    over : (panel, other) ids where the panel's transfer tape reaches over film of the other, which is up by then.

    Every length in an action is the ``tape`` text of one of the plan's lengths. A caution stands at the step before
    whose first action it has to be read.
    """
    cautions = said_cautions(cautions_for(sign.width.mm, sign.height.mm, site))
    tape = _register_tape(marks) if site.may_be_fresh else []
    made: list[tuple[str, str | None, list[str], str | None]] = [
        ("prepare", None, _prepare(sign, panels), _caution(cautions, PREPARE)),
        ("strike", None, _strike(panels), _caution(cautions, ("ladder",))),
        ("mark", None, [*_mark(tape_marks), *tape], _caution(cautions, ("fresh-paint",))),
        ("hang", None, _hang(panels), None),
        ("check", None, _look(breaks), None),
    ]
    beside = _Beside(breaks, tape_marks, film, marks, texts or {}, over)
    taped: list[Panel] = []
    for index, panel in enumerate(panels):
        for under in [other for other in taped if _lies_over(panel, other)]:
            made.append(("peel", under.id, [phrase("peel.under", n=under.number, over=panel.number)], None))
            taped.remove(under)
        later = _butting(panel, panels[index + 1 :], breaks)
        cut = panel.hinge is not None and panel.hinge.kind == "centre"
        blade = _caution(cautions, ("blade",)) if cut else None
        made.append(("stick", panel.id, _stick(panel, panels[:index], beside, later), blade))
        if later:
            taped.append(panel)
    if taped:
        names = ", ".join(str(number) for number in sorted(panel.number for panel in taped))
        made.append(("peel", None, [phrase("peel.rest", panels=names)], None))
    if marks:
        tape_under = [phrase("peel.marks_tape")] if tape else []
        made.append(("peel", None, [phrase("peel.marks", marks=_names(marks)), *tape_under], None))
    made.append(("finish", None, [phrase(f"finish.{key}") for key in ("marks", "rub", "wait")], None))
    return tuple(
        Step(n, kind, panel_id, tuple(actions), caution)
        for n, (kind, panel_id, actions, caution) in enumerate(made, 1)
    )


def _caution(cautions: Sequence[Caution], kinds: Sequence[str]) -> str | None:
    """Return those of ``cautions`` that are of ``kinds`` as one, under the gravest signal word; None without any."""
    found = [caution for caution in cautions if caution.kind in kinds]
    return f"{found[0].signal}: {' '.join(caution.step for caution in found)}" if found else None


def _said(distance: EdgeDistance, axis: str) -> str:
    return place_said(distance.edge, distance.length.shown, axis)


def _prepare(sign: SignFrame, panels: Sequence[Panel]) -> list[str]:
    edges = zip("xy", sign.reference, strict=True)
    middle = [phrase(f"prepare.middle_{axis}") for axis, edge in edges if edge == "middle"]
    return [
        phrase("prepare.clean"),
        phrase("prepare.warm"),
        phrase("prepare.width", width=sign.width.shown),
        phrase("prepare.height", height=sign.height.shown),
        phrase("prepare.diagonal", diagonal=sign.diagonal.shown),
        phrase("prepare.differs", tolerance=panels[0].check.tolerance.shown),
        *middle,
    ]


def _strike(panels: Sequence[Panel]) -> list[str]:
    """Return one action for each line to strike, with the panels that stand on it."""
    lines: dict[tuple[str, str], list[int]] = {}
    low: list[int] = []
    standing = [panel for panel in panels if panel.level is not None]
    for panel in sorted(standing, key=lambda panel: (panel.level.axis, panel.level.at) if panel.level else ("", 0.0)):
        if panel.level is not None:
            place = _said(panel.level.from_reference, panel.level.axis)
            lines.setdefault((panel.level.axis, place), []).append(panel.number)
            if not panel.level.flat:
                low.append(panel.number)
    if not lines:
        return [phrase("strike.none")]
    out = [
        phrase("strike.level" if axis == "y" else "strike.plumb", place=place, panels=panels_said(sorted(numbers)))
        for (axis, place), numbers in lines.items()
    ]
    if low:
        out.append(phrase("strike.low", panels=panels_said(sorted(low))))
    return [*out, phrase("strike.past"), phrase("strike.check")]


def _mark(marks: Sequence[TapeMark]) -> list[str]:
    if len(marks) == 1:
        first = phrase("mark.tape_one", marks=marks[0].id)
    else:
        first = phrase("mark.tape", marks=phrase("mark.range", first=marks[0].id, last=marks[-1].id))
    return [first, phrase("mark.pencil"), phrase("mark.twice")]


def _names(marks: Sequence[RegisterMark]) -> str:
    names = [mark.id for mark in marks]
    if [int(name[1:]) for name in names] == list(range(int(names[0][1:]), int(names[0][1:]) + len(names))):
        if len(names) == 1:
            return names[0]
        if len(names) > 2:
            return phrase("mark.range", first=names[0], last=names[-1])
    return ", ".join(names[:-1]) + phrase("next.and") + names[-1]


def _register_tape(marks: Sequence[RegisterMark]) -> list[str]:
    return [phrase("mark.register", marks=_names(marks))] if marks else []


def _hang(panels: Sequence[Panel]) -> list[str]:
    out = [phrase("hang.all" if len(panels) > 1 else "hang.one")]
    return [*out, phrase("hang.level")] if any(panel.level is not None for panel in panels) else out


def _look(breaks: Sequence[Break]) -> list[str]:
    gaps = [phrase("check.gaps")] if breaks else []
    return [phrase("check.back"), *gaps, phrase("check.once")]


def _lies_over(upper: Panel, lower: Panel) -> bool:
    """Whether a panel's trim lies on another panel's trim, so that tape left on would come between them."""
    return float(upper.trim.intersection(lower.trim).area) > 1.0


def _butting(panel: Panel, others: Sequence[Panel], breaks: Sequence[Break]) -> list[Panel]:
    """Return those of ``others`` whose trim butts against the panel's."""
    beside = {name for part in breaks if part.butts and panel.id in part.panels for name in part.panels}
    return [other for other in others if other.id in beside and other.id != panel.id]


@dataclass(frozen=True, slots=True)
class _Beside:
    """What a panel is set by: breaks, tape marks, register marks, the letters' texts, film that it reaches over."""

    breaks: Sequence[Break]
    tape_marks: Sequence[TapeMark]
    film: Film
    marks: Sequence[RegisterMark]
    texts: Mapping[str, str | None]
    over: Sequence[tuple[str, str]]


def _stick(panel: Panel, up: Sequence[Panel], beside: _Beside, later: Sequence[Panel]) -> list[str]:
    """Return what is done with a panel: set, check the gaps while its backing is on, stick, closing check."""
    taped = marks_on(panel, beside.tape_marks)
    out = []
    if taped:
        key = "stick.at" if len(taped) > 1 else "stick.at_one"
        out.append(phrase(key, left=taped[0].id, right=taped[-1].id))
    out += [_edge(panel, axis, distance) for axis, distance in _sides(panel)]
    out += [phrase("stick.butt", other=other.number) for other in _butting(panel, up, beside.breaks)]
    for other in up:
        shared = [mark for mark in beside.marks if panel.id in mark.panels and other.id in mark.panels]
        if shared:
            out.append(phrase("stick.marks", marks=_names(shared), other=other.number))
    numbers = {other.id: other.number for other in up}
    for part in beside.breaks:
        for name in part.panels:
            if panel.id in part.panels and name in numbers:
                out.append(_gap(part, numbers[name], beside.texts))
    if reached := sorted(numbers[other] for name, other in beside.over if name == panel.id and other in numbers):
        out.append(phrase("stick.over", panels=panels_said(reached)))
    out += [phrase("press.place")] if beside.film.kind == "heat" else _hinge_actions(panel)
    out.append(_check(panel))
    if later:
        key = "stick.keep" if len(later) == 1 else "stick.keep_many"
        out.append(phrase(key, panels=panels_said(sorted(other.number for other in later))))
    else:
        out.append(phrase("stick.peel"))
    return out


def _sides(panel: Panel) -> tuple[tuple[str, EdgeDistance], ...]:
    return ("x", panel.from_reference.x), ("y", panel.from_reference.y)


def _edge(panel: Panel, axis: str, distance: EdgeDistance) -> str:
    """Return where a side of the trim stands: its edge, or, where a slanted edge leaves none there, its corner."""
    place = _said(distance, axis)
    if distance.edge == "middle":
        return phrase("stick.middle", place=place)
    index, end = {"left": (0, 0), "top": (1, 1), "right": (0, 2), "bottom": (1, 3)}[distance.side]
    at = panel.trim.bounds[end]
    along = [point[1 - index] for point in panel.trim.exterior.coords if abs(point[index] - at) < 1e-3]
    if max(along) - min(along) < LEAST_EDGE:
        return phrase(f"stick.corner.{distance.side}", place=place)
    return phrase("stick.edge", side=phrase(f"edge.{distance.side}"), place=place)


def _gap(part: Break, other: int, texts: Mapping[str, str | None]) -> str:
    """Return what is seen to at a join to a panel already up, before the backing comes off."""
    if part.kind == "seam":
        if part.overlap is not None:
            return phrase("stick.seam", other=other, overlap=part.overlap.shown)
        return phrase("stick.seam_butt", other=other)
    a, b = (texts.get(name) for name in part.narrowest.between) if part.narrowest is not None else (None, None)
    if a and b and (a + b).isalnum():  # a comma or dash is no name to find it by
        return phrase("stick.gap_from", other=other, gap=part.gap.shown, a=a, b=b)
    one = len({gap.gap.shown for gap in part.gaps} | {part.gap.shown}) == 1
    return phrase("stick.gap" if one else "stick.gap_at", other=other, gap=part.gap.shown)


def _hinge_actions(panel: Panel) -> list[str]:
    """Return what the hands do, by the kind of hinge."""
    if panel.hinge is None:
        return [phrase("stick.none")]
    if panel.hinge.kind == "side":
        left = panel.hinge.line[0][0] < (panel.trim.bounds[0] + panel.trim.bounds[2]) / 2
        side = phrase("edge.left" if left else "edge.right")
        return [phrase(f"stick.side.{key}", side=side) for key in ("tape", "free", "peel", "rub", "off")]
    if panel.hinge.kind == "top":
        return [phrase(f"stick.top.{key}") for key in ("tape", "free", "peel", "rub", "off")]
    (x0, _), (x1, _) = panel.hinge.line
    first, second = ("left", "right") if abs(x0 - x1) < 1e-6 else ("upper", "lower")
    halves = {"half": phrase(f"half.{first}"), "other": phrase(f"half.{second}")}
    return [
        phrase(f"stick.centre.{key}", half=halves.get(key, ""))
        for key in ("tape", "half", "cut", "rub", "other", "last")
    ]


def _check(panel: Panel) -> str:
    at = panel.check.from_reference
    axis = "y" if at.edge in ("top", "bottom") or at.side in ("top", "bottom") else "x"
    if at.edge == "middle":
        axis = panel.level.axis if panel.level is not None else "y"
    return phrase("stick.check", what=panel.check.what, place=_said(at, axis), tolerance=panel.check.tolerance.shown)
