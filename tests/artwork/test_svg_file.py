"""Files that people give as drawings: compressed ones are read, other kinds are named."""

from __future__ import annotations

import gzip

import pytest

from bigsign.budgets import BUDGETS
from tests.artwork.svg_reading import fault_of, read, svg

RECT = '<rect width="9" height="9"/>'

OTHERS = {
    "PNG": (b"\x89PNG\r\n\x1a\n\x00\x00", "trace"), "JPEG": (b"\xff\xd8\xff\xe0\x00\x10JFIF", "trace"),
    "GIF": (b"GIF89a\x01\x00", "trace"), "WebP": (b"RIFF\x24\x00\x00\x00WEBPVP8 ", "trace"),
    "TIFF": (b"II*\x00\x08", "trace"), "PDF": (b"%PDF-1.7\n%", "save it as SVG"),
    "PostScript": (b"%!PS-Adobe-3.0 EPSF-3.0\n", "save it as SVG"),
    "DXF": (b"  0\r\nSECTION\r\n  2\r\nHEADER\r\n", "save it as SVG"),
    "font": (b"wOF2\x00\x01\x00\x00", "[[lettering]]"),
    "archive": (b"PK\x03\x04\x14\x00", "save it as SVG"), "web page": (b"<!DOCTYPE html><html>", "SVG file itself"),
}  # fmt: skip


@pytest.mark.parametrize("kind", OTHERS)
def test_another_kind_of_file_is_named(kind: str) -> None:
    data, right = OTHERS[kind]
    fault = fault_of(data)
    assert kind in fault.what
    assert "XML" not in fault.what
    assert right in fault.right


def test_a_compressed_drawing_is_read() -> None:
    assert read(gzip.compress(svg(RECT).encode())).shapes == read(svg(RECT)).shapes


def test_a_compressed_drawing_that_is_damaged_is_refused() -> None:
    packed = gzip.compress(svg(RECT * 50).encode())
    assert "ends too soon" in fault_of(packed[:-12]).what
    assert "damaged" in fault_of(packed[:20] + b"\xff" * 20 + packed[40:]).what


def test_a_compressed_drawing_that_unpacks_to_too_much_is_refused() -> None:
    assert "more than" in fault_of(gzip.compress(b" " * (BUDGETS.drawing_bytes + 10))).what
