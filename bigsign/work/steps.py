"""The steps of the work: prepare and measure, strike lines, mark, hang all dry, check, stick one by one, finish."""

from __future__ import annotations

from collections.abc import Sequence

from bigsign.plan_records import Break, EdgeDistance, MatSheet, Panel, SignFrame, Step, TapeMark
from bigsign.presets.cautions import cautions_for
from bigsign.project import Film
from bigsign.wording import phrase

__all__ = ["make_steps"]


def make_steps(
    panels: Sequence[Panel],
    breaks: Sequence[Break],
    sign: SignFrame,
    tape_marks: Sequence[TapeMark],
    mats: Sequence[MatSheet],
    film: Film,
) -> tuple[Step, ...]:
    """Return the steps, numbered from 1; ``panels`` come in the order of work, each is stuck exactly once."""
    texts = {
        caution.kind: f"{caution.signal}: {caution.text}" for caution in cautions_for(sign.width.mm, sign.height.mm)
    }
    made: list[tuple[str, str | None, list[str], str | None]] = [
        ("prepare", None, _prepare(sign), texts.get("solvent")),
        ("strike", None, _strike(panels), texts.get("ladder")),
        ("mark", None, [_marks(tape_marks), phrase("mark.pencil")], texts.get("film")),
        ("hang", None, [phrase("hang.all"), phrase("hang.tape")], texts.get("blade")),
        ("check", None, [phrase("check.back"), phrase("check.once")], None),
    ]
    stuck: set[str] = set()
    waiting: list[Panel] = []
    for panel in panels:
        stuck.add(panel.id)
        later = _butting_later(panel, panels, breaks, stuck)
        made.append(("stick", panel.id, _stick(panel, panels, breaks, later), None))
        if later:
            waiting.append(panel)
    if waiting:
        names = ", ".join(str(panel.number) for panel in waiting)
        made.append(("peel", None, [phrase("peel.rest", panels=names)], None))
    made.append(("finish", None, [phrase("finish.marks"), phrase("finish.rub"), phrase("finish.wait")], None))
    return tuple(
        Step(n, kind, panel, tuple(actions), caution) for n, (kind, panel, actions, caution) in enumerate(made, 1)
    )


def _prepare(sign: SignFrame) -> list[str]:
    return [
        phrase("prepare.clean"),
        phrase("prepare.warm"),
        phrase("prepare.width", width=sign.width.shown),
        phrase("prepare.height", height=sign.height.shown),
        phrase("prepare.diagonal", diagonal=sign.diagonal.shown),
        phrase("prepare.differs", x=sign.reference[0], y=sign.reference[1]),
    ]


def _strike(panels: Sequence[Panel]) -> list[str]:
    """Return one line to strike for each level, with the panels that stand on it."""
    lines: dict[tuple[str, str, str], list[int]] = {}
    for panel in panels:
        if panel.level is not None:
            at = panel.level.from_reference
            lines.setdefault((panel.level.axis, at.length.shown, at.edge), []).append(panel.number)
    out = [
        phrase(
            "strike.line" if axis == "y" else "strike.plumb",
            length=length, edge=edge, panels=", ".join(str(n) for n in sorted(numbers)),
        )
        for (axis, length, edge), numbers in lines.items()
    ]  # fmt: skip
    return [*out, phrase("strike.check")]


def _marks(marks: Sequence[TapeMark]) -> str:
    names = marks[0].id if len(marks) == 1 else f"{marks[0].id} to {marks[-1].id}"
    return phrase("mark.tape", marks=names)


def _butting_later(panel: Panel, panels: Sequence[Panel], breaks: Sequence[Break], stuck: set[str]) -> list[Panel]:
    by_id = {other.id: other for other in panels}
    return [
        by_id[other]
        for part in breaks
        if part.butts and panel.id in part.panels
        for other in part.panels
        if other not in stuck
    ]


def _stick(panel: Panel, panels: Sequence[Panel], breaks: Sequence[Break], later: Sequence[Panel]) -> list[str]:
    x, y = panel.from_reference.x, panel.from_reference.y
    if "middle" in (x.edge, y.edge):
        place = phrase("stick.place_middle", n=panel.number)
    else:
        place = phrase(
            "stick.place", n=panel.number, x=x.length.shown, x_edge=x.edge, x_side=x.side,
            y=y.length.shown, y_edge=y.edge, y_side=y.side,
        )  # fmt: skip
    out = [place, *_hinge_actions(panel)]
    out.append(_check(panel))
    up = {other.id: other for other in panels if other.number < panel.number}
    for part in breaks:
        if panel.id in part.panels:
            other = next(name for name in part.panels if name != panel.id)
            if other in up:
                out.append(phrase("stick.gap", other=up[other].number, gap=part.gap.shown))
    if later:
        out.append(phrase("stick.keep", others=", ".join(str(other.number) for other in later)))
    else:
        out.append(phrase("stick.peel"))
    return out


def _hinge_actions(panel: Panel) -> list[str]:
    if panel.hinge is None:
        return [phrase("stick.none")]
    if panel.hinge.kind == "side":
        left = panel.hinge.line[0][0] < (panel.trim.bounds[0] + panel.trim.bounds[2]) / 2
        side = "left" if left else "right"
        return [phrase(f"stick.side.{key}", side=side) for key in ("tape", "peel", "rub")]
    keys = ("tape", "peel", "rub") if panel.hinge.kind == "top" else ("tape", "half", "rub", "other")
    return [phrase(f"stick.{panel.hinge.kind}.{key}") for key in keys]


def _check(panel: Panel) -> str:
    at: EdgeDistance = panel.check.from_reference
    return phrase(
        "stick.check",
        what=panel.check.what,
        length=at.length.shown,
        edge=at.edge,
        tolerance=panel.check.tolerance.shown,
    )
