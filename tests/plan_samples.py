"""Small but complete plans for tests: every record filled and true, made without the planner.

``two_panel_plan``: one word gap, one mat. ``wall_plan``: two lines, nine panels, in-word breaks, a slanted
one, two colours. ``turned_plan``: a tall board read downwards. ``one_panel_plan``: nothing to part.
"""

from __future__ import annotations

import math
from dataclasses import replace

from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box

from bigsign.artwork.pieces import Piece
from bigsign.findings import Finding, Source
from bigsign.plan_records import (
    CheckMeasure,
    MatSheet,
    Panel,
    Plan,
    PlanEdge,
    SignFrame,
    Size,
    Step,
    TapeMark,
)
from bigsign.project import Board, Cutter, Film, FontFile, LetteringSpec, PlanSettings, Project
from bigsign.reading.lettering import Glyph
from bigsign.splitting.tree import Measures, SearchReport
from tests.plan_builder import (
    STEP,
    LineSpec,
    distance_order,
    draft_panels,
    edge_distance,
    from_reference,
    length,
    make_hinge,
    plain,
    set_lines,
    to_mark,
    trim_lines,
)

__all__ = ["one_panel_plan", "turned_plan", "two_panel_plan", "wall_plan"]

INCH = 25.4
BLACK, LEAF, WHITE = "#000000", "#2e7d32", "#ffffff"
CUTTER = Cutter("desktop-12", "12x24", 292.1, 596.9, 6.35)


def two_panel_plan(paper: str = "letter") -> Plan:
    """Return "CLAY STUDIO", 3 in capitals on a 36 × 8 in board: two panels, one word break, one mat."""
    lines = [LineSpec("CLAY |STUDIO", 3 * INCH, 3.25 * INCH, 5.5 * INCH)]
    return _plan("Clay studio door", 36 * INCH, 8 * INCH, 0, lines, paper=paper)


def one_panel_plan(paper: str = "letter") -> Plan:
    """Return "BOAT SHED", 2 in capitals: a single panel, no break."""
    lines = [LineSpec("BOAT SHED", 2 * INCH, 2 * INCH, 4 * INCH)]
    return _plan("Boat shed plate", 20 * INCH, 6 * INCH, 0, lines, paper=paper)


def wall_plan(paper: str = "letter", colour: str = BLACK) -> Plan:
    """Return two lines on an 8 × 3 ft wall and a leaf of another colour: nine panels."""
    lines = [
        LineSpec("SEED| LIB|RA|RY", 8 * INCH, 10 * INCH, 14 * INCH),
        LineSpec("LEA<|VES |TO| SHARE", 6 * INCH, 21 * INCH, 28 * INCH),
    ]
    return _plan("Seed library wall", 96 * INCH, 36 * INCH, 0, lines, leaf=True, paper=paper, colour=colour)


def turned_plan(paper: str = "a4") -> Plan:
    """Return a 12 × 48 in porch board whose two lines read downwards, heads to the right."""
    lines = [
        LineSpec("FRESH |EGGS", 4 * INCH, 5 * INCH, 6 * INCH),
        LineSpec("CUT| FLOWERS", 2 * INCH, 6 * INCH, 9.5 * INCH),
    ]
    return _plan("Farm stand board", 12 * INCH, 48 * INCH, 90, lines, paper=paper, hinge="auto")


def _plan(
    name: str,
    width: float,
    height: float,
    angle: int,
    lines: list[LineSpec],
    leaf: bool = False,
    paper: str = "letter",
    colour: str = BLACK,
    hinge: str = "auto",
) -> Plan:
    draft = set_lines(width, height, angle, lines, colour)
    parted = draft_panels(draft, colour, hinge)
    pieces = list(draft.pieces)
    if leaf:
        pieces.append(_leaf_piece(f"p{len(pieces) + 1:03d}", width, height))
        parted.panels.append(_leaf_panel(pieces[-1], len(parted.panels) + 1, width))
    centres = {p.id: p.film.envelope.centroid.coords[0] for p in parted.panels}
    order = distance_order({k: (v[0], v[1]) for k, v in centres.items()}, (width / 2, height / 2))
    numbered = [replace(p, number=order.index(p.id) + 1) for p in parted.panels]
    colours = {colour: "black" if colour == BLACK else "white"} | ({LEAF: LEAF} if leaf else {})
    panels, mats = _mats(numbered, colours)
    steps, panels = _steps(panels)
    parted_pairs = {frozenset(b.panels) for b in parted.breaks}
    home = {node: p.id for p in panels for node in p.nodes}
    edges = _edges(draft.glyphs, draft.films, home)
    corners = [(p.trim.bounds[0], p.trim.bounds[1]) for p in panels]
    marks = tuple(TapeMark(f"T{n}", at, from_reference(*at)) for n, at in enumerate(corners, 1))
    in_word = sum(1 for b in parted.breaks if b.kind == "letter")
    measures = Measures(
        seam_length=0.0,
        seams=0,
        in_word_breaks=in_word,
        panels=len(panels),
        risk=round(sum(min(1.0, 1.0 / max(b.gap.mm, 1.0)) for b in parted.breaks), 3),
        largest_panel_area=max((p.bounds[2] - p.bounds[0]) * (p.bounds[3] - p.bounds[1]) for p in panels),
    )
    bound: dict[str, float | int | None] = {
        "seam_length": 0.0, "seams": 0, "in_word_breaks": in_word, "panels": len(panels), "risk": None,
        "largest_panel_area": None,
    }  # fmt: skip
    search = tuple(SearchReport(c, "words", "quarter", "exact", c == colour, 128, bound) for c in colours)
    assert all(len(pair) == 2 for pair in parted_pairs)
    return Plan(
        project=_project(name, width, height, lines, angle, colour, paper, colours),
        sign=_sign(name, width, height),
        tape_step=STEP,
        measures=measures,
        search=search,
        pieces=tuple(pieces),
        glyphs=tuple(draft.glyphs),
        words=tuple(draft.words),
        lines=tuple(draft.lines),
        edges=edges,
        cuts=tuple(parted.cuts),
        panels=tuple(panels),
        tape_marks=marks,
        breaks=tuple(parted.breaks),
        mats=mats,
        steps=steps,
        warnings=(_warning(pieces[-1].id),) if leaf else (),
        fragments=tuple((piece.id, piece.id, piece.shape) for piece in pieces),
    )


def _sign(name: str, width: float, height: float) -> SignFrame:
    diagonal = length(math.hypot(width, height))
    outline = box(0, 0, width, height)
    return SignFrame(name, "B", length(width), length(height), diagonal, outline, 19.05, ("left", "top"))


def _warning(piece: str) -> Finding:
    message = "A clip is not understood; the whole shape is taken."
    return Finding("svg-clip", message, (piece,), Source("leaf.svg", 12, "path3"), "Cut the shape itself.")


def _edges(glyphs: list[Glyph], films: list[MultiPolygon], home: dict[str, str]) -> tuple[PlanEdge, ...]:
    out = []
    for n in range(len(glyphs) - 1):
        a, b = glyphs[n], glyphs[n + 1]
        if a.line != b.line:
            continue
        kind = "letter" if a.word == b.word else "word"
        out.append(PlanEdge(a.id, b.id, kind, films[n].distance(films[n + 1]), home[a.id] != home[b.id]))
    return tuple(out)


def _leaf_piece(piece_id: str, width: float, height: float) -> Piece:
    """Return a leaf (two arcs) with a slit for its vein, in the board's upper right corner."""
    disc = Point(0, 0).buffer(120, quad_segs=24)
    blade = affinity.translate(disc, -70, 0).intersection(affinity.translate(disc, 70, 0))
    leaf = blade.difference(box(-3, -60, 3, 50))
    placed = affinity.translate(affinity.rotate(leaf, 30), width - 190, 210)
    assert isinstance(placed, Polygon)
    return Piece(piece_id, LEAF, placed, Source("leaf.svg", 4, "path1"))


def _leaf_panel(piece: Piece, number: int, width: float) -> Panel:
    film = MultiPolygon([piece.shape])
    x0, y0, x1, y1 = film.bounds
    trim = box(to_mark(x0 - 6.35), to_mark(y0 - 6.35), to_mark(x1 + 6.35), to_mark(y1 + 6.35))
    tx0, ty0, tx1, ty1 = trim.bounds
    return Panel(
        id=f"panel-{number:02d}", number=number, colour=piece.colour,
        fragments=(piece.id,), nodes=(piece.id,), text="",
        film=film, bounds=film.bounds, size=Size(length(x1 - x0), length(y1 - y0)), trim=trim,
        trim_size=Size(length(tx1 - tx0), length(ty1 - ty0)), from_reference=from_reference(tx0, ty0),
        hinge=make_hinge(trim, film, "auto"), level=None, trim_lines=trim_lines(trim, film),
        check=CheckMeasure(
            "right side of the trim", edge_distance("right", "right", width - tx1), length(1.5875)
        ),
        neighbours=(), mat="", to_mat=(1, 0, 0, 1, 0, 0), step=0,
    )  # fmt: skip


def _mats(panels: list[Panel], colours: dict[str, str]) -> tuple[list[Panel], tuple[MatSheet, ...]]:
    """Fill mats side by side, panels turned a quarter where they are wider than tall, in id order."""
    placed: dict[str, Panel] = {}
    mats: list[MatSheet] = []
    for colour, colour_name in colours.items():
        pen_x = pen_y = shelf = 1e9
        for panel in (p for p in panels if p.colour == colour):
            fx0, fy0, fx1, fy1 = panel.bounds
            tx0, ty0, tx1, ty1 = panel.trim.bounds
            turned = fx1 - fx0 > fy1 - fy0
            if turned:  # a quarter turn clockwise on the drawing: (x, y) → (−y, x)
                fx0, fy0, fx1, fy1 = -fy1, fx0, -fy0, fx1
                tx0, ty0, tx1, ty1 = -ty1, tx0, -ty0, tx1
            if pen_x + (fx1 - tx0) > CUTTER.width:
                pen_x, pen_y = -CUTTER.border, shelf
            if pen_y + (fy1 - ty0) > CUTTER.length:
                pen_x = pen_y = shelf = -CUTTER.border
                number = len(mats) + 1
                stem = colour_name.lstrip("#")
                file = f"mats/mat-{number:02d}-{stem}.svg"
                mats.append(_empty_mat(f"mat-{number:02d}", colour, colour_name, file))
            e = max(pen_x - tx0, 0 - fx0)
            f = max(pen_y - ty0, 0 - fy0)
            pen_x = e + tx1 + 3.0
            shelf = max(shelf, f + ty1 + 3.0)
            linear = (0.0, 1.0, -1.0, 0.0) if turned else (1.0, 0.0, 0.0, 1.0)
            placed[panel.id] = replace(panel, mat=mats[-1].id, to_mat=(*linear, e, f))
            used = max(mats[-1].used_length, min(f + ty1, CUTTER.length))
            mats[-1] = replace(mats[-1], panels=(*mats[-1].panels, panel.id), used_length=used)
    return [placed[p.id] for p in panels], tuple(mats)


def _empty_mat(mat_id: str, colour: str, colour_name: str, file: str) -> MatSheet:
    size = (CUTTER.width, CUTTER.length, CUTTER.border)
    return MatSheet(mat_id, CUTTER.name, CUTTER.mat, colour, colour_name, *size, 0.0, False, file, ())


def _steps(panels: list[Panel]) -> tuple[tuple[Step, ...], list[Panel]]:
    order = sorted(panels, key=lambda p: p.number)
    steps = [
        Step(1, "prepare", None, ("Measure the board: width, height, both diagonals.", "Clean the board.")),
        Step(2, "strike", None, ("Strike the level lines.",)),
        Step(3, "mark", None, ("Put tape on the board and mark T1 and the others.",)),
        Step(4, "hang", None, ("Hang all panels dry by their hinges.",), "Cut away from your hand."),
        Step(5, "check", None, ("Step back and look.",)),
    ]
    at: dict[str, int] = {}
    for panel in order:
        at[panel.id] = len(steps) + 1
        actions = (
            f"Set the trim's left side {panel.from_reference.x.length.tape} from the left edge.",
            f"Set the trim's top {panel.from_reference.y.length.tape} from the top edge.",
            "Turn the panel up on its hinge, take off the backing, rub it down from the hinge.",
        )
        steps.append(Step(len(steps) + 1, "stick", panel.id, actions))
    steps.append(Step(len(steps) + 1, "peel", None, ("Peel the transfer tape back low and flat, slowly.",)))
    steps.append(Step(len(steps) + 1, "finish", None, ("Take off all tape marks.",)))
    return tuple(steps), [replace(p, step=at[p.id]) for p in panels]


def _project(
    name: str,
    width: float,
    height: float,
    lines: list[LineSpec],
    angle: int,
    colour: str,
    paper: str,
    colours: dict[str, str],
) -> Project:
    font = FontFile("Box letters", b"")
    texts = tuple(plain(line.text) for line in lines)
    block = LetteringSpec(
        texts, font, {}, lines[0].cap_height, None, None, 1.4, "left", float(angle), False, colour,
        (width / 2, height / 2), "sign.toml [[lettering]] 1",
    )  # fmt: skip
    return Project(
        name=name, revision="B", file="sign.toml",
        board=Board(width, height, box(0, 0, width, height), 19.05), cutter=CUTTER, turning="quarter",
        film=Film(), blocks=(block,), plan=PlanSettings(paper=paper), colour_names=colours,
        sha256="5eedc1a7" * 8,
    )  # fmt: skip
