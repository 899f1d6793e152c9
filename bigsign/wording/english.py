"""The English catalogue. Plain, short, imperative; the same word for the same thing everywhere."""

from __future__ import annotations

from bigsign.wording.english_sheets import SHEETS
from bigsign.wording.english_slip import SLIP
from bigsign.wording.english_template import TEMPLATE

__all__ = ["ENGLISH"]

STEPS: dict[str, str] = {
    # prepare, strike, mark, hang, check
    "prepare.clean": "Clean the board and let it dry. The film maker’s instructions come first.",
    "prepare.warm": "Work where board and film are both at 10 to 30 °C, or as the film maker says.",
    "prepare.width": "Measure the board’s width at the top and at the bottom: {width} each.",
    "prepare.height": "Measure its height at the left and at the right: {height} each.",
    "prepare.diagonal": "Measure both diagonals: {diagonal} each. If they differ, the board is not square.",
    "prepare.differs": "If a measure differs, stop: set the real size in the project file and plan again.",
    "prepare.middle_x": "Strike the plumb middle line of the board. Distances across run from it.",
    "prepare.middle_y": "Strike the level middle line of the board. Distances up and down run from it.",
    "strike.level": "Strike a level line {place}, for {panels}.",
    "strike.plumb": "Strike a plumb line {place}, for {panels}.",
    "strike.low": "The round letters of {panels} have no flat feet: their lowest points meet the line.",
    "strike.check": "Check each line at both ends with the tape before going on.",
    "strike.none": "No line to strike: these panels are set by their tape marks.",
    "mark.tape": "Put masking tape at each of the places {marks} of the set-out sheet.",
    "mark.tape_one": "Put masking tape at the place {marks} of the set-out sheet.",
    "mark.pencil": "Measure both distances of each mark from the edges, and draw it on the tape in pencil.",
    "mark.twice": "Measure every mark a second time, from the same edges.",
    "hang.all": "Hang the panels dry at their marks with masking tape, from number 1 on. Leave every backing on.",
    "hang.one": "Hang the panel dry at its marks with masking tape. Leave the backing on.",
    "hang.level": "See that the feet of the letters stand on the lines, not the trimmed paper.",
    "check.back": "Step back to where the sign will be read from, and read it aloud.",
    "check.gaps": "Check every gap against the panels’ pages.",
    "check.once": "Change what you don’t like now: film cannot be moved once its backing is off.",
    # sticking a panel
    "stick.x": "See that the {side} trim edge of panel {n} stands {place}.",
    "stick.y": "See that the {side} trim edge stands {place}.",
    "stick.middle": "See that the middle of its trim stands {place}.",
    "stick.butt": "Lay its trim edge against that of panel {other}: they touch all along, and don’t overlap.",
    "stick.top.tape": "Tape along the whole top edge, half on the panel, half on the board. This is the hinge.",
    "stick.top.free": "Take off the other tape. Turn the panel up on its hinge.",
    "stick.top.peel": "Peel the backing off, low and flat, and take it away.",
    "stick.top.rub": "Let the panel down slowly. Rub from the hinge down, from the middle outward.",
    "stick.side.tape": "Tape along the whole {side} edge, half on the panel, half on the board. This is the hinge.",
    "stick.side.free": "Take off the other tape. Fold the panel over to the {side}.",
    "stick.side.peel": "Peel a hand’s width of backing off, from the hinge on.",
    "stick.side.rub": "Rub that part down, away from the hinge. Go on a hand’s width at a time.",
    "stick.centre.tape": "Tape across the panel along its hinge line, past both edges. This is the hinge.",
    "stick.centre.half": "Take off the tape of one half and fold that half back over the hinge.",
    "stick.centre.cut": "Peel its backing to the hinge and cut the backing off there, not the tape below.",
    "stick.centre.rub": "Let it down and rub from the hinge outward, in narrow overlapping strokes.",
    "stick.centre.other": "Take the hinge tape off. Fold the other half back, peel its backing and rub it down.",
    "stick.none": "Peel the backing off a hand’s width at a time, and rub the panel down as it comes off.",
    "stick.check": "Check: {what} {place}, right within {tolerance}.",
    "stick.seam": "Its film laps that of panel {other} by {overlap} along the seam. The trim edges don’t meet there.",
    "stick.seam_butt": "Its film meets that of panel {other} along the seam: edge to edge, nothing between.",
    "stick.gap": "Check the gap to panel {other}: {gap}.",
    "stick.gap_narrow": "Check the gap to panel {other}: {gap} at its narrowest.",
    "stick.keep": "Leave the transfer tape on until {panels} is stuck too.",
    "stick.keep_many": "Leave the transfer tape on until {panels} are stuck too.",
    "stick.peel": "Rub once more. Fold the transfer tape back low and flat, and peel it off slowly.",
    "press.place": "Press the panel as the film maker says: heat, pressure and time.",
    "peel.under": "Peel the transfer tape off panel {n}: film of panel {over} will lie over it.",
    "peel.rest": "Peel the transfer tape, low and flat, off the panels that still have it: {panels}.",
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

ENGLISH: dict[str, str] = {**STEPS, **SHEETS, **SLIP, **TEMPLATE}
