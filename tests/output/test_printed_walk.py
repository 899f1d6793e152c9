"""A walk with what is on the bench: panels cut from the cut files, set by the words of the printed guide.

Nothing of the plan is used to set them: the guide is read as text (PDFium), the cut files as paths. The artwork they
must come out as is the plan's pieces.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pypdfium2
import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bigsign.output.folder import write_all
from bigsign.plan_records import Plan
from bigsign.units import parse_length
from tests.demos import demo_plan

SIDES = {"left": (0, 0), "right": (0, 1), "top": (1, 0), "bottom": (1, 1)}
SIDES |= {"leftmost": (0, 0), "rightmost": (0, 1), "highest": (1, 0), "lowest": (1, 1)}
LENGTH = r"\d[\d /]*? (?:in|mm)"
SET = re.compile(
    rf"See that its (?:trim’s )?(left|right|top|bottom|leftmost|rightmost|highest|lowest) (?:trim edge|corner) "
    rf"stands ({LENGTH}) from the (\w+) edge\."
)
CHECK = re.compile(rf"Check: the letters’ feet ({LENGTH}) from the (\w+) edge, within ({LENGTH})\.")


Walk = tuple[Plan, dict[int, BaseGeometry]]


@dataclass(frozen=True)
class CutPanel:
    """A panel as the cutter leaves it: its film, and the points of its trim lines, in the mat's frame."""

    film: BaseGeometry
    trim: BaseGeometry


def paths(group: str) -> list[list[tuple[float, float]]]:
    """Return the polylines of a group's paths; a curve is taken at 24 places."""
    out: list[list[tuple[float, float]]] = []
    for data in re.findall(r' d="([^"]+)"', group):
        for part in re.findall(r"M[^M]+", data):
            points: list[tuple[float, float]] = []
            for letter, figures in re.findall(r"([MLC])([^MLCZ]*)", part):
                numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", figures)]
                pairs = list(zip(numbers[::2], numbers[1::2], strict=True))
                if letter != "C":
                    points += pairs
                    continue
                for a, b, c in zip(pairs[::3], pairs[1::3], pairs[2::3], strict=True):
                    start = points[-1]
                    for t in (n / 24 for n in range(1, 25)):
                        s = 1 - t
                        w = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
                        four = (start, a, b, c)
                        points.append((sum(k * p[0] for k, p in zip(w, four, strict=True)),
                                       sum(k * p[1] for k, p in zip(w, four, strict=True))))  # fmt: skip
            out.append(points)
    return out


def cut_panels(folder: Path) -> dict[int, CutPanel]:
    out: dict[int, CutPanel] = {}
    for file in sorted((folder / "mats").glob("*.svg")):
        groups = dict(re.findall(r'<g id="([a-z]+-\d+)"[^>]*>(.*?)</g>', file.read_text("utf-8"), re.DOTALL))
        for name, group in groups.items():
            if name.startswith("panel-"):
                number = int(name.removeprefix("panel-"))
                film: BaseGeometry = Polygon()
                for ring in paths(group):
                    film = film.symmetric_difference(Polygon(ring))  # even-odd
                lines = [point for line in paths(groups[f"trim-{number}"]) for point in line]
                out[number] = CutPanel(film, Polygon(lines).envelope if len(lines) > 2 else Polygon())
    return out


def printed_pages(folder: Path) -> dict[int, str]:
    """Return the text of each panel's pages, lines of a paragraph joined."""
    document = pypdfium2.PdfDocument(folder / "guide.pdf")
    out: dict[int, str] = {}
    for page in document:
        text = page.get_textpage().get_text_range()
        if found := re.match(r"Panel (\d+)(?:,| |\r|\n)", text):
            number = int(found[1])
            out[number] = out.get(number, "") + " " + " ".join(text.split())
    return out


def trim_box(trim: BaseGeometry, said: str) -> list[float]:
    """Return the trim outline's box; a side without a cut line is set off by the printed size."""
    box = list(trim.bounds)
    size = re.search(rf"Trim size ({LENGTH}) × ({LENGTH})", said)
    by_hand = re.search(r"Trim by hand ([a-z, ]+?)(?: [A-Z0-9]|$)", said)
    assert size is not None
    for side in by_hand[1].split(", ") if by_hand else []:
        axis, end = SIDES[side.split()[0]]
        length = parse_length(size[1 + axis])
        box[axis + 2 * end] = box[axis + 2 * (1 - end)] + (length if end else -length)
    return box


def lay(panel: CutPanel, said: str, board: tuple[float, float], artwork: BaseGeometry) -> BaseGeometry:
    """Return the panel's film on the board, turned upright and set by the two printed distances of its trim."""
    distances = SET.findall(said)
    assert len(distances) == 2, said
    best: tuple[float, BaseGeometry] | None = None
    for quarter in (0, 90, 180, 270):
        film = rotate(panel.film, quarter, origin=(0, 0))
        box = trim_box(rotate(panel.trim, quarter, origin=(0, 0)), said)
        move = [0.0, 0.0]
        for side, length, edge in distances:
            axis, end = SIDES[side]
            away = parse_length(length)
            place = away if edge in ("left", "top") else board[axis] - away
            move[axis] = place - box[axis + 2 * end]
        laid = translate(film, *move)
        off = float(laid.difference(artwork).area)  # a person sees which way up the letters read
        if best is None or off < best[0]:
            best = off, laid
    assert best is not None
    return best[1]


@pytest.fixture(scope="module", params=["farm_stand", "boat_shed", "seed_library", "one_mat"])
def walk(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Walk:
    plan = demo_plan(request.param)
    folder = tmp_path_factory.mktemp("walk") / "out"
    write_all(plan, folder)
    said, cut = printed_pages(folder), cut_panels(folder)
    artwork = unary_union([piece.shape for piece in plan.pieces])
    board = (plan.sign.width.mm, plan.sign.height.mm)
    assert sorted(said) == sorted(cut) == [panel.number for panel in plan.panels]
    for panel in plan.panels:
        if found := CHECK.search(said[panel.number]):
            laid = lay(cut[panel.number], said[panel.number], board, artwork)
            aside = 3 * parse_length(found[3])
            run = feet_at(plan, laid, found)
            assert run > 5.0
            assert feet_at(plan, translate(laid, aside, aside), found) < run / 2
    return plan, {number: lay(cut[number], said[number], board, artwork) for number in cut}


def feet_at(plan: Plan, laid: BaseGeometry, found: re.Match[str]) -> float:
    """Return how much of the laid film's outline runs along the printed distance, within the printed tolerance."""
    away, tolerance = parse_length(found[1]), parse_length(found[3])
    axis = 0 if found[2] in ("left", "right") else 1
    extent = (plan.sign.width.mm, plan.sign.height.mm)[axis]
    place = away if found[2] in ("left", "top") else extent - away
    run = 0.0
    for polygon in getattr(laid, "geoms", [laid]):
        points = list(polygon.exterior.coords)
        for one, two in pairwise(points):
            if abs(one[axis] - two[axis]) < 0.02 and abs(one[axis] - place) <= tolerance:
                run += abs(one[1 - axis] - two[1 - axis])
    return run


def test_the_sign_comes_out_within_the_tape(walk: Walk) -> None:
    plan, laid = walk
    reach = plan.tape_step.mm / 2 * 2**0.5 + 0.05  # rounding across and down, and the outline's own 0.03 mm
    assert reach <= 1.2
    for panel in plan.panels:
        assert laid[panel.number].hausdorff_distance(panel.film) <= reach
    whole = unary_union(list(laid.values()))
    assert whole.hausdorff_distance(unary_union([piece.shape for piece in plan.pieces])) <= reach


def test_gaps_come_out_as_printed(walk: Walk) -> None:
    plan, laid = walk
    for part in plan.breaks:
        one, two = (laid[plan.panel(name).number] for name in part.panels)
        assert abs(one.distance(two) - parse_length(part.gap.tape)) <= 1.5 * plan.tape_step.mm
