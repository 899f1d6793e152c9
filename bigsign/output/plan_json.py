"""plan.json: every number of the plan, in the shape that docs/plan.schema.json describes.

Numbers are mm rounded to a millionth; paths carry five decimals. Keys come in one order, so that the same plan
gives the same bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, TypeAlias

from bigsign.artwork.pieces import Piece
from bigsign.findings import Finding
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
    Plan,
    RegisterMark,
    SignFrame,
    Size,
    SlipJoin,
)
from bigsign.reading.lettering import Glyph, Line, Word
from bigsign.units import TapeLength, to_tape

if TYPE_CHECKING:
    from bigsign.alternatives import Alternative

__all__ = [
    "FORMAT",
    "FORMAT_VERSION",
    "Json",
    "alternatives_to_list",
    "finding_to_dict",
    "pieces_to_list",
    "plan_json",
    "plan_to_dict",
    "reading_to_dict",
]

FORMAT = "bigsign-plan"
FORMAT_VERSION = 1

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"


def _mm(value: float) -> float | int:
    """Round to a millionth of a millimetre; whole numbers of things stay whole; no minus nought."""
    return value if isinstance(value, int) else round(value, 6) + 0.0


def _mms(values: Iterable[float]) -> list[Json]:
    return [_mm(value) for value in values]


def _points(points: Iterable[Sequence[float]]) -> list[Json]:
    return [_mms(point) for point in points]


def _strings(values: Iterable[str]) -> list[Json]:
    return list(values)


def _length(length: TapeLength) -> dict[str, Json]:
    return {"mm": _mm(length.mm), "tape": length.tape, "error_mm": _mm(length.error_mm)}


def _edge(distance: EdgeDistance) -> dict[str, Json]:
    return {"edge": distance.edge, "side": distance.side, "length": _length(distance.length)}


def _from_reference(place: FromReference) -> dict[str, Json]:
    return {"x": _edge(place.x), "y": _edge(place.y)}


def _size(size: Size) -> dict[str, Json]:
    return {"width": _length(size.width), "height": _length(size.height)}


def _sign(sign: SignFrame) -> dict[str, Json]:
    return {
        "name": sign.name,
        "revision": sign.revision,
        "width": _length(sign.width),
        "height": _length(sign.height),
        "diagonal": _length(sign.diagonal),
        "outline": path_data(sign.outline),
        "margin_mm": _mm(sign.margin_mm),
        "reference": _strings(sign.reference),
    }


def _site(site: SiteFrame) -> dict[str, Json]:
    return {
        "surface": site.surface,
        "old_paint": site.old_paint,
        "fresh_paint": site.fresh_paint,
        "solvent": site.solvent,
        "foot": None if site.foot is None else _length(site.foot),
        "hung": site.hung,
        "street": site.street,
        "covered_percent": site.covered_percent,
        "dark_percent": site.dark_percent,
    }


def _materials(materials: Materials) -> list[Json]:
    films: list[Json] = [
        {
            "kind": "film",
            "colour": film.colour,
            "colour_name": film.colour_name,
            "sheets": [{"count": sheet.count, **_size(sheet.size)} for sheet in film.sheets],
            "film_area": _mm(film.film_area),
        }
        for film in materials.films
    ]
    tapes: list[Json] = []
    for tape in materials.tapes:
        width: dict[str, Json] = {} if tape.width is None else {"width": _length(tape.width)}
        tapes.append({"kind": tape.kind, **width, "length": _length(tape.length)})
    return [*films, *tapes]


def _hinge(hinge: Hinge | None) -> Json:
    if hinge is None:
        return None
    return {
        "kind": hinge.kind,
        "line": _points(hinge.line),
        "crosses_film_mm": _mm(hinge.crosses_film_mm),
        "from_reference": _from_reference(hinge.from_reference),
        "why": hinge.why,
    }


def _level(level: Level | None) -> Json:
    if level is None:
        return None
    return {
        level.axis: _mm(level.at),
        "from_reference": _edge(level.from_reference),
        "points": _points(level.points),
        "flat": level.flat,
        "overshoot_mm": _mm(level.overshoot_mm),
    }


def _panel(panel: Panel) -> dict[str, Json]:
    return {
        "id": panel.id,
        "number": panel.number,
        "colour": panel.colour,
        "fragments": _strings(panel.fragments),
        "nodes": _strings(panel.nodes),
        "text": panel.text,
        "bounds": _mms(panel.bounds),
        "size": _size(panel.size),
        "trim": path_data(panel.trim),
        "trim_size": _size(panel.trim_size),
        "from_reference": _from_reference(panel.from_reference),
        "hinge": _hinge(panel.hinge),
        "level": _level(panel.level),
        "trim_lines": [data for line in panel.trim_lines if (data := line_data(line))],
        "unlined": _strings(panel.unlined),
        "check": {
            "what": panel.check.what,
            "from_reference": _edge(panel.check.from_reference),
            "tolerance": _length(panel.check.tolerance),
        },
        "neighbours": [{"panel": n.panel, "break": n.break_id} for n in panel.neighbours],
        "mat": panel.mat,
        "to_mat": _mms(panel.to_mat),
        "step": panel.step,
        "marks": _strings(panel.marks),
    }


def _break(brk: Break) -> dict[str, Json]:
    return {
        "id": brk.id,
        "panels": _strings(brk.panels),
        "kind": brk.kind,
        "line": _points(brk.line),
        "ends": [{"at": _mms(end.at), "from_reference": _from_reference(end.from_reference)} for end in brk.ends],
        "butts": brk.butts,
        "clearance_mm": _mm(brk.clearance_mm),
        "gap": _length(brk.gap),
        "narrowest": None
        if brk.narrowest is None
        else {"ends": _points(brk.narrowest.ends), "between": list(brk.narrowest.between)},
        "gaps": [
            {
                "along": at.along, "at_mm": _mm(at.at_mm), "gap": _length(at.gap), "where": at.where,
                "between": list(at.between),
            }
            for at in brk.gaps
        ],
        "seam_length": _mm(brk.seam_length),
        "overlap_mm": _mm(brk.overlap_mm),
        "overlap": None if brk.overlap is None else _length(brk.overlap),
        "upper": brk.upper,
        "why": brk.why,
        "next_best": None if brk.next_best is None else _next_best(brk.next_best),
    }


def _next_best(other: NextBest) -> dict[str, Json]:
    return {
        "in_word_breaks": other.in_word_breaks,
        "panels": other.panels,
        "risk": _mm(other.risk),
        "largest_panel_area": _mm(other.largest_panel_area),
        "words": other.words,
    }


def _mat(mat: MatSheet) -> dict[str, Json]:
    return {
        "id": mat.id,
        "cutter": mat.cutter,
        "mat": mat.mat,
        "colour": mat.colour,
        "colour_name": mat.colour_name,
        "width": _mm(mat.width),
        "length": _mm(mat.length),
        "border_mm": _mm(mat.border_mm),
        "usable": _size(mat.usable),
        "load": _size(mat.load),
        "used_length": _mm(mat.used_length),
        "mirrored": mat.mirrored,
        "file": mat.file,
        "panels": _strings(mat.panels),
    }


def alternatives_to_list(alternatives: Sequence[Alternative], folders: Sequence[str | None]) -> list[Json]:
    """Return the plans to choose from, the one asked for first, with where their own files are."""
    return [
        {
            "senses": _strings(one.senses),
            "setting": one.setting,
            "folder": folder,
            "measures": {key: _mm(value) for key, value in asdict(one.plan.measures).items()},
            "mats": len(one.plan.mats),
        }
        for one, folder in zip(alternatives, folders, strict=True)
    ]


def _register_mark(mark: RegisterMark) -> dict[str, Json]:
    return {
        "id": mark.id,
        "shape": mark.shape,
        "at": _mms(mark.at),
        "path": path_data(mark.path),
        "panels": _strings(mark.panels),
        "break": mark.break_id,
        "from_reference": _from_reference(mark.from_reference),
    }


def _slip(join: SlipJoin) -> dict[str, Json]:
    return {
        "break": join.break_id,
        "method": join.method,
        "worst": _length(join.worst),
        "rss": _length(join.rss),
        "place_worst": _length(join.place_worst),
        "place_rss": _length(join.place_rss),
        "shows": join.shows,
        "advice": join.advice,
    }


def finding_to_dict(finding: Finding) -> dict[str, Json]:
    """Return a warning as plan.json has it."""
    source: Json = None
    if finding.source is not None:
        source = {
            "file": finding.source.file,
            "line": finding.source.line,
            "element": finding.source.element,
        }
    return {
        "code": finding.code,
        "message": finding.message,
        "pieces": _strings(finding.pieces),
        "source": source,
        "remedy": finding.remedy,
    }


def pieces_to_list(pieces: Iterable[Piece], glyphs: Iterable[Glyph]) -> list[Json]:
    """Return pieces as plan.json has them, each with the glyphs that it holds."""
    holds: dict[str, list[Json]] = {}
    for glyph in glyphs:
        for piece_id in glyph.pieces:
            holds.setdefault(piece_id, []).append(glyph.id)
    return [
        {
            "id": piece.id,
            "colour": piece.colour,
            "glyphs": holds.get(piece.id, []),
            "path": path_data(piece.shape),
            "bounds": _mms(piece.shape.bounds),
        }
        for piece in pieces
    ]


def reading_to_dict(glyphs: Iterable[Glyph], words: Iterable[Word], lines: Iterable[Line]) -> dict[str, Json]:
    """Return what was read (glyphs, words, lines) as plan.json has it."""
    return {
        "glyphs": [
            {
                "id": glyph.id,
                "text": glyph.text,
                "pieces": _strings(glyph.pieces),
                "word": glyph.word or None,
                "line": glyph.line or None,
                "colour": glyph.colour,
                "bounds": _mms(glyph.bounds),
            }
            for glyph in glyphs
        ],
        "words": [
            {"id": word.id, "text": word.text, "glyphs": _strings(word.glyphs), "line": word.line} for word in words
        ],
        "lines": [
            {
                "id": line.id,
                "text": line.text,
                "words": _strings(line.words),
                "baseline": _points(line.foot_points()),
                "angle": _mm(line.angle),
                "cap_height_mm": _mm(line.cap_height),
                "block": line.block,
                "stacked": line.stacked,
                "rtl": line.rtl,
            }
            for line in lines
        ],
    }


def _parting(plan: Plan) -> dict[str, Json]:
    """Return measures and search, as they stand above the lettering."""
    measures = asdict(plan.measures)
    return {
        "measures": {key: _mm(value) for key, value in measures.items()},
        "search": [
            {
                "colour": report.colour,
                "layer": report.layer,
                "policy": report.policy,
                "turning": report.turning,
                "method": report.method,
                "proved": report.proved,
                "states": report.states,
                "bound": {key: None if (value := report.bound.get(key)) is None else _mm(value) for key in measures},
            }
            for report in plan.search
        ],
    }


def plan_to_dict(
    plan: Plan,
    files: Sequence[str],
    guide: Mapping[str, Json] | None = None,
    template: Mapping[str, Json] | None = None,
    alternatives: Sequence[Json] = (),
) -> dict[str, Json]:
    """Return a plan as plan.json has it.

    Parameters
    ----------
    plan : the plan.
    files : names of all files of the folder, plan.json itself among them.
    guide : {"paper", "pages"} as the sheets say where their drawings stand; left out if None.
    template : the same of the full-size template.
    alternatives : from :func:`alternatives_to_list`.
    """
    from bigsign import __version__

    out: dict[str, Json] = {
        "format": FORMAT,
        "version": FORMAT_VERSION,
        "units": "mm",
        "bigsign_version": __version__,
        "project": {"name": plan.project.name, "sha256": plan.project.sha256},
        "files": _strings(files),
        "sign": _sign(plan.sign),
        "site": _site(plan.site),
        **_parting(plan),
        "pieces": pieces_to_list(plan.pieces, plan.glyphs),
        "fragments": [{"id": name, "piece": piece, "path": path_data(shape)} for name, piece, shape in plan.fragments],
        **reading_to_dict(plan.glyphs, plan.words, plan.lines),
        "edges": [
            {"a": edge.a, "b": edge.b, "kind": edge.kind, "gap_mm": _mm(edge.gap_mm), "parted": edge.parted}
            for edge in plan.edges
        ],
        "cuts": [
            {
                "id": cut.id,
                "colour": cut.colour,
                "line": _points(cut.line),
                "left": cut.left,
                "right": cut.right,
            }
            for cut in plan.cuts
        ],
        "panels": [_panel(panel) for panel in plan.panels],
        "tape_marks": [
            {"id": mark.id, "at": _mms(mark.at), "from_reference": _from_reference(mark.from_reference)}
            for mark in plan.tape_marks
        ],
        "breaks": [_break(brk) for brk in plan.breaks],
        "mats": [_mat(mat) for mat in plan.mats],
        "steps": [
            {
                "n": step.n,
                "kind": step.kind,
                "panel": step.panel,
                "actions": _strings(step.actions),
                "caution": step.caution,
            }
            for step in plan.steps
        ],
        "warnings": [finding_to_dict(finding) for finding in plan.warnings],
        "alternatives": list(alternatives),
        "slip_limits": {
            "offset": _length(to_tape(plan.project.slip.offset, plan.tape_step)),
            "tilt": _length(to_tape(plan.project.slip.tilt, plan.tape_step)),
        },
        "tape_error": {
            "over": _length(plan.tape_error.over),
            "handbook_44": None if plan.tape_error.handbook_44 is None else _length(plan.tape_error.handbook_44),
            "class_ii": _length(plan.tape_error.class_ii),
        },
        "slip": [_slip(join) for join in plan.slip],
        "marks": [_register_mark(mark) for mark in plan.marks],
        "materials": _materials(plan.materials),
    }
    if guide is not None:
        out["guide"] = dict(guide)
    if template is not None:
        out["template"] = dict(template)
    return out


def _flat(value: Json) -> bool:
    """Whether a value is short enough in kind to stand on one line: scalars, and lists or maps of scalars."""
    if isinstance(value, dict):
        return all(not isinstance(item, list | dict) for item in value.values())
    if isinstance(value, list):
        return all(_flat(item) for item in value if isinstance(item, list)) and not any(
            isinstance(item, dict) for item in value
        )
    return True


def _dump(value: Json, indent: str) -> str:
    if _flat(value):
        return json.dumps(value, ensure_ascii=False, allow_nan=False)
    inner = indent + " "
    if isinstance(value, dict):
        body = [f"{inner}{json.dumps(key)}: {_dump(item, inner)}" for key, item in value.items()]
        return "{\n" + ",\n".join(body) + f"\n{indent}}}"
    assert isinstance(value, list)
    return "[\n" + ",\n".join(inner + _dump(item, inner) for item in value) + f"\n{indent}]"


def plan_json(
    plan: Plan,
    files: Sequence[str],
    guide: Mapping[str, Json] | None = None,
    template: Mapping[str, Json] | None = None,
    alternatives: Sequence[Json] = (),
) -> bytes:
    """Return plan.json as UTF-8; points and lengths on one line each, so that people can read it too.

    Raises
    ------
    ValueError
        If a number is not finite: a plan with one is wrong, and must not be written.
    """
    return (_dump(plan_to_dict(plan, files, guide, template, alternatives), "") + "\n").encode("utf-8")
