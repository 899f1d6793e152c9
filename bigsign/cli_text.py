"""What the commands print: plain sentences and tables from the records of the library."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from fractions import Fraction
from pathlib import Path

from bigsign.alternatives import Alternative
from bigsign.cli_terminal import plain
from bigsign.findings import Finding
from bigsign.fit import CutterFit, FitReport
from bigsign.fit_design import tape_below
from bigsign.output.plan_json import Json
from bigsign.plan_records import Plan
from bigsign.presets import CutterPreset
from bigsign.project_check import ProjectCheck
from bigsign.splitting.tree import Measures
from bigsign.units import TapeLength, TapeStep, to_tape

__all__ = ["check_text", "count", "cutters_text", "fit_head", "fit_json", "fit_row", "fit_tail", "plan_text", "step_of"]


MOST_OF_A_CODE = 6  # warnings of one code that are printed; a flag of a hundred panels has hundreds


def step_of(units: str) -> TapeStep:
    """Return how lengths are read in the terminal: sixteenths of an inch, or whole millimetres."""
    return TapeStep("mm", Fraction(1)) if units == "mm" else TapeStep()


def count(number: int, one: str, many: str = "") -> str:
    """Return "1 panel", "2 panels", "no panels"."""
    return f"{number or 'no'} {one if number == 1 else many or one + 's'}"


def _tape(mm: float, step: TapeStep) -> str:
    return to_tape(mm, step).tape


def _size(width: float, height: float, step: TapeStep) -> str:
    return f"{_tape(width, step)} × {_tape(height, step)}"


def _findings(findings: Sequence[Finding], named: str, all_in: str) -> list[str]:
    """Return the findings in words under a head, the first few of a code; ``all_in`` says where the others are."""
    out = ["", f"{count(len(findings), named).capitalize()}:"]
    told: Counter[str] = Counter()
    for finding in findings:
        told[finding.code] += 1
        if told[finding.code] > MOST_OF_A_CODE:
            continue
        source = finding.source
        place = ""
        if source is not None:
            parts = [source.file, f"line {source.line}" if source.line else "", source.element or ""]
            place = f" ({' '.join(part for part in parts if part)})"
        out.append(f"  {finding.code}: {plain(finding.message + place)}")
        if finding.remedy:
            out.append(f"      {plain(finding.remedy)}")
    more = ((code, number - MOST_OF_A_CODE) for code, number in told.items())
    return out + [f"  {code}: {number} more of them, {all_in}" for code, number in more if number > 0]


def plan_text(plan: Plan, folder: Path, files: Sequence[str], units: str) -> list[str]:
    """Return the summary that `bigsign plan` ends with."""
    step = step_of(units)
    measures = plan.measures
    size = _size(plan.sign.width.mm, plan.sign.height.mm, step)
    out = [
        f"{plain(plan.sign.name)}, {size}: {count(len(plan.panels), 'panel')} on {count(len(plan.mats), 'mat')}, "
        f"{count(measures.in_word_breaks, 'break inside a word', 'breaks inside words')}."
    ]
    colours = len(plan.search)
    if len(plan.panels) == colours:
        out.append("Nothing has to be parted." if colours == 1 else "One panel a colour: nothing has to be parted.")
    elif all(report.proved for report in plan.search):
        classes = list(dict.fromkeys(report.certificate.words for report in plan.search))
        out.append(f"Parting: proved the best there is over {'; and over '.join(classes)}.")
    else:
        out.append("Parting: the best found, not proved the best there is.")
    if plan.warnings:
        from bigsign.sheets.said import by_panels  # here: a run that plans nothing needs no sheets

        warnings = [replace(finding, message=by_panels(plan, finding.message)) for finding in plan.warnings]
        out += _findings(warnings, "warning", "all in plan.json")
    mats = [name for name in files if name.startswith("mats/")]
    out += ["", f"In {plain(str(folder))}:"]
    named = [
        ("guide.pdf", "open this first: how to put it up, page by page"),
        ("template.pdf", "the whole sign at full size, to join from sheets"),
        ("preview.png", "how it is parted, at a glance"),
        ("plan.json", "every number, for other programs"),
    ]
    rows = [(name, what) for name, what in named if name in files]
    if mats:
        cut = mats[0] if len(mats) == 1 else f"{mats[0]} and {len(mats) - 1} more"
        rows.insert(min(1, len(rows)), (cut, "cut these at their real size"))
    wide = max((len(name) for name, _ in rows), default=0)
    return out + [f"  {name.ljust(wide)}  {what}" for name, what in rows]


def alternatives_text(alternatives: Sequence[Alternative], units: str) -> list[str]:
    """Return the plans to choose from side by side; nothing where none were asked for."""
    if not alternatives:
        return []
    step = step_of(units)
    said = {
        "asked": "as asked", "words": "fewest broken words", "panels": "fewest panels", "mats": "fewest mats",
        "gaps": "widest gaps", "even": "smallest panels",
    }  # fmt: skip
    rows = [("", "seam", "broken words", "panels", "mats", "risk", "largest panel", "setting")]
    for one in alternatives:
        m = one.plan.measures
        largest = max(one.plan.panels, key=lambda p: (p.bounds[2] - p.bounds[0]) * (p.bounds[3] - p.bounds[1]))
        x0, y0, x1, y1 = largest.bounds
        rows.append(
            (
                ", ".join(said[sense] for sense in one.senses), to_tape(m.seam_length, step).tape,
                str(m.in_word_breaks), str(m.panels), str(len(one.plan.mats)), f"{m.risk:.2f}",
                _size(x1 - x0, y1 - y0, step), one.setting,
            )
        )  # fmt: skip
    if len(rows) == 2:
        return ["", "No other plan is better in any sense."]
    wide = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    table = ["  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in rows]
    return ["", "Plans to choose from (previews in alternatives/):", *(f"  {line}" for line in table)]


def check_text(check: ProjectCheck, units: str) -> list[str]:
    """Return what `bigsign check` prints: lines, words and glyphs with their ids, then findings."""
    step = step_of(units)
    lettering, board = check.lettering, check.project.board
    glyphs = {glyph.id: glyph for glyph in lettering.glyphs}
    words = {word.id: word for word in lettering.words}
    lines, ornaments = len(lettering.lines), len(lettering.ornaments)
    out = [
        f"{plain(check.project.name)}, {_size(board.width, board.height, step)}: {count(lines, 'line')}, "
        f"{count(len(words), 'word')}, {count(len(glyphs), 'glyph')}, {count(ornaments, 'ornament')}."
    ]
    for line in lettering.lines:
        turned = f", turned {line.angle:g}°" if abs(line.angle) > 0.05 else ""
        turned = ", on an arc" if line.arc is not None else turned
        stacked = ", stacked" if line.stacked else ""
        height = f"capitals {_tape(line.cap_height, step)}"
        out += ["", f"{line.id}  {_quoted(line.text)}  {height}{turned}{stacked}"]
        for name in line.words:
            word = words[name]
            out.append(f"  {word.id}  {_quoted(word.text)}")
            out.append("    " + "  ".join(_glyph(g, glyphs[g].text) for g in word.glyphs))
    if lettering.ornaments:
        out += ["", "ornaments", "  " + "  ".join(lettering.ornaments)]
    if check.findings:
        out += _findings(check.findings, "finding", "all with --json")
    else:
        out += ["", "Nothing stands in the way of a plan."]
    return out


def _quoted(text: str | None) -> str:
    return f'"{plain(text)}"' if text is not None else "(read from outlines)"


def _glyph(name: str, text: str | None) -> str:
    return f"{name} {plain(text)}" if text else name


def cutters_text(presets: Sequence[CutterPreset], units: str) -> list[str]:
    """Return the table of cutters and mats with their usable areas."""
    step = TapeStep("mm", Fraction(1, 10)) if units == "mm" else TapeStep()
    rows = [("cutter", "mat", "usable area", "border", "")]
    for preset in presets:
        for mat in preset.mats:
            size = f"{tape_below(mat.width, step).tape} × {tape_below(mat.length, step).tape}"
            note = "not built yet" if preset.roll else ""
            rows.append((preset.name, mat.mat, size, _tape(mat.border, step), note))
    return _table(rows)


def _table(rows: Sequence[Sequence[str]]) -> list[str]:
    wide = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    return ["  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in rows]


def fit_head(report: FitReport) -> list[str]:
    """Return what `bigsign fit` prints first: what is asked of, and the answer for one cutter."""
    named = report.size_of.replace("_", " ")
    film = f"{report.film_width.tape} × {report.film_height.tape}"
    shown = " / ".join(plain(line) for line in report.text.split("\n"))
    out = [f"{shown}: {named} {report.size.tape}, film {film}."]
    return out if report.result is None else [*out, *_one_text(report.result, named)]


def fit_row(row: CutterFit | None, presets: Sequence[CutterPreset]) -> str:
    """Return a row of the table over ``presets``, None: its head; columns are as wide as any row may need."""
    names = [(preset.name, mat.mat) for preset in presets for mat in preset.mats]
    widest = [(*(max(map(len, column)) for column in zip(*names, strict=True)), 6, 4, 15, 0)] if names else []
    empty = [tuple(" " * width for width in widths) for widths in widest]
    return _table([_HEAD if row is None else _row(row), _HEAD, *empty])[0]


def fit_tail(report: FitReport) -> list[str]:
    """Return what `bigsign fit` prints last: notes on rows of the table without an answer, and warnings."""
    out = [f"{row.cutter} {row.mat}: {_first(row.note)}" for row in report.cutters or () if row.note]
    if report.findings:
        out += _findings(report.findings, "warning", "all with --json")
    return out


def _first(note: str) -> str:
    """Return the first line of a note and how many more there are."""
    first, *more = note.split("\n")
    return plain(first) + (f" (and {len(more)} more)" if more else "")


_HEAD = ("cutter", "mat", "panels", "mats", "breaks in words", "largest in one panel")


def _row(row: CutterFit) -> tuple[str, ...]:
    largest = row.largest_one_panel.tape if row.largest_one_panel else "-"
    if row.measures is None:
        return (row.cutter, row.mat, "-", "-", "-", largest)
    breaks = str(row.measures.in_word_breaks)
    return (row.cutter, row.mat, str(len(row.panels)), str(row.mats), breaks, largest)


def _one_text(result: CutterFit, named: str) -> list[str]:
    on = f"{result.cutter}, mat {result.mat}"
    largest = result.largest_one_panel
    limit = f"Largest in one panel: {named} {largest.tape}." if largest is not None else ""
    if result.measures is None:
        return [f"It can't be cut on {on}:", *(f"  {plain(note)}" for note in result.note.split("\n")), limit]
    if result.fits:
        colours = len(result.panels)
        return [f"It fits {on} in one panel{'' if colours == 1 else ' a colour'}.", limit]
    breaks = result.measures.in_word_breaks
    out = [
        f"It does not fit {on} in one panel: {count(len(result.panels), 'panel')} on "
        f"{count(result.mats or 0, 'mat')}, {count(breaks, 'break inside a word', 'breaks inside words')}"
        f"{'' if result.proved else ' (best found, not proved)'}."
    ]
    rows = [
        (f"  {at}", f"{panel.width.tape} × {panel.height.tape}", " / ".join(plain(t) for t in panel.text.split("\n")))
        for at, panel in enumerate(result.panels, 1)
    ]
    return [*out, *_table(rows), limit]


def _length(length: TapeLength | None) -> Json:
    if length is None:
        return None
    return {"mm": round(length.mm, 6), "tape": length.tape, "error_mm": round(length.error_mm, 6) + 0.0}


def _measures(measures: Measures | None) -> Json:
    if measures is None:
        return None
    return {k: v if isinstance(v, int) else round(v, 6) for k, v in asdict(measures).items()}


def _result(result: CutterFit) -> dict[str, Json]:
    return {
        "fits": result.fits,
        "panels": [
            {
                "text": panel.text,
                "colour": panel.colour,
                "size": {"width": _length(panel.width), "height": _length(panel.height)},
            }
            for panel in result.panels
        ],
        "mats": result.mats,
        "measures": _measures(result.measures),
        "proved": result.proved,
        "largest_one_panel": _length(result.largest_one_panel),
        "note": result.note or None,
    }


def _machine(row: CutterFit) -> dict[str, Json]:
    return {"cutter": row.cutter, "mat": row.mat, "width": round(row.width, 6), "length": round(row.length, 6)}


def fit_json(report: FitReport) -> Mapping[str, Json]:
    """Return a fit as `bigsign fit --json` prints it."""
    out: dict[str, Json] = {
        "text": report.text,
        "size_of": report.size_of,
        "size": _length(report.size),
        "film": {"width": _length(report.film_width), "height": _length(report.film_height)},
        "fits": None, "panels": [], "mats": None, "measures": None, "proved": None,
        "largest_one_panel": None, "note": None,
    }  # fmt: skip
    if report.result is not None:
        out |= _machine(report.result) | _result(report.result)
    rows = report.cutters
    out["cutters"] = None if rows is None else [_machine(row) | _result(row) for row in rows]
    out["warnings"] = [{"code": f.code, "message": f.message, "remedy": f.remedy} for f in report.findings]
    return out
