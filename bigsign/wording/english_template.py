"""The English catalogue, fourth part: the full-size template."""

from __future__ import annotations

__all__ = ["TEMPLATE"]

TEMPLATE: dict[str, str] = {
    "title.template": "Full-size template",
    "template.note": "map of the sheets, and how to join them",
    "template.too_many": "map only, for over {most} sheets ({n}): name some panels in template_panels",
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
    "template.join.cut": "Cut each sheet along its dotted left and top lines, where it has them.",
    "template.join.lay": "Row by row from the left, lay it on its neighbours: crosses and their names meet.",
    "template.join.tape": "Tape a join once all its crosses meet. If they won’t, the print is not true.",
    "template.join.board": "Lay it on the board, edges to edges, and tape it down.",
    "template.join.prick": "Prick through T1, T2 … and the ends of the feet’s lines. Take it off.",
    "template.join.rule": "Measure them by the guide’s set-out sheet: the tape rules, not the print.",
    "template.key.film": "film",
    "template.key.trim": "trim outline",
    "template.key.break": "break line",
    "template.key.hinge": "hinge",
    "template.key.join": "join of sheets",
    "template.key.number": "panel",
    "template.edge.left": "left edge of the board",
    "template.edge.right": "right edge of the board",
    "template.edge.top": "top edge of the board",
    "template.edge.bottom": "bottom edge of the board",
    "template.feet": "feet of panel {panels}",
}
