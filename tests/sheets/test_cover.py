"""The cover: what to have at hand stands on it, however many films there are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bigsign.plan_needs import FilmNeed, SheetNeed
from bigsign.plan_records import Plan
from bigsign.sheets.cover import MOST_FILMS, cover_page
from bigsign.sheets.items import Text
from bigsign.sheets.labels import clashes
from tests.demos import DEMOS, demo_plan


def said(plan: Plan, paper: str = "letter") -> str:
    """Return all that stands on the cover, which must not clash nor leave the frame."""
    page = cover_page(plan, paper)
    assert clashes(page.items, (12.0, 12.0, page.width - 12.0, page.height - 12.0 - 17.0)) == []
    return " ".join(item.string for item in page.items if isinstance(item, Text))


@pytest.mark.parametrize("name", DEMOS)
def test_it_says_what_the_work_takes(name: str) -> None:
    plan = demo_plan(name)
    text = said(plan)
    transfer, masking = plan.materials.tapes
    assert transfer.width is not None
    assert f"transfer tape: {transfer.width.tape} wide, {transfer.length.tape} long" in text
    assert f"masking tape: {masking.length.tape}" in text
    for film in plan.materials.films:
        assert film.sheets[0].size.height.tape in text
    assert text.index("transfer tape") < text.index("hard squeegee")


def films(plan: Plan, count: int, sizes: int) -> Plan:
    """Return a plan said to take ``count`` colours with ``sizes`` sizes of sheets each."""
    size = plan.materials.films[0].sheets[0].size
    needs = tuple(
        FilmNeed(f"#0000{n:02x}", f"colour {n}", tuple(SheetNeed(2, size) for _ in range(sizes)), 1.0)
        for n in range(count)
    )
    return replace(plan, materials=replace(plan.materials, films=needs))


@pytest.mark.parametrize("name", ["one_mat", "farm_stand"])
@pytest.mark.parametrize("sizes", [1, 2, 3, 4])
def test_many_films_find_room(name: str, sizes: int) -> None:
    text = said(films(demo_plan(name), MOST_FILMS, sizes))
    assert "more colours" not in text
    assert all(f"colour {n} film: " in text for n in range(MOST_FILMS))


def test_more_films_than_there_is_room_for_are_counted() -> None:
    text = said(films(demo_plan("one_mat"), MOST_FILMS + 3, 2), "a4")
    assert "film in 3 more colours: see the mats’ pages" in text
