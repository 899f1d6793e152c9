"""The table directory of a font file: whether all of it is there, and whether it has outlines that can be cut.

The layout is that of the OpenType specification (ISO/IEC 14496-22): a header of 12 bytes, then 16 bytes a table with
its tag, checksum, offset and length; a collection begins with offsets of such headers.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from mmap import mmap

__all__ = ["what_is_wrong"]

NEEDED = ("cmap", "head", "hhea", "hmtx", "maxp")
OUTLINES = ("glyf", "CFF ", "CFF2")
PICTURES = ("CBDT", "sbix", "SVG ", "EBDT", "bdat")


def what_is_wrong(data: bytes | mmap, index: int | None = None) -> tuple[str, str] | None:
    """Return what is wrong with the fonts of a file and what would be right; None: nothing that can be told here.

    ``index``: of the only face of a collection that matters.
    """
    whole = "a whole font file: copy or download it again"
    try:
        directories = list(_directories(data))
    except struct.error:
        return "is cut short", whole
    looked_at = directories if index is None else directories[index : index + 1]
    if not looked_at:
        return "holds no face", whole
    for tables in looked_at:
        if any(offset + length > len(data) for offset, length in tables.values()):
            return "is cut short", whole
        if not any(tables[tag][1] for tag in OUTLINES if tag in tables):  # bitmap fonts may have an empty one
            if set(PICTURES) & tables.keys():
                return "holds pictures of letters, no outlines to cut", "a font with outlines (TrueType or CFF)"
            return "has no outlines", "a font with outlines (TrueType or CFF)"
        missing = [tag for tag in NEEDED if tag not in tables]
        if missing:
            return f"lacks its table {missing[0].strip()!r}", whole
        if any(tables[tag][1] == 0 for tag in NEEDED):
            return "is broken", whole
    return None


def _directories(data: bytes | mmap) -> Iterator[dict[str, tuple[int, int]]]:
    """Yield the (offset, length) of each table by its tag, for each font of a file."""
    starts = [0]
    if data[:4] == b"ttcf":
        (count,) = struct.unpack_from(">I", data, 8)
        starts = [struct.unpack_from(">I", data, 12 + 4 * n)[0] for n in range(min(count, 1000))]
    for start in starts:
        (count,) = struct.unpack_from(">H", data, start + 4)
        out = {}
        for n in range(count):
            tag, _, offset, length = struct.unpack_from(">4sIII", data, start + 12 + 16 * n)
            out[tag.decode("latin-1")] = (offset, length)
        yield out
