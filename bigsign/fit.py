"""Does it fit: lettering or a drawing against a cutter, how it parts, and the largest size that needs no parting."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from bigsign.budgets import BUDGETS
from bigsign.errors import Fault, InputError, NotYetError
from bigsign.findings import Finding
from bigsign.fit_design import Design, block_to_try, film_of, largest_one_panel, project_of
from bigsign.prepare import prepare
from bigsign.presets import CutterPreset, read_cutters
from bigsign.project import (
    Cutter,
    DrawingSpec,
    FontFile,
    LetteringSpec,
    Project,
)
from bigsign.project_inputs import cutter_files, shown_list
from bigsign.splitting.tree import Measures
from bigsign.units import TapeLength, TapeStep, to_tape

if TYPE_CHECKING:
    from bigsign.artwork.pieces import Artwork
    from bigsign.reading.lettering import Lettering

__all__ = ["CutterFit", "FitPanel", "FitReport", "check_fit", "find_cutter", "fit_rows"]

SIZES = ("cap_height", "width", "height")


@dataclass(frozen=True, slots=True)
class FitPanel:
    """A panel the design parts into: its text and the size of its film."""

    text: str
    colour: str
    width: TapeLength
    height: TapeLength


@dataclass(frozen=True, slots=True)
class CutterFit:
    """One cutter and mat: whether all film of a colour goes on it in one panel, or how it parts.

    ``note`` says why there is no answer: each piece too big on a line, or a machine not built yet; ``panels`` is empty
    and ``measures`` None. ``largest_one_panel`` is the largest size, in the terms asked, that needs no parting;
    its ``tape`` is rounded down, so that what it says does fit.
    """

    cutter: str
    mat: str
    width: float
    length: float
    fits: bool
    panels: tuple[FitPanel, ...]
    mats: int | None
    measures: Measures | None
    proved: bool
    largest_one_panel: TapeLength | None
    note: str = ""


@dataclass(frozen=True, slots=True)
class FitReport:
    """What `bigsign fit` answers. ``size_of``: cap_height, width or height; ``result`` for one cutter, else a table."""

    text: str
    size_of: str
    size: TapeLength
    film_width: TapeLength
    film_height: TapeLength
    result: CutterFit | None
    cutters: tuple[CutterFit, ...] | None
    findings: tuple[Finding, ...] = ()

    @property
    def fits(self) -> bool | None:
        """Whether it goes on the cutter asked for without parting; None for a table."""
        return None if self.result is None else self.result.fits


def find_cutter(name: str, mat: str | None = None, folder: Path | None = None) -> Cutter:
    """Return a known cutter with a mat (default: its first), those of a cutters.toml in ``folder`` among them.

    Raises
    ------
    InputError
        If there is none of that name; NotYetError for a roll.
    """
    presets = {preset.name: preset for preset in read_cutters(cutter_files(folder or Path()))}
    if name not in presets:
        raise InputError(Fault(f"no cutter {name!r} is known", "--cutter", f"one of: {shown_list(list(presets))}"))
    preset = presets[name]
    if preset.roll:
        raise NotYetError(Fault("cutting from a roll is not built yet", "--cutter", "a cutter with mats for now"))
    found = preset.mat(mat)
    if found is None:
        names = shown_list([one.mat for one in preset.mats])
        raise InputError(Fault(f"{name} has no mat {mat!r}", "--mat", f"one of: {names}"))
    return found


def check_fit(
    lines: Sequence[str] = (),
    *,
    svg: bytes | None = None,
    svg_name: str = "drawing.svg",
    font: str | FontFile = "Anton",
    folder: Path | None = None,
    cap_height: float | None = None,
    width: float | None = None,
    height: float | None = None,
    cutter: Cutter | None = None,
    cutters: Sequence[CutterPreset] | None = None,
    turning: str = "quarter",
    tape_step: TapeStep | None = None,
    progress: Callable[[str], None] | None = None,
    each: Callable[[FitReport], None] | None = None,
) -> FitReport:
    """Return whether lines of text, or a drawing, fit one panel; how they part; and the largest size that fits.

    Parameters
    ----------
    lines : the text; leave it out for a drawing.
    svg : bytes of a drawing, ``svg_name`` its name for messages.
    font : a font file or the family of an installed package, looked for from ``folder``.
    cap_height, width, height : mm, exactly one; a drawing may have one of width and height, or none.
    cutter : the machine and mat; None gives a table over ``cutters`` (default: all known).
    turning : "quarter" or "none".
    tape_step : how sizes for people are rounded.
    each : called with the table so far, before its first row and after every row.

    Raises
    ------
    InputError
        For input that can't be used. A piece too big for a mat is no error: the answer says so.
    """
    step = tape_step or TapeStep()
    say = progress or (lambda _: None)
    say("setting lettering and reading drawings")
    sizes = dict(zip(SIZES, (cap_height, width, height), strict=True))
    block = block_to_try(lines, svg, svg_name, font, folder or Path(), sizes)
    project = project_of(block, turning, step)
    artwork, (film_width, film_height) = film_of(project)
    size_of, size = next(((key, value) for key, value in sizes.items() if value), ("width", film_width))
    if isinstance(block, DrawingSpec) and block.width is None and block.height is None:
        block = replace(block, width=film_width)
    design = Design(block, size_of, size, "\n".join(block.lines) if isinstance(block, LetteringSpec) else svg_name)
    project = project_of(block, turning, step, (film_width, film_height))
    begun = prepare(project, say, on_board=False)
    artwork, lettering = begun.artwork, begun.lettering
    report = FitReport(
        design.text,
        size_of,
        to_tape(size, step),
        to_tape(film_width, step),
        to_tape(film_height, step),
        None,
        None,
        (*artwork.findings, *lettering.findings),
    )
    if cutter is not None:
        return replace(report, result=_one(project, artwork, lettering, cutter, design, say))
    presets = read_cutters(()) if cutters is None else cutters
    rows: list[CutterFit] = []
    tell = each or (lambda _: None)
    tell(replace(report, cutters=()))
    for row in fit_rows(project, artwork, lettering, presets, design, say):
        rows.append(row)
        tell(replace(report, cutters=tuple(rows)))
    return replace(report, cutters=tuple(rows))


def fit_rows(
    project: Project,
    artwork: Artwork,
    lettering: Lettering,
    presets: Sequence[CutterPreset],
    design: Design,
    say: Callable[[str], None],
) -> Iterator[CutterFit]:
    """Yield the answer for every mat of every machine, each as it is found."""
    from bigsign.parting import panels_by_area

    for preset in presets:
        for mat in preset.mats:
            if preset.roll:
                bare = CutterFit(mat.name, mat.mat, mat.width, mat.length, False, (), None, None, False, None)
                yield replace(bare, note="cutting from a roll is not built yet")
            elif (least := panels_by_area(artwork, mat)) > BUDGETS.row_panels:
                bare = CutterFit(mat.name, mat.mat, mat.width, mat.length, False, (), None, None, False, None)
                what = f"{least:.0f} panels or more, and only up to {BUDGETS.row_panels} are tried in this table"
                largest = largest_one_panel(replace(project, cutter=mat), design, artwork)
                yield replace(bare, largest_one_panel=largest, note=f"{what}; ask for it by --cutter {mat.name}")
            else:
                yield _one(project, artwork, lettering, mat, design, say)


def _one(
    project: Project,
    artwork: Artwork,
    lettering: Lettering,
    cutter: Cutter,
    design: Design,
    say: Callable[[str], None],
) -> CutterFit:
    from bigsign.plan import plan_lettering

    say(f"trying {cutter.name}, mat {cutter.mat}")
    project = replace(project, cutter=cutter)
    step = project.plan.tape_step
    largest = largest_one_panel(project, design, artwork)
    bare = CutterFit(cutter.name, cutter.mat, cutter.width, cutter.length, False, (), None, None, False, largest)
    try:
        plan = plan_lettering(project, artwork, lettering)
    except InputError as error:
        return replace(bare, note="\n".join(f"{fault.what}; {fault.right}" for fault in error.faults))
    panels = tuple(
        FitPanel(
            panel.text,
            panel.colour,
            to_tape(panel.bounds[2] - panel.bounds[0], step),
            to_tape(panel.bounds[3] - panel.bounds[1], step),
        )
        for panel in sorted(plan.panels, key=lambda panel: panel.number)
    )
    return replace(
        bare,
        fits=len(panels) == len({panel.colour for panel in panels}),
        panels=panels,
        mats=len(plan.mats),
        measures=plan.measures,
        proved=all(report.proved for report in plan.search),
    )
