"""A drawing at finished size: scale, place, colours, holes, tolerance."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon, box

from bigsign.artwork.drawing import Drawing
from bigsign.artwork.svg_findings import SVG_CODES
from bigsign.errors import InputError
from bigsign.tolerances import TOLERANCES
from tests.artwork.svg_reading import codes, fault_of, read, svg

LEAF = "M20 70 C20 30 50 10 80 10 C80 40 60 70 20 70 Z"


def extent(drawing: Drawing) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = shapely.total_bounds([layer.shape for layer in drawing.shapes])
    return float(x0), float(y0), float(x1), float(y1)


# CSS Values and Units 4, section 6.2: 1 in = 2.54 cm = 25.4 mm = 101.6 Q = 72 pt = 6 pc = 96 px.
@pytest.mark.parametrize(
    ("size", "mm"),
    [
        ("1in", 25.4),
        ("2.54cm", 25.4),
        ("25.4mm", 25.4),
        ("101.6Q", 25.4),
        ("72pt", 25.4),
        ("6pc", 25.4),
        ("96px", 25.4),
        ("96", 25.4),
        ("6em", 25.4),
        ("10e1mm", 100.0),
    ],
)
def test_physical_units(size: str, mm: float) -> None:
    page = svg('<rect width="50" height="50"/>', f'width="{size}" height="{size}" viewBox="0 0 100 100"')
    x0, y0, x1, y1 = extent(read(page, centre=(10.0, 20.0)))
    assert (x1 - x0, y1 - y0) == pytest.approx((mm / 2, mm / 2), abs=1e-9)
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((10, 20), abs=1e-9)


@pytest.mark.parametrize("length", ["10%", "9.6px", "0.1in", "0.254cm", "2.54mm", "10.16Q", "7.2pt", "0.6pc"])
def test_lengths_inside(length: str) -> None:
    page = svg(f'<rect width="{length}" height="48"/>', 'width="1in" height="1in"')
    x0, _, x1, _ = extent(read(page))
    assert x1 - x0 == pytest.approx(2.54, abs=1e-9)


@settings(max_examples=25, deadline=None)
@given(st.floats(20, 3000), st.floats(-500, 500), st.floats(-500, 500))
def test_width_and_centre_are_of_the_film(width: float, x: float, y: float) -> None:
    x0, y0, x1, y1 = extent(read(svg(f'<path d="{LEAF}"/>'), width=width, centre=(x, y)))
    assert x1 - x0 == pytest.approx(width, rel=1e-9)
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((x, y), abs=1e-6)


def test_height_keeps_the_shape_in_proportion() -> None:
    x0, y0, x1, y1 = extent(read(svg('<rect x="3" y="5" width="40" height="10"/>'), height=200.0))
    assert (x1 - x0, y1 - y0) == pytest.approx((800, 200))


@pytest.mark.parametrize("page", ['width="1in" height="1in" viewBox="0 0 1 1"', 'viewBox="0 0 1 1"'])
@pytest.mark.parametrize("size", [20.0, 1000.0, 3000.0])
def test_curves_hold_the_tolerance_at_finished_size(page: str, size: float) -> None:
    circle = read(svg('<circle cx=".5" cy=".5" r=".4"/>', page), width=size)
    (layer,) = circle.shapes
    edge = layer.shape.geoms[0].exterior.segmentize(size / 2000)
    far = max(abs(math.hypot(x, y) - size / 2) for x, y in edge.coords)
    assert far <= TOLERANCES.flatten


def test_tolerance_holds_where_a_hole_leaves_little_of_a_drawing() -> None:
    body = (
        '<rect width="1000" height="1000" fill="#fff"/>'
        '<circle cx="500" cy="500" r="10" fill="#000"/><path d="M0 0H1000V400H0z" fill="#fff"/>'
    )
    drawing = read(svg(body, 'viewBox="0 0 1000 1000"'), width=800.0, colours={"#ffffff": "none"})
    (layer,) = drawing.shapes
    assert extent(drawing)[2] - extent(drawing)[0] == pytest.approx(800)
    edge = layer.shape.geoms[0].exterior.segmentize(0.5)
    assert max(abs(math.hypot(x, y) - 400) for x, y in edge.coords) <= TOLERANCES.flatten


def test_a_colour_mapped_to_none_cuts_what_is_beneath_only() -> None:
    body = (
        '<rect width="60" height="60" fill="#111111"/><circle cx="30" cy="30" r="10" fill="#ffffff"/>'
        '<rect x="25" y="25" width="10" height="10" fill="#ff0000"/>'
    )
    drawing = read(svg(body, 'width="60" height="60"'), width=60.0, colours={"#FFFFFF": "none"})
    assert [layer.colour for layer in drawing.shapes] == ["#111111", "#ff0000"]
    black, red = (layer.shape for layer in drawing.shapes)
    assert black.area == pytest.approx(3600 - math.pi * 100, rel=1e-3)
    assert red.area == pytest.approx(100)
    assert not black.contains(Point(0, 0))


def test_colours_are_mapped() -> None:
    body = '<rect width="9" height="9" fill="teal"/><rect x="20" width="9" height="9" fill="#abc"/>'
    drawing = read(svg(body), colours={"#008080": "#0000ff"})
    assert [layer.colour for layer in drawing.shapes] == ["#0000ff", "#aabbcc"]
    assert codes(drawing) == []


def test_a_colour_that_is_not_there_is_reported() -> None:
    drawing = read(svg('<rect width="9" height="9"/>'), colours={"#00ff00": "none"})
    assert codes(drawing) == ["svg-colour"]


def test_everything_mapped_to_none_is_no_drawing() -> None:
    with pytest.raises(InputError, match="no filled shapes"):
        read(svg('<rect width="9" height="9"/>'), colours={"#000000": "none"})


def test_page_edge_cuts_and_says_so() -> None:
    page = 'width="100mm" height="80mm" viewBox="0 0 100 80"'
    drawing = read(svg('<rect x="60" y="10" width="100" height="20" id="long"/>', page))
    assert codes(drawing) == ["svg-page-edge"]
    assert drawing.findings[0].source is not None
    assert drawing.findings[0].source.element == "rect#long"
    x0, _, x1, _ = extent(drawing)
    assert x1 - x0 == pytest.approx(40)


def test_a_shape_that_ends_at_the_edge_is_no_matter() -> None:
    assert codes(read(svg('<rect x="60" width="40" height="20"/>'))) == []


def test_whole_page() -> None:
    body = '<rect width="100" height="80" fill="#fff"/><rect x="5" y="5" width="9" height="9"/>'
    assert codes(read(svg(body))) == ["svg-whole-page"]
    assert codes(read(svg(body), colours={"#ffffff": "none"})) == []


def test_a_view_box_alone_is_px_and_doubted() -> None:
    drawing = read(svg('<rect width="96" height="9"/>', 'viewBox="0 0 200 100"'))
    assert codes(drawing) == ["svg-size"]
    assert extent(drawing)[2] * 2 == pytest.approx(25.4)
    assert codes(read(svg('<rect width="96" height="9"/>', 'viewBox="0 0 200 100"'), width=50.0)) == []


def test_one_side_and_the_view_box() -> None:
    drawing = read(svg('<rect width="200" height="100"/>', 'width="100mm" viewBox="0 0 200 100"'))
    x0, y0, x1, y1 = extent(drawing)
    assert (x1 - x0, y1 - y0) == pytest.approx((100, 50))


def test_no_page_needs_a_size_in_the_project() -> None:
    bare = svg('<rect x="-5" width="10" height="5"/><rect width="50%" height="9"/>', "")
    assert fault_of(bare).what == "the drawing has no size"
    drawing = read(bare, width=100.0)
    assert codes(drawing) == ["svg-unit"]
    assert extent(drawing) == pytest.approx((-50, -25, 50, 25))


def test_order_source_and_validity() -> None:
    body = '<g>\n<path id="a" d="M0 0h9v9h-9z M2 2h3v3h-3z"/>\n<rect x="20" width="9" height="9" fill="red"/></g>'
    first, second = read(svg(body)).shapes
    assert (first.source.file, first.source.line, first.source.element) == ("leaf.svg", 3, "path#a")
    assert (second.source.line, second.source.element) == (4, "rect")
    assert first.shape.is_valid
    assert second.shape.is_valid


def test_same_bytes_same_shapes() -> None:
    style = "<style>path{fill:red}</style>"
    text = svg(f'{style}<path d="{LEAF}" stroke="blue" stroke-width="3"/><text>a</text>')
    one, other = read(text, width=333.0), read(text, width=333.0)
    assert [layer.shape.wkb for layer in one.shapes] == [layer.shape.wkb for layer in other.shapes]
    assert one.findings == other.findings


def test_a_drawing_larger_than_any_film() -> None:
    page = svg('<rect width="9" height="9"/>', 'width="2000000mm" height="2000000mm" viewBox="0 0 9 9"')
    assert "too large" in fault_of(page).what or "width is" in fault_of(page).what


def test_width_and_height_exclude_one_another() -> None:
    with pytest.raises(InputError, match="both"):
        read(svg('<rect width="9" height="9"/>'), width=5.0, height=5.0)


def test_strokes_are_film_of_their_own() -> None:
    body = '<path d="M10 20H60" stroke="#123456" stroke-width="10" fill="none"/>'
    (layer,) = read(svg(body), width=50.0).shapes
    assert layer.colour == "#123456"
    assert layer.shape.symmetric_difference(box(-25, -5, 25, 5)).area < 0.01


def test_dust_does_not_count_for_the_size() -> None:
    speck = '<rect x="5" y="20" width="0.0000001" height="40"/>'
    drawing = read(svg(speck + '<circle cx="80" cy="40" r="10"/>', 'width="100" height="80"'), width=304.8)
    (circle,) = drawing.shapes
    assert circle.shape.bounds[2] - circle.shape.bounds[0] == pytest.approx(304.8, abs=1e-6)


def test_a_line_thinner_than_any_film_is_left_out_with_a_word() -> None:
    hair = '<path d="M22 17a2 2 0 0 1-2 2H6.8a2 2 0 0 0-1.4.6" fill="none" stroke="red" stroke-width="0.0000001"/>'
    drawing = read(svg(hair + '<rect width="9" height="9"/>', 'width="24" height="24"'), width=304.8)
    assert len(drawing.shapes) == 1
    assert "thinner than 0.005 mm" in str(drawing.findings)


def test_every_code_is_explained() -> None:
    assert all(code.startswith("svg-") and text for code, text in SVG_CODES.items())


def test_findings_speak_plainly() -> None:
    drawing = read(svg('<rect width="9" height="9" filter="url(#f)" id="seed"/>'))
    (finding,) = drawing.findings
    assert finding.message == "rect#seed (line 2): its filter was left out"
    assert finding.remedy
    assert isinstance(drawing.shapes[0].shape.geoms[0], Polygon)


def test_loading_the_module_loads_no_parser() -> None:
    heavy = "{'lxml', 'svgelements', 'pathops', 'tinycss2', 'cssselect2'}"
    script = f"import sys, bigsign.artwork.drawing; print(sorted({heavy} & set(sys.modules)))"
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
