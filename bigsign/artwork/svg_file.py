"""What a drawing's bytes are: an SVG, one that is compressed, or another kind of file, which is named.

The marks by which kinds are told are those of their formats: PNG (W3C), JPEG (ITU-T T.81), PDF (ISO 32000), DXF
(group code 0 SECTION), and of the compound and archive files that drawing programs keep their own work in.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable

from bigsign.budgets import BUDGETS
from bigsign.errors import InputError

__all__ = ["plain_svg"]


Refuse = Callable[[str, str], InputError]

TRACED = "a drawing of outlines: trace the picture in a drawing program and save it as SVG"
SAVED = "open it in a drawing program, turn text into outlines and save it as SVG"
KINDS = (
    (rb"\x89PNG\r\n\x1a\n", "a PNG picture", TRACED),
    (rb"\xff\xd8\xff", "a JPEG picture", TRACED),
    (rb"GIF8[79]a", "a GIF picture", TRACED),
    (rb"RIFF....WEBP", "a WebP picture", TRACED),
    (rb"(II\*\x00|MM\x00\*)", "a TIFF picture", TRACED),
    (rb"BM.{4}\x00\x00\x00\x00", "a BMP picture", TRACED),
    (rb"....ftyp(avif|avis|heic|heix|mif1)", "a picture of a camera or the web", TRACED),
    (rb"\s*%PDF-", "a PDF file", SAVED),
    (rb"\s*%!PS", "a PostScript file", SAVED),
    (rb"\s*(999\r?\n.*\r?\n\s*)*0\r?\n\s*SECTION", "a DXF drawing", SAVED),
    (rb"AutoCAD Binary DXF", "a DXF drawing", SAVED),
    (rb"(OTTO|\x00\x01\x00\x00|true|ttcf|wOFF|wOF2)", "a font", 'name it as font = "…" of a [[lettering]] table'),
    (rb"PK\x03\x04", "an archive or a program's own file", SAVED),
    (rb"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a program's own file", SAVED),
    (rb"\s*\{\\rtf", "a text document", SAVED),
    (rb"(?i)\s*(<!doctype html|<html)", "a web page", "the SVG file itself"),
)


def plain_svg(data: bytes, refuse: Refuse) -> bytes:
    """Return the text of a drawing, unpacked where it is an .svgz.

    Raises
    ------
    InputError
        By ``refuse`` (what, what would be right), for a file that is too large, empty, or of another kind.
    """
    if len(data) > BUDGETS.drawing_bytes:
        right = f"an SVG of at most {BUDGETS.drawing_bytes / 1e6:.0f} MB"
        raise refuse(f"the drawing is {len(data) / 1e6:.0f} MB", right)
    if data[:2] == b"\x1f\x8b":
        data = _unpacked(data, refuse)
    if not data.strip():
        raise refuse("the drawing is empty", "an SVG file")
    for mark, name, right in KINDS:
        if re.match(mark, data[:400], re.DOTALL):
            raise refuse(f"the drawing is {name}, not an SVG file", right)
    return data


def _unpacked(data: bytes, refuse: Refuse) -> bytes:
    """Return what a gzip file (RFC 1952) holds, no more than a drawing may be."""
    unpacker = zlib.decompressobj(wbits=31)
    try:
        out = unpacker.decompress(data, BUDGETS.drawing_bytes + 1)
    except zlib.error:
        raise refuse("the compressed drawing is damaged", "save it again, best as a plain .svg file") from None
    if len(out) > BUDGETS.drawing_bytes:
        raise refuse(
            f"the compressed drawing holds more than {BUDGETS.drawing_bytes / 1e6:.0f} MB",
            f"an SVG of at most {BUDGETS.drawing_bytes / 1e6:.0f} MB",
        )
    if not unpacker.eof:
        raise refuse("the compressed drawing ends too soon", "save it again, best as a plain .svg file")
    return out
