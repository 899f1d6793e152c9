"""Spoilt project files, by seed: a project or an error in words (the short form of `python -m tests.bench.fuzz`)."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from bigsign.errors import Fault, InputError
from tests.bench.fuzz import projects
from tests.bench.fuzz.projects import Projects


@pytest.fixture(autouse=True)
def _no_own_cutters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def test_spoilt_projects_are_read_or_refused_in_words(tmp_path: Path) -> None:
    inputs = Projects(tmp_path, 20)
    verdicts = Counter(inputs.verdict(number) for number in range(600))
    assert set(verdicts) == {"read", "refused"}
    assert min(verdicts.values()) > 30


def test_what_is_read_can_be_made_or_is_refused_in_words(tmp_path: Path) -> None:
    inputs = Projects(tmp_path, 20)
    read = [number for number in range(150) if inputs.verdict(number) == "read"]
    assert {inputs.verdict(number, artwork=True) for number in read} <= {"read", "refused"}


@pytest.mark.parametrize(("seed", "number"), [(11, 101), (11, 5782), (11, 6938), (11, 27618), (13, 9205)])
def test_what_once_failed_is_refused_in_words(tmp_path: Path, seed: int, number: int) -> None:
    assert Projects(tmp_path, seed).verdict(number) in ("read", "refused")


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (KeyError("x"), "CRASH: KeyError"), (InputError([]), "WORDS: no fault"), (RecursionError(), "CRASH"),
        (InputError(Fault("what", "", "right")), "WORDS"),
        (InputError(Fault("what", "/etc", "right")), "WORDS: nowhere"),
        (InputError(Fault("KeyError: x", "spoilt.toml line 3", "right")), "WORDS: of Python"),
    ],
)  # fmt: skip
def test_the_bench_finds_what_it_looks_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception, said: str
) -> None:
    def fails(_: object) -> None:
        raise error

    monkeypatch.setattr(projects, "load_project", fails)
    assert Projects(tmp_path, 1).verdict(0).startswith(said)
