"""Where fonts lie: the rules of Linux, macOS and Windows, with platform, home, environment and registry made up."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from bigsign.fonts.folders import INSTEAD, Machine, cache_file, font_files, font_folders

HOME = Path("/home/marrow")


def test_linux_has_the_folders_of_the_base_directory_specification() -> None:
    plain = Machine("linux", HOME, {}, lambda: ())
    assert font_folders(plain) == [
        HOME / ".local/share/fonts", HOME / ".fonts", Path("/usr/local/share/fonts"), Path("/usr/share/fonts"),
    ]  # fmt: skip
    given = {"XDG_DATA_HOME": "/data", "XDG_DATA_DIRS": "/opt/share:relative:/usr/share", "XDG_CACHE_HOME": "/cache"}
    moved = Machine("linux", HOME, given, lambda: ())
    assert font_folders(moved) == [
        Path("/data/fonts"), HOME / ".fonts", Path("/opt/share/fonts"), Path("/usr/share/fonts"),
        Path("/usr/local/share/fonts"),
    ]  # fmt: skip
    assert cache_file(plain) == HOME / ".cache/bigsign/fonts.json"
    assert cache_file(moved) == Path("/cache/bigsign/fonts.json")
    ignored = Machine("linux", HOME, {"XDG_DATA_HOME": "here", "XDG_CACHE_HOME": "here"}, lambda: ())
    assert font_folders(ignored) == font_folders(plain)
    assert cache_file(ignored) == cache_file(plain)


def test_macos_has_three_folders_the_users_first() -> None:
    mac = Machine("darwin", HOME, {"XDG_DATA_HOME": "/data"}, lambda: ())
    assert font_folders(mac) == [HOME / "Library/Fonts", Path("/Library/Fonts"), Path("/System/Library/Fonts")]
    assert cache_file(mac) == HOME / "Library/Caches/bigsign/fonts.json"


def test_windows_has_its_folders_and_what_the_registry_lists(tmp_path: Path) -> None:
    windows, local, far = tmp_path / "Windows", tmp_path / "Local", tmp_path / "far" / "Far.ttf"
    files = [windows / "Fonts" / "Shed.ttf", local / "Microsoft" / "Windows" / "Fonts" / "Own.otf", far]
    for file in files:
        file.parent.mkdir(parents=True)
        file.write_bytes(b"font")
    registry = ["Shed.ttf", str(far), "Modern.fon", "gone.ttf"]
    made = Machine("win32", HOME, {"WINDIR": str(windows), "LOCALAPPDATA": str(local)}, lambda: registry)
    assert font_folders(made) == [files[1].parent, files[0].parent]
    assert font_files(made) == [files[1], files[0], far, windows / "Fonts" / "gone.ttf"]
    assert cache_file(made) == local / "bigsign/fonts.json"
    bare = Machine("win32", HOME, {"SYSTEMROOT": str(windows)}, lambda: ())
    assert font_folders(bare) == [HOME / "AppData/Local/Microsoft/Windows/Fonts", windows / "Fonts"]


def test_a_variable_names_other_folders(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    given = {INSTEAD: os.pathsep.join([str(one), str(other)]), "WINDIR": str(tmp_path)}
    for platform in ("linux", "darwin", "win32"):
        assert font_folders(Machine(platform, HOME, given, lambda: ["x.ttf"])) == [one, other]
        assert font_files(Machine(platform, HOME, given, lambda: ["x.ttf"])) == []
    assert font_folders(Machine("linux", HOME, {INSTEAD: ""})) == []


def test_folders_are_walked_once_in_order_whatever_the_links(tmp_path: Path) -> None:
    (tmp_path / "b" / "deep").mkdir(parents=True)
    for name in ("b/z.ttf", "b/deep/a.OTF", "b/.hidden.ttf", "b/notes.txt", "b/a.ttc", "b/web.woff2"):
        (tmp_path / name).write_bytes(b"font")
    try:
        (tmp_path / "b" / "round").symlink_to(tmp_path / "b", target_is_directory=True)
        (tmp_path / "again.ttf").symlink_to(tmp_path / "b" / "z.ttf")
        (tmp_path / "gone.ttf").symlink_to(tmp_path / "nowhere.ttf")
    except OSError:
        pytest.skip("this machine makes no links")
    machine = Machine("linux", HOME, {}, lambda: ())
    found = font_files(machine, [tmp_path / "b", tmp_path, tmp_path / "none"])
    names = [str(file.relative_to(tmp_path)) for file in found]
    assert names == [
        os.path.join("b", "a.ttc"),
        os.path.join("b", "z.ttf"),
        os.path.join("b", "deep", "a.OTF"),
        "gone.ttf",
    ]
