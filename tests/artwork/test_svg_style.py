"""The cascade and paints, by what comes out; what the renderer of the other tests gets wrong is here."""

from __future__ import annotations

import pytest
import shapely

from bigsign.artwork.svg_colour import parse_colour, parse_paint, parse_url
from tests.artwork.svg_reading import codes, read, svg

PAIR = (
    '<rect id="one" class="a b" width="10" height="10"/><g class="g"><rect id="two" x="20" width="10" height="10"/></g>'
)


def colours(style: str, body: str = PAIR) -> list[str]:
    return [layer.colour for layer in read(svg(f"<style>{style}</style>{body}")).shapes]


@pytest.mark.parametrize(
    ("style", "expected"),
    [
        ("", ["#000000", "#000000"]),
        ("rect{fill:red}", ["#ff0000", "#ff0000"]),
        (".g rect{fill:red}", ["#000000", "#ff0000"]),
        (".g > rect{fill:red} rect{fill:lime}", ["#00ff00", "#ff0000"]),
        (".a.b{fill:red} .a{fill:lime}", ["#ff0000", "#000000"]),
        ("#one{fill:red} .a{fill:lime!important}", ["#00ff00", "#000000"]),
        ("rect + g rect{fill:red}", ["#000000", "#ff0000"]),
        ("rect ~ g rect{fill:red}", ["#000000", "#ff0000"]),
        ("[id=two]{fill:red}", ["#000000", "#ff0000"]),
        ("rect:first-child{fill:red}", ["#000000", "#ff0000"]),
        ("rect:not(.a){fill:red}", ["#000000", "#ff0000"]),
        ("rect{fill:red;fill:nonsense}", ["#ff0000", "#ff0000"]),
        ("rect{FILL:RED}", ["#ff0000", "#ff0000"]),
        ("@media screen{rect{fill:red}}", ["#ff0000", "#ff0000"]),
        ("@media print{rect{fill:red}}", ["#000000", "#000000"]),
        ("@media print, all{rect{fill:red}}", ["#ff0000", "#ff0000"]),
        (".g{color:red} #two{fill:currentColor}", ["#000000", "#ff0000"]),
        (".g{fill:red} #two{fill:initial}", ["#000000", "#000000"]),
        ("/* .a{fill:red} */ #two{/* */fill/* */: red}", ["#000000", "#ff0000"]),
        ("#one::before{fill:red}", ["#000000", "#000000"]),
        ("rect:hover{fill:red}", ["#000000", "#000000"]),
    ],
)
def test_cascade(style: str, expected: list[str]) -> None:
    assert colours(style) == expected


def test_presentation_attribute_is_weakest_and_style_attribute_strong() -> None:
    body = '<rect fill="lime" width="9" height="9"/><rect fill="lime" style="fill:blue" x="20" width="9" height="9"/>'
    assert colours("", body) == ["#00ff00", "#0000ff"]
    assert colours("*{fill:red}", body) == ["#ff0000", "#0000ff"]
    assert colours("*{fill:red!important}", body) == ["#ff0000", "#ff0000"]


def test_print_sheets_and_other_languages_do_not_count() -> None:
    other = '<style media="print">rect{fill:red}</style><style type="text/less">rect{fill:red}</style>'
    assert colours("", other + PAIR) == ["#000000", "#000000"]


@pytest.mark.parametrize(
    "style",
    [
        "@import url(more.css);",
        "@supports (fill:red){rect{fill:red}}",
        "@media (min-width:5px){rect{fill:red}}",
        "rect{fill:var(--c)}",
        "rect{stroke-width:calc(1px + 2px)}",
        "rect{fill:nonsense}",
        "rect:banana{fill:red}",
        "rect{scale:2}",
        "rect{translate:3px}",
        "rect{d:path('M0 0h9v9z')}",
        "rect{all:unset}",
        "}{",
        "rect{fill red}",
    ],
)
def test_what_is_not_read_is_reported(style: str) -> None:
    drawing = read(svg(f"<style>{style}</style>{PAIR}"))
    assert codes(drawing) == ["svg-css"]
    assert len(drawing.shapes) == 2


def test_style_findings_name_the_line() -> None:
    (finding,) = read(svg(f"<style>\nrect{{fill:red}}\n@import url(a.css);\n</style>{PAIR}")).findings
    assert finding.source is not None
    assert finding.source.line == 4


def test_keyframes_are_an_animation() -> None:
    assert codes(read(svg(f"<style>@keyframes a{{to{{x:5px}}}}</style>{PAIR}"))) == ["svg-animation"]


def test_style_transform_takes_units() -> None:
    # CSS Transforms 1, section 8: lengths in a style need units.
    body = (
        '<rect width="20" height="10" style="transform: translate(30px, 10%)"/>'
        '<rect x="40" y="40" width="20" height="10"'
        ' style="transform-origin: 50px 45px; transform: rotate(90deg)"/>'
        '<rect x="70" y="10" width="10" height="20"'
        ' style="transform-box: fill-box; transform-origin: center; transform: scale(2)"/>'
    )
    drawing = read(svg(body), centre=(0.0, 0.0))
    assert codes(drawing) == []
    boxes = [layer.shape.bounds for layer in drawing.shapes]
    scale = 25.4 / 96
    x0, y0 = boxes[0][0] - 30 * scale, boxes[0][1] - 8 * scale
    found = [tuple(round((value - (x0, y0)[k % 2]) / scale, 6) for k, value in enumerate(box)) for box in boxes]
    assert found == [(30, 8, 50, 18), (45, 35, 55, 55), (65, 0, 85, 40)]


def test_geometry_from_styles() -> None:
    # SVG 2, section 7.1: geometry properties are style properties.
    (layer,) = read(svg('<style>rect{width:50px}</style><rect width="9" height="10"/>')).shapes
    x0, y0, x1, y1 = layer.shape.bounds
    assert (x1 - x0) / (y1 - y0) == pytest.approx(5)


def test_em_follows_the_font_size() -> None:
    body = (
        '<g style="font:bold 20px/1.2 sans-serif"><rect width="2em" height="1em"/></g>'
        '<rect x="60" width="1em" height="9"/>'
    )
    boxes = [layer.shape.bounds for layer in read(svg(body)).shapes]
    widths = [(x1 - x0) * 96 / 25.4 for x0, _, x1, _ in boxes]
    assert widths == pytest.approx([40, 16])


@pytest.mark.parametrize(
    ("text", "rgb", "alpha"),
    [
        ("red", "#ff0000", 1.0),
        ("#ABC", "#aabbcc", 1.0),
        ("#11223380", "#112233", 128 / 255),
        ("rgb(1, 2, 3)", "#010203", 1.0),
        ("rgba(255,0,0,.5)", "#ff0000", 0.5),
        ("hsl(240 100% 50%)", "#0000ff", 1.0),
        ("transparent", "#000000", 0.0),
        ("rgb(300,-5,0)", "#ff0000", 1.0),
    ],
)
def test_colours(text: str, rgb: str, alpha: float) -> None:
    colour = parse_colour(text)
    assert colour is not None
    assert colour.rgb == rgb
    assert colour.alpha == pytest.approx(alpha, abs=0.003)


@pytest.mark.parametrize("text", ["", "no-colour", "#12345", "rgb(1,2)", "currentColor", "url(#a)", "12"])
def test_no_colours(text: str) -> None:
    assert parse_colour(text) is None


def test_paints() -> None:
    none, fallback, plain = parse_paint("none"), parse_paint("url('#a') blue"), parse_paint("url(#a)")
    assert none is not None
    assert none.colour is None
    assert fallback is not None
    assert fallback.colour is not None
    assert (fallback.reference, fallback.colour.rgb) == ("#a", "#0000ff")
    assert plain is not None
    assert (plain.reference, plain.colour) == ("#a", None)
    assert parse_paint("url(#a) url(#b)") is None
    assert parse_paint("red blue") is None
    assert parse_url("url(#a) x") is None
    assert parse_url('url("#a")') == "#a"


@pytest.mark.parametrize(
    ("opacity", "drawn", "expected"),
    [
        ('opacity="0"', 1, []),
        ('opacity="0%"', 1, []),
        ('fill-opacity="0"', 1, []),
        ('fill="#0000"', 1, []),
        ('opacity=".01"', 2, ["svg-opacity"]),
        ('opacity="50%"', 2, ["svg-opacity"]),
        ('fill="#00000080"', 2, ["svg-opacity"]),
        ('opacity="1"', 2, []),
        ('opacity="7"', 2, []),
        ('opacity="lots"', 2, ["svg-number"]),
    ],
)
def test_opacity(opacity: str, drawn: int, expected: list[str]) -> None:
    drawing = read(svg(f'<rect width="9" height="9" {opacity}/><rect x="20" width="9" height="9"/>'))
    assert len(drawing.shapes) == drawn
    assert codes(drawing) == expected


def test_gradients_and_patterns_are_solid() -> None:
    servers = (
        '<linearGradient id="one"><stop stop-color="#123456"/></linearGradient>'
        '<linearGradient id="two"><stop style="stop-color:#abcdef"/><stop offset="1"/></linearGradient>'
        '<radialGradient id="kin" href="#two"/><linearGradient id="bare"/>'
        '<pattern id="dots"><rect width="1" height="1"/></pattern>'
    )

    def drawn(paint: str) -> tuple[list[str], list[str]]:
        painted = f'<rect width="9" height="9" fill="{paint}"/><rect x="20" width="9" height="9"/>'
        drawing = read(svg(servers + painted))
        return [layer.colour for layer in drawing.shapes], codes(drawing)

    assert drawn("url(#one)") == (["#123456", "#000000"], [])
    assert drawn("url(#two)") == (["#abcdef", "#000000"], ["svg-paint"])
    assert drawn("url(#kin)") == (["#abcdef", "#000000"], ["svg-paint"])
    assert drawn("url(#bare)") == (["#000000"], [])
    assert drawn("url(#dots)") == (["#000000", "#000000"], ["svg-paint"])
    assert drawn("url(#gone)") == (["#000000"], ["svg-paint"])
    assert drawn("url(#gone) red") == (["#ff0000", "#000000"], [])
    assert drawn("context-fill") == (["#000000"], ["svg-paint"])


def test_costly_selectors_are_passed_over_in_large_drawings() -> None:
    many = '<rect width="1" height="1"/>' * 600
    assert codes(read(svg(f"<style>rect ~ rect{{fill:red}}</style>{many}"))) == ["svg-css"]


def test_styles_follow_references() -> None:
    body = (
        '<style>.r{fill:red}</style><defs><g class="r"><rect id="k" width="9" height="9"/></g></defs>'
        '<use href="#k" fill="lime"/>'
    )
    drawing = read(svg(body))
    assert [layer.colour for layer in drawing.shapes] == ["#00ff00"]
    assert float(shapely.area(drawing.shapes[0].shape)) > 0
