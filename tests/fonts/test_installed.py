"""Installed faces, and the record of them that is kept from run to run: whole, used, and never an error."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from bigsign.fonts.folders import INSTEAD, Machine
from bigsign.fonts.installed import InstalledFace, installed_faces
from tests.artwork.lettering_samples import box_font


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    (tmp_path / "fonts").mkdir()
    (tmp_path / "fonts" / "shed.ttf").write_bytes(box_font(family="Shed").data)
    environ = {INSTEAD: str(tmp_path / "fonts"), "XDG_CACHE_HOME": str(tmp_path / "cache")}
    return Machine("linux", tmp_path, environ, lambda: ())


def kept(machine: Machine) -> Path:
    return Path(machine.environ["XDG_CACHE_HOME"]) / "bigsign" / "fonts.json"


def own(machine: Machine) -> list[InstalledFace]:
    return [one for one in installed_faces(machine=machine) if one.file.parent.name == "fonts"]


def test_packages_come_first_and_a_second_run_finds_the_same(machine: Machine) -> None:
    first = installed_faces(machine=machine)
    assert first[-1].face.name == "Shed"
    assert any(one.face.family == "Anton" for one in first[:-1])
    written = kept(machine).read_bytes()
    assert installed_faces(machine=machine) == first
    assert kept(machine).read_bytes() == written
    assert [file.name for file in kept(machine).parent.iterdir()] == ["fonts.json"]


def test_what_is_kept_is_used_until_the_file_changes(machine: Machine, tmp_path: Path) -> None:
    own(machine)
    kept(machine).write_text(kept(machine).read_text().replace('"Shed"', '"Barn"'))
    assert [one.face.family for one in own(machine)] == ["Barn"]
    assert [one.face.family for one in installed_faces(machine=machine, fresh=True)][-1:] == ["Shed"]
    file = tmp_path / "fonts" / "shed.ttf"
    file.write_bytes(box_font(family="Stable").data)
    os.utime(file, ns=(1, 1))
    assert [one.face.family for one in own(machine)] == ["Stable"]
    file.unlink()
    assert own(machine) == []
    assert "Stable" not in kept(machine).read_text()


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", '{"format": 0, "files": {}}', '{"format": 1, "files": []}', "[" * 100_000, "\x00\xff", "null"],
)
def test_a_record_that_is_broken_is_made_anew(machine: Machine, text: str) -> None:
    kept(machine).parent.mkdir(parents=True)
    kept(machine).write_text(text, "latin-1")
    assert [one.face.family for one in own(machine)] == ["Shed"]
    assert json.loads(kept(machine).read_text())["format"] == 1


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"family": "Shed"', '"family": 7'), ('"index": 0', '"index": "0"'), ('"axes": []', '"axes": [["wght"]]'),
        ('"axes": []', '"axes": [["wght", "x"]]'), ('"uncommon": [', '"uncommon": [null, '), ('"family"', '"fam"'),
        ('"also": [', '"also": [{}, '), ('"wrong": ""', '"wrong": null'),
    ],
)  # fmt: skip
def test_an_entry_that_is_not_as_it_was_written_is_read_again(machine: Machine, old: str, new: str) -> None:
    wanted = own(machine)
    text = kept(machine).read_text()
    assert old in text
    kept(machine).write_text(text.replace(old, new))
    assert own(machine) == wanted


def test_a_record_that_cannot_be_written_is_no_error(machine: Machine) -> None:
    kept(machine).parent.parent.write_text("a file where the folder should be")
    assert [one.face.family for one in own(machine)] == ["Shed"]
    in_the_way = Machine("linux", machine.home, {**machine.environ, "XDG_CACHE_HOME": str(machine.home / "c")}, tuple)
    (machine.home / "c" / "bigsign" / "fonts.json" / "folder").mkdir(parents=True)
    assert [one.face.family for one in own(in_the_way)] == ["Shed"]
    assert [file.name for file in (machine.home / "c" / "bigsign").iterdir()] == ["fonts.json"]


def test_fonts_that_are_broken_or_no_files_break_nothing(machine: Machine, tmp_path: Path) -> None:
    fonts = tmp_path / "fonts"
    (fonts / "empty.ttf").write_bytes(b"")
    (fonts / "words.otf").write_bytes(b"words")
    (fonts / "folder.ttf").mkdir()
    (fonts / "short.ttf").write_bytes(box_font(family="Short").data[:-40])
    if hasattr(os, "mkfifo"):
        os.mkfifo(fonts / "pipe.ttf")
    faces = own(machine)
    assert [(one.face.family, one.face.wrong) for one in faces] == [("Shed", ""), ("Short", "is cut short")]


def test_folders_given_leave_no_record(machine: Machine, tmp_path: Path) -> None:
    assert installed_faces([tmp_path / "fonts"], machine)[-1].face.family == "Shed"
    assert not kept(machine).exists()
