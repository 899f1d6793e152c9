"""plan.json: every number of the plan, in the shape that docs/plan.schema.json describes.

Numbers are mm rounded to a millionth; paths carry five decimals. Keys come in one order, so that the same plan
gives the same bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

from bigsign.artwork.pieces import Piece
from bigsign.findings import Finding
from bigsign.output.paths import path_data
from bigsign.output.plan_json_records import (
    Json,
    break_record,
    certificate_record,
    length_record,
    mat_record,
    material_records,
    mm,
    mms,
    panel_record,
    place_record,
    points_of,
    register_mark_record,
    sign_record,
    site_record,
    slip_record,
    strings,
)
from bigsign.plan_records import Plan
from bigsign.reading.lettering import Glyph, Line, Word
from bigsign.units import to_tape

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


def alternatives_to_list(alternatives: Sequence[Alternative], folders: Sequence[str | None]) -> list[Json]:
    """Return the plans to choose from, the one asked for first, with where their own files are."""
    return [
        {
            "senses": strings(one.senses),
            "setting": one.setting,
            "folder": folder,
            "measures": {key: mm(value) for key, value in asdict(one.plan.measures).items()},
            "mats": len(one.plan.mats),
        }
        for one, folder in zip(alternatives, folders, strict=True)
    ]


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
        "pieces": strings(finding.pieces),
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
            "bounds": mms(piece.shape.bounds),
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
                "pieces": strings(glyph.pieces),
                "word": glyph.word or None,
                "line": glyph.line or None,
                "colour": glyph.colour,
                "bounds": mms(glyph.bounds),
            }
            for glyph in glyphs
        ],
        "words": [
            {"id": word.id, "text": word.text, "glyphs": strings(word.glyphs), "line": word.line} for word in words
        ],
        "lines": [
            {
                "id": line.id,
                "text": line.text,
                "words": strings(line.words),
                "baseline": points_of(line.foot_points()),
                "angle": mm(line.angle),
                "cap_height_mm": mm(line.cap_height),
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
        "measures": {key: mm(value) for key, value in measures.items()},
        "search": [
            {
                "colour": report.colour,
                "layer": report.layer,
                "policy": report.policy,
                "turning": report.turning,
                "method": report.method,
                "proved": report.proved,
                "states": report.states,
                "bound": {key: None if (value := report.bound.get(key)) is None else mm(value) for key in measures},
                "certificate": certificate_record(report.certificate),
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
    digests: Mapping[str, str] | None = None,
) -> dict[str, Json]:
    """Return a plan as plan.json has it.

    Parameters
    ----------
    plan : the plan.
    files : names of all files of the folder, plan.json itself among them.
    guide : {"paper", "pages"} as the sheets say where their drawings stand; left out if None.
    template : the same of the full-size template.
    alternatives : from :func:`alternatives_to_list`.
    digests : SHA-256 of the other files, by which one that was changed by hand is known; left out if None.
    """
    from bigsign import __version__

    out: dict[str, Json] = {
        "format": FORMAT,
        "version": FORMAT_VERSION,
        "units": "mm",
        "bigsign_version": __version__,
        "project": {"name": plan.project.name, "sha256": plan.project.sha256},
        "files": strings(files),
        **({} if digests is None else {"digests": dict(digests)}),
        "sign": sign_record(plan.sign),
        "site": site_record(plan.site),
        **_parting(plan),
        "pieces": pieces_to_list(plan.pieces, plan.glyphs),
        "fragments": [{"id": name, "piece": piece, "path": path_data(shape)} for name, piece, shape in plan.fragments],
        **reading_to_dict(plan.glyphs, plan.words, plan.lines),
        "edges": [
            {"a": edge.a, "b": edge.b, "kind": edge.kind, "gap_mm": mm(edge.gap_mm), "parted": edge.parted}
            for edge in plan.edges
        ],
        "cuts": [
            {
                "id": cut.id,
                "colour": cut.colour,
                "line": points_of(cut.line),
                "left": cut.left,
                "right": cut.right,
                "way": cut.way,
            }
            for cut in plan.cuts
        ],
        "panels": [panel_record(panel) for panel in plan.panels],
        "tape_marks": [
            {"id": mark.id, "at": mms(mark.at), "from_reference": place_record(mark.from_reference)}
            for mark in plan.tape_marks
        ],
        "breaks": [break_record(brk) for brk in plan.breaks],
        "mats": [mat_record(mat) for mat in plan.mats],
        "steps": [
            {
                "n": step.n,
                "kind": step.kind,
                "panel": step.panel,
                "actions": strings(step.actions),
                "caution": step.caution,
            }
            for step in plan.steps
        ],
        "warnings": [finding_to_dict(finding) for finding in plan.warnings],
        "alternatives": list(alternatives),
        "slip_limits": {
            "offset": length_record(to_tape(plan.project.slip.offset, plan.tape_step)),
            "tilt": length_record(to_tape(plan.project.slip.tilt, plan.tape_step)),
        },
        "tape_error": {
            "over": length_record(plan.tape_error.over),
            "handbook_44": None if plan.tape_error.handbook_44 is None else length_record(plan.tape_error.handbook_44),
            "class_ii": length_record(plan.tape_error.class_ii),
        },
        "slip": [slip_record(join) for join in plan.slip],
        "marks": [register_mark_record(mark) for mark in plan.marks],
        "materials": material_records(plan.materials),
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
    digests: Mapping[str, str] | None = None,
) -> bytes:
    """Return plan.json as UTF-8; points and lengths on one line each, so that people can read it too.

    Raises
    ------
    ValueError
        If a number is not finite: a plan with one is wrong, and must not be written.
    """
    return (_dump(plan_to_dict(plan, files, guide, template, alternatives, digests), "") + "\n").encode("utf-8")
