"""Finding fonts by file and by family."""

from __future__ import annotations

import os
from io import BytesIO
from pathlib import Path

import pytest
from fontTools.ttLib import TTCollection, TTFont

from bigsign.artwork.setting import set_lettering
from bigsign.errors import InputError
from bigsign.fonts import find_font, installed_families
from tests.artwork.lettering_samples import block, box_font


@pytest.mark.parametrize("name", ["Alfa Slab One", "alfa slab one", "AlfaSlabOne", "ALFA-SLAB-ONE"])
def test_a_family_is_found_whatever_its_case_and_spaces(tmp_path: Path, name: str) -> None:
    font = find_font(name, tmp_path)
    assert font.name == "Alfa Slab One"
    with TTFont(BytesIO(font.data)) as tables:
        assert tables["name"].getBestFamilyName() == "Alfa Slab One"


def test_the_demos_fonts_are_installed() -> None:
    families = installed_families()
    assert {"Anton", "Archivo Black", "Alfa Slab One", "Lato"} <= set(families)
    assert families == sorted(families)


def test_the_regular_style_is_taken(tmp_path: Path) -> None:
    with TTFont(BytesIO(find_font("Lato", tmp_path).data)) as tables:
        assert tables["name"].getBestSubFamilyName() == "Regular"


def test_a_file_is_found_in_the_folder_and_by_full_path(tmp_path: Path) -> None:
    data = find_font("Anton", tmp_path).data
    (tmp_path / "own face.ttf").write_bytes(data)
    assert find_font("own face.ttf", tmp_path).data == data
    assert find_font(str(tmp_path / "own face.ttf"), Path("/")).data == data


def test_a_web_font_is_unpacked_to_the_same_bytes_each_time(tmp_path: Path) -> None:
    out = BytesIO()
    with TTFont(BytesIO(find_font("Anton", tmp_path).data)) as tables:
        tables.flavor = "woff"
        tables.save(out)
    (tmp_path / "a.woff").write_bytes(out.getvalue())
    first = find_font("a.woff", tmp_path).data
    assert first[:4] == b"\0\1\0\0"
    assert find_font("a.woff", tmp_path).data == first


@pytest.mark.parametrize("name", ["Antonn", "gone.ttf", "a" * 5000 + ".ttf", "", "../up"])
def test_a_font_that_is_not_there_is_one_fault(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError) as caught:
        find_font(name, tmp_path, "sign.toml line 3")
    (fault,) = caught.value.faults
    assert fault.where == "sign.toml line 3"
    assert fault.right


def test_the_nearest_family_is_offered(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="Anton"):
        find_font("Antom", tmp_path)


def test_a_compressed_web_font_gives_the_letters_of_the_plain_one(tmp_path: Path) -> None:
    plain = find_font("Anton", tmp_path)
    with TTFont(BytesIO(plain.data)) as tables:
        tables.flavor = "woff2"
        tables.save(tmp_path / "a.woff2")
    unpacked = find_font("a.woff2", tmp_path)
    assert unpacked.data == find_font("a.woff2", tmp_path).data
    one, other = (set_lettering(block("FRESH EGGS", font=font)) for font in (plain, unpacked))
    for first, second in zip(one.lines[0].glyphs, other.lines[0].glyphs, strict=True):
        assert first.outline.symmetric_difference(second.outline).area < 1e-6 * first.outline.area


def collection(folder: Path) -> Path:
    """Write a collection of two faces: boxes, and Anton."""
    made = TTCollection()
    made.fonts = [TTFont(BytesIO(font.data)) for font in (box_font(), find_font("Anton", folder))]
    made.save(folder / "both.ttc")
    return folder / "both.ttc"


def test_a_face_of_a_collection_is_named_after_its_file(tmp_path: Path) -> None:
    collection(tmp_path)
    anton = find_font("both.ttc#Anton", tmp_path)
    assert (anton.index, anton.name) == (1, "both.ttc#Anton")
    assert find_font("both.ttc#marrow-lane-boxes", tmp_path).index == 0
    made, wanted = (set_lettering(block("EGGS", font=font)) for font in (anton, find_font("Anton", tmp_path)))
    assert [g.outline for g in made.lines[0].glyphs] == [g.outline for g in wanted.lines[0].glyphs]


def test_a_collection_without_a_face_names_those_it_has(tmp_path: Path) -> None:
    collection(tmp_path)
    with pytest.raises(InputError, match=r"holds 2 faces.*both.ttc#Marrow Lane Boxes, both.ttc#Anton"):
        find_font("both.ttc", tmp_path)
    with pytest.raises(InputError, match=r"has no face 'Anten'.*Anton"):
        find_font("both.ttc#Anten", tmp_path)


def test_a_named_instance_is_where_its_axes_say(tmp_path: Path) -> None:
    plain = find_font("Dancing Script", tmp_path)
    bold = find_font("dancing-script BOLD", tmp_path, folders=())
    assert bold.axes == (("wght", 700.0),)
    assert bold.data == plain.data
    named, given = (
        set_lettering(block("Eggs", font=plain, axes={"wght": 700.0})), set_lettering(block("Eggs", font=bold))
    )  # fmt: skip
    assert [g.outline for g in named.lines[0].glyphs] == [g.outline for g in given.lines[0].glyphs]
    lighter = set_lettering(block("Eggs", font=bold, axes={"wght": 400.0}))
    assert lighter.lines[0].glyphs[0].outline == set_lettering(block("Eggs", font=plain)).lines[0].glyphs[0].outline
    (tmp_path / "script.ttf").write_bytes(plain.data)
    assert find_font("script.ttf#Bold", tmp_path).axes == bold.axes
    assert find_font("script.ttf", tmp_path).axes == ()


def test_an_installed_face_is_found_by_family_and_style(tmp_path: Path) -> None:
    fonts = tmp_path / "fonts" / "shed"
    fonts.mkdir(parents=True)
    (fonts / "a.ttf").write_bytes(box_font(family="Shed", style="Bold").data)
    (fonts / "b.ttf").write_bytes(box_font(family="Shed").data)
    (fonts / "broken.ttf").write_bytes(b"\0\1\0\0" + bytes(40))
    (fonts / "empty.otf").write_bytes(b"")
    (fonts / "short.ttf").write_bytes(box_font(family="Short").data[:900])
    where = [tmp_path / "fonts", tmp_path / "not there"]
    assert find_font("shed", tmp_path, folders=where).name == "Shed"
    bold = find_font("SHED-Bold", tmp_path, folders=where)
    assert (bold.name, bold.data) == ("Shed Bold", box_font(family="Shed", style="Bold").data)
    assert find_font("Anton", tmp_path, folders=where).data == find_font("Anton", tmp_path).data
    with pytest.raises(InputError, match=r"no font 'Shod Bald' is installed.*Shed Bold"):
        find_font("Shod Bald", tmp_path, folders=where)
    with pytest.raises(InputError, match=r"no font 'Shed in another hand for all' .*a style of Shed: Bold, Regular"):
        find_font("Shed in another hand for all", tmp_path, folders=where)


def test_what_was_kept_of_a_font_is_not_trusted_against_the_font(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "cache"))
    monkeypatch.setenv("HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("BIGSIGN_FONT_FOLDERS", str(tmp_path / "fonts"))
    (tmp_path / "fonts").mkdir()
    file = tmp_path / "fonts" / "a.ttf"
    file.write_bytes(box_font(family="Shed").data)
    assert find_font("Shed", tmp_path).name == "Shed"
    facts = file.stat()
    other = box_font(family="Barn").data
    assert len(other) == facts.st_size
    file.write_bytes(other)
    os.utime(file, ns=(facts.st_atime_ns, facts.st_mtime_ns))  # a copy that keeps the time
    with pytest.raises(InputError, match="no font 'Shed' is installed"):
        find_font("Shed", tmp_path)
    assert find_font("Barn", tmp_path).data == other


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.pfb", b"\x80\x01 and more", "a Type 1 font"),
        ("a.pfa", b"%!PS-AdobeFont-1.0: Shed", "a Type 1 font"),
        ("a.bdf", b"STARTFONT 2.1", "a bitmap font"),
        ("a.pcf", b"\x01fcp....", "a bitmap font"),
        ("a.fon", b"MZ......", "a bitmap font"),
        ("a.eot", bytes(34) + b"LP", "an EOT web font"),
        ("a.ttf", b"<html>", "no font"),
        ("a.woff2", b"wOF2" + b"ttcf" + bytes(40), "a web font of several faces"),
        ("a.woff2", b"wOF2" + bytes(12) + b"\xff" * 4, "unpacks to more than 150 MB"),
        ("a.woff2", b"wOF2" + bytes(40), "is broken"),
        ("a.ttc", b"ttcf" + bytes(40), "holds no face"),
    ],
)
def test_what_is_no_font_to_cut_from_is_said(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], name: str, data: bytes, said: str
) -> None:
    (tmp_path / name).write_bytes(data)
    with pytest.raises(InputError, match=said):
        find_font(name, tmp_path)
    assert capfd.readouterr() == ("", "")
