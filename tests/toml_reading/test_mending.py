"""Lines as people write them: what is said to be wrong, and the line as it should read."""

from __future__ import annotations

import pytest

from bigsign.errors import Fault
from bigsign.toml_reading import read_toml

LINES = [
    ('width = “12 in”', 'the quotes are curly', 'width = "12 in"'),
    ('width = ‘12 in’', 'the quotes are curly', 'width = "12 in"'),
    ('width = „12 in“', 'the quotes are curly', 'width = "12 in"'),
    ('width = « 12 in »', 'the quotes are curly', 'width = "12 in"'),
    ('width = "12 in”', 'a quote is missing', 'width = "12 in"'),
    ('width = “12 in"', 'the quotes are curly', 'width = "12 in"'),
    (
        'font = "C:\\Users\\ann\\new.ttf"',
        'a backslash in double quotes begins a special character',
        'font = "C:/Users/ann/new.ttf"',
    ),
    (
        'font = "C:\\fonts\\new.ttf"',
        'a backslash in double quotes begins a special character',
        'font = "C:/fonts/new.ttf"',
    ),
    ('file = "art\\leaf.svg"', 'a backslash in double quotes begins a special character', 'file = "art/leaf.svg"'),
    ('font = C:\\fonts\\new.ttf', 'a text stands without quotes', 'font = "C:/fonts/new.ttf"'),
    ('width = "43 1/2""', 'an inch mark ends the text', 'width = "43 1/2 in"'),
    ('width = "43 1/2"" # the 12" board', 'an inch mark ends the text', 'width = "43 1/2 in"  # the 12" board'),
    ('width = "3\' 4 1/2""', 'an inch mark ends the text', 'width = "3 ft 4 1/2 in"'),
    ('width = \'3\' 4 1/2"\'', 'an inch mark ends the text', 'width = "3 ft 4 1/2 in"'),
    ('width = 3\' 4 1/2"', 'a length stands without quotes', 'width = "3 ft 4 1/2 in"'),
    ('name = "Sam "the egg" board"', 'a text holds a " that ends it', 'name = \'Sam "the egg" board\''),
    ('name = "Sam\'s "egg" board"', 'a text holds a " that ends it', 'name = "Sam\'s \\"egg\\" board"'),
    ('width = "12 in', 'a quote is missing', 'width = "12 in"'),
    ('width = "12 in # board', 'a quote is missing', 'width = "12 in"  # board'),
    ('width = 12 in"', 'a length stands without quotes', 'width = "12 in"'),
    ('width "12 in"', 'the = is missing', 'width = "12 in"'),
    ('width 12 in', 'the = is missing and a length stands without quotes', 'width = "12 in"'),
    ('width: 12 in', 'there is : for = and a length stands without quotes', 'width = "12 in"'),
    ('width: "12 in"', 'there is : for =', 'width = "12 in"'),
    ('width = 12in', 'a length stands without quotes', 'width = "12in"'),
    ('width = 12"', 'a length stands without quotes', 'width = "12 in"'),
    ('width = 12 in', 'a length stands without quotes', 'width = "12 in"'),
    ('width = 12,5 in', 'a length stands without quotes', 'width = "12.5 in"'),
    ('width = 12 1/2', 'a text stands without quotes', 'width = "12 1/2"'),
    ('leading = 1,4', 'a number has a decimal comma', 'leading = 1.4'),
    ('turn = 90°', 'a number has a unit', 'turn = 90'),
    ('turn = – 90', 'there is a long dash for a minus sign and a number has a space behind its sign', 'turn = -90'),
    (
        'width = "12 in" 12" board',
        'there are words after the value (a comment begins with #)',
        'width = "12 in"  # 12" board',
    ),
    (
        'width = "12 in" // board',
        'there are words after the value (a comment begins with #)',
        'width = "12 in"  # board',
    ),
    ('width = "12 in",', 'there is a , too many', 'width = "12 in"'),
    ('width = "12 in";', 'there is a ; too many', 'width = "12 in"'),
    ('width\xa0= "12 in"', 'there is a space of another kind (a non-breaking one, say)', 'width = "12 in"'),
    ('width = \u200b"12 in"', "there is a zero width space (U+200B), which can't be seen", 'width = "12 in"'),
    ('cap height = "4 in"', 'a key has a space in its name', 'cap_height = "4 in"'),
    ('cap–height = "4 in"', 'there is a long dash for a minus sign', 'cap-height = "4 in"'),
    (
        'width = "12 in" height = "4 in"',
        'two keys stand on one line',
        'width = "12 in" and, on a line of its own, height = "4 in"',
    ),
    (
        'width = "12 in", height = "4 in"',
        'two keys stand on one line',
        'width = "12 in" and, on a line of its own, height = "4 in"',
    ),
    ('weed_box = yes', 'true and false stand by themselves, in small letters', 'weed_box = true'),
    ('weed_box = True', 'true and false stand by themselves, in small letters', 'weed_box = true'),
    ('colour = #ff0000', 'a text stands without quotes', 'colour = "#ff0000"'),
    ('colour = red', 'a text stands without quotes', 'colour = "red"'),
    ('colour = forest green', 'a text stands without quotes', 'colour = "forest green"'),
    ('name = Farm stand', 'a text stands without quotes', 'name = "Farm stand"'),
    ('lines = ["FRESH EGGS", "& HONEY]', 'a quote is missing', 'lines = ["FRESH EGGS", "& HONEY"]'),
    ('lines = ["FRESH EGGS, "& HONEY"]', 'a quote is missing', 'lines = ["FRESH EGGS", "& HONEY"]'),
    ('lines = ["FRESH EGGS" "& HONEY"]', 'a comma is missing', 'lines = ["FRESH EGGS", "& HONEY"]'),
    ('lines = ["FRESH EGGS", "& HONEY"', 'a bracket is missing', 'lines = ["FRESH EGGS", "& HONEY"]'),
    (
        'lines = “FRESH EGGS”, “& HONEY”',
        'the quotes are curly and a bracket is missing',
        'lines = ["FRESH EGGS", "& HONEY"]',
    ),
    ('lines = [“FRESH EGGS”, “& HONEY”]', 'the quotes are curly', 'lines = ["FRESH EGGS", "& HONEY"]'),
    ('lines = FRESH EGGS', 'a text stands without quotes and a bracket is missing', 'lines = ["FRESH EGGS"]'),
    ('lines = [FRESH EGGS, & HONEY]', 'a text stands without quotes', 'lines = ["FRESH EGGS", "& HONEY"]'),
    ('lines = ["SAM "THE EGG""]', 'a text holds a " that ends it', 'lines = [\'SAM "THE EGG"\']'),
    ('centre = ["6 in", "20 in"', 'a bracket is missing', 'centre = ["6 in", "20 in"]'),
    ('centre = [6 in, 20 in]', 'a length stands without quotes', 'centre = ["6 in", "20 in"]'),
    ('centre = ("6 in", "20 in")', 'a list stands in square brackets', 'centre = ["6 in", "20 in"]'),
    ('centre = [6", 20"]', 'a length stands without quotes', 'centre = ["6 in", "20 in"]'),
    ('centre = "6 in", "20 in"', 'a bracket is missing', 'centre = ["6 in", "20 in"]'),
    ('colours = {"#ffffff": "none"}', 'there is a : for a =', 'colours = {"#ffffff" = "none"}'),
    ('colours = {#ffffff = none}', 'a text stands without quotes', 'colours = {"#ffffff" = "none"}'),
    ('colours = {"#ffffff" = "none"', 'a bracket is missing', 'colours = {"#ffffff" = "none"}'),
    ('keep = [["FRESH", "EGGS"]', 'a bracket is missing', 'keep = [["FRESH", "EGGS"]]'),
    ('keep = [[FRESH, EGGS]]', 'a text stands without quotes', 'keep = [["FRESH", "EGGS"]]'),
    ('[lettering]', 'the head of a table has other brackets', '[[lettering]]'),
    ('// a remark', 'a remark begins with another sign than #', '# a remark'),
    ('; a remark', 'a remark begins with another sign than #', '# a remark'),
    ('width == "12 in"', 'there is == for =', 'width = "12 in"'),
    ('width = ½ in', 'a text stands without quotes', 'width = "½ in"'),
    ('width = 12½"', 'a length stands without quotes', 'width = "12½ in"'),
    ('width = 12½″', 'a length stands without quotes', 'width = "12½″"'),
    ('width = 12″', 'a length stands without quotes', 'width = "12″"'),
    ('width = 3′ 4″', 'a length stands without quotes', 'width = "3′ 4″"'),
    ('width = \'12 in"', 'a quote is missing', 'width = "12 in"'),
    ('width = "12" in', 'a unit stands outside the quotes', 'width = "12 in"'),
    ('width = "12" inches', 'a unit stands outside the quotes', 'width = "12 inches"'),
    ('name = “Sam’s “best” eggs”', 'the quotes are curly', 'name = "Sam’s “best” eggs"'),
    ('font = "Anton’', 'a quote is missing', 'font = "Anton"'),
    ('reference = [left, top]', 'a text stands without quotes', 'reference = ["left", "top"]'),
    ('axes = {wght: 700}', 'there is a : for a =', 'axes = {wght = 700}'),
    ('axes = {wght = 700', 'a bracket is missing', 'axes = {wght = 700}'),
    ('width = 1.2 m', 'a length stands without quotes', 'width = "1.2 m"'),
    ('width = "12 in" board', 'there are words after the value (a comment begins with #)', 'width = "12 in"  # board'),
    ('turn = 45 degrees', 'a number has a unit', 'turn = 45'),
    ('name = "a\\qb"', 'a backslash in double quotes begins a special character', "name = 'a\\qb'"),
    ('leading = .5', 'a number begins with its point', 'leading = 0.5'),
]  # fmt: skip


def faults(line: str) -> list[Fault]:
    return read_toml(f"[sign]\nx = 1\n{line}\ny = 2\n".encode(), "a.toml").faults


@pytest.mark.parametrize(("line", "what", "mended"), LINES)
def test_a_line_is_said_as_it_should_read(line: str, what: str, mended: str) -> None:
    (fault,) = faults(line)
    assert (fault.what, fault.right) == (what, f"write {mended}")
    assert fault.where.startswith("a.toml line 3")


@pytest.mark.parametrize("mended", sorted({mended for *_, mended in LINES if "on a line of its own" not in mended}))
def test_a_mended_line_is_right(mended: str) -> None:
    assert faults(mended) == []


@pytest.mark.parametrize(
    "line",
    [
        "width =", "width = = 3", "some words and no more", "colours = {a, b}", 'keep = ["A", B, "C D", "E]'
    ],
)  # fmt: skip
def test_what_cannot_be_told_is_one_fault_with_its_line(line: str) -> None:
    (fault,) = faults(line)
    assert fault.where.startswith("a.toml line 3")
    assert 'width = "12 in"' in fault.right


@pytest.mark.parametrize(
    "line",
    ['width = "12 in" # the 12" board', 'name = "“Fresh” eggs – daily"', "name = 'C:\\new'", 'font = "C:\\\\new.ttf"',
     'name = "a # b"', "k = 2020-01-01", "k = [1, 2,]", 'k = """a"""', "a.b = 3"],
)  # fmt: skip
def test_what_is_right_is_left_alone(line: str) -> None:
    assert faults(line) == []
