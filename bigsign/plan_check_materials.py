"""The independent check of the materials: enough of each, and no more than rounding up asks for.

The figures stand here once more, apart from the data that the plan is made with (docs/reference.md).
"""

from __future__ import annotations

from collections.abc import Iterator

from bigsign.plan_needs import TapeNeed
from bigsign.plan_records import Plan

__all__ = ["check_materials"]

INCH = 25.4
SOLD = (6, 12, 18, 24, 48)  # inches
SLACK = 1e-3


def check_materials(plan: Plan) -> Iterator[str]:
    """Yield everything that is wrong with what the plan says it takes."""
    yield from _check_films(plan)
    tapes = {tape.kind: tape for tape in plan.materials.tapes}
    if plan.project.film.kind == "heat":
        return
    if sorted(tapes) != ["masking tape", "transfer tape"] or len(plan.materials.tapes) != 2:
        yield f"the tapes are {[tape.kind for tape in plan.materials.tapes]}"
        return
    yield from _check_transfer(plan, tapes["transfer tape"])
    yield from _check_masking(plan, tapes["masking tape"])


def _check_films(plan: Plan) -> Iterator[str]:
    said = [film.colour for film in plan.materials.films]
    if sorted(said) != sorted({mat.colour for mat in plan.mats}):
        yield f"film is wanted of {said}, the mats are of {sorted({mat.colour for mat in plan.mats})}"
        return
    for film in plan.materials.films:
        loads = sorted((mat.load.width.tape, mat.load.height.tape) for mat in plan.mats if mat.colour == film.colour)
        sheets = [sheet for sheet in film.sheets for _ in range(sheet.count)]
        if sorted((sheet.size.width.tape, sheet.size.height.tape) for sheet in sheets) != loads:
            yield f"the sheets of {film.colour} are not those of its mats"
        laid = sum(panel.film.area for panel in plan.panels if panel.colour == film.colour)
        if abs(laid - film.film_area) > 1e-6 * max(1.0, laid):
            yield f"{film.film_area:.1f} mm² of {film.colour} is said, the panels hold {laid:.1f}"


def _check_transfer(plan: Plan, tape: TapeNeed) -> Iterator[str]:
    if tape.width is None:
        yield "the transfer tape has no width"
        return
    width = tape.width.mm + tape.width.error_mm
    inches = min(SOLD, key=lambda sold: abs(sold * INCH - width))
    if abs(inches * INCH - width) > plan.tape_step.mm / 2 + SLACK:
        yield f"transfer tape is not sold {tape.width.tape} wide"
        return
    spans = []
    need = 0.0
    for panel in plan.panels:
        x0, y0, x1, y1 = panel.trim.bounds
        short, long = min(x1 - x0, y1 - y0), max(x1 - x0, y1 - y0)
        strips = 1
        while strips * inches * INCH < short - 1e-6:
            strips += 1
        spans.append(short)
        need += strips * (long + 2 * INCH)
    if inches != SOLD[-1] and max(spans) > inches * INCH + SLACK:
        yield f"transfer tape {tape.width.tape} wide does not span a panel of {max(spans):.1f} mm"
        return
    narrower = [sold for sold in SOLD if sold < inches]
    if narrower and max(spans) <= narrower[-1] * INCH - SLACK:
        yield f"transfer tape of {narrower[-1]} in would do, the plan says {tape.width.tape}"
    yield from _check_length(plan, tape, need)


def _check_masking(plan: Plan, tape: TapeNeed) -> Iterator[str]:
    need = 4 * INCH * (len(plan.tape_marks) + 4 * len(plan.panels))
    if plan.project.site.surface == "painted" and plan.project.site.fresh_paint is not False:
        need += 4 * INCH * len(plan.marks)
    for panel in plan.panels:
        if panel.hinge is not None:
            (x0, y0), (x1, y1) = panel.hinge.line
            need += ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 + 2 * INCH
    yield from _check_length(plan, tape, need)


def _check_length(plan: Plan, tape: TapeNeed, need: float) -> Iterator[str]:
    said = tape.length.mm + tape.length.error_mm
    most = INCH if plan.tape_step.unit == "in" else 10.0
    if abs(tape.length.mm - need) > SLACK or not need - SLACK <= said < need + most + SLACK:
        yield f"{tape.kind}: {need:.1f} mm is used, the plan says {tape.length.tape}"
