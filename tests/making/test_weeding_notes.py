"""Weeding notes: holes are counted in the film, letters with holes named, small and fine film told."""

from __future__ import annotations

from dataclasses import replace

from bigsign.findings import Finding
from bigsign.making.weeding_notes import WATCH, weeding_notes
from bigsign.sheets import lay_out
from bigsign.sheets.items import Circle, Text
from tests.demos import demo_plan
from tests.lettering_plans import lettered_plan

WITH_HOLES = set("ABDOPQRabdegopq04689%@")


def test_holes_are_those_of_the_letters_that_have_them() -> None:
    plan = demo_plan("farm_stand")
    for panel in plan.panels:
        notes = weeding_notes(plan, panel)
        holed = {glyph.text for glyph in plan.glyphs if glyph.id in notes.holed}
        assert holed - {"&"} == {letter for letter in panel.text if letter in WITH_HOLES}
        assert notes.holes >= len(notes.holed) > 0
        assert not notes.late


def test_of_letters_that_share_film_each_panel_names_its_own() -> None:
    plan = lettered_plan(("doorposts",), "fontpkg_lobster")
    assert len(plan.panels) > 1
    named: set[str | None] = set()
    for panel in plan.panels:
        notes = weeding_notes(plan, panel)
        letters = [glyph.text for glyph in plan.glyphs if glyph.id in notes.holed]
        assert all((letter or "?") in panel.text for letter in letters)
        assert notes.holes >= len(letters)
        named |= set(letters)
    assert {"d", "o", "p"} <= named


def test_small_film_is_ringed_on_its_mat() -> None:
    plan = demo_plan("seed_library")
    small = {panel.id: weeding_notes(plan, panel).small for panel in plan.panels}
    for parts in small.values():
        assert all(max(p.bounds[2] - p.bounds[0], p.bounds[3] - p.bounds[1]) < WATCH * 2**0.5 for p in parts)
    pages = [page for page in lay_out(plan, "letter").pages if page.kind == "mat"]
    for mat, page in zip(plan.mats, pages, strict=True):
        rings = [item for item in page.items if isinstance(item, Circle) and item.fill is None]
        assert len(rings) == sum(len(small[name]) for name in mat.panels)


def test_fine_film_is_weeded_after_taping() -> None:
    plan = demo_plan("one_mat")
    panel = plan.panels[0]
    assert not weeding_notes(plan, panel).late
    piece = next(piece for name, piece, _ in plan.fragments if name == panel.fragments[0])
    fine = replace(plan, warnings=(Finding("film-thin", "Strokes are thin.", (piece,)),))
    assert weeding_notes(fine, panel).late
    mats = [page for page in lay_out(fine, "letter").pages if page.kind == "mat"]
    said = [item.string for page in mats for item in page.items if isinstance(item, Text)]
    steps = [text for text in said if text.startswith(("Cover each", "Weed panel", "Weed inside", "Cut each"))]
    assert [text.split()[0] for text in steps] == ["Cover", "Weed", "Cut"]
