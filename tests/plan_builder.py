"""Builds complete, consistent plans of box letters by plain rules, with no part of the planner.

The rules are simpler than the planner's (cuts halfway between neighbours, mats filled side by side), but
every record is filled and true: film fits the usable area, trims are convex and hold their film, distances
are those of the shapes. Line frame: u along the lines, v across them, down; level lines have u = x, v = y.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TypeVar

from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign.artwork.pieces import Piece
from bigsign.plan_records import (
    Break,
    BreakEnd,
    CheckMeasure,
    CutLine,
    EdgeDistance,
    FromReference,
    GapAt,
    Hinge,
    Level,
    Neighbour,
    Panel,
    Point,
    Size,
)
from bigsign.reading.lettering import Glyph, Line, Word
from bigsign.units import TapeLength, TapeStep, to_tape
from tests.box_letters import FLAT, box_letter, polygons_of

__all__ = [
    "STEP",
    "Draft",
    "DraftPanel",
    "LineSpec",
    "Parted",
    "distance_order",
    "draft_panels",
    "edge_distance",
    "from_reference",
    "length",
    "make_hinge",
    "plain",
    "set_lines",
    "to_mark",
    "trim_lines",
]

Shape = TypeVar("Shape", bound=BaseGeometry)
EIGHTH = 3.175
MARGIN = 6.35
KERN = 0.26
WHY = {"letter": "the widest gap between two letters", "word": "a word gap", "line": "between lines"}
STEP = TapeStep()


@dataclass(frozen=True)
class LineSpec:
    """A line of a sample; ``start`` and ``baseline`` in the line frame, mm.

    In ``text`` a "|" marks a break and a "<" brings the next letter closer, as kerning does.
    """

    text: str
    cap_height: float
    start: float
    baseline: float
    letter_gap: float = 0.14
    word_gap: float = 0.55


@dataclass
class DraftPanel:
    """A panel while it is built: its glyph indices and the text, film in the sign's frame."""

    glyphs: list[int] = field(default_factory=list)
    text: str = ""
    line: int = 0


@dataclass
class Draft:
    """All that is set: films of glyphs in the line frame, records, and which panel has which."""

    width: float
    height: float
    angle: int
    pieces: list[Piece] = field(default_factory=list)
    glyphs: list[Glyph] = field(default_factory=list)
    words: list[Word] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    films: list[MultiPolygon] = field(default_factory=list)  # line frame, one a glyph
    panels: list[DraftPanel] = field(default_factory=list)
    specs: list[LineSpec] = field(default_factory=list)

    def to_sign(self, shape: Shape) -> Shape:
        """Move a shape from the line frame to the sign's."""
        return affinity.affine_transform(shape, self.matrix)

    @property
    def matrix(self) -> list[float]:
        """Line frame to sign frame, in shapely's order; lines reading down have their heads to the right."""
        return [1, 0, 0, 1, 0, 0] if self.angle == 0 else [0, -1, 1, 0, self.width, 0]

    def point(self, u: float, v: float) -> Point:
        """Move a point from the line frame to the sign's."""
        return (u, v) if self.angle == 0 else (self.width - v, u)


def plain(text: str) -> str:
    """Return a sample's text without its marks for breaks and kerning."""
    return text.replace("|", "").replace("<", "")


def edge_distance(edge: str, side: str, mm: float) -> EdgeDistance:
    """Return a distance with its length for people at 1/16 in."""
    return EdgeDistance(edge, side, to_tape(mm, STEP))


def from_reference(x: float, y: float) -> FromReference:
    """Return the place of a box's left and top side from the left and the top edge."""
    return FromReference(edge_distance("left", "left", x), edge_distance("top", "top", y))


def set_lines(width: float, height: float, angle: int, lines: list[LineSpec], colour: str) -> Draft:
    """Set the lines: films, pieces, glyphs, words, lines, and the panels that the "|" marks ask for."""
    draft = Draft(width, height, angle, specs=lines)
    for row, spec in enumerate(lines):
        at = spec.start
        panel = DraftPanel(line=row)
        draft.panels.append(panel)
        line_id = f"l{row + 1}"
        word_ids: list[str] = []
        for piece_of_text in spec.text.split(" "):
            word_id = f"w{len(draft.words) + 1:02d}"
            glyph_ids: list[str] = []
            if word_ids and panel.text:
                panel.text += " "
            for char in piece_of_text:
                if char == "<":
                    at -= KERN * spec.cap_height
                    continue
                if char == "|":
                    panel.text = panel.text.rstrip()
                    panel = DraftPanel(line=row)
                    draft.panels.append(panel)
                    continue
                film = affinity.translate(box_letter(char, spec.cap_height), at, spec.baseline)
                at = film.bounds[2] + spec.letter_gap * spec.cap_height
                panel.glyphs.append(len(draft.films))
                panel.text += char
                glyph_ids.append(_add_glyph(draft, char, film, word_id, line_id, colour))
            at += (spec.word_gap - spec.letter_gap) * spec.cap_height
            text = plain(piece_of_text)
            draft.words.append(Word(word_id, text, tuple(glyph_ids), line_id))
            word_ids.append(word_id)
        end = draft.films[-1].bounds[2]
        ends = (draft.point(spec.start, spec.baseline), draft.point(end, spec.baseline))
        text = plain(spec.text)
        draft.lines.append(Line(line_id, text, tuple(word_ids), ends, float(angle), spec.cap_height, 0))
    return draft


def _add_glyph(draft: Draft, char: str, film: MultiPolygon, word: str, line: str, colour: str) -> str:
    glyph_id = f"g{len(draft.glyphs) + 1:03d}"
    piece_ids: list[str] = []
    placed = draft.to_sign(film)
    for shape in polygons_of(placed):
        piece_ids.append(f"p{len(draft.pieces) + 1:03d}")
        draft.pieces.append(Piece(piece_ids[-1], colour, shape))
    draft.films.append(film)
    draft.glyphs.append(Glyph(glyph_id, char, tuple(piece_ids), word, line, placed.bounds, colour))
    return glyph_id


def to_mark(value: float, step: float = EIGHTH) -> float:
    return round(value / step) * step


def _film(draft: Draft, panel: DraftPanel) -> MultiPolygon:
    return MultiPolygon([part for index in panel.glyphs for part in draft.films[index].geoms])


def _parting(left: MultiPolygon, right: MultiPolygon, v0: float, v1: float) -> tuple[Point, Point]:
    """Return the line from v0 to v1 between two films with most room, plumb where that leaves 1 mm."""
    middle = to_mark((left.bounds[2] + right.bounds[0]) / 2)
    best: tuple[float, int, tuple[Point, Point]] | None = None
    for tilt in range(25):
        for sign in (1, -1):
            for shift in range(-4, 5):
                top = middle + (shift + sign * tilt) * EIGHTH
                low = middle + (shift - sign * tilt) * EIGHTH
                line = LineString([(top, v0), (low, v1)])
                room = min(line.distance(left), line.distance(right))
                if best is None or room > best[0] + 1e-9:
                    best = (room, tilt, ((top, v0), (low, v1)))
        assert best is not None
        if best[0] >= 1.0:
            break
    assert best is not None
    assert best[0] > 0.1, "no straight way between the two films of this sample"
    return best[2]


@dataclass
class Parted:
    """The result of :func:`draft_panels`: finished records but for mats, steps and numbers."""

    panels: list[Panel]
    breaks: list[Break]
    cuts: list[CutLine]


def draft_panels(draft: Draft, colour: str, hinge_kind: str = "auto") -> Parted:
    """Part the sign: a cut between each two lines, then cuts between the panels of each line."""
    long = draft.width if draft.angle == 0 else draft.height
    across = draft.height if draft.angle == 0 else draft.width
    films = [_film(draft, panel) for panel in draft.panels]
    bands = [0.0]
    for upper, lower in pairwise(range(len(draft.specs))):
        foot = max(f.bounds[3] for f, p in zip(films, draft.panels, strict=True) if p.line == upper)
        head = min(f.bounds[1] for f, p in zip(films, draft.panels, strict=True) if p.line == lower)
        bands.append(to_mark((foot + head) / 2))
    bands.append(across)
    cut_ids = [f"cut-{n:02d}" for n in range(1, len(draft.panels))]
    panel_ids = [f"panel-{n:02d}" for n in range(1, len(draft.panels) + 1)]
    regions: list[Polygon] = []
    partings: list[tuple[int, int, tuple[Point, Point]]] = []
    for row in range(len(draft.specs)):
        members = [n for n, panel in enumerate(draft.panels) if panel.line == row]
        v0, v1 = bands[row], bands[row + 1]
        sides: list[tuple[Point, Point]] = [((0.0, v0), (0.0, v1))]
        for a, b in pairwise(members):
            sides.append(_parting(films[a], films[b], v0, v1))
            partings.append((a, b, sides[-1]))
        sides.append(((long, v0), (long, v1)))
        regions.extend(Polygon([s[0], e[0], e[1], s[1]]) for s, e in pairwise(sides))
    cuts = _cuts(draft, bands, partings, cut_ids, panel_ids, long, colour)
    breaks = _breaks(draft, films, bands, partings, panel_ids, long)
    panels = [
        _panel(draft, n, films[n], regions[n], panel_ids[n], breaks, colour, hinge_kind)
        for n in range(len(draft.panels))
    ]
    return Parted(panels, breaks, cuts)


def _cuts(
    draft: Draft,
    bands: list[float],
    partings: list[tuple[int, int, tuple[Point, Point]]],
    ids: list[str],
    panel_ids: list[str],
    long: float,
    colour: str,
) -> list[CutLine]:
    """Return the cut tree: lines from the top one down, then each line from its first panel on."""
    rows = len(bands) - 1
    after_rows = rows - 1
    heads: list[str] = []  # what stands for a whole row in the tree
    row_cuts: list[CutLine] = []
    for row in range(rows):
        members = [n for n, panel in enumerate(draft.panels) if panel.line == row]
        own = [p for p in partings if draft.panels[p[0]].line == row]
        names = [ids[after_rows + len(row_cuts) + k] for k in range(len(own))]
        heads.append(names[0] if names else panel_ids[members[0]])
        for k, (a, b, line) in enumerate(own):
            rest = names[k + 1] if k + 1 < len(names) else panel_ids[b]
            # Walking down the drawing the left hand points to the right side of it.
            row_cuts.append(CutLine(names[k], colour, tuple(draft.point(*p) for p in line), rest, panel_ids[a]))
    line_cuts = []
    for row in range(after_rows):
        lower = ids[row + 1] if row + 1 < after_rows else heads[row + 1]
        ends = (draft.point(0, bands[row + 1]), draft.point(long, bands[row + 1]))
        line_cuts.append(CutLine(ids[row], colour, ends, heads[row], lower))
    return line_cuts + row_cuts


def _gap_at(draft: Draft, a: BaseGeometry, b: BaseGeometry, v: float) -> GapAt | None:
    """Return the gap between two films along u at a height v of the line frame."""
    ray = LineString([(-1e5, v), (1e5, v)])
    left, right = a.intersection(ray), b.intersection(ray)
    if left.is_empty or right.is_empty:
        return None
    gap = right.bounds[0] - left.bounds[2]
    along, at = ("x", v) if draft.angle == 0 else ("y", draft.width - v)
    return GapAt(along, at, to_tape(gap, STEP))


def _breaks(
    draft: Draft,
    films: list[MultiPolygon],
    bands: list[float],
    partings: list[tuple[int, int, tuple[Point, Point]]],
    panel_ids: list[str],
    long: float,
) -> list[Break]:
    found: list[tuple[int, int, str, tuple[Point, Point], list[GapAt]]] = []
    for a, b, line in partings:
        glyph_a, glyph_b = draft.panels[a].glyphs[-1], draft.panels[b].glyphs[0]
        kind = "letter" if draft.glyphs[glyph_a].word == draft.glyphs[glyph_b].word else "word"
        spec = draft.specs[draft.panels[a].line]
        heights = [spec.baseline - spec.cap_height * part for part in (0.02, 0.5, 0.98)]
        measured = [_gap_at(draft, films[a], films[b], v) for v in heights]
        found.append((a, b, kind, line, [gap for gap in measured if gap is not None]))
    for row, v in enumerate(bands[1:-1]):
        for a, upper in enumerate(draft.panels):
            for b, lower in enumerate(draft.panels):
                if (upper.line, lower.line) != (row, row + 1):
                    continue
                u0 = max(films[a].bounds[0], films[b].bounds[0])
                u1 = min(films[a].bounds[2], films[b].bounds[2])
                if u1 - u0 > 1:
                    gap = films[b].bounds[1] - films[a].bounds[3]
                    middle = draft.point((u0 + u1) / 2, v)
                    along, at = ("y", middle[0]) if draft.angle == 0 else ("x", middle[1])
                    line = ((max(u0 - MARGIN, 0.0), v), (min(u1 + MARGIN, long), v))
                    found.append((a, b, "line", line, [GapAt(along, at, to_tape(gap, STEP))]))
    out = []
    for n, (a, b, kind, line, gaps) in enumerate(found, 1):
        ends = tuple(draft.point(*p) for p in line)
        flat = LineString(line)
        room = min(flat.distance(films[a]), flat.distance(films[b]))
        out.append(
            Break(
                id=f"break-{n:02d}",
                panels=(panel_ids[a], panel_ids[b]),
                kind=kind,
                line=ends,
                ends=tuple(BreakEnd(p, from_reference(*p)) for p in ends),
                butts=kind == "letter",
                clearance_mm=room,
                gap=to_tape(films[a].distance(films[b]), STEP),
                gaps=tuple(gaps),
                seam_length=0.0,
                overlap_mm=0.0,
                why=WHY[kind],
            )
        )
    return out


def _panel(
    draft: Draft,
    n: int,
    film_uv: MultiPolygon,
    region: Polygon,
    panel_id: str,
    breaks: list[Break],
    colour: str,
    hinge_kind: str,
) -> Panel:
    panel = draft.panels[n]
    film = draft.to_sign(film_uv)
    x0, y0, x1, y1 = film.bounds
    wanted = box(to_mark(x0 - MARGIN), to_mark(y0 - MARGIN), to_mark(x1 + MARGIN), to_mark(y1 + MARGIN))
    cut = wanted.intersection(draft.to_sign(region)).normalize()
    assert isinstance(cut, Polygon)
    trim = cut
    tx0, ty0, tx1, ty1 = trim.bounds
    pieces = tuple(piece for index in panel.glyphs for piece in draft.glyphs[index].pieces)
    partners = tuple(
        Neighbour(brk.panels[1] if brk.panels[0] == panel_id else brk.panels[0], brk.id)
        for brk in breaks
        if panel_id in brk.panels
    )
    return Panel(
        id=panel_id,
        number=n + 1,
        colour=colour,
        fragments=pieces,
        nodes=tuple(draft.glyphs[index].id for index in panel.glyphs),
        text=panel.text,
        film=film,
        bounds=film.bounds,
        size=Size(to_tape(x1 - x0, STEP), to_tape(y1 - y0, STEP)),
        trim=trim,
        trim_size=Size(to_tape(tx1 - tx0, STEP), to_tape(ty1 - ty0, STEP)),
        from_reference=from_reference(tx0, ty0),
        hinge=make_hinge(trim, film, hinge_kind),
        level=_level(draft, panel),
        trim_lines=trim_lines(trim, film),
        check=CheckMeasure(
            "right side of the trim", edge_distance("right", "right", draft.width - tx1), length(1.5875)
        ),
        neighbours=partners,
        mat="",
        to_mat=(1, 0, 0, 1, 0, 0),
        step=0,
    )


def trim_lines(trim: Polygon, film: MultiPolygon) -> tuple[tuple[Point, ...], ...]:
    """Return the parts of a trim outline at least 1 mm from film, as open lines."""
    ring = LineString([*trim.exterior.coords])
    left = ring.difference(film.buffer(1.0))
    parts = getattr(left, "geoms", [left])
    return tuple(tuple((x, y) for x, y in part.coords) for part in parts if part.length > 1)


def make_hinge(trim: Polygon, film: MultiPolygon, kind: str) -> Hinge:
    x0, y0, x1, y1 = trim.bounds
    tall = film.bounds[3] - film.bounds[1]
    if kind == "auto":
        slim = tall > 4 * (film.bounds[2] - film.bounds[0])
        kind = "side" if slim else ("top" if tall <= 304.8 else "centre")
    if kind == "top":
        line = LineString([(x0, y0), (x1, y0)]).intersection(trim)
        ends = line if isinstance(line, LineString) and line.length > 1 else LineString([(x0, y0), (x1, y0)])
        why = "no taller than 12 in"
    elif kind == "side":
        ends = LineString([(x0, y0), (x0, y1)])
        why = "over four times as tall as wide"
    else:
        middle = to_mark((y0 + y1) / 2)
        ends = LineString([(x0, middle), (x1, middle)])
        why = "taller than 12 in"
    crosses = ends.intersection(film).length
    (ax, ay), (bx, by) = ends.coords[0], ends.coords[-1]
    return Hinge(kind, ((ax, ay), (bx, by)), crosses, from_reference(min(ax, bx), min(ay, by)), why)


def _level(draft: Draft, panel: DraftPanel) -> Level:
    flat = [index for index in panel.glyphs if draft.glyphs[index].text in FLAT]
    baseline = draft.specs[panel.line].baseline
    chosen = flat or panel.glyphs
    low = baseline if flat else max(draft.films[index].bounds[3] for index in chosen)
    points: list[Point] = []
    for index in chosen:
        feet = draft.films[index].intersection(box(-1e5, low - 0.01, 1e5, low + 1))
        for foot in polygons_of(unary_union(feet)):
            points.append(draft.point((foot.bounds[0] + foot.bounds[2]) / 2, low))
    x, y = draft.point(0, low)
    axis, at, edge = ("y", y, "top") if draft.angle == 0 else ("x", x, "left")
    over = 0.0 if flat else low - baseline
    distance = edge_distance(edge, "bottom" if axis == "y" else "left", at)
    return Level(axis, at, distance, tuple(points), over, bool(flat))


def distance_order(centres: dict[str, Point], middle: Point) -> list[str]:
    """Return ids from the one nearest ``middle`` outwards."""
    return sorted(centres, key=lambda name: (round(math.dist(centres[name], middle), 3), name))


def length(mm: float) -> TapeLength:
    """Return a length for people at 1/16 in."""
    return to_tape(mm, STEP)
