"""The commands: arguments in, text and exit codes out; what they do lives in the library.

Exit codes: 0 done; 1 it does not fit, or findings; 2 bad input or usage; 70 a bug; 130 Ctrl-C; 143 SIGTERM.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

from bigsign.cli_terminal import Terminal, Terminated, stop_on_sigterm
from bigsign.errors import Fault, InputError, LengthError, NotYetError, OutputError

__all__ = ["build_parser", "main"]

MOST_ALTERNATIVES = 5
OK, FINDINGS, BAD_INPUT, BUG, INTERRUPTED, TERMINATED = 0, 1, 2, 70, 130, 143


class _Parser(argparse.ArgumentParser):
    """A parser whose complaints are faults like all others."""

    def error(self, message: str) -> NoReturn:
        raise InputError(Fault(message, self.prog, f"see `{self.prog} --help`"))


class _SelfCheckError(Exception):
    """A finished plan that the independent checker refuses: a bug, and nothing is written."""


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of all commands."""
    common = _common(defaults=False)
    parser = _Parser(
        prog="bigsign",
        description="Parts large cut-film lettering into panels for a small cutter; writes cut files and a guide.",
        parents=[_common(defaults=True)],
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=_version())
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    commands.required = True

    def command(name: str, text: str, run: Callable[[argparse.Namespace, Terminal], int]) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=text, description=text, parents=[common], allow_abbrev=False)
        made.set_defaults(run=run)
        return made

    plan = command("plan", "make the whole job: cut files, guide, preview, numbers", _plan)
    plan.add_argument("project", metavar="PROJECT.toml", type=Path)
    plan.add_argument("-o", "--output", metavar="DIR", type=Path, help="default: <project>-plan beside the project")
    plan.add_argument(
        "--alternatives", metavar="N", type=int, default=0, help="up to N other plans, each best in another sense"
    )

    fit = command("fit", "does it fit one panel, how it parts, and the largest size that fits", _fit)
    fit.add_argument("text", metavar="TEXT", nargs="*", help="a line each")
    fit.add_argument("--svg", metavar="FILE", type=Path, help="a drawing instead of text")
    fit.add_argument("--font", metavar="F", help="a font file or an installed family; default: Anton")
    fit.add_argument("--cap-height", metavar="L", help="height of the capitals, as 4in or 100mm")
    fit.add_argument("--width", metavar="L", help="width of the film")
    fit.add_argument("--height", metavar="L", help="height of the film")
    fit.add_argument("--cutter", metavar="N", help="a name `bigsign cutters` lists; default: a table over all")
    fit.add_argument("--mat", metavar="N", help="default: the cutter's first")
    fit.add_argument("--ladder", action="store_true", help="the sizes at which the parting changes (not built yet)")
    fit.add_argument("--json", action="store_true", help="print JSON")

    check = command("check", "read a project and report: lettering found, what can't be weeded or won't fit", _check)
    check.add_argument("project", metavar="PROJECT.toml", type=Path)
    check.add_argument("--json", action="store_true", help="print JSON")

    start = command("start", "write a commented project file to begin from", _start)
    start.add_argument("folder", metavar="DIR", type=Path)

    command("cutters", "the cutters and mats known, with their usable areas", _cutters)

    fonts = command("fonts", "the faces that `font` may name, by family and style", _fonts)
    fonts.add_argument("word", metavar="WORD", nargs="*", help="only faces with this in their name")
    fonts.add_argument("--sample", metavar="FILE", type=Path, help="draw a line in each face: a .pdf or .svg")
    return parser


def _common(*, defaults: bool) -> _Parser:
    """Return the options that stand before or after the command; only those before carry defaults."""
    made = _Parser(add_help=False)

    def default(value: object) -> object:
        return value if defaults else argparse.SUPPRESS

    units = "of the terminal's text; default: in"
    made.add_argument("--units", choices=("in", "mm"), default=default("in"), help=units)
    made.add_argument("-q", "--quiet", action="store_true", default=default(False), help="print no text")
    made.add_argument("--no-color", action="store_true", default=default(False), help="no colour (as NO_COLOR)")
    made.add_argument(
        "--timings", metavar="FILE", type=Path, default=default(None), help="write the seconds of each stage as JSON"
    )
    return made


def _version() -> str:
    from importlib import metadata

    return f"bigsign {metadata.version('bigsign')}"


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code; never raises, never prints a traceback."""
    with stop_on_sigterm():
        return _run(argv)


def _run(argv: Sequence[str] | None) -> int:
    terminal = Terminal()
    try:
        options = build_parser().parse_args(argv)
        terminal = Terminal(quiet=options.quiet, colour=not options.no_color)
        _check_timings(options.timings)
        code = int(options.run(options, terminal))
        if options.timings is not None:
            terminal.write_timings(options.timings)
    except SystemExit as stop:  # argparse: --help and --version
        return _flushed(int(stop.code or 0) if not isinstance(stop.code, str) else BAD_INPUT)
    except InputError as error:
        terminal.faults(error)
        return BAD_INPUT
    except KeyboardInterrupt:
        terminal.clear()
        return INTERRUPTED
    except Terminated:
        terminal.clear()
        return TERMINATED
    except Exception as error:
        # Whatever comes here is a bug of ours; a traceback helps nobody who cuts lettering.
        if os.environ.get("BIGSIGN_TRACEBACK"):
            raise
        what = str(error) if isinstance(error, _SelfCheckError) else f"{type(error).__name__}: {error}"
        terminal.errors([f"{what[:200]}, in bigsign itself, please report it with your project"])
        return BUG
    terminal.clear()
    return code


def _flushed(code: int) -> int:
    """Return ``code`` after flushing help or version text, whether or not anybody still reads it."""
    try:
        sys.stdout.flush()
    except (OSError, AttributeError):
        Terminal().write("")
    return code


def _check_timings(file: Path | None) -> None:
    """Refuse a file for timings that can't be written, before the work rather than after it."""
    if file is None:
        return
    try:
        good = file.parent.is_dir() and os.access(file.parent, os.W_OK) and not file.is_dir()
    except (OSError, ValueError):
        good = False
    if not good:
        raise OutputError(Fault(f"{str(file)!r} can't be written", "--timings", "a file in a folder of yours"))


def _plan(options: argparse.Namespace, terminal: Terminal) -> int:
    from bigsign import check_plan, load_project, make_alternatives, make_plan, write_all
    from bigsign.cli_text import alternatives_text, plan_text
    from bigsign.output.folder import check_folder

    if not 0 <= options.alternatives <= MOST_ALTERNATIVES:
        raise InputError(Fault(f"--alternatives {options.alternatives}", "bigsign plan", f"0 to {MOST_ALTERNATIVES}"))
    terminal.stage("reading the project")
    project = load_project(options.project)
    folder = options.output
    if folder is None:
        folder = options.project.parent / f"{options.project.stem}-plan"
    check_folder(folder)  # before the work rather than after it
    others = make_alternatives(project, options.alternatives, terminal.stage) if options.alternatives else ()
    plan = others[0].plan if others else make_plan(project, terminal.stage)
    terminal.stage("checking the plan")
    for made in [one.plan for one in others] or [plan]:
        wrong = check_plan(made)
        if wrong:
            more = f" and {len(wrong) - 1} more" if len(wrong) > 1 else ""
            raise _SelfCheckError(f"the finished plan failed its check: {wrong[0]}{more}")
    terminal.stage("writing files")
    files = write_all(plan, folder, terminal.stage, *([others] if others else []))
    terminal.say(plan_text(plan, folder, files, options.units))
    terminal.say(alternatives_text(others, options.units))
    return OK


def _fit(options: argparse.Namespace, terminal: Terminal) -> int:
    from bigsign.cli_text import fit_head, fit_json, fit_row, fit_tail, step_of
    from bigsign.fit import FitReport, check_fit, find_cutter
    from bigsign.presets import read_cutters
    from bigsign.project_inputs import LARGEST_DRAWING, cutter_files, read_file

    if options.ladder:
        raise NotYetError(Fault("--ladder is not built yet", "bigsign fit", "leave it out for now"))
    faults = []
    if options.svg is not None and options.text:
        faults.append(Fault("both TEXT and --svg are given", "bigsign fit", "one of them"))
    if options.svg is None and not options.text:
        faults.append(Fault("there is no TEXT", "bigsign fit", 'a text for each line, as "FRESH EGGS", or --svg FILE'))
    if options.svg is not None and options.font is not None:
        faults.append(Fault("--font goes with TEXT", "bigsign fit", "leave it out beside --svg"))
    if options.mat is not None and options.cutter is None:
        faults.append(Fault("--mat goes with --cutter", "bigsign fit", "give --cutter too"))
    sizes = {key: _length(key, getattr(options, key), faults) for key in ("cap_height", "width", "height")}
    if faults:
        raise InputError(faults)
    cutter = find_cutter(options.cutter, options.mat) if options.cutter is not None else None
    svg, name = None, "drawing.svg"
    if options.svg is not None:
        name = options.svg.name
        svg = read_file(options.svg, name, LARGEST_DRAWING, "the drawing")
    presets = read_cutters(cutter_files(Path()))

    def each(report: FitReport) -> None:
        if not options.json:
            rows = report.cutters or ()
            terminal.say([fit_row(rows[-1], presets)] if rows else [*fit_head(report), "", fit_row(None, presets)])

    report = check_fit(
        options.text,
        svg=svg,
        svg_name=name,
        font=options.font or "Anton",
        cap_height=sizes["cap_height"],
        width=sizes["width"],
        height=sizes["height"],
        cutter=cutter,
        cutters=presets,
        tape_step=step_of(options.units),
        progress=terminal.stage,
        each=each,
    )
    if options.json:
        terminal.write_json(fit_json(report))
    elif lines := [*(fit_head(report) if cutter is not None else ()), *fit_tail(report)]:
        terminal.say(lines)
    return FINDINGS if report.fits is False else OK


def _length(key: str, text: str | None, faults: list[Fault]) -> float | None:
    from bigsign.units import parse_length

    if text is None:
        return None
    option = "--" + key.replace("_", "-")
    try:
        value = parse_length(text)
    except LengthError as error:
        what, _, right = str(error).rpartition(": ")
        faults.append(Fault(what, option, right))
        return None
    if not 0 < value < 1e6:
        faults.append(Fault(f"{option} is {text!r}", "bigsign fit", "a length above nought and below a kilometre"))
    return value


def _check(options: argparse.Namespace, terminal: Terminal) -> int:
    from bigsign import load_project
    from bigsign.cli_text import check_text
    from bigsign.project_check import check_project, check_to_dict

    terminal.stage("reading the project")
    check = check_project(load_project(options.project), terminal.stage)
    if options.json:
        terminal.write_json(check_to_dict(check))
    else:
        terminal.say(check_text(check, options.units))
    return FINDINGS if check.findings else OK


def _start(options: argparse.Namespace, terminal: Terminal) -> int:
    from bigsign.project_start import start_project

    file = start_project(options.folder)
    terminal.say([f"Wrote {file}. Change what it says, then: bigsign plan {file}"])
    return OK


def _cutters(options: argparse.Namespace, terminal: Terminal) -> int:
    from bigsign.cli_text import cutters_text
    from bigsign.presets import read_cutters
    from bigsign.project_inputs import cutter_files

    terminal.say(cutters_text(read_cutters(cutter_files(Path())), options.units))
    return OK


def _fonts(options: argparse.Namespace, terminal: Terminal) -> int:
    from bigsign.cli_fonts import list_fonts

    return OK if list_fonts(" ".join(options.word), options.sample, options.units, terminal) else FINDINGS
