"""The independent checker of a nesting: shapes themselves, all pairs, none of the packers' boxes or code."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import combinations

from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon, box

from bigsign.nesting.records import Affine, Nesting, NestItem
from bigsign.project import Cutter
from bigsign.tolerances import TOLERANCES

__all__ = ["check_nesting"]

#: Coordinates in plan.json are rounded to a millionth; a distance between two of them may be off by a few.
ROUNDING = 1e-5

#: A shared area smaller than this (mm²) is two sides that touch.
AREA = 1e-3


def check_nesting(
    items: Sequence[NestItem],
    nesting: Nesting,
    cutter: Cutter,
    *,
    turning: str = "quarter",
    spacing: float = 3.0,
    mirrored: bool = False,
    trim_apart: float = TOLERANCES.trim_apart,
) -> list[str]:
    """Return what is wrong with a nesting, one sentence a fault; empty if nothing is.

    Parameters are those of :func:`bigsign.nesting.nest`. Checked: every item once; one colour a mat; maps
    that only move, turn by quarters as allowed and mirror as asked; film on the usable area within 0.001 mm;
    trim on the sheet; every pair of films and of trims on a mat; the used length.
    """
    faults: list[str] = []
    by_id = {item.id: item for item in items}
    laid = Counter(panel for mat in nesting.mats for panel in mat.panels)
    for item in items:
        if laid[item.id] != 1:
            faults.append(f"{item.id} is on {laid[item.id]} mats")
    faults.extend(f"{name} is on a mat but is no item" for name in laid if name not in by_id)
    usable = box(0, 0, cutter.width, cutter.length).buffer(TOLERANCES.fit, join_style="mitre")
    grown = cutter.border + TOLERANCES.fit
    sheet = box(-grown, -grown, cutter.width + grown, cutter.length + grown)
    for number, mat in enumerate(nesting.mats, 1):
        where = f"mat {number}"
        if not mat.panels:
            faults.append(f"{where} is empty")
        films: dict[str, MultiPolygon] = {}
        trims: dict[str, Polygon] = {}
        for name in mat.panels:
            if name not in by_id or name not in nesting.to_mat:
                faults.append(f"{where}: {name} has no place")
                continue
            item, affine = by_id[name], nesting.to_mat[name]
            if item.colour != mat.colour:
                faults.append(f"{where} is {mat.colour}, {name} is {item.colour}")
            faults.extend(f"{where}: {name} {what}" for what in _bad_map(affine, turning, mirrored))
            films[name] = affinity.affine_transform(item.film, _shapely_order(affine))
            trims[name] = affinity.affine_transform(item.trim, _shapely_order(affine))
            if not usable.covers(films[name]):
                faults.append(f"{where}: film of {name} leaves the usable area")
            if not sheet.covers(trims[name]):
                faults.append(f"{where}: trim of {name} leaves the sheet")
        for a, b in combinations(films, 2):
            if _too_close(films[a], films[b], spacing):
                faults.append(f"{where}: films of {a} and {b} are closer than {spacing} mm")
            if _too_close(trims[a], trims[b], trim_apart):
                faults.append(f"{where}: trims of {a} and {b} overlap or are closer than {trim_apart} mm")
        feet = [shape.bounds[3] for shape in (*films.values(), *trims.values())]
        lowest = min(max(0.0, *feet), cutter.length) if feet else 0.0
        if abs(lowest - mat.used_length) > ROUNDING:
            faults.append(f"{where} is used to {lowest:.3f} mm, not {mat.used_length:.3f} mm")
    return faults


def _shapely_order(affine: Affine) -> list[float]:
    a, b, c, d, e, f = affine
    return [a, c, b, d, e, f]


def _bad_map(affine: Affine, turning: str, mirrored: bool) -> list[str]:
    a, b, c, d, _, _ = affine
    if sorted(abs(v) for v in (a, b, c, d)) != [0, 0, 1, 1] or a * b or c * d or abs(a * d - b * c) != 1:
        return ["is stretched or turned by something else than quarters"]
    found = []
    if (a * d - b * c < 0) != mirrored:
        found.append("is mirrored" if not mirrored else "is not mirrored")
    if turning == "none" and (b or d != 1):
        found.append("is turned, which the film does not allow")
    return found


def _too_close(one: Polygon | MultiPolygon, other: Polygon | MultiPolygon, least: float) -> bool:
    if one.intersection(other).area > AREA:
        return True
    return bool(one.distance(other) < least - ROUNDING)
