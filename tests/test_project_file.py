"""Project files: what they mean, and every fault said at once with its line."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bigsign.errors import Fault, InputError, NotYetError
from bigsign.fonts import find_font
from bigsign.project import DrawingSpec, LetteringSpec, MarkSettings, Project
from bigsign.project_file import load_project, missing_characters
from bigsign.units import TapeStep, parse_length

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in"><path d="M0 0H9V9Z"/></svg>'
SMALL = """
[sign]
width = "12 in"
height = "48 in"
[cutter]
use = "desktop-12"
[[lettering]]
lines = ["FRESH EGGS"]
cap_height = "1 in"
"""


@pytest.fixture(autouse=True)
def _no_own_cutters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def load(folder: Path, text: str | bytes, name: str = "stand.toml") -> Project:
    (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return load_project(folder / name)


def faults(folder: Path, text: str | bytes) -> list[str]:
    with pytest.raises(InputError) as caught:
        load(folder, text)
    return [str(fault) for fault in caught.value.faults]


def lettering(project: Project, at: int = 0) -> LetteringSpec:
    block = project.blocks[at]
    assert isinstance(block, LetteringSpec)
    return block


def test_defaults_are_those_of_the_contract(tmp_path: Path) -> None:
    project = load(tmp_path, SMALL)
    block = lettering(project)
    assert (project.name, project.revision, project.file) == ("stand", "", "stand.toml")
    assert (project.board.width, project.board.height, project.board.margin) == (304.8, 1219.2, 0)
    assert project.board.reference == ("left", "top")
    assert project.board.outline.bounds == (0, 0, 304.8, 1219.2)
    assert (project.cutter.mat, project.cutter.width, project.cutter.border) == ("12x12", 292.1, 6.35)
    assert (project.turning, project.film.kind, project.film.side) == ("quarter", "adhesive", "face")
    assert (block.font.name, dict(block.axes), block.leading, block.align) == ("Anton", {}, 1.4, "centre")
    assert (block.turn, block.stacked, block.colour, block.centre) == (0, False, "#000000", (152.4, 609.6))
    plan = project.plan
    assert (plan.policy, plan.clearance, plan.placement_tolerance, plan.trim_margin) == ("words", 1, 1, 6.35)
    assert (plan.hinge, plan.spacing, plan.weed_box, plan.paper) == ("auto", 3, True, "letter")
    assert (plan.tape_step, plan.both_units, plan.wishes) == (TapeStep(), False, ())


def test_every_key_is_read(tmp_path: Path) -> None:
    (tmp_path / "leaf.svg").write_text(SVG)
    project = load(
        tmp_path,
        """
[sign]
name = "Farm stand board"
revision = "B"
width = "12 in"
height = "4 ft"
margin = "3/4 in"
reference = ["right", "middle"]
[cutter]
name = "mine"
width = "20 cm"
length = "1.2 m"
border = "5 mm"
turning = "none"
[film]
kind = "adhesive"
side = "face"
[[artwork]]
file = "leaf.svg"
width = "10 in"
centre = ["6 in", "40 in"]
colours = {"#ffffff" = "none", "black" = "Forest Green", "#F00" = "#ff0000"}
[[lettering]]
lines = ["FRESH EGGS  ", "& HONEY"]
font = "archivo black"
height = "8 in"
leading = 1.2
align = "left"
turn = 90
stacked = true
colour = "SeaGreen"
centre = ["6 in", "-20 mm"]
[plan]
policy = "panels"
clearance = "0.5 mm"
placement_tolerance = "2 mm"
trim_margin = "0 in"
hinge = "side"
spacing = "4 mm"
weed_box = false
tape_step = "1 mm"
paper = "a4"
both_units = true
keep = [["FRESH"], ["&", "HONEY"]]
break_after = ["FRESH|3"]
no_break_after = ["THE#2"]
""".replace("Forest Green", "forestgreen"),
    )
    assert (project.name, project.revision, project.board.margin) == ("Farm stand board", "B", 19.05)
    assert project.board.reference == ("right", "middle")
    cutter = project.cutter
    assert (cutter.name, cutter.width, cutter.length, cutter.border) == ("mine", 200, 1200, 5)
    leaf, words = project.blocks
    assert isinstance(leaf, DrawingSpec)
    assert (leaf.file, leaf.data, leaf.width, leaf.height) == ("leaf.svg", SVG.encode(), 254, None)
    assert leaf.centre == (152.4, 1016)
    assert leaf.colours == {"#ffffff": "none", "#000000": "#228b22", "#ff0000": "#ff0000"}
    assert isinstance(words, LetteringSpec)
    assert words.lines == ("FRESH EGGS", "& HONEY")
    assert (words.font.name, words.cap_height, words.width, words.height) == ("Archivo Black", None, None, 203.2)
    assert (words.leading, words.align, words.turn, words.stacked) == (1.2, "left", 90, True)
    assert (words.colour, words.centre) == ("#2e8b57", (152.4, -20))
    assert dict(project.colour_names) == {"#228b22": "forestgreen", "#ff0000": "#ff0000", "#2e8b57": "SeaGreen"}
    plan = project.plan
    assert (plan.policy, plan.clearance, plan.placement_tolerance, plan.trim_margin) == ("panels", 0.5, 2, 0)
    assert (plan.hinge, plan.spacing, plan.weed_box, plan.paper, plan.both_units) == ("side", 4, False, "a4", True)
    assert plan.tape_step.mm == 1
    assert [(wish.kind, wish.texts) for wish in plan.wishes] == [
        ("keep", ("FRESH",)),
        ("keep", ("&", "HONEY")),
        ("break_after", ("FRESH|3",)),
        ("no_break_after", ("THE#2",)),
    ]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('width = "12 in"', 'widht = "12 in"', r"key 'widht', stand.toml line 3 \[sign\] widht, did you mean 'width'"),
        ('width = "12 in"', 'width = "12"', r"'12' is not a length, stand.toml line 3 \[sign\] width, .*43 1/2 in"),
        ('width = "12 in"', 'width = "1,5 in"', r"line 3 \[sign\] width.*43 1/2 in"),
        ('width = "12 in"', 'width = "nan in"', r"line 3 \[sign\] width.*43 1/2 in"),
        ('width = "12 in"', "width = inf", r"line 3 \[sign\] width.*43 1/2 in"),
        ('width = "12 in"', "width = 12", r"12 has no unit.*line 3 \[sign\] width"),
        ('width = "12 in"', 'width = "0 in"', r"line 3 \[sign\] width, a length above nought"),
        ('width = "12 in"', 'width = "-1 in"', r"line 3 \[sign\] width, a length above nought"),
        ('width = "12 in"', 'width = "12 in"\nmargin = "6 in"', r"margin leaves nothing.*line 4"),
        ('width = "12 in"', 'width = "12 in"\nreference = ["top", "left"]', r"line 4 \[sign\] reference"),
        ('use = "desktop-12"', 'use = "desktop12"', r"line 6 \[cutter\] use, did you mean 'desktop-12'"),
        ('use = "desktop-12"', 'use = "desktop-12"\nmat = "9x9"', r"line 7 \[cutter\] mat, one of: 12x12, 12x24"),
        ('use = "desktop-12"', 'use = "desktop-12"\nwidth = "9 in"', r"both use and width are given"),
        ('use = "desktop-12"', 'width = "2 cm"\nlength = "9 in"', r"width is under 25 mm, .*line 6 \[cutter\] width"),
        ('use = "desktop-12"', 'width = "9 in"\nlength = "2 cm"', r"length is under 25 mm, .*line 7 \[cutter\] length"),
        ('use = "desktop-12"', 'width = "9 in"', r"cutter's length is missing"),
        ('use = "desktop-12"', "", r"no cutter is given"),
        ('use = "desktop-12"', 'use = "desktop-12"\nturning = "half"', r"turning is 'half'.*of: quarter, none, any"),
        ('["FRESH EGGS"]', "[]", r"the phrase is empty, stand.toml line 8"),
        ('["FRESH EGGS"]', '[" ", ""]', r"the phrase is empty"),
        ('["FRESH EGGS"]', '["FRESH\\tEGGS"]', r"holds a tab \(U\+0009\) after 'FRESH', stand.toml line 8 .*lines"),
        ('["FRESH EGGS"]', '["FRESH\\nEGGS"]', r"holds a line break \(U\+000A\)"),
        ('["FRESH EGGS"]', '["FRESH\\u2028EGGS"]', r"holds a line separator \(U\+2028\)"),
        ('["FRESH EGGS"]', '["FRESH EGGS\\u001f"]', r"holds a control character \(U\+001F\)"),
        ('["FRESH EGGS"]', '["EGGS \\u202eABC"]', r"line 1 .* right-to-left override \(U\+202E\) after 'EGGS '"),
        ('["FRESH EGGS"]', '["A", "B\\u2066C"]', r"line 2 .* holds a left-to-right isolate \(U\+2066\) after 'B'"),
        ('["FRESH EGGS"]', '["\\tFRESH EGGS"]', r"holds a tab \(U\+0009\) at its beginning"),
        ('width = "12 in"', 'width = "4: in"', r"^'4: in' is not a length, stand.toml line 3 \[sign\] width, write it"),
        ('width = "12 in"', f'width = "{"9" * 5000} in"', r"^'9+…' is not a length, stand.toml line 3 \[sign\] width"),
        ("[sign]", '[plan]\ntape_step = "4: in"\n[sign]', r"^'4: in' is not a length, .*tape_step, write it"),
        ('["FRESH EGGS"]', '"FRESH"', r"lines is 'FRESH'.*a list of lines"),
        ('["FRESH EGGS"]', "[1]", r"lines holds something that is no text"),
        ('["FRESH EGGS"]', '["卵 A 蜜"]', r"the font Anton has no '卵', '蜜', stand.toml line 8 .*another font"),
        ('cap_height = "1 in"', "", r"no size is given.*exactly one of cap_height, width and height"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\nwidth = "3 in"', r"cap_height and width are given"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\nfont = "Antom"', r"no font 'Antom' is installed.*Anton"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\nfont = "gone.ttf"', r"no font file 'gone.ttf'"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\ncolour = "blakc"', r"'blakc' is no colour.*#rrggbb"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\nturn = "90"', r"turn is '90'.*degrees"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\nturn = nan', r"turn is nan.*degrees"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\nleading = 0', r"leading is 0"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\nstacked = 1', r"stacked is 1.*true or false"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\ncentre = ["1 in"]', r"centre has 1 parts"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\naxes = {wght = 700}', r"no axis 'wght'.*leave axes out"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[plan]\ntape_step = "1/3 in"', r"no step of a tape"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[plan]\nkeep = ["A"]', r"list of lists"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[plan]\nbreak_after = [" "]', r"break_after holds an empty text"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[[artwork]]\nfile = "no.svg"', r"not there, stand.toml line 11"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[[artwork]]\nfile = "/etc/passwd"', r"outside the project's"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[[artwork]]\nfile = "../x.svg"', r"outside the project's folder"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[[artwork]]\nfile = "."', r"is no plain file"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[[artwork]]\nfile = "a\\u0000b"', r"control character"),
        ('cap_height = "1 in"', 'cap_height = "1 in"\n[[artwork]]\nwidth = "1 in"', r"file is missing"),
    ],
)  # fmt: skip
def test_one_fault_is_one_clear_line(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert old in SMALL
    (only,) = faults(tmp_path, SMALL.replace(old, new))
    assert re.search(said, only), only


@pytest.mark.parametrize("end", [" ", "   ", "\\t", "\\n", "\\r\\n", "\\u00a0", "\\u2003", " \\t "])
def test_white_space_at_line_ends_is_dropped(tmp_path: Path, end: str) -> None:
    project = load(tmp_path, SMALL.replace('["FRESH EGGS"]', f'["FRESH EGGS{end}"]'))
    assert lettering(project).lines == ("FRESH EGGS",)


def test_all_faults_come_at_once_in_a_stable_order(tmp_path: Path) -> None:
    text = SMALL.replace("12 in", "12").replace("48 in", "x").replace("desktop-12", "desk").replace("1 in", "1")
    found = faults(tmp_path, text + 'fnot = "Anton"\n[[lettering]]\nlines = ["ONE"]\n')
    assert len(found) == 6
    assert [int(re.findall(r"line (\d+)", one)[0]) for one in found] == [3, 4, 6, 9, 10, 12]
    assert found == faults(tmp_path, text + 'fnot = "Anton"\n[[lettering]]\nlines = ["ONE"]\n')


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (SMALL.replace('"12 in"', "").encode(), r"there is no value, stand.toml line 3 \[sign\] width"),
        (SMALL.replace("48 in", '48 in"\nwidth = "2 in').encode(), r"width stands twice \(first in line 3\).*line 5"),
        (SMALL.replace("\nh", "# \xe9\nh").encode("latin-1"), r"not UTF-8 text .*'é'\), stand.toml line 3"),
        (b"a = " + b"[" * 20000, r"nest too deep, stand.toml line 1"),
        (b"a" + b".a" * 20000 + b" = 1", r"nest too deep"),
        (b"# " + b"x" * 1_000_001, r"larger than 1 MB"),
    ],
)
def test_a_file_that_cannot_be_read_says_where(tmp_path: Path, data: bytes, said: str) -> None:
    (only,) = faults(tmp_path, data)
    assert re.search(said, only), only


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ('[marks]\nuse = "sometimes"\n', "auto, on"), ("[marks]\nsize = 3\n", "unit"),
        ('[marks]\nsize = "1 mm"\n', "register marks of 1 mm"), ('[marks]\nnumber = 3\n', "number"),
    ],
)  # fmt: skip
def test_wrong_values_of_register_marks_are_faults(tmp_path: Path, table: str, said: str) -> None:
    (only,) = faults(tmp_path, (SMALL + table).encode())
    assert said in only


def test_register_marks_are_read(tmp_path: Path) -> None:
    assert load(tmp_path, SMALL).marks == MarkSettings("auto", 6.0)
    found = load(tmp_path, SMALL + '[marks]\nuse = "on"\nsize = "10 mm"\n').marks
    assert found == MarkSettings("on", 10.0)


def test_a_mark_of_the_byte_order_and_foreign_line_ends_are_fine(tmp_path: Path) -> None:
    project = load(tmp_path, b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode())
    assert lettering(project).lines == ("FRESH EGGS",)


def test_brackets_within_texts_do_not_count_as_nesting(tmp_path: Path) -> None:
    project = load(tmp_path, SMALL.replace("FRESH EGGS", "[" * 40) + "# " + "[" * 40 + "\n")
    assert lettering(project).lines == ("[" * 40,)


@pytest.mark.parametrize(
    "more",
    [
        '[film]\nkind = "heat"\n', '[film]\nside = "inside"\n', "[stock]\n", "[press]\n",
    ],
)  # fmt: skip
def test_what_is_not_built_yet_says_so(tmp_path: Path, more: str) -> None:
    with pytest.raises(NotYetError, match="not built yet") as caught:
        load(tmp_path, SMALL + more)
    assert len(caught.value.faults) == 1


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('use = "desktop-12"', 'use = "roll-24"'),
        ('use = "desktop-12"', 'use = "desktop-12"\nturning = "any"'),
        ('width = "12 in"', 'width = "12 in"\noutline = "board.svg"'),
    ],
)
def test_values_not_built_yet_are_no_unknown_keys(tmp_path: Path, old: str, new: str) -> None:
    with pytest.raises(NotYetError, match="not built yet"):
        load(tmp_path, SMALL.replace(old, new))


def test_blocks_keep_the_order_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "leaf.svg").write_text(SVG)
    art = '[[artwork]]\nfile = "leaf.svg"\n'
    words = '[[lettering]]\nlines = ["%s"]\ncap_height = "1 in"\n'
    project = load(tmp_path, SMALL + art + words % "TWO" + art + words % "THREE")
    assert [getattr(b, "lines", ("art",))[0] for b in project.blocks] == ["FRESH EGGS", "art", "TWO", "art", "THREE"]


def test_a_link_out_of_the_folder_is_refused_and_one_within_is_fine(tmp_path: Path) -> None:
    inner = tmp_path / "project"
    inner.mkdir()
    (tmp_path / "secret.svg").write_text(SVG)
    (inner / "real.svg").write_text(SVG)
    (inner / "out.svg").symlink_to(tmp_path / "secret.svg")
    (inner / "in.svg").symlink_to(inner / "real.svg")
    (inner / "circle.svg").symlink_to(inner / "circle.svg")
    text = SMALL + '[[artwork]]\nfile = "%s"\n'
    assert "outside" in faults(inner, text % "out.svg")[0]
    assert len(faults(inner, text % "circle.svg")) == 1
    assert len(load(inner, text % "in.svg").blocks) == 2


def test_the_digest_covers_every_input_and_no_path(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    text = SMALL + '[[artwork]]\nfile = "leaf.svg"\n'
    for folder in (one, two):
        folder.mkdir()
        (folder / "leaf.svg").write_text(SVG)
    first = load(one, text).sha256
    assert re.fullmatch("[0-9a-f]{64}", first)
    assert load(two, text).sha256 == first
    assert load(one, text + "\n").sha256 != first
    (two / "leaf.svg").write_text(SVG + "\n")
    assert load(two, text).sha256 != first
    (one / "font.ttf").write_bytes(find_font("Archivo Black", one).data)
    assert load(one, text).sha256 == first, "a file that is not used does not count"


def test_own_cutters_come_from_the_folder_and_the_configuration(tmp_path: Path) -> None:
    config = tmp_path / "config" / "bigsign"
    config.mkdir(parents=True)
    (config / "cutters.toml").write_text('[home]\nmats.a = { width = "10 in", length = "20 in" }\n')
    (tmp_path / "cutters.toml").write_text('[shop]\nmats.b = { width = "300 mm", length = "40 cm", border = "0 mm" }\n')
    home = load(tmp_path, SMALL.replace("desktop-12", "home")).cutter
    assert (home.width, home.length, home.border) == (254, 508, 6.35)
    shop = load(tmp_path, SMALL.replace("desktop-12", "shop"))
    assert (shop.cutter.width, shop.cutter.length, shop.cutter.border) == (300, 400, 0)
    (tmp_path / "cutters.toml").write_text('[shop]\nmats.b = { width = "301 mm", length = "40 cm" }\n')
    assert load(tmp_path, SMALL.replace("desktop-12", "shop")).sha256 != shop.sha256
    (tmp_path / "cutters.toml").write_text("[shop]\nmats = 3\n")
    assert "cutters.toml" in faults(tmp_path, SMALL)[0]


@pytest.mark.parametrize(
    "data", [b"", b"no font at all", b"\0\1\0\0 broken", b"OTTO" + b"\xff" * 400, b"wOF2" + b"\0" * 99]
)
def test_a_broken_font_is_one_fault(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "bad.ttf").write_bytes(data)
    (only,) = faults(tmp_path, SMALL + 'font = "bad.ttf"\n')
    assert "line 10" in only


def test_axes_of_a_variable_font_are_held_to_its_range(tmp_path: Path) -> None:
    script = SMALL + 'font = "Dancing Script"\naxes = {%s}\n'
    assert lettering(load(tmp_path, script % "wght = 650")).axes == {"wght": 650}
    assert "a number from 400 to 700" in faults(tmp_path, script % "wght = 900")[0]
    assert "one of: wght" in faults(tmp_path, script % "wdth = 90")[0]
    assert "a number" in faults(tmp_path, script % 'wght = "bold"')[0]


def test_missing_characters_look_at_composed_and_decomposed_forms(tmp_path: Path) -> None:
    anton = find_font("Anton", tmp_path)
    assert missing_characters(anton, "café cafe\u0301 \u200d\u200f\ufe0f\u00a0") == []
    assert missing_characters(anton, "b\u4e00a\u4e01\u4e00") == ["\u4e00", "\u4e01"]


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(["width", "height", "margin", "reference", "name", "wdth", "outline"]),
        st.one_of(st.integers(), st.booleans(), st.sampled_from(["", "1 in", "0 in", "-3 mm", "x", "é", "[1]"])),
        max_size=5,
    )
)
def test_no_sign_table_makes_anything_but_faults(
    tmp_path_factory: pytest.TempPathFactory, sign: dict[str, object]
) -> None:
    folder = tmp_path_factory.mktemp("sign")
    lines = [f"{key} = {json.dumps(value)}" for key, value in sign.items()]
    text = "[sign]\n" + "\n".join(lines) + "\n[cutter]" + SMALL.partition("[cutter]")[2]
    found: list[Fault] = []
    try:
        project = load(folder, text)
    except InputError as error:
        found = list(error.faults)
    else:
        assert project.board.width == parse_length(str(sign["width"]))
        return
    assert found
    assert all(fault.what and fault.right and fault.where.startswith("stand.toml") for fault in found)
