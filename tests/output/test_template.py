"""The template, measured from its PDF: full size to a tenth of a millimetre, and joined it is the artwork."""

from __future__ import annotations

import io
import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pypdfium2
import pytest
from pdfplumber import open as open_pdf
from PIL import Image, ImageDraw
from shapely import unary_union
from shapely.geometry import MultiPolygon

from bigsign.output.folder import write_all
from bigsign.output.template import template_pdf
from bigsign.plan_records import Plan
from bigsign.sheets.grid import PAPERS, page_size
from bigsign.sheets.lay_template import lay_template
from bigsign.sheets.style import film_tint
from tests.demos import DEMOS, demo_plan
from tests.output.test_guide import MM, drawn_boxes, off

DPI = 300
Mask = npt.NDArray[np.bool_]


@cache
def made(name: str, paper: str) -> tuple[Plan, dict[str, Any], bytes]:
    """Return a demo's plan, its template as plan.json has it, and the file."""
    plan = demo_plan(name)
    template = lay_template(plan, paper)
    return plan, json.loads(json.dumps(template.record)), template_pdf(template, plan)


@pytest.mark.parametrize("name", ["farm_stand", "one_mat"])
def test_the_same_plan_gives_the_same_bytes(name: str) -> None:
    plan, _, first = made(name, "letter")
    assert template_pdf(lay_template(plan, "letter"), plan) == first


@pytest.mark.parametrize(("name", "paper"), [("farm_stand", "letter"), ("boat_shed", "a3"), ("one_mat", "a4")])
def test_film_and_trims_lie_where_plan_json_says_at_full_size(name: str, paper: str) -> None:
    """Each outline that a sheet shows whole, within 0.1 mm; there are some on the sheets of every demo."""
    plan, record, data = made(name, paper)
    measured = 0
    with open_pdf(io.BytesIO(data)) as pdf:
        for page in record["pages"]:
            x0, y0, x1, y1 = page["sign_box"]
            dx, dy = page["paper_origin_mm"][0] - x0, page["paper_origin_mm"][1] - y0
            found = drawn_boxes(pdf.pages[page["page"] - 1])
            for shape in [*(piece.shape for piece in plan.pieces), *(panel.trim for panel in plan.panels)]:
                a, b, c, d = shape.bounds
                if x0 < a and y0 < b and x1 > c and y1 > d:
                    assert off((a + dx, b + dy, c + dx, d + dy), found) < 0.1
                    measured += 1
    assert measured > 3


@pytest.mark.parametrize(("name", "paper"), [("farm_stand", "letter"), ("seed_library", "a4"), ("one_mat", "tabloid")])
def test_joining_marks_of_neighbours_are_the_same_point_of_the_sign(name: str, paper: str) -> None:
    """The crosses are measured in the file, and their names stand beside them, on every sheet that meets there."""
    _, record, data = made(name, paper)
    at = {mark["id"]: mark["at"] for mark in record["marks"]}
    seen: dict[str, int] = dict.fromkeys(at, 0)
    with open_pdf(io.BytesIO(data)) as pdf:
        for page in record["pages"]:
            drawn = pdf.pages[page["page"] - 1]
            found = drawn_boxes(drawn)
            words = {word["text"]: word for word in drawn.extract_words()}
            dx, dy = (page["paper_origin_mm"][n] - page["sign_box"][n] for n in (0, 1))
            for name in page["marks"]:
                x, y = at[name][0] + dx, at[name][1] + dy
                assert off((x - 4.5, y, x + 4.5, y), found) < 0.1
                assert off((x, y - 4.5, x, y + 4.5), found) < 0.1
                assert off((x - 1.8, y - 1.8, x + 1.8, y + 1.8), found) < 0.1
                word = words[name]
                assert abs((word["x0"] + word["x1"]) / 2 / MM - x) < 12
                assert abs((word["top"] + word["bottom"]) / 2 / MM - y) < 9
                seen[name] += 1
    assert max(seen.values()) > 1
    assert min(seen.values()) >= 1


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_squares_and_ruler_on_the_first_page_are_true(paper: str) -> None:
    with open_pdf(io.BytesIO(made("farm_stand", paper)[2])) as pdf:
        first = pdf.pages[0]
        found = drawn_boxes(first)
        ticks = sorted({round(b[0], 2) for b in found if abs(b[2] - b[0]) < 0.01 and abs(b[3] - b[1] - 4.0) < 0.01})
    for side in (100.0, 25.4):
        assert any(abs(b[2] - b[0] - side) < 0.02 and abs(b[3] - b[1] - side) < 0.02 for b in found)
    start = ticks[0]
    for length in (25.4, 152.4, 10.0, 150.0):
        assert min(abs(tick - start - length) for tick in ticks) < 0.02


@pytest.mark.parametrize(("name", "paper"), [("farm_stand", "letter"), ("boat_shed", "tabloid"), ("one_mat", "a3")])
def test_paper_size_clear_edge_scale_and_fonts(name: str, paper: str) -> None:
    plan, _, data = made(name, paper)
    wanted = {tuple(round(v, 1) for v in PAPERS[paper]), tuple(round(v, 1) for v in PAPERS[paper][::-1])}
    with open_pdf(io.BytesIO(data)) as pdf:
        for page in pdf.pages:
            assert (round(page.width / MM, 1), round(page.height / MM, 1)) in wanted
            for thing in [*page.lines, *page.rects, *page.curves, *page.chars]:
                assert min(thing["x0"], thing["top"]) >= 10 * MM
                assert thing["x1"] <= page.width - 10 * MM
                assert thing["bottom"] <= page.height - 10 * MM
            text = page.extract_text()
            assert "FULL SIZE" in text
            assert plan.sign.name in text
            assert "\ufffd" not in text
            assert all("+" in char["fontname"] and "Lato" in char["fontname"] for char in page.chars)


def film_mask(plan: Plan, shift: tuple[float, float], size: tuple[int, int], fine: tuple[float, float]) -> Mask:
    """Return where a page shows film, from the artwork alone.

    ``shift`` is what to add to a point of the sign for its place on the paper, mm; ``fine``: pixels a mm, across, down.
    """
    mask = np.zeros((size[1], size[0]), dtype=bool)
    for piece in plan.pieces:
        one = Image.new("1", size)
        draw = ImageDraw.Draw(one)
        # polygons are filled with all pixels that their edges touch: half a pixel less all round makes up for it
        inner = piece.shape.buffer(-12.7 / DPI)
        for part in inner.geoms if isinstance(inner, MultiPolygon) else [inner]:
            for n, ring in enumerate((part.exterior, *part.interiors)):
                # a pixel's place is its middle
                points = [((x + shift[0]) * fine[0] - 0.5, (y + shift[1]) * fine[1] - 0.5) for x, y in ring.coords]
                draw.polygon(points, n == 0)
        mask |= np.asarray(one)
    return mask


@pytest.mark.parametrize(("name", "paper"), [("farm_stand", "letter"), ("boat_shed", "a3")])
def test_rendered_and_joined_it_is_the_artwork(name: str, paper: str) -> None:
    """At 300 dpi, in each sheet's own cell: 99.9 % of the film is inked, 99.9 % of the film's tint lies on film."""
    plan, record, data = made(name, paper)
    document = pypdfium2.PdfDocument(data)
    tints = np.array(
        [[int(film_tint(colour)[n : n + 2], 16) for n in (1, 3, 5)] for colour in {p.colour for p in plan.pieces}]
    )
    film_pixels = inked_pixels = tinted_pixels = right_pixels = 0
    width, height = page_size(paper, lay_template(plan, paper).grid.landscape)
    for page in record["pages"]:
        sheet = document[page["page"] - 1].render(scale=DPI / 72).to_numpy()[:, :, 2::-1]
        fine = sheet.shape[1] / width, sheet.shape[0] / height  # the page fills the picture's whole pixels
        origin, box, cell = page["paper_origin_mm"], page["sign_box"], page["cell"]
        shift = (origin[0] - box[0], origin[1] - box[1])
        film = film_mask(plan, shift, (sheet.shape[1], sheet.shape[0]), fine)
        x0, y0, x1, y1 = (round((cell[n] + shift[n % 2]) * fine[n % 2]) for n in range(4))
        film, sheet = film[y0:y1, x0:x1], sheet[y0:y1, x0:x1]
        inked = (sheet < 250).any(axis=2)
        tinted = (sheet[:, :, None, :] == tints).all(axis=3).any(axis=2)
        film_pixels += int(film.sum())
        inked_pixels += int((film & inked).sum())
        tinted_pixels += int(tinted.sum())
        right_pixels += int((film & tinted).sum())
    assert inked_pixels >= 0.999 * film_pixels
    assert right_pixels >= 0.999 * tinted_pixels
    assert tinted_pixels > 0.8 * film_pixels
    film_seen = unary_union([piece.shape for piece in plan.pieces]).area
    assert inked_pixels * (25.4 / DPI) ** 2 == pytest.approx(film_seen, rel=0.005)  # no sheet is missing


@pytest.mark.parametrize("name", DEMOS)
def test_it_is_written_and_listed_and_plan_json_says_where_sheets_lie(name: str, tmp_path: Path) -> None:
    plan = demo_plan(name)
    paper = plan.project.plan.template_paper or plan.project.plan.paper
    write_all(plan, tmp_path / "out")
    data = json.loads((tmp_path / "out" / "plan.json").read_text("utf-8"))
    assert "template.pdf" in data["files"]
    assert (tmp_path / "out" / "template.pdf").read_bytes() == made(name, paper)[2]
    assert data["template"] == made(name, paper)[1]
    assert data["template"]["paper"] == paper
