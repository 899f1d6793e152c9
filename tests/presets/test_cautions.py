"""Cautions: those that apply and no others, the gravest first, each with the signal word its harm asks for."""

from __future__ import annotations

import math
import tomllib
from dataclasses import replace
from importlib import resources
from itertools import product

import pytest

from bigsign.plan_needs import SiteFrame
from bigsign.presets.cautions import CONDITIONS, Caution, cautions_for
from bigsign.units import TapeLength
from bigsign.wording import said_cautions, speaking

PLAIN = SiteFrame()
LOW, WIDE = (300.0, 500.0), (2000.0, 500.0)
DATA = tomllib.loads((resources.files("bigsign.presets") / "cautions.toml").read_text("utf-8"))["caution"]
#: The worst that could come of each; the signal words for it are ANSI Z535's definitions (Z535.4, from memory):
#: WARNING, "could result in death or serious injury"; CAUTION, "could result in minor or moderate injury"; NOTICE,
#: "practices not related to physical injury". DANGER, "will result in death or serious injury", is for nothing here.
HARM = {
    "blade": "minor injury",
    "ladder": "death",
    "glass-heat": "serious injury",
    "glass-heat-much": "serious injury",
    "glass-breaks": "serious injury",
    "solvent": "death",
    "old-paint": "serious injury",
    "old-paint-unknown": "serious injury",
    "loads": "damage",
    "street": "damage",
    "fresh-paint": "damage",
}
SIGNAL = {"death": "WARNING", "serious injury": "WARNING", "minor injury": "CAUTION", "damage": "NOTICE"}


def length(mm: float) -> TapeLength:
    return TapeLength(mm, f"{mm:g} mm", 0.0)


def kinds(site: SiteFrame, size: tuple[float, float] = LOW) -> set[str]:
    return {caution.kind for caution in cautions_for(*size, site)}


def one(kind: str, site: SiteFrame, size: tuple[float, float] = LOW) -> Caution:
    return next(caution for caution in cautions_for(*size, site) if caution.kind == kind)


def test_every_caution_applies_to_something_known_and_has_its_signal_word() -> None:
    assert {entry["when"] for entry in DATA} == set(CONDITIONS)
    assert {entry["kind"]: entry["signal"] for entry in DATA} == {kind: SIGNAL[harm] for kind, harm in HARM.items()}
    assert len(DATA) == len(HARM)


def test_what_is_not_told_of_counts_as_possible() -> None:
    assert kinds(PLAIN) == {"blade", "solvent", "old-paint-unknown", "fresh-paint", "loads", "street"}


def test_all_that_is_ruled_out_leaves_the_blade() -> None:
    site = SiteFrame("painted", False, False, False, length(0), False, False)
    assert kinds(site, WIDE) == {"blade"}
    assert kinds(replace(site, surface="bare", old_paint=None, fresh_paint=None), WIDE) == {"blade"}


@pytest.mark.parametrize(
    ("change", "kind", "there"),
    [
        ({"solvent": False}, "solvent", False),
        ({"hung": False}, "loads", False),
        ({"hung": True}, "loads", True),
        ({"street": False}, "street", False),
        ({"street": True}, "street", True),
        ({"old_paint": True}, "old-paint", True),
        ({"old_paint": True}, "old-paint-unknown", False),
        ({"old_paint": False}, "old-paint", False),
        ({"old_paint": False}, "old-paint-unknown", False),
        ({"fresh_paint": True}, "fresh-paint", True),
        ({"fresh_paint": False}, "fresh-paint", False),
        ({"surface": "bare"}, "old-paint-unknown", False),
        ({"surface": "bare"}, "fresh-paint", False),
        ({"surface": "bare"}, "glass-breaks", False),
        ({"surface": "glass"}, "glass-breaks", True),
        ({"surface": "glass"}, "glass-heat", True),
    ],
)
def test_each_key_of_the_site_settles_its_caution(change: dict[str, object], kind: str, there: bool) -> None:
    assert (kind in kinds(replace(PLAIN, **change))) is there  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("foot", "size", "there"),
    [
        (None, (1199.9, 500), False),  # not given: by the board's size
        (None, (1200, 500), True),
        (0, (5000, 1800), False),  # given: by how high the board's upper edge stands
        (0, (300, 1800.1), True),
        (1300, (300, 500), False),
        (1300.1, (300, 500), True),
    ],
)
def test_the_ladder_is_told_of_where_work_is_high(foot: float | None, size: tuple[float, float], there: bool) -> None:
    """More than 1.8 m above where one stands: common practice, no source."""
    site = replace(PLAIN, foot=None if foot is None else length(foot))
    assert ("ladder" in kinds(site, size)) is there


def test_a_ladder_stands_four_to_one() -> None:
    """29 CFR 1926.1053(b)(5)(i) (from memory): its foot a quarter of its working length from the top support."""
    english = one("ladder", PLAIN, WIDE)
    with speaking("de"):
        german = said_cautions([english])[0]
    for caution, quarter in ((english, "a quarter"), (german, "ein Viertel")):
        assert "29 CFR 1926.1053" in caution.text
        assert quarter in caution.text
        assert quarter.removeprefix("ein ") in caution.step
    # the same rule, said as an angle: about 75 degrees (75.5)
    assert math.degrees(math.acos(1 / 4)) == pytest.approx(75.5, abs=0.05)


def test_old_paint_that_is_known_of_is_told_of_in_full_and_else_in_short() -> None:
    sure, unsure = one("old-paint", replace(PLAIN, old_paint=True)), one("old-paint-unknown", PLAIN)
    assert "If the board has paint from before about 1978" in unsure.text
    assert len(unsure.text) < len(sure.text)
    assert "lead" in sure.text


@pytest.mark.parametrize(("dark", "kind"), [(0, "glass-heat"), (50, "glass-heat"), (51, "glass-heat-much")])
def test_glass_says_how_much_film_there_is_and_more_sternly_above_half(dark: int, kind: str) -> None:
    """Half a pane of dark film: film supplier tips."""
    site = SiteFrame(surface="glass", covered_percent=63, dark_percent=dark)
    found = kinds(site)
    assert {"glass-heat", "glass-heat-much"} & found == {kind}
    english = one(kind, site)
    with speaking("de"):
        german = said_cautions([english])[0]
    for caution in (english, german):
        assert "63 %" in caution.text
        assert f"{dark} %" in caution.text
        assert "{" not in caution.text + caution.step
    assert "glazier" in english.text
    assert "film maker" in english.text


@pytest.mark.parametrize("language", ["en", "de"])
def test_glass_has_no_caution_of_paint(language: str) -> None:
    site = SiteFrame(surface="glass", covered_percent=20, dark_percent=20)
    with speaking(language):
        said = said_cautions(cautions_for(*WIDE, site))
    for caution in said:
        assert "paint" not in caution.kind
        assert "paint" not in (caution.text + caution.step).lower()
        assert "farbe" not in (caution.text + caution.step).lower()


def test_the_gravest_come_first_whatever_applies() -> None:
    rank = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    for surface, old, size in product(("painted", "bare", "glass"), (None, True, False), (LOW, WIDE)):
        found = [rank.index(caution.signal) for caution in cautions_for(*size, SiteFrame(surface, old))]
        assert found == sorted(found)


def test_each_defers_to_those_who_know_better() -> None:
    """The maker's instructions, the label, local rules, or a licensed or trained person."""
    better = ("instructions", "rules", "glazier", "label", "office", "code", "paint maker")
    for entry in DATA:
        assert any(word in entry["text"] for word in better), entry["kind"]
