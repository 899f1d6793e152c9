"""The records of a plan as plan.json has them.

Numbers are mm rounded to a millionth; paths carry five decimals.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from bigsign.output.paths import line_data, path_data
from bigsign.plan_needs import Materials, SiteFrame
from bigsign.plan_records import (
    Break,
    EdgeDistance,
    FromReference,
    Hinge,
    Level,
    MatSheet,
    NextBest,
    Panel,
    RegisterMark,
    SignFrame,
    Size,
    SlipJoin,
)
from bigsign.splitting.certificate import CLASSES, Certificate, CertTree
from bigsign.units import TapeLength

__all__ = [
    "Json",
    "break_record",
    "certificate_record",
    "length_record",
    "mat_record",
    "material_records",
    "mm",
    "mms",
    "panel_record",
    "place_record",
    "points_of",
    "register_mark_record",
    "sign_record",
    "site_record",
    "slip_record",
    "strings",
]

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"


def mm(value: float) -> float | int:
    """Round to a millionth of a millimetre; whole numbers of things stay whole; no minus nought."""
    return value if isinstance(value, int) else round(value, 6) + 0.0


def mms(values: Iterable[float]) -> list[Json]:
    """Return numbers as :func:`mm` does."""
    return [mm(value) for value in values]


def points_of(points: Iterable[Sequence[float]]) -> list[Json]:
    """Return points."""
    return [mms(point) for point in points]


def strings(values: Iterable[str]) -> list[Json]:
    """Return texts."""
    return list(values)


def length_record(length: TapeLength) -> dict[str, Json]:
    """Return a length for people."""
    return {"mm": mm(length.mm), "tape": length.tape, "error_mm": mm(length.error_mm)}


def edge_record(distance: EdgeDistance) -> dict[str, Json]:
    """Return a distance from an edge."""
    return {"edge": distance.edge, "side": distance.side, "length": length_record(distance.length)}


def place_record(place: FromReference) -> dict[str, Json]:
    """Return the distances from both reference edges."""
    return {"x": edge_record(place.x), "y": edge_record(place.y)}


def size_record(size: Size) -> dict[str, Json]:
    """Return a width and a height."""
    return {"width": length_record(size.width), "height": length_record(size.height)}


def sign_record(sign: SignFrame) -> dict[str, Json]:
    """Return the board."""
    return {
        "name": sign.name,
        "revision": sign.revision,
        "width": length_record(sign.width),
        "height": length_record(sign.height),
        "diagonal": length_record(sign.diagonal),
        "outline": path_data(sign.outline),
        "margin_mm": mm(sign.margin_mm),
        "reference": strings(sign.reference),
    }


def site_record(site: SiteFrame) -> dict[str, Json]:
    """Return what the sign goes on and where."""
    return {
        "surface": site.surface,
        "old_paint": site.old_paint,
        "fresh_paint": site.fresh_paint,
        "solvent": site.solvent,
        "foot": None if site.foot is None else length_record(site.foot),
        "hung": site.hung,
        "street": site.street,
        "covered_percent": site.covered_percent,
        "dark_percent": site.dark_percent,
    }


def material_records(materials: Materials) -> list[Json]:
    """Return what the work takes."""
    films: list[Json] = [
        {
            "kind": "film",
            "colour": film.colour,
            "colour_name": film.colour_name,
            "sheets": [{"count": sheet.count, **size_record(sheet.size)} for sheet in film.sheets],
            "film_area": mm(film.film_area),
        }
        for film in materials.films
    ]
    tapes: list[Json] = []
    for tape in materials.tapes:
        width: dict[str, Json] = {} if tape.width is None else {"width": length_record(tape.width)}
        tapes.append({"kind": tape.kind, **width, "length": length_record(tape.length)})
    return [*films, *tapes]


def hinge_record(hinge: Hinge | None) -> Json:
    """Return a hinge."""
    if hinge is None:
        return None
    return {
        "kind": hinge.kind,
        "line": points_of(hinge.line),
        "crosses_film_mm": mm(hinge.crosses_film_mm),
        "from_reference": place_record(hinge.from_reference),
        "why": hinge.why,
    }


def level_record(level: Level | None) -> Json:
    """Return a level line."""
    if level is None:
        return None
    return {
        level.axis: mm(level.at),
        "from_reference": edge_record(level.from_reference),
        "points": points_of(level.points),
        "flat": level.flat,
        "overshoot_mm": mm(level.overshoot_mm),
    }


def panel_record(panel: Panel) -> dict[str, Json]:
    """Return a panel."""
    return {
        "id": panel.id,
        "number": panel.number,
        "colour": panel.colour,
        "fragments": strings(panel.fragments),
        "nodes": strings(panel.nodes),
        "text": panel.text,
        "bounds": mms(panel.bounds),
        "size": size_record(panel.size),
        "trim": path_data(panel.trim),
        "trim_size": size_record(panel.trim_size),
        "from_reference": place_record(panel.from_reference),
        "hinge": hinge_record(panel.hinge),
        "level": level_record(panel.level),
        "trim_lines": [data for line in panel.trim_lines if (data := line_data(line))],
        "unlined": strings(panel.unlined),
        "check": {
            "what": panel.check.what,
            "from_reference": edge_record(panel.check.from_reference),
            "tolerance": length_record(panel.check.tolerance),
        },
        "neighbours": [{"panel": n.panel, "break": n.break_id} for n in panel.neighbours],
        "mat": panel.mat,
        "to_mat": mms(panel.to_mat),
        "step": panel.step,
        "marks": strings(panel.marks),
    }


def break_record(brk: Break) -> dict[str, Json]:
    """Return a break."""
    return {
        "id": brk.id,
        "panels": strings(brk.panels),
        "kind": brk.kind,
        "line": points_of(brk.line),
        "ends": [{"at": mms(end.at), "from_reference": place_record(end.from_reference)} for end in brk.ends],
        "butts": brk.butts,
        "way": brk.way,
        "clearance_mm": mm(brk.clearance_mm),
        "gap": length_record(brk.gap),
        "narrowest": None
        if brk.narrowest is None
        else {"ends": points_of(brk.narrowest.ends), "between": list(brk.narrowest.between)},
        "gaps": [
            {
                "along": at.along, "at_mm": mm(at.at_mm), "gap": length_record(at.gap), "where": at.where,
                "between": list(at.between),
            }
            for at in brk.gaps
        ],
        "seam_length": mm(brk.seam_length),
        "overlap_mm": mm(brk.overlap_mm),
        "overlap": None if brk.overlap is None else length_record(brk.overlap),
        "upper": brk.upper,
        "why": brk.why,
        "next_best": None if brk.next_best is None else next_best_record(brk.next_best),
    }


def next_best_record(other: NextBest) -> dict[str, Json]:
    """Return what the next best place would have cost."""
    return {
        "in_word_breaks": other.in_word_breaks,
        "panels": other.panels,
        "risk": mm(other.risk),
        "largest_panel_area": mm(other.largest_panel_area),
        "words": other.words,
    }


def mat_record(mat: MatSheet) -> dict[str, Json]:
    """Return a mat."""
    return {
        "id": mat.id,
        "cutter": mat.cutter,
        "mat": mat.mat,
        "colour": mat.colour,
        "colour_name": mat.colour_name,
        "width": mm(mat.width),
        "length": mm(mat.length),
        "border_mm": mm(mat.border_mm),
        "usable": size_record(mat.usable),
        "load": size_record(mat.load),
        "used_length": mm(mat.used_length),
        "mirrored": mat.mirrored,
        "file": mat.file,
        "panels": strings(mat.panels),
    }


def register_mark_record(mark: RegisterMark) -> dict[str, Json]:
    """Return a register mark."""
    return {
        "id": mark.id,
        "shape": mark.shape,
        "at": mms(mark.at),
        "path": path_data(mark.path),
        "panels": strings(mark.panels),
        "break": mark.break_id,
        "from_reference": place_record(mark.from_reference),
    }


def slip_record(join: SlipJoin) -> dict[str, Json]:
    """Return a join's slip by one way of working."""
    return {
        "break": join.break_id,
        "method": join.method,
        "worst": length_record(join.worst),
        "rss": length_record(join.rss),
        "place_worst": length_record(join.place_worst),
        "place_rss": length_record(join.place_rss),
        "shows": join.shows,
        "advice": join.advice,
    }


def certificate_record(certificate: Certificate) -> dict[str, Json]:
    """Return what speaks for a parting."""

    def side(tree: CertTree) -> Json:
        return [part if isinstance(part, str) else side(part) for part in tree]

    return {
        "class": CLASSES[certificate.cuts],
        "tree": side(certificate.tree),
        "cost": {key: mm(value) for key, value in certificate.cost.items()},
        "bound": {key: None if value is None else mm(value) for key, value in certificate.bound.items()},
        "dropped": strings(certificate.dropped),
        "apart": [strings(held) for held in certificate.apart],
    }
