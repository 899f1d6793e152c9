"""Families and styles of font files: against names written by fontTools, and fonts from packages."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from bigsign.fonts.faces import FaceName, faces_of, matching, plain_name
from bigsign.fonts.packages import package_fonts
from tests.artwork.lettering_samples import box_font


def named(names: dict[tuple[int, int], str], weight: int = 400) -> bytes:
    """Return the boxes with these names, by name and language (0x409: English)."""
    with TTFont(BytesIO(box_font().data)) as font:
        font["name"].names = []
        for (name, language), text in names.items():
            font["name"].setName(text, name, 3, 1, language)
        font["OS/2"].usWeightClass = weight
        out = BytesIO()
        font.save(out)
    return out.getvalue()


def test_typographic_names_come_before_the_old_ones() -> None:
    data = named(
        {(1, 0x409): "Shed Extra Light", (2, 0x409): "Regular", (16, 0x409): "Shed", (17, 0x409): "Extra Light"}
    )
    (face,) = faces_of(data)
    assert (face.family, face.style, face.name) == ("Shed", "Extra Light", "Shed Extra Light")
    for text in ("Shed Extra Light", "shed-extralight", "Shed, Extra Light", "SHED_EXTRA_LIGHT"):
        assert matching([face], text) == 0


def test_names_in_other_languages_and_postscript_names_are_known_too() -> None:
    data = named({(1, 0x409): "Shed", (2, 0x409): "Bold", (1, 0x411): "小屋", (6, 0x409): "ShedPS-Heavy"})
    (face,) = faces_of(data)
    assert face.family == "Shed"
    assert matching([face], "小屋 Bold") == matching([face], "小屋") == matching([face], "shedps heavy") == 0
    assert matching([face], "Sheds") is None


def test_named_instances_are_those_fonttools_reads() -> None:
    _, file = package_fonts()[plain_name("Dancing Script")]
    with TTFont(file) as font:
        wanted = {
            font["name"].getDebugName(one.subfamilyNameID): dict(one.coordinates) for one in font["fvar"].instances
        }
    faces = faces_of(file)
    assert faces == faces_of(file.read_bytes())
    assert {face.style for face in faces} == set(wanted) == {"Regular", "Medium", "SemiBold", "Bold"}
    assert all(dict(face.axes) == wanted[face.style] for face in faces if face.axes)
    (itself,) = [face for face in faces if not face.axes]
    assert itself.style == "Regular"
    at = matching(faces, "Dancing Script")
    assert at is not None
    assert faces[at] == itself


def test_a_family_alone_is_its_plainest_face() -> None:
    faces = [
        faces_of(named({(1, 0x409): "Shed", (2, 0x409): style}, weight))[0]
        for style, weight in (("Bold", 700), ("Light", 300), ("Book", 400), ("Medium", 500))
    ]
    assert matching(faces, "Shed") == 2
    assert matching(faces[:2], "Shed") == 1
    assert matching(faces, "Shed Medium") == 3


def test_a_face_that_can_be_cut_comes_before_one_that_cannot() -> None:
    pictures = FaceName("Shed", "Regular", wrong="holds pictures of letters, no outlines to cut")
    assert matching([pictures, FaceName("Shed", "Regular")], "Shed") == 1
    assert matching([pictures], "Shed") == 0


@pytest.mark.parametrize("data", [b"", b"\0\1\0\0", b"ttcf" + b"\xff" * 60, b"OTTO" + b"\xff" * 60, b"words"])
def test_what_is_no_font_has_no_faces(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a.ttf").write_bytes(data)
    assert [face for face in faces_of(tmp_path / "a.ttf") if face.family] == []
    assert [face for face in faces_of(data) if face.family] == []


def test_a_font_cut_short_says_so_beside_its_names() -> None:
    whole = box_font().data
    told = [face for length in range(0, len(whole), 97) for face in faces_of(whole[:length]) if face.family]
    assert told
    assert all(face.wrong for face in told)
