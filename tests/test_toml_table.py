"""Tables that know where each key stands."""

from __future__ import annotations

import re

import pytest

from bigsign.toml_reading import read_toml
from bigsign.toml_table import Table


def table(text: str) -> Table:
    document = read_toml(text.encode(), "a.toml")
    return Table(document.values, document.nodes, "", "a.toml", document.faults)


def test_where_says_the_line_of_a_key_and_of_a_tables_first_key() -> None:
    made = table("\n\nx = 1\n[t]\ny = 2\n[[l]]\n[[l]]\nz = 3\n")
    assert made.where("x") == "a.toml line 3 x"
    assert made.where("t") == "a.toml line 5 t"
    assert made.where("l") == "a.toml line 6 l"
    assert made.where("gone") == "a.toml line 3 gone"


def test_an_unknown_key_names_the_nearest_known_one() -> None:
    made = table("colr = 1\nzzz = 2\n")
    made.has("colour")
    made.has("lines")
    made.finish()
    assert [(fault.what, fault.right) for fault in made.faults] == [
        ("unknown key 'colr'", "did you mean 'colour'?"),
        ("unknown key 'zzz'", "known here: colour, lines"),
    ]


def test_a_misspelt_key_is_not_missing_as_well() -> None:
    made = table("widht = 1\n")
    assert not made.lacks("width")
    assert made.lacks("height", "lines")


def test_getters_note_the_fault_and_give_the_default() -> None:
    made = table('a = "tab\\there"\nb = 3\nc = true\nd = [1, "x"]\ne = inf\nf = "-1 mm"\ng = ["1 in", "2"]\n')
    assert made.text("a", "z") == "z"
    assert made.choice("b", ("one", "two"), "one") == "one"
    assert made.number("c", 2.0, "a number", lambda v: True) == 2
    assert made.texts("d", "texts") is None
    assert made.number("e", 1.5, "a number", lambda v: True) == 1.5
    assert made.length("f", 7.0) == 7
    assert made.point("g") is None
    assert [fault.where for fault in made.faults] == [f"a.toml line {n} {key}" for n, key in enumerate("abcdefg", 1)]


@pytest.mark.parametrize("text", ["a = 'x\n", "[a\n", "a = 1\na = 2", "a = \x00"])
def test_broken_toml_is_one_fault_with_a_line(text: str) -> None:
    (fault,) = table(text).faults
    assert re.match(r"a\.toml line \d", fault.where)


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ('a = "90"\n', "degrees: a = 90"),
        ('lines = "EGGS"\n', 'texts: lines = ["EGGS"]'),
        ('f = "yes"\n', "true or false: f = true"),
        ('w = "1,5 in"\n', 'write "1.5 in"; lengths'),
    ],
)  # fmt: skip
def test_a_value_of_another_kind_is_shown_as_it_should_be_written(text: str, right: str) -> None:
    made = table(text)
    made.number("a", 0, "degrees", lambda v: True)
    made.texts("lines", "texts")
    made.flag("f", False)
    made.length("w")
    assert made.faults[0].right.startswith(right)


def test_a_key_that_is_broken_is_neither_missing_nor_at_fault_twice() -> None:
    made = table("a = \nb = [1, =\nc = ]\n")
    assert len(made.faults) == 3
    assert not made.lacks("a")
    assert (made.length("a", 1.0), made.texts("b", "texts"), made.text("c", "x")) == (1.0, None, "x")
    assert len(made.faults) == 3
