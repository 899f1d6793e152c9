"""The bytes of a project file as text: what kind of file it is, and in which encoding it was saved."""

from __future__ import annotations

import re

from bigsign.errors import Fault, InputError

__all__ = ["text_of"]

PLAIN = "plain text: `bigsign start DIR` writes one to begin from"
RESAVE = "save it as plain text (UTF-8) from a text editor"
#: By what files of other kinds begin (ISO 32000, OpenDocument 1.3 part 2, ISO/IEC 29500-2, [MS-CFB], W3C SVG).
KINDS = (
    (rb"\s*\{\\rtf", "a word processor's document (RTF)", RESAVE),
    (rb"PK\x03\x04.{26}mimetypeapplication/vnd\.oasis\.opendocument\.text", "a word processor's document", RESAVE),
    (rb"PK\x03\x04.*word/document\.xml", "a word processor's document", RESAVE),
    (rb"PK\x03\x04", "an archive or a program's own file", RESAVE),
    (rb"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a word processor's document or a program's own file", RESAVE),
    (rb"(?i)\s*(<!doctype html|<html)", "a web page", PLAIN),
    (rb"\s*(<\?xml|<svg|<!DOCTYPE svg)", "a drawing", 'a project that names it as file = "…" of an [[artwork]]'),
    (rb"\x1f\x8b", "a compressed file", PLAIN),
    (rb"\s*%PDF-", "a PDF file", PLAIN),
    (rb"\x89PNG|\xff\xd8\xff|GIF8|II\*\x00|MM\x00\*", "a picture", PLAIN),
    (rb"OTTO|\x00\x01\x00\x00|ttcf|wOFF|wOF2", "a font", PLAIN),
    (rb'\s*\{\s*("[^"\n]*"\s*:|\})', "JSON", PLAIN),
)
#: Byte order marks (Unicode, 23.8); the longer first, of which the shorter is a part.
MARKS = ((b"\xff\xfe\0\0", "utf-32"), (b"\0\0\xfe\xff", "utf-32"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))


def text_of(data: bytes, name: str, faults: list[Fault]) -> tuple[str, set[int]]:
    """Return the text, and the numbers of lines that hold bytes which are no text; what is wrong goes to ``faults``.

    Line ends of all systems become "\\n".

    Raises
    ------
    InputError
        If it is a file of another kind.
    """
    wide = _wide(data)
    if wide is not None:
        try:
            text = data.decode(wide)
        except UnicodeDecodeError:
            raise InputError(Fault("the file is not UTF-8 text", name, RESAVE)) from None
        faults.append(Fault(f"the file is saved as {wide[:6].upper()} (“Unicode” in some editors)", name, RESAVE))
        return _lines_of(text.removeprefix("\ufeff")), set()
    for mark, kind, right in KINDS:
        if re.match(mark, data, re.DOTALL):
            raise InputError(Fault(f"the file is {kind}, no project file", name, right))
    data = data.removeprefix(b"\xef\xbb\xbf")
    if data.count(b"\0") > len(data) // 8 + 1:
        raise InputError(Fault("the file is no text", name, PLAIN))
    try:
        return _lines_of(data.decode("utf-8")), set()
    except UnicodeDecodeError as error:
        rows = _lines_of(data.decode("latin-1")).split("\n")
        bad = {number for number, row in enumerate(rows, 1) if not _is_utf8(row.encode("latin-1"))}
        line = min(bad, default=data[: error.start].count(b"\n") + 1)
        shown = data[error.start : error.start + 1].decode("cp1252", "replace")
        what = f"the file is not UTF-8 text (the first letter that isn't may be meant as {shown!r})"
        faults.append(Fault(what, f"{name} line {line}", "save it as UTF-8"))
        return _lines_of(data.decode("utf-8", "replace")), bad


def _wide(data: bytes) -> str | None:
    """Return the encoding of two or four bytes a letter a file is in, or None."""
    for mark, encoding in MARKS:
        if data.startswith(mark):
            return encoding
    head = data[:400]
    if len(head) >= 8 and head[1::2].count(0) > len(head) // 3 and not head[::2].count(0):
        return "utf-16-le"
    if len(head) >= 8 and head[::2].count(0) > len(head) // 3 and not head[1::2].count(0):
        return "utf-16-be"
    return None


def _lines_of(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True
