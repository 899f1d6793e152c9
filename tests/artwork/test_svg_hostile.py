"""Drawings meant to harm: each ends in one clear fault or a finding; none hangs or reaches out."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from bigsign.budgets import BUDGETS
from tests.artwork.svg_reading import NS, codes, fault_of, read, svg

RECT = '<rect width="9" height="9"/>'


def entities(levels: int, times: int) -> str:
    lines = ["<!ENTITY e0 \"<rect width='1' height='1'/>\">"]
    lines += [f'<!ENTITY e{k} "{f"&e{k - 1};" * times}">' for k in range(1, levels)]
    return f"<!DOCTYPE svg [{''.join(lines)}]><svg {NS} width='9' height='9'>&e{levels - 1};</svg>"


def use_bomb(levels: int, times: int) -> str:
    groups = "".join(f'<g id="u{k}">' + f'<use href="#u{k - 1}"/>' * times + "</g>" for k in range(1, levels))
    return svg(f'<defs><g id="u0">{RECT}</g>{groups}</defs><use href="#u{levels - 1}"/>')


ZIGZAG = " ".join(f"{90 * math.cos(k * 2.5):.6f} {k % 7 + 60 * math.sin(k * 2.5):.6f}" for k in range(3000))
TWICE = '<g transform="scale(1e200)"><g transform="scale(1e200)"><path d="M0 0h9v9z"/></g></g>'
CHAIN = "".join(f'<g id="g{k}"><use href="#g{k + 1}"/></g>' for k in range(600)) + f'<g id="g600">{RECT}</g>'
FAR = '<circle r="9e7"/>'

REFUSED = {
    "entity bomb": (entities(10, 10), "entities that expand without end"),
    "wide entity bomb": (entities(3, 4000), "entities that expand without end"),
    "undefined entity": (svg("&nothing;"), "broken XML"),
    "use bomb": (use_bomb(9, 10), "too many elements"),
    "deep use chain": (svg(CHAIN), "too deep"),
    "nested groups": (svg("<g>" * 1000 + RECT + "</g>" * 1000), "nested deeper than 256 levels"),
    "too many elements": (svg("<g/>" * (BUDGETS.elements + 1)), "too many elements"),
    "too long a path": (svg(f'<path d="M0 0{"h1v1" * (BUDGETS.segments // 2 + 1)}"/>'), "too long"),
    "huge coordinate": (svg('<path d="M0 0H1e300V9"/>'), "beyond all measure"),
    "huge transform": (svg(TWICE), "beyond all measure"),
    "overflowing sum": (svg('<path d="M0 0h1e308h1e308h1e308v9z"/>'), "beyond all measure"),
    "huge circle": (svg('<circle r="1e30"/>'), "beyond all measure"),
    "zigzag": (svg(f'<path d="M{ZIGZAG}"/>'), "cross themselves"),
    "too many shapes": (svg(RECT * (BUDGETS.shapes + 1)), "paints more than 20,000 shapes"),
    "endless arcs": (svg('<circle r="9e7"/>' * 100), "1,000,000 corners"),
    "endless strokes": (svg('<circle r="9e7" fill="none" stroke="red" stroke-width="9"/>' * 100), "1,000,000 corners"),
    "endless clip": (svg(f'<clipPath id="c">{FAR * 100}</clipPath><g clip-path="url(#c)">{RECT}</g>'), "corners"),
    "wide stroke": (svg('<path d="M0 0H9" fill="none" stroke="red" stroke-width="1e308"/>'), "no filled shapes"),
    "many rules": (svg(f"<style>{'g.a > *{fill:red}' * 3000}</style>{RECT * 1000}"), "too many style rules"),
    "not xml": ("drawing", "broken XML"),
    "cut off": (svg(RECT)[:-9], "broken XML"),
    "empty": ("", "empty"),
    "blank": ("  \n ", "empty"),
    "a page": ("<html><body/></html>", "a web page"),
    "other vocabulary": ('<svg xmlns="https://marrow.example/shapes"/>', "no <svg>"),
    "no width": (svg(RECT, 'width="0" height="10"'), "width is '0'"),
    "negative height": (svg(RECT, 'width="10" height="-10mm"'), "height is '-10mm'"),
    "flat view box": (svg(RECT, 'viewBox="0 0 0 10"'), "viewBox"),
    "broken view box": (svg(RECT, 'viewBox="0 0 ten 10"'), "viewBox"),
    "no size": (svg(RECT, ""), "no size"),
    "relative size": (svg(RECT, 'width="100%" height="100%"'), "no size"),
    "nothing": (svg(""), "no filled shapes"),
    "no fill": (svg('<rect width="9" height="9" fill="none"/>'), "no filled shapes"),
    "only text": (svg("<text>Seeds</text>"), "no filled shapes"),
    "off the page": (svg('<rect x="200" width="9" height="9"/>'), "no filled shapes"),
    "hidden": (svg(RECT, 'width="9" height="9" display="none"'), "no filled shapes"),
    "no area": (svg('<path d="M0 0L9 9"/>'), "no filled shapes"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_one_fault(name: str) -> None:
    text, what = REFUSED[name]
    fault = fault_of(text)
    assert what in fault.what
    assert fault.where.startswith("sign.toml line 9, [[artwork]] 1, leaf.svg")
    assert fault.right
    assert len(f"error: {fault}") <= 300
    assert "\n" not in str(fault)


def test_bytes_that_are_no_text() -> None:
    assert "broken XML" in fault_of(bytes(range(256))).what
    assert "MB" in fault_of(b"<svg>" + b" " * BUDGETS.drawing_bytes).what
    assert "broken XML" in fault_of(f'<?xml version="1.0" encoding="x-none"?>{svg(RECT)}').what


def test_nothing_outside_is_read(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("M0 0h50v50z")
    entity = f'<!DOCTYPE svg [<!ENTITY x SYSTEM "{secret.as_uri()}">]>'
    refused = fault_of(entity + svg(f"<g>&x;</g>{RECT}"))
    assert "broken XML" in refused.what
    assert "h50" not in str(refused)
    linked = read(f'<?xml-stylesheet href="{secret.as_uri()}"?>' + svg(RECT))
    assert codes(linked) == ["svg-css"]
    used = read(svg(f'<use href="{secret.as_uri()}#a"/>{RECT}'))
    assert codes(used) == ["svg-use"]
    doctype = '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://localhost:9/none.dtd">'
    assert codes(read(doctype + svg(RECT))) == []


def test_honest_entities_and_encodings_are_read() -> None:
    doctype = '<!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg">]>'
    honest = f'{doctype}<svg xmlns="&ns;" width="9" height="9">{RECT}</svg>'
    assert len(read(honest).shapes) == 1
    assert len(read(svg(RECT).encode("utf-16")).shapes) == 1
    assert len(read(b"\xef\xbb\xbf" + svg(RECT).encode()).shapes) == 1


@pytest.mark.parametrize(
    "loop",
    [
        '<use id="a" href="#a"/>',
        '<g id="a"><use href="#a"/></g>',
        '<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>',
        '<symbol id="a"><use href="#a"/></symbol><use href="#a"/>',
    ],
)
def test_references_in_a_circle(loop: str) -> None:
    drawing = read(svg(loop + RECT))
    assert "svg-use" in codes(drawing)
    assert len(drawing.shapes) == 1


@pytest.mark.parametrize(
    "loop",
    [
        f'<clipPath id="a" clip-path="url(#a)">{RECT}</clipPath><g clip-path="url(#a)">{RECT}</g>',
        f'<clipPath id="a" clip-path="url(#b)">{RECT}</clipPath>'
        f'<clipPath id="b" clip-path="url(#a)">{RECT}</clipPath>'
        f'<g clip-path="url(#a)">{RECT}</g>',
        f'<linearGradient id="a" href="#b"/><linearGradient id="b" href="#a"/><g clip-path="url(#a)">{RECT}</g>',
    ],
)
def test_clips_in_a_circle(loop: str) -> None:
    assert "svg-clip" in codes(read(svg(loop)))


def test_gradients_in_a_circle_paint_nothing() -> None:
    circle = '<linearGradient id="a" href="#b"/><linearGradient id="b" href="#a"/>'
    drawing = read(svg(f'{circle}<rect width="5" height="5" fill="url(#a)"/>{RECT}'))
    assert len(drawing.shapes) == 1


def test_findings_do_not_flood() -> None:
    drawing = read(svg("<text>seed</text>" * 500 + RECT))
    assert codes(drawing) == ["svg-text"]
    assert "and 499 more" in drawing.findings[0].message


def test_absurd_dashes_are_left_whole() -> None:
    line = '<path d="M0 9H90" stroke="#000" stroke-width="4" stroke-dasharray="1e-6"/>'
    drawing = read(svg(line))
    assert codes(drawing) == ["svg-stroke"]
    assert len(drawing.shapes) == 1
