"""The page before the work: the cautions that apply, and what a surface must be like."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from bigsign.findings import Finding
from bigsign.plan import make_plan
from bigsign.project import Site
from bigsign.sheets.begin import begin_pages
from bigsign.sheets.items import Text
from bigsign.sheets.labels import clashes
from bigsign.wording import phrase, speaking
from tests.demos import demo_plan


def said(site: Site, language: str = "en") -> str:
    """Return all that stands on the pages before the work of a demo at a place."""
    project = demo_plan("one_mat").project
    plan = make_plan(replace(project, site=site, plan=replace(project.plan, language=language)))
    with speaking(language):
        pages = begin_pages(plan, "letter")
    for page in pages:
        assert clashes(page.items, (12.0, 12.0, page.width - 12.0, page.height - 12.0 - 17.0)) == []
    return " ".join(item.string for page in pages for item in page.items if isinstance(item, Text))


def test_it_says_what_surface_and_film_must_be_like() -> None:
    text = said(Site())
    assert "The film maker’s own instructions come first." in text
    assert "10 to 30 °C (50 to 86 °F)" in text
    assert "three days to a month" in text
    assert "three days to a month" not in said(Site(fresh_paint=False))


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_page_for_glass_speaks_of_the_glass_and_of_no_paint(language: str) -> None:
    text = said(Site("glass"), language)
    assert not re.search("paint|farbe", text, re.IGNORECASE)
    plan = make_plan(replace(demo_plan("one_mat").project, site=Site("glass")))
    assert 0 < plan.site.dark_percent <= plan.site.covered_percent < 50
    assert f"{plan.site.covered_percent} %" in text


def test_warnings_of_a_german_plan_are_german_and_count_their_pieces() -> None:
    thin = "Strokes of {} are 1.2 mm wide."
    warnings = (
        Finding("film-thin", thin.format("A"), ("p1",), None, "Make them wider."),
        Finding("fit-unproved", "The search was cut short.", (), None, "Allow more time."),
        Finding("film-thin", thin.format("B"), ("p1", "p2", "p3"), None, "Make them wider."),
        Finding("film-island", "An island of C is 2 mm wide.", ("p2",), None, "Leave it out."),
    )
    plan = replace(demo_plan("one_mat"), warnings=warnings)
    texts = {}
    for language in ("en", "de"):
        with speaking(language):
            pages = begin_pages(plan, "letter")
        texts[language] = " ".join(item.string for page in pages for item in page.items if isinstance(item, Text))
    for finding in warnings:
        assert f"{finding.message} {finding.remedy}" in texts["en"]
        assert finding.message not in texts["de"]
    assert texts["de"].count("Striche sind schmaler, als die Folie halten soll. 3 Stücke, siehe plan.json.") == 1
    assert "etwas bessere Teilung. Siehe plan.json." in texts["de"]
    assert "Inseln sind kleiner, als die Folie halten soll. Ein Stück, siehe plan.json." in texts["de"]


def test_where_one_page_does_not_hold_all_what_is_to_be_minded_comes_first() -> None:
    codes = ("film-thin", "film-small", "film-island", "fit-overlap", "fit-unproved", "place-tight")
    plan = replace(demo_plan("one_mat"), warnings=tuple(Finding(code, "It is so.") for code in codes))
    with speaking("de"):
        pages = begin_pages(plan, "letter")
    assert len(pages) == 2
    texts = []
    for page in pages:
        assert clashes(page.items, (12.0, 12.0, page.width - 12.0, page.height - 12.0 - 17.0)) == []
        texts.append([item.string for item in page.items if isinstance(item, Text)])
    with speaking("de"):
        first, second = ("begin.surface", "begin.warnings"), ("begin.check", "begin.words")
        assert all(phrase(key) in texts[0] and phrase(key) not in texts[1] for key in first)
        assert all(phrase(key) in texts[1] and phrase(key) not in texts[0] for key in second)
    with speaking("en"):
        assert len(begin_pages(demo_plan("one_mat"), "letter")) == 1
