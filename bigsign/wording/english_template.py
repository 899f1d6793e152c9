"""The English catalogue, fourth part: the full-size template."""

from __future__ import annotations

__all__ = ["TEMPLATE"]

TEMPLATE: dict[str, str] = {
    "title.template": "Full-size template",
    "template.note": "map of the sheets, and how to join them",
    "template.sheet": "Template {label}",
    "template.head": "print at actual size, 100 %",
    "template.cut": "cut off along the dots, lay on {label}",
    "template.lay": "{label} lies on here",
    "template.hinge": "hinge of panel {n}",
    "template.map": "Sheets",
    "template.left_out": "crossed out: no sheet, nothing stands there",
    "template.check": "Check the print",
    "template.check_text": "Print at actual size: 100 %, not fitted to the page. Then measure the squares and the "
    "ruler with your tape. If one is off, print again.",
    "template.ruler": "Ruler",
    "template.join": "Join the sheets",
    "template.join.cut": "Cut each sheet off along its dotted left and top lines, where it has them.",
    "template.join.lay": "Row by row from the left, lay it on its neighbours: the crosses meet, and so do their names.",
    "template.join.tape": "Tape each join once all its crosses meet. A join that won’t meet is a print that is not "
    "true.",
    "template.join.board": "Lay the template on the board: crosses T1, T2 … on the tape marks of the guide’s set-out "
    "sheet.",
    "template.key.film": "film",
    "template.key.trim": "trim outline",
    "template.key.break": "break line",
    "template.key.hinge": "hinge",
    "template.key.join": "join of sheets",
    "template.key.number": "panel",
}
