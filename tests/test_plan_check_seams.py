"""The checker of seams: an overlap is as deep as the strokes at the seam allow."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from shapely.geometry import MultiPolygon, Polygon, box

from bigsign import check_plan
from bigsign.plan import plan_lettering
from bigsign.plan_records import Break, Plan
from tests.box_lettering import letters_from
from tests.planning import project_of


@cache
def parted(slant: float, wide: float) -> Plan:
    """A stroke too tall for the mat that slants by so many mm over its height of 300."""
    stroke = Polygon([(50, 20), (50 + wide, 20), (50 + wide + slant, 320), (50 + slant, 320)])
    return plan_lettering(project_of(400, 400, usable=(200.0, 200.0)), *letters_from([], [stroke]))


def seam(plan: Plan) -> tuple[Break, float]:
    """Return a seam, and how much of the full strip along it its films share."""
    part = next(part for part in plan.breaks if part.kind == "seam")
    first, second = (plan.panel(name).film for name in part.panels)
    return part, float(first.intersection(second).area) / (part.seam_length * part.overlap_mm)


def test_thin_strokes_that_slant_overlap_by_what_lies_beyond_the_seam() -> None:
    plain, thin = parted(0.0, 20.0), parted(150.0, 0.5)
    assert check_plan(plain) == check_plan(thin) == []
    assert seam(plain)[1] > 0.9
    assert seam(thin)[1] < 0.1


def test_an_overlap_cut_short_is_noticed() -> None:
    plan = parted(0.0, 20.0)
    part, _ = seam(plan)
    assert part.upper is not None
    at = part.line[0][1]
    upper = plan.panel(part.upper)

    def cut(shape: Polygon) -> Polygon:
        left = shape - box(0, at + 0.3 * part.overlap_mm, 400, 400)
        assert isinstance(left, Polygon)
        return left

    short = replace(upper, film=MultiPolygon([cut(one) for one in upper.film.geoms]))
    fragments = tuple(
        (name, piece, cut(shape) if name in upper.fragments else shape) for name, piece, shape in plan.fragments
    )
    panels = tuple(short if panel.id == upper.id else panel for panel in plan.panels)
    faults = check_plan(replace(plan, panels=panels, fragments=fragments))
    assert any("mm of seam, the films overlap by" in fault for fault in faults)
