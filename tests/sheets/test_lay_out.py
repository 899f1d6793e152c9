"""The laid-out guide: what pages there are, in what order, and that nothing on them clashes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bigsign.plan import make_plan
from bigsign.plan_records import Plan
from bigsign.sheets import lay_out
from bigsign.sheets.grid import BLOCK
from bigsign.sheets.items import Area, Circle, Stroke, Text
from bigsign.sheets.labels import clashes
from bigsign.sheets.metrics import ink_box
from bigsign.sheets.panel_drawing import join_letters
from bigsign.sheets.style import FINE, FIRM, HAIR, MARGIN, SMALL_CAP
from tests.demos import DEMOS, demo_plan


def changed(name: str, reference: tuple[str, str], both: bool) -> Plan:
    """Return a demo planned from other reference edges, in both units if asked."""
    project = demo_plan(name).project
    step = replace(project.plan.tape_step, both=both)
    settings = replace(project.plan, tape_step=step, both_units=both)
    return make_plan(replace(project, board=replace(project.board, reference=reference), plan=settings))


def check_pages(plan: Plan, paper: str) -> None:
    for number, page in enumerate(lay_out(plan, paper).pages, 1):
        frame = (12.0, 12.0, page.width - 12.0, page.height - 12.0)
        assert clashes(page.items, frame) == [], (number, page.title)


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", DEMOS)
def test_no_words_overlap_or_leave_the_frame(name: str, paper: str) -> None:
    check_pages(demo_plan(name), paper)


@pytest.mark.parametrize(
    ("name", "reference", "both"),
    [
        ("seed_library", ("middle", "middle"), True),
        ("farm_stand", ("middle", "bottom"), True),
        ("boat_shed", ("right", "middle"), False),
        ("one_mat", ("right", "bottom"), True),
    ],
)
def test_no_words_overlap_from_other_edges_and_in_both_units(name: str, reference: tuple[str, str], both: bool) -> None:
    check_pages(changed(name, reference, both), "letter")


@pytest.mark.parametrize("name", DEMOS)
def test_pages_come_in_the_order_of_use(name: str) -> None:
    plan = demo_plan(name)
    pages = lay_out(plan, "letter").pages
    kinds = list(dict.fromkeys(page.kind for page in pages))
    slip = ["slip"] if plan.breaks else []
    joins = ["joins"] if plan.breaks else []
    before = ["overview", "begin", "panels", "mat", "labels", "steps", "setout"]
    assert kinds == [*before, *slip, "panel", *joins, "trouble"]
    order = list(dict.fromkeys(page.panel for page in pages if page.panel))
    assert order == [panel.id for panel in plan.panels]
    assert [page.drawings[0].of for page in pages if page.kind == "mat"] == [mat.id for mat in plan.mats]


@pytest.mark.parametrize("name", DEMOS)
def test_every_page_has_name_number_plan_and_scale(name: str) -> None:
    plan = demo_plan(name)
    pages = lay_out(plan, "a4").pages
    for number, page in enumerate(pages, 1):
        said = [item.string for item in page.items if isinstance(item, Text)]
        assert f"{number} of {len(pages)}" in said
        assert plan.project.sha256[:8] in said
        assert plan.sign.name in said
        if page.drawings:
            assert any(text in ("FULL SIZE", f"SCALE 1:{page.drawings[0].scale:g}") for text in said)


@pytest.mark.parametrize("name", DEMOS)
def test_ink_keeps_to_the_few_sizes_and_widths(name: str) -> None:
    for page in lay_out(demo_plan(name), "letter").pages:
        for item in page.items:
            if isinstance(item, Text):
                assert min(run.cap for run in item.runs) >= SMALL_CAP - 1e-9
                continue
            assert item.width in (HAIR, FINE, FIRM, 0.35, 0.4)
            points = item.points if isinstance(item, Stroke) else ()
            points = points or (tuple(p for ring in item.rings for p in ring) if isinstance(item, Area) else ())
            if isinstance(item, Circle):
                (x, y), r = item.centre, item.radius
                points = ((x - r, y - r), (x + r, y + r))
            for x, y in points:
                assert 11.9 <= x <= page.width - 11.9, page.title
                assert 11.9 <= y <= page.height - 11.9, page.title


@pytest.mark.parametrize("name", DEMOS)
def test_every_action_of_a_step_is_printed_once(name: str) -> None:
    plan = demo_plan(name)
    pages = lay_out(plan, "letter").pages
    for step in plan.steps:
        own = [page for page in pages if (page.panel == step.panel if step.kind == "stick" else page.kind == "steps")]
        said = " ".join(item.string for page in own for item in page.items if isinstance(item, Text))
        for action in step.actions:
            # lines of a wrapped action follow each other among the page's texts
            assert said.count(action) == 1, (step.n, action)


@pytest.mark.parametrize("name", DEMOS)
def test_every_join_and_tape_mark_is_in_a_table(name: str) -> None:
    plan = demo_plan(name)
    pages = lay_out(plan, "letter").pages
    setout = [item.string for page in pages if page.kind == "setout" for item in page.items if isinstance(item, Text)]
    for mark in plan.tape_marks:
        assert mark.id in setout
    for panel in plan.panels:
        own = [i.string for page in pages if page.panel == panel.id for i in page.items if isinstance(i, Text)]
        for part in plan.breaks:
            letter = join_letters(plan)[part.id]
            if panel.id in part.panels:
                assert f"{letter}–{letter}" in own
                if max(plan.panel(name).number for name in part.panels) == panel.number:
                    assert all(gap.gap.tape in own for gap in part.gaps)
                    assert part.gap.tape in own


def test_text_in_letters_the_font_lacks_is_left_out_and_the_shapes_stay() -> None:
    plan = demo_plan("one_mat")
    strange = replace(plan.panels[0], text="日本")
    pages = lay_out(replace(plan, panels=(strange, *plan.panels[1:])), "letter").pages
    said = [item.string for page in pages for item in page.items if isinstance(item, Text)]
    assert not any("日" in text for text in said)
    assert any(isinstance(item, Area) and item.fill for page in pages for item in page.items)


def test_a_name_in_letters_the_font_lacks_does_not_stop_the_guide() -> None:
    plan = demo_plan("one_mat")
    pages = lay_out(replace(plan, sign=replace(plan.sign, name="日本 7", revision="日")), "letter").pages
    assert all(ink_box(item) for item in pages[0].items if isinstance(item, Text))


@pytest.mark.parametrize("name", DEMOS)
def test_a_panels_page_names_the_tape_marks_at_its_trim(name: str) -> None:
    plan = demo_plan(name)
    for panel in plan.panels:
        x0, y0, x1, _ = panel.trim.bounds
        marks = plan.marks_on(panel)
        assert len(marks) >= 2
        assert all(x0 - 0.01 <= mark.at[0] <= x1 + 0.01 and mark.at[1] >= y0 - 0.01 for mark in marks)
        page = next(page for page in lay_out(plan, "letter").pages if page.panel == panel.id)
        assert ", ".join(mark.id for mark in marks) in [i.string for i in page.items if isinstance(i, Text)]


@pytest.mark.parametrize(
    ("name", "said"),
    [("one_mat", "dark brown (#7a2f12)"), ("boat_shed", "dark blue (#1f3a5f)"), ("seed_library", "darkgreen")],
)
def test_film_spelt_in_figures_is_said_in_words_on_cover_mats_and_panels(name: str, said: str) -> None:
    plan = demo_plan(name)
    pages = lay_out(plan, "letter").pages
    first = plan.panels[0]
    for wanted in (("overview", None), ("mat", None), ("panel", first.id)):
        page = next(page for page in pages if (page.kind, page.panel) == wanted)
        texts = [item.string for item in page.items if isinstance(item, Text)]
        assert any(said in text for text in texts), wanted


def test_letters_without_flat_feet_have_their_overshoot_on_the_panels_page() -> None:
    plan = demo_plan("one_mat")
    panel = plan.panels[0]
    assert panel.level is not None
    round_only = replace(panel, level=replace(panel.level, flat=False, overshoot_mm=1.26))
    for past, shown in ((1.26, True), (0.0, False)):
        level = replace(round_only.level or panel.level, overshoot_mm=past)
        changed = replace(plan, panels=(replace(round_only, level=level), *plan.panels[1:]))
        page = next(page for page in lay_out(changed, "letter").pages if page.panel == panel.id)
        said = [item.string for item in page.items if isinstance(item, Text)]
        assert ("1.3 mm past the letters’ baseline" in said) is shown


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", DEMOS)
def test_no_text_runs_down_into_the_title_block(name: str, language: str) -> None:
    plan = demo_plan(name)
    project = replace(plan.project, plan=replace(plan.project.plan, language=language))
    for paper in ("letter", "a4"):
        for page in lay_out(replace(plan, project=project), paper).pages:
            top = page.height - MARGIN - BLOCK
            for item in page.items:
                ink = ink_box(item) if isinstance(item, Text) else None
                if isinstance(item, Text) and ink is not None and ink[3] > top:
                    assert item.role == "again" or getattr(item.role, "of", "") == "block", item.string
