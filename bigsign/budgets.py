"""Every budget of the library in one frozen record: how much of a thing is taken, and how much work a stage may do.

Work is counted, never timed, so that the same project comes out the same on every machine. A stage that reaches the end
of its budget gives what it has and says so; what can't be given in part is refused, and the words of the refusal say
what was counted and how many there may be.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BUDGETS", "Budgets"]


@dataclass(frozen=True, slots=True)
class Budgets:
    """Named budgets: first what may be brought, then what the stages may spend.

    Parameters
    ----------
    drawing_bytes : of a drawing's file; compressed or not, as unpacked.
    elements : of a drawing, each use of a referenced one counted again. Sign art has hundreds.
    shapes : of a drawing that are painted, a fill and a stroke counted each. Detailed clip art has some thousand.
    segments : of a drawing's paths.
    levels : of nesting of a drawing's elements, references included.
    style_tries : selectors of style rules held against elements of a drawing.
    dashes : of one dashed line.
    chords : into which one curve is flattened.
    corners : of a drawing, its curves flattened. Maps of the world have some hundred thousand.
    crossings : of a drawing's outlines with themselves; a thick line with tight bends has tens of thousands, and a few
        kilobytes of zigzag can ask for millions.
    fill_looks : at edges of outlines, for each face that they enclose: what a drawing fills; about 20 ns each.
    meetings : pairs of a sign's shapes whose boxes meet; what lies over what is found from them.
    letters : of a sign's lettering blocks together.
    colours : of film.
    pieces : of film that a sign parts into panels; a seam is worth many.
    panels : that one plan may have; a guide has a page for each, and is laid out at some five a second.
    row_panels : that a row of the table over all cutters may be sure to take; more is a note, and asked for by itself.
    read_parts : pieces of one colour that are looked at for lettering; signs have hundreds.
    read_looks : pieces looked at, once for each direction that lines may run in, for one colour.
    states : sets of units whose cuts are listed, a search; about a quarter of a second a thousand.
    seam_guess : units of work after which a first guess at a piece's seams is given up.
    mark_places : places that are looked at for all register marks of a plan.
    mark_tries : places whose trim outlines are drawn out, for one mark.
    template_sheets : that a full-size template is drawn on; of more only their map is.
    nest_states : states of the exact search for the fewest mats, a colour.
    """

    drawing_bytes: int = 16_000_000
    elements: int = 100_000
    shapes: int = 20_000
    segments: int = 400_000
    levels: int = 256
    style_tries: int = 2_000_000
    dashes: int = 20_000
    chords: int = 20_000
    corners: int = 1_000_000
    crossings: int = 150_000
    fill_looks: int = 1_000_000_000
    meetings: int = 2_000_000
    letters: int = 3_000
    colours: int = 64
    pieces: int = 3_000
    panels: int = 300
    row_panels: int = 20
    read_parts: int = 4_000
    read_looks: int = 60_000
    states: int = 20_000
    seam_guess: int = 4_000
    mark_places: int = 150_000
    mark_tries: int = 80
    template_sheets: int = 300
    nest_states: int = 60_000


BUDGETS = Budgets()
