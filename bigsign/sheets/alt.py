"""What drawings show, in words, for someone who can't see them: the alternative texts of the guide and the template.

They say what the drawing is there to tell, with the figures that stand in it, and nothing that has to be worked out.
"""

from __future__ import annotations

from bigsign.plan_records import Break, MatSheet, Panel, Plan
from bigsign.sheets.items import Drawing
from bigsign.sheets.template import Grid, Tile, row_name
from bigsign.wording import panels_said, phrase, place_said

__all__ = ["join_alt", "map_alt", "mat_alt", "panel_alt", "scale_alt", "setout_alt", "side_of", "sign_alt", "tile_alt"]


def scale_alt(drawing: Drawing) -> str:
    """Return at which scale something is drawn."""
    return phrase("alt.full_size") if drawing.scale == 1 else phrase("alt.scale", n=f"{drawing.scale:g}")


def sign_alt(plan: Plan, drawing: Drawing) -> str:
    """Return what the cover shows: what the sign says line by line, its size, its panels."""
    out = [phrase("alt.board", width=plan.sign.width.shown, height=plan.sign.height.shown)]
    for n, line in enumerate(plan.lines, 1):
        out.append(phrase("alt.line", n=n, text=line.text) if line.text else phrase("alt.line_unread", n=n))
    if not plan.lines:
        out.append(phrase("alt.shapes"))
    many = len(plan.panels)
    out.append(phrase("alt.one_panel") if many == 1 else phrase("alt.panels", n=many))
    return _joined(out, drawing)


def panel_alt(plan: Plan, panel: Panel, letters: dict[str, str], drawing: Drawing) -> str:
    """Return what a panel's drawing shows: where it hangs, its hinge and level line, what joins it on which side.

    ``letters`` are those of the joins, by break id.
    """
    text = " ".join(panel.text.split())
    out = [phrase("alt.panel_text", n=panel.number, text=text) if text else phrase("alt.panel", n=panel.number)]
    for distance, axis in ((panel.from_reference.x, "x"), (panel.from_reference.y, "y")):
        place = place_said(distance.edge, distance.length.shown, axis)
        out.append(phrase(f"alt.trim.{distance.side}", place=place))
    if panel.hinge is not None:
        (ax, _), (bx, _) = panel.hinge.line
        plumb = abs(ax - bx) < 1e-6
        distance = panel.hinge.from_reference.x if plumb else panel.hinge.from_reference.y
        out.append(phrase("alt.hinge", place=place_said(distance.edge, distance.length.shown, "x" if plumb else "y")))
    if panel.level is not None:
        at = panel.level.from_reference
        place = place_said(at.edge, at.length.shown, panel.level.axis)
        out.append(phrase(f"alt.level.{panel.level.axis}", place=place))
    for part in plan.breaks:
        if panel.id in part.panels:
            other = next(plan.panel(name) for name in part.panels if name != panel.id)
            state = phrase("panel.up" if other.number < panel.number else "panel.later")
            letter = f"{letters[part.id]}–{letters[part.id]}"
            out.append(phrase(f"alt.next.{side_of(panel, other, part)}", letter=letter, n=other.number, state=state))
    if marks := plan.marks_of(panel):
        out.append(phrase("alt.register", marks=", ".join(mark.id for mark in marks)))
    return _joined(out, drawing)


def side_of(panel: Panel, other: Panel, part: Break) -> str:
    """Return on which side of a panel its neighbour is at a join: left, right, above or below.

    Gaps are measured straight across a join; at a seam, which has none, its line says which way it runs.
    """
    if part.gaps:
        level = sum(gap.along == "x" for gap in part.gaps) * 2 >= len(part.gaps)
    else:
        xs, ys = [x for x, _ in part.line], [y for _, y in part.line]
        level = max(xs) - min(xs) <= max(ys) - min(ys)
    axis = 0 if level else 1
    here, there = (one.bounds[axis] + one.bounds[axis + 2] for one in (panel, other))
    return (("left", "right") if level else ("above", "below"))[there > here]


def mat_alt(plan: Plan, mat: MatSheet, drawing: Drawing) -> str:
    """Return what a mat's drawing shows: which panels lie on it, and where their tops point."""
    number = int(mat.id.removeprefix("mat-") or 0)
    out = [phrase("alt.mat", n=number, width=mat.load.width.shown, height=mat.load.height.shown)]
    if mat.mirrored:
        out.append(phrase("alt.mirrored"))
    for panel in sorted((plan.panel(name) for name in mat.panels), key=lambda panel: panel.number):
        _, _, c, d, _, _ = panel.to_mat  # the sign's up (0, −1) points to (−c, −d) on the mat
        ways = ("down", "up") if abs(d) >= abs(c) else ("right", "left")
        out.append(phrase(f"alt.lies.{ways[max(c, d, key=abs) > 0]}", n=panel.number))
    return _joined(out, drawing)


def setout_alt(plan: Plan, strikes: int, drawing: Drawing) -> str:
    """Return what the set-out drawing shows; ``strikes`` is how many lines are to be struck."""
    out = [
        phrase("alt.setout", width=plan.sign.width.shown, height=plan.sign.height.shown),
        phrase("alt.setout_marks", lines=strikes, marks=len(plan.tape_marks)),
    ]
    if plan.marks:
        out.append(phrase("alt.setout_register", marks=len(plan.marks)))
    return _joined(out, drawing)


def join_alt(plan: Plan, panel: Panel, part: Break, letter: str) -> str:
    """Return what a join at full size shows: between which panels, on which side, with what gap."""
    other = next(plan.panel(name) for name in part.panels if name != panel.id)
    a, b = sorted((panel.number, other.number))
    out = [phrase("alt.join", letter=f"{letter}–{letter}", a=a, b=b)]
    if part.kind != "seam":
        out.append(phrase("alt.join_gap", gap=part.gap.shown))
    elif part.overlap is not None:
        out.append(phrase("alt.join_laps", overlap=part.overlap.shown))
    else:
        out.append(phrase("alt.join_meets"))
    return " ".join(out)


def map_alt(grid: Grid) -> str:
    """Return what the template's map shows: how many sheets, in which rows and columns, and which they are."""
    out = [phrase("alt.map", n=len(grid.tiles), rows=grid.rows, columns=grid.columns)]
    for row in range(grid.rows):
        found = [tile.label for tile in grid.tiles if tile.row == row]
        if found:
            out.append(phrase("alt.map_row", row=row_name(row), sheets=", ".join(found)))
    return " ".join(out)


def tile_alt(plan: Plan, grid: Grid, tile: Tile, panels: list[int], drawing: Drawing) -> str:
    """Return what a sheet of the template shows; ``panels`` are the numbers of those with film on it."""
    out = [phrase("alt.tile", label=tile.label, row=row_name(tile.row), column=tile.column + 1)]
    if panels:
        out.append(phrase("alt.tile_panels", panels=panels_said(panels)))
    x0, y0, x1, y1 = drawing.sign_box
    marks = [mark.id for mark in plan.tape_marks if x0 <= mark.at[0] <= x1 and y0 <= mark.at[1] <= y1]
    if marks:
        out.append(phrase("alt.tile_marks", marks=", ".join(marks)))
    out.append(phrase("alt.tile_joins", marks=", ".join(tile.corners)))
    for side, down, right in (("left", 0, -1), ("right", 0, 1), ("above", -1, 0), ("below", 1, 0)):
        beside = grid.by_place.get((tile.row + down, tile.column + right))
        if beside is not None:
            out.append(phrase(f"alt.tile.{side}", label=beside.label))
    return " ".join(out)


def _joined(sentences: list[str], drawing: Drawing) -> str:
    return " ".join([*sentences, scale_alt(drawing)])
