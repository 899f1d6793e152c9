"""Cut files: real size, the groups of the contract, and the same film as the plan when a renderer draws them."""

from __future__ import annotations

import io
import re

import pytest
import resvg_py
import shapely
from lxml import etree
from PIL import Image
from shapely.affinity import affine_transform
from shapely.geometry import Point

from bigsign.output.cut_files import cut_svg
from bigsign.output.preview import preview_png, preview_svg
from tests.demos import DEMOS, demo_plan

SVG = "{http://www.w3.org/2000/svg}"
SCALE = 3  # pixels a mm


@pytest.mark.parametrize("name", DEMOS)
def test_size_groups_and_order(name: str) -> None:
    plan = demo_plan(name)
    for mat in plan.mats:
        root = etree.fromstring(cut_svg(plan, mat))
        assert float(root.get("width", "").removesuffix("mm")) == pytest.approx(mat.width)
        assert float(root.get("height", "").removesuffix("mm")) == pytest.approx(mat.length)
        assert [float(v) for v in root.get("viewBox", "").split()] == pytest.approx([0, 0, mat.width, mat.length])
        ids = [child.get("id") for child in root]
        wanted = []
        for panel in sorted((plan.panel(p) for p in mat.panels), key=lambda p: p.number):
            wanted += [f"panel-{panel.number}"] + ([f"trim-{panel.number}"] if panel.trim_lines else [])
        assert ids == wanted
        assert b"transform" not in cut_svg(plan, mat)
        for group in root.iter(f"{SVG}g"):
            if (group.get("id") or "").startswith("panel-"):
                paths = [path.get("d") or "" for path in group.iter(f"{SVG}path")]
                assert paths
                assert all(re.fullmatch(r"(?:M[-\d. ]+L[-\d. ]+Z ?)+", d) for d in paths)


@pytest.mark.parametrize("name", DEMOS)
def test_a_renderer_draws_the_film_of_the_plan(name: str) -> None:
    """resvg, as an outside renderer: every pixel whose middle lies a pixel clear of an edge agrees with the plan."""
    plan = demo_plan(name)
    mat = plan.mats[0]
    svg = re.sub(rb'<g id="trim-\d+".*?</g>', b"", cut_svg(plan, mat), flags=re.S).decode()
    png = bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96, width=round(mat.width * SCALE)))
    alpha = Image.open(io.BytesIO(png)).convert("RGBA").getchannel("A")
    films = []
    for panel_id in mat.panels:
        a, b, c, d, e, f = plan.panel(panel_id).to_mat
        films.append(affine_transform(plan.panel(panel_id).film, [a, c, b, d, e, f]))
    film = shapely.union_all(films)
    edge = film.boundary
    shapely.prepare(film)
    wrong = checked = 0
    step = 7
    per_mm = alpha.width / mat.width
    for px in range(0, alpha.width, step):
        for py in range(0, alpha.height, step):
            middle = Point((px + 0.5) / per_mm, (py + 0.5) / per_mm)
            inside = film.contains(middle)
            value = alpha.getpixel((px, py))
            assert isinstance(value, int)
            if (value > 127) != inside and edge.distance(middle) > 0.03 + 1 / per_mm:
                wrong += 1
            checked += inside
    assert checked > 100
    assert wrong == 0


@pytest.mark.parametrize("name", DEMOS)
def test_the_preview_is_drawn_by_a_renderer(name: str) -> None:
    svg = preview_svg(demo_plan(name))
    image = Image.open(io.BytesIO(preview_png(svg, 400)))
    assert max(image.size) == 400
    assert len(image.convert("RGB").getcolors(100_000) or ()) > 10
    assert demo_plan(name)._repr_svg_() == svg
