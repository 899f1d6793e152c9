"""The English catalogue. Plain, short, imperative; the same word for the same thing everywhere."""

from __future__ import annotations

from bigsign.wording.english_alt import ALT
from bigsign.wording.english_colours import COLOURS
from bigsign.wording.english_sheets import SHEETS
from bigsign.wording.english_slip import SLIP
from bigsign.wording.english_template import TEMPLATE
from bigsign.wording.english_trouble import TROUBLE
from bigsign.wording.english_warnings import WARNINGS

__all__ = ["ENGLISH"]

STEPS: dict[str, str] = {
    # prepare, strike, mark, hang, check
    "prepare.clean": "Clean the board and let it dry. The film maker’s instructions come first.",
    "prepare.warm": "Work where board and film are both at 10 to 30 °C (50 to 86 °F), or as the film maker says.",
    "prepare.width": "Measure the board’s width at the top and at the bottom: {width} each.",
    "prepare.height": "Measure its height at the left and at the right: {height} each.",
    "prepare.diagonal": "Measure both diagonals: {diagonal} each. If they differ, the board is not square.",
    "prepare.differs": "If a measure differs, stop: set the real size in the project file and plan again.",
    "prepare.middle_x": "Strike the plumb middle line of the board. Distances across run from it.",
    "prepare.middle_y": "Strike the level middle line of the board. Distances up and down run from it.",
    "strike.level": "Strike a level line {place}, for {panels}.",
    "strike.plumb": "Strike a plumb line {place}, for {panels}.",
    "strike.low": "No flat feet on {panels}: the lowest points of the film meet the line.",
    "strike.check": "Check each line at both ends with the tape before going on.",
    "strike.none": "No line to strike: these panels are set by their tape marks.",
    "mark.range": "{first} to {last}",
    "mark.tape": "Put masking tape at each of the places {marks} of the set-out sheet.",
    "mark.tape_one": "Put masking tape at the place {marks} of the set-out sheet.",
    "mark.pencil": "Measure both distances of each mark from the edges, and draw it on the tape in pencil.",
    "mark.twice": "Measure every mark a second time, from the same edges.",
    "mark.register": "Where the paint is fresh, lay masking tape under the register marks {marks} as well.",
    "hang.all": "Hang the panels dry at their marks with masking tape, from number 1 on. Leave every backing on.",
    "hang.one": "Hang the panel dry at its marks with masking tape. Leave the backing on.",
    "hang.level": "See that the feet of the letters stand on the lines, not the trimmed paper.",
    "check.back": "Step back to where the sign will be read from, and read it aloud.",
    "check.gaps": "Check every gap against the panels’ pages.",
    "check.once": "Change what you don’t like now: film cannot be moved once its backing is off.",
    # sticking a panel
    "stick.x": "Set the {side} trim edge of the panel {place}.",
    "stick.y": "Set its {side} trim edge {place}.",
    "stick.middle": "Set the middle of its trim {place}.",
    "stick.butt": "Butt its trim edge to that of panel {other}: touching, no overlap.",
    "stick.marks": "Lay its register marks {marks} on those of panel {other}: like on like.",
    "stick.top.tape": "Tape along the top edge, half on panel, half on board: the hinge.",
    "stick.top.free": "Take off the other tape. Turn the panel up on its hinge.",
    "stick.top.peel": "Peel the backing off, low and flat, and take it away.",
    "stick.top.rub": "Let it down slowly. Rub from the hinge down, middle outward.",
    "stick.side.tape": "Tape along the {side} edge, half on panel, half on board: the hinge.",
    "stick.side.free": "Take off the other tape. Fold the panel over to the {side}.",
    "stick.side.peel": "Peel a hand’s width of backing off, from the hinge on.",
    "stick.side.rub": "Rub it down, away from the hinge. Go on, a hand’s width at a time.",
    "stick.centre.tape": "Tape across it along the hinge line, past both edges: the hinge.",
    "stick.centre.half": "Take the tape off one half and fold it back over the hinge.",
    "stick.centre.cut": "Peel its backing to the hinge. Cut it off there, not the tape.",
    "stick.centre.rub": "Let it down. Rub from the hinge outward, in narrow strokes.",
    "stick.centre.other": "Take the hinge tape off. Fold the other half back.",
    "stick.centre.last": "Peel its backing and rub it down the same way.",
    "stick.none": "Peel the backing off a hand’s width at a time, rubbing down.",
    "stick.check": "Check: {what} {place}, within {tolerance}.",
    "next.none": "No other cut there leads to panels that fit.",
    "next.between": "The next best place, between {first} and {second}, would have cost {cost}.",
    "next.through": "The next best place, through {first}, would have cost {cost}.",
    "next.elsewhere": "The next best place would have cost {cost}.",
    "next.and": " and ",
    "next.break": "{n} more break inside a word",
    "next.break_many": "{n} more breaks inside words",
    "next.panel": "{n} more panel",
    "next.panel_many": "{n} more panels",
    "next.risk": "{n} more risk, a tighter gap",
    "next.hair": "next to nothing, a slightly tighter gap",
    "next.area": "a larger panel",
    "next.nothing": "no more: it was as good",
    "why.word": "between two words, {first} and {second}",
    "why.letter": "inside a word, between {first} and {second}, because the word is larger than the usable area or a "
    "wish asks",
    "why.line": "between two lines",
    "why.ornament": "between the lettering and an ornament",
    "why.seam": "through film, at the join of {first} and {second}, because the piece is larger than the usable area",
    "why.seam_through": "through film, through {first}, because the piece is larger than the usable area",
    "why.set": "set in the project",
    "why.tall": "over four times as tall as wide",
    "why.low": "low enough to flip up",
    "why.high": "too tall to flip up",
    "check.what.flat": "the letters’ feet",
    "check.what.low": "the film’s lowest points",
    "check.what.trim": "the trim edge",
    "stick.seam": "Lap its film over that of panel {other} by {overlap} at the seam.",
    "stick.seam_butt": "Butt its film to that of panel {other} along the seam.",
    "stick.gap": "Check the gap to panel {other}: {gap}.",
    "stick.gap_narrow": "Check the gap to panel {other}: {gap} at its narrowest.",
    "stick.keep": "Leave the transfer tape on until {panels} is stuck too.",
    "stick.keep_many": "Leave the transfer tape on until {panels} are stuck too.",
    "stick.peel": "Rub once more. Peel the transfer tape off, low, flat and slowly.",
    "press.place": "Press the panel as the film maker says: heat, pressure and time.",
    "peel.under": "Peel the transfer tape off panel {n}: film of panel {over} will lie over it.",
    "peel.rest": "Peel the transfer tape, low and flat, off the panels that still have it: {panels}.",
    "peel.marks": "Take off the register marks {marks}, both films of each, low and flat.",
    "peel.marks_tape": "Take off the masking tape under them too.",
    "finish.marks": "Take off all masking tape and marks.",
    "finish.rub": "Rub all edges down once more through a soft cloth.",
    "finish.wait": "Leave the sign unwashed for a day. The full bond takes about a week.",
    "panel.one": "panel {n}",
    "panel.many": "panels {most} and {last}",
    # distances
    "from.long": "{length} from the {edge} edge",
    "from.short": "{length} from {edge}",
    "from.middle_left": "{length} left of the middle line",
    "from.middle_right": "{length} right of the middle line",
    "from.middle_above": "{length} above the middle line",
    "from.middle_below": "{length} below the middle line",
    "from.on_middle": "on the middle line",
    "from.edge": "from {edge} edge",
    "from.middle": "from middle line",
    "from.head": "From {edge}",
    "edge.left": "left",
    "edge.right": "right",
    "edge.top": "top",
    "edge.bottom": "bottom",
    "edge.middle": "middle",
}

#: Signal words (ANSI Z535); the texts of cautions themselves are data, in presets.
SIGNALS = {f"signal.{word}": word for word in ("DANGER", "WARNING", "CAUTION", "NOTICE")}

ENGLISH: dict[str, str] = {
    **SIGNALS, **STEPS, **SHEETS, **SLIP, **TEMPLATE, **TROUBLE, **ALT, **COLOURS, **WARNINGS,
}  # fmt: skip
