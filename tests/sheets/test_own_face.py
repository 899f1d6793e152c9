"""Letters of the sign in its own face: all of the film, none twice, upright whichever way it hangs."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from shapely import Polygon
from shapely.affinity import rotate, scale, translate

from bigsign.plan_records import Plan
from bigsign.sheets.own_face import Letters, sign_lines, spaced
from tests.lettering_plans import lettered_plan

SIGNS = [
    (("FRESH EGGS", "Honey"), "fontpkg_anton"),
    (("Honey & Figs",), "fontpkg_pacifico"),
    (("מאפיית הכפר", "לחם וחלה"), "fontpkg_heebo"),
    (("مكتبة البذور",), "fontpkg_amiri"),
    (("ร้านขนมปัง ผู้",), "fontpkg_kanit"),
    (("Καφές Джем č ő",), "fontpkg_arimo"),
]


@pytest.mark.parametrize("sign", SIGNS, ids=[package for _, package in SIGNS])
def test_each_panel_s_letters_are_its_film_at_the_height_of_one_capital(sign: tuple[tuple[str, ...], str]) -> None:
    plan = lettered_plan(*sign)
    k = plan.lines[0].cap_height
    for panel in plan.panels:
        lines = sign_lines(plan, panel)
        assert "\n".join(line.text for line in lines) == panel.text
        assert all(line.letters for line in lines)
        assert all("".join(line.part(0, len(line.letters)).text) == line.text for line in lines)
        drawn = sum(one.shape.area for line in lines for one in line.letters) * k * k
        assert drawn == pytest.approx(panel.film.area, rel=1e-6)


@pytest.mark.parametrize("turn", [90, 20, 180, 270])
def test_turned_letters_stand_upright(turn: int) -> None:
    level, turned = (lettered_plan(("SEED", "Library"), "fontpkg_anton", more=f"turn = {n}") for n in (0, turn))
    assert _whole(turned, level) < 0.005


def _whole(plan: Plan, other: Plan) -> float:
    """Return how far the letters of two plans are apart at most, heights of capitals."""
    shapes = []
    for one in (plan, other):
        found = {}
        for panel in one.panels:
            for line in sign_lines(one, panel):
                for letter in line.letters:
                    found[letter.text, round(letter.shape.bounds[0], 2)] = letter.shape
        shapes.append([found[key] for key in sorted(found)])
    assert [len(part) for part in shapes] == [len(shapes[0])] * 2
    return max(float(shapely.hausdorff_distance(a, b)) for a, b in zip(*shapes, strict=True))


@pytest.mark.parametrize("bent", [1, -1], ids=["heads outwards", "heads inwards"])
def test_letters_on_an_arc_stand_on_one_line(bent: int) -> None:
    """A letter with its foot on a circle, its heads out or in, turned about the middle: upright, and on the line."""
    plan = lettered_plan(("HH",), "fontpkg_anton", board="24 in")
    panel, line = plan.panels[0], plan.lines[0]
    upright = sign_lines(plan, panel)[0].letters[0].shape
    wide, cap, radius = upright.bounds[2], line.cap_height, 500.0
    placed = []
    for turn in (-20.0, 15.0):
        letter = translate(scale(upright, cap, cap, origin=(0, 0)), -wide * cap / 2, 0)
        letter = translate(letter, 0, -radius * bent)
        placed.append(rotate(letter, turn * bent, origin=(0, 0)))
    glyphs = [
        replace(glyph, pieces=(f"p{n}",), bounds=shape.bounds)
        for n, (glyph, shape) in enumerate(zip(plan.glyphs, placed, strict=True))
    ]
    ends = tuple((x, y) for x, y in (shape.representative_point().coords[0] for shape in placed))
    arc = replace(line, arc=(0.0, 0.0, radius * bent), baseline=(ends[0], ends[1]))
    made = replace(
        plan, glyphs=tuple(glyphs), lines=(arc,),
        fragments=tuple((f"f{n}", f"p{n}", shape) for n, shape in enumerate(placed) if isinstance(shape, Polygon)),
        panels=(replace(panel, fragments=("f0", "f1")),),
    )  # fmt: skip
    one, two = sign_lines(made, made.panels[0])[0].letters
    for found in (one, two):
        at = translate(found.shape, -found.shape.bounds[0] + upright.bounds[0], 0)
        assert float(shapely.hausdorff_distance(at, upright)) < 1e-6
    apart = two.shape.bounds[0] - one.shape.bounds[0]
    assert apart == pytest.approx(radius * 35 * 3.141592653589793 / 180 / cap, rel=1e-6)


def test_stacked_letters_stand_side_by_side_in_reading_order() -> None:
    plan = lettered_plan(("OPEN",), "fontpkg_anton", more="stacked = true")
    for panel in plan.panels:
        (line,) = sign_lines(plan, panel)
        lefts = [one.shape.bounds[0] for one in line.letters]
        assert lefts == sorted(lefts)
        assert all(one.shape.bounds[3] == pytest.approx(0, abs=1e-9) for one in line.letters)


def test_letters_that_others_stood_between_are_drawn_together() -> None:
    box = shapely.box(0, -1, 0.5, 0)
    letters = [Letters("a", translate(box, x, 0), (word, word)) for x, word in ((3, 0), (4, 0), (9, 1), (9.7, 1))]
    lefts = [shape.bounds[0] for shape in spaced(letters)]
    assert lefts == pytest.approx([0, 1.0, 2.7, 3.4])


def test_a_line_with_an_unknown_letter_is_written_in_the_guide_s_own_family() -> None:
    plan = lettered_plan(("EGGS",), "fontpkg_anton")
    first = replace(plan.glyphs[0], text=None)
    unread = replace(plan, glyphs=(first, *plan.glyphs[1:]))
    panel = next(panel for panel in plan.panels if first.id in panel.nodes)
    for line in sign_lines(unread, panel):
        assert line.letters == ()
        assert line.text == panel.text.replace("E", "", 1)


def test_film_shared_by_two_lines_is_parted_between_them() -> None:
    """Each line keeps what is within its own letters, and both together no more than there is."""
    plan = lettered_plan(("ggg", "HHH"), "fontpkg_arimo", more="leading = 0.75")
    assert any(len({g.line for g in plan.glyphs if piece.id in g.pieces}) > 1 for piece in plan.pieces)
    for panel in plan.panels:
        lines = sign_lines(plan, panel)
        assert "\n".join(line.text for line in lines) == panel.text
        assert all(line.letters for line in lines)
