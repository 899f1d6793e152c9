"""The catalogues: every language has every key with the same gaps to fill, and a guide speaks one language only."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from bigsign.plan import make_plan
from bigsign.plan_needs import SiteFrame
from bigsign.presets.cautions import cautions_for
from bigsign.project_file import load_project
from bigsign.sheets import lay_out
from bigsign.sheets.items import Text
from bigsign.sheets.lay_template import lay_template
from bigsign.wording import languages, phrase, said_cautions, speaking
from bigsign.wording.english import ENGLISH
from bigsign.wording.german import GERMAN_STEPS
from bigsign.wording.german_alt import GERMAN_ALT
from bigsign.wording.german_sheets import GERMAN_SHEETS
from bigsign.wording.german_warnings import GERMAN_WARNINGS

ROOT = Path(__file__).parent.parent
DEMO = ROOT / "demo_projects" / "boat_shed" / "boat_shed.toml"
GERMAN = {**GERMAN_STEPS, **GERMAN_SHEETS, **GERMAN_ALT, **GERMAN_WARNINGS}


def gaps(text: str) -> set[str]:
    return set(re.findall(r"\{(\w+)\}", text))


def test_both_catalogues_have_the_same_keys_and_gaps() -> None:
    assert languages() == ["de", "en"]
    plain = {key for key in GERMAN if not key.startswith("caution.")}
    assert plain == set(ENGLISH)
    for key in plain:
        assert gaps(GERMAN[key]) == gaps(ENGLISH[key]), key
        assert GERMAN[key].strip()


def test_every_caution_is_translated() -> None:
    sites = [SiteFrame(old_paint=True), SiteFrame(), SiteFrame("glass"), SiteFrame("glass", dark_percent=60)]
    every = {caution.kind: caution for site in sites for caution in cautions_for(3000, 3000, site)}
    assert {key.split(".")[1] for key in GERMAN if key.startswith("caution.")} == set(every)
    with speaking("de"):
        said = said_cautions(list(every.values()))
    for english, german in zip(every.values(), said, strict=True):
        assert german.kind == english.kind
        assert german.text != english.text
        assert german.step != english.step
        assert german.signal == phrase(f"signal.{english.signal}", "de") != english.signal


def test_speaking_ends_where_it_ends() -> None:
    with speaking("de"):
        assert phrase("title.setout") == GERMAN["title.setout"]
    assert phrase("title.setout") == ENGLISH["title.setout"]


def test_a_german_guide_holds_no_english_sentence() -> None:
    project = load_project(DEMO)
    plan = make_plan(replace(project, plan=replace(project.plan, language="de")))
    sheets = [lay_out(plan, "a4"), lay_template(plan, "a4").sheets]
    said = [item.string for one in sheets for page in one.pages for item in page.items if isinstance(item, Text)]
    english = {text for key, text in ENGLISH.items() if text != GERMAN[key] and not gaps(text) and len(text) > 3}
    assert english & set(said) == set()
    found = {word for text in said for word in re.findall(r"\b\w+\b", text)}
    assert {"the", "and", "edge", "from", "with", "already"} & found == set()
    assert all(one.language == "de" for one in sheets)
    actions = " ".join(action for step in plan.steps for action in step.actions)
    assert " the " not in actions


def test_every_code_of_the_list_has_its_sentence() -> None:
    listed = set(re.findall(r"`([a-z]+-[a-z-]+)`", (ROOT / "docs" / "warnings.md").read_text("utf-8")))
    assert len(listed) > 30
    for catalogue in (ENGLISH, GERMAN):
        said = {key.removeprefix("warning."): text for key, text in catalogue.items() if key.startswith("warning.")}
        assert set(said) == listed
        assert all(text[-1] in ".?" and text[0].isupper() for text in said.values())
        assert len(set(said.values())) == len(said)
