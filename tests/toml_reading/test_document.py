"""Whole files: faults of the writing are told all at once, and what can be read is read."""

from __future__ import annotations

from pathlib import Path

import pytest

from bigsign.errors import InputError
from bigsign.toml_reading import BROKEN, inner_nodes, read_toml
from bigsign.toml_reading.document import MOST


def told(text: str) -> list[str]:
    return [str(fault) for fault in read_toml(text.encode(), "a.toml").faults]


def test_every_line_that_is_wrong_is_told_and_the_rest_is_read() -> None:
    text = "[sign]\nwidth = 12 in\nheight: “4 ft”\nname =\n[[lettering]\nlines = [\n'A',\n'B',\nalign = left\n"
    document = read_toml(text.encode(), "a.toml")
    assert [fault.where.split(" [")[0] for fault in document.faults] == [f"a.toml line {n}" for n in (5, 2, 3, 4, 8, 9)]
    assert document.values == {
        "sign": {"width": "12 in", "height": "4 ft", "name": BROKEN},
        "lettering": [{"lines": ["A", "B"], "align": "left"}],
    }


def test_lines_are_those_of_the_file_though_a_line_became_two() -> None:
    document = read_toml(b"[sign]\na = 1 b = 2\nc = 3\n[[lettering]]\nd = 4\n", "a.toml")
    nodes = inner_nodes(document.nodes["sign"])
    assert [nodes[key]["key_line"] for key in "abc"] == [2, 2, 3]
    (block,) = inner_nodes(document.nodes["lettering"])
    assert inner_nodes(block)["d"]["key_line"] == 5


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('a = [\n  "x",\n  "y\n]\n', 'a quote is missing, a.toml line 3 a, write "y"'),
        ('a = [\n  "x"\n  "y"\n]\n', 'a comma is missing, a.toml line 2 a, write "x",'),
        ("a = [\n  “x”,\n  'y',\n]\n", 'the quotes are curly, a.toml line 2 a, write "x",'),
        ('a = [\n  "x",\n  "y"\n\n# end\nb = 1\n', 'a bracket is missing, a.toml line 3 a, write "y"]'),
        ('a = [\n  "x",\n  "y",\n', 'a bracket is missing, a.toml line 3 a, write "y",]'),
        ("a = {x = 1\nb = 1\n", "a bracket is missing, a.toml line 1 a, write a = {x = 1}"),
        ("[t]\na = 1\na = 2\n", "a stands twice (first in line 2), a.toml line 3 [t] a, one of the two lines"),
        ("[t]\na = 1\n[u]\n[t]\n", "the table [t] stands twice (first in line 1), a.toml line 4, one table [t] that"),
        ("[t]\na = 1\n[t.a]\nb = 1\n", "a key stands twice, a.toml line 3"),
        ('a = """x\n[t]\nb = 1\n', "this value can't be read, a.toml line 1 a"),
    ],
)
def test_faults_over_several_lines_say_the_line_that_is_wrong(text: str, said: str) -> None:
    (only,) = told(text)
    assert only.startswith(said) or said in only


def test_a_table_that_stands_twice_is_read_as_one() -> None:
    document = read_toml(b"[sign]\na = 1\n[x]\n[sign]\na = 2\nb = 3\n", "a.toml")
    assert document.values["sign"] == {"a": 1, "b": 3}
    assert [fault.what for fault in document.faults] == [
        "the table [sign] stands twice (first in line 1)", "a stands twice (first in line 2)",
    ]  # fmt: skip
    assert document.faults[1].where == "a.toml line 5 [sign] a"


def test_tables_within_a_table_that_stands_twice_have_lines_too() -> None:
    document = read_toml(b"[s]\n[s.a]\nb = 1\n[s.c]\n[x]\n[s]\na = 2\nc = 3\n", "a.toml")
    assert [(fault.what, fault.where) for fault in document.faults] == [
        ("the table [s] stands twice (first in line 1)", "a.toml line 6"),
        ("a stands twice (first in line 3)", "a.toml line 7 [s] a"),
        ("c stands twice (first in line 4)", "a.toml line 8 [s] c"),
    ]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_wide_letters_are_told_and_the_file_is_read(encoding: str) -> None:
    document = read_toml("[sign]\r\nwidth = “1 in”\r\n".encode(encoding), "a.toml")
    assert [fault.where for fault in document.faults] == ["a.toml", "a.toml line 2 [sign] width"]
    assert "UTF-" in document.faults[0].what
    assert document.values == {"sign": {"width": "1 in"}}


def test_a_key_on_a_line_of_another_encoding_is_at_fault_once() -> None:
    document = read_toml("[sign]\nname = “Café”\nwidth = '1 in'\n".encode("cp1252"), "a.toml")
    (fault,) = document.faults
    assert (fault.where, fault.right) == ("a.toml line 2", "save it as UTF-8")
    assert document.values == {"sign": {"name": BROKEN, "width": "1 in"}}


@pytest.mark.parametrize("end", ["\r", "\r\n"])
def test_line_ends_of_other_systems_are_line_ends(end: str) -> None:
    document = read_toml(f"\ufeff[sign]{end}a = 1{end}b = ?{end}".encode(), "a.toml")
    assert document.values["sign"]["a"] == 1
    assert [fault.where for fault in document.faults] == ["a.toml line 3 [sign] b"]


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (b"{\\rtf1\\ansi [sign]}", "word processor"),
        (b"PK\x03\x04" + b"\0" * 9000 + b"word/document.xml", "word processor"),
        (b"PK\x03\x04" + b"\0" * 26 + b"mimetypeapplication/vnd.oasis.opendocument.text", "word processor"),
        (b"PK\x03\x04....", "archive"), (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "word processor"), (b"%PDF-1.7", "PDF"),
        (b"<!DOCTYPE html><p>", "web page"), (b"<svg xmlns='a'/>", "drawing"), (b"\x89PNG\r\n\x1a\n", "picture"),
        (b"OTTO\0\1", "font"), (b"\x1f\x8b\x08", "compressed"), (b'{"sign": {}}', "JSON"), (b"\0" * 50, "no text"),
    ],
)  # fmt: skip
def test_a_file_of_another_kind_is_named(data: bytes, kind: str) -> None:
    with pytest.raises(InputError, match=kind) as caught:
        read_toml(data, "a.toml")
    assert len(caught.value.faults) == 1
    assert "text" in str(caught.value) or "project" in str(caught.value)


def test_a_text_that_is_no_toml_at_all_is_cut_off() -> None:
    with pytest.raises(InputError) as caught:
        read_toml(("once upon a time, there was a sign;\n" * 500).encode(), "a.toml")
    assert len(caught.value.faults) <= MOST + 2
    assert caught.value.faults[-1].what == "there are more faults"


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "“" * 20_000, "a = x" + " #" * 20_000, 'a = "' + 'x" ' * 20_000, "a = [" + "x," * 20_000 + "]",
        "a = [\n" + '"x",\n' * 20_000, "a" + " b" * 20_000, "a = " + "1" * 20_000 + " in", " " * 20_000 + "= 3",
    ],
    ids=lambda text: text[:12],
)  # fmt: skip
def test_what_nobody_writes_is_one_fault_and_not_looked_at_closely(text: str) -> None:
    assert len(read_toml(text.encode(), "a.toml").faults) == 1


@pytest.mark.parametrize("more", ["", "a = ?\n"])
def test_a_table_without_keys_has_the_line_of_its_head(more: str) -> None:
    document = read_toml(f"[x]\n{more}# none\n[si]\n".encode(), "a.toml")
    assert document.nodes["si"]["key_line"] == 3 + bool(more)
    assert document.values["si"] == inner_nodes(document.nodes["si"]) == {}


def test_what_a_reader_of_toml_refuses_is_told_and_what_it_reads_is_not() -> None:
    data = pytest.importorskip("test.test_tomllib").__path__[0]  # CPython's own cases of good and bad TOML
    files = sorted(Path(data).glob("data/*valid/**/*.toml"))
    assert len(files) > 40
    for file in files:
        if file.name == "carriage-return.toml":  # a line end of old systems, which is read here
            continue
        try:
            faults = read_toml(file.read_bytes(), "a.toml").faults
        except InputError as error:
            faults = list(error.faults)
        assert bool(faults) == ("invalid" in file.parts), (file.name, faults)


def test_a_table_within_a_table_has_the_line_of_its_head() -> None:
    for text in ("\n[x.n]\n", "\n[x.n]\njam\n"):
        assert read_toml(text.encode(), "a.toml").nodes["x"]["n"]["key_line"] == 2
