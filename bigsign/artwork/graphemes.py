"""Grapheme clusters: what a reader takes for one character, so that none is ever parted.

The rules are those of UAX #29, extended grapheme clusters, revision 41 (Unicode 15.0). The character classes
come from the general category of :mod:`unicodedata`, with the exceptions of GraphemeBreakProperty.txt and the
pictographs of emoji-data.txt (both Unicode 15.0) listed here, as Python has neither property.
"""

from __future__ import annotations

import unicodedata
from itertools import pairwise

__all__ = ["grapheme_starts", "graphemes"]


def _ranges(text: str) -> frozenset[int]:
    out: set[int] = set()
    for part in text.split():
        first, _, last = part.partition("-")
        out.update(range(int(first, 16), int(last or first, 16) + 1))
    return frozenset(out)


PREPEND = _ranges(
    "600-605 6DD 70F 890-891 8E2 D4E 110BD 110CD 111C2-111C3 1193F 11941 11A3A 11A84-11A89 11D46"
)
EXTEND_ALSO = _ranges("200C E0020-E007F FF9E-FF9F 1F3FB-1F3FF")  # not marks by category, but join all the same
SPACING_ALSO = _ranges("E33 EB3")
NO_MARK = _ranges(
    "102B-102C 1038 1062-1064 1067-106D 1083 1087-108C 108F 109A-109C 1A61 1A63-1A64 AA7B AA7D 11720-11721"
)
PICTOGRAPHS = _ranges(
    "A9 AE 203C 2049 2122 2139 2194-2199 21A9-21AA 231A-231B 2328 2388 23CF 23E9-23F3 23F8-23FA 24C2 "
    "25AA-25AB 25B6 25C0 25FB-25FE 2600-2605 2607-2612 2614-2685 2690-2705 2708-2712 2714 2716 271D 2721 "
    "2728 2733-2734 2744 2747 274C 274E 2753-2755 2757 2763-2767 2795-2797 27A1 27B0 27BF 2934-2935 "
    "2B05-2B07 2B1B-2B1C 2B50 2B55 3030 303D 3297 3299 1F000-1F0FF 1F10D-1F10F 1F12F 1F16C-1F171 "
    "1F17E-1F17F 1F18E 1F191-1F19A 1F1AD-1F1E5 1F201-1F20F 1F21A 1F22F 1F232-1F23A 1F23C-1F23F "
    "1F249-1F3FA 1F400-1F53D 1F546-1F64F 1F680-1F6FF 1F774-1F77F 1F7D5-1F7FF 1F80C-1F80F 1F848-1F84F "
    "1F85A-1F85F 1F888-1F88F 1F8AE-1F8FF 1F90C-1F93A 1F93C-1F945 1F947-1FAFF 1FC00-1FFFD "
)
JOINER = 0x200D


def graphemes(text: str) -> list[str]:
    """Return the grapheme clusters of ``text`` in order; joined they are the text.

    Examples
    --------
    >>> graphemes("cafe\u0301s") == ["c", "a", "f", "e\u0301", "s"]
    True
    """
    starts = grapheme_starts(text)
    return [text[a:b] for a, b in pairwise([*starts, len(text)])]


def grapheme_starts(text: str) -> list[int]:
    """Return the index of every cluster's first character, in order."""
    kinds = [_kind(char) for char in text]
    return [i for i in range(len(text)) if i == 0 or _breaks(kinds, i)]


def _kind(char: str) -> str:
    """Return the Grapheme_Cluster_Break class; "Pictograph" stands for Extended_Pictographic."""
    code = ord(char)
    if char in "\r\n":
        return "CR" if char == "\r" else "LF"
    if code == JOINER:
        return "ZWJ"
    if code in PREPEND:
        return "Prepend"
    if code in EXTEND_ALSO:
        return "Extend"
    if code in PICTOGRAPHS:
        return "Pictograph"
    category = unicodedata.category(char)
    if category in ("Mn", "Me"):
        return "Extend"
    if category in ("Cc", "Cf", "Zl", "Zp"):
        return "Control"
    if code in SPACING_ALSO or (category == "Mc" and code not in NO_MARK):
        return "SpacingMark"
    if 0x1F1E6 <= code <= 0x1F1FF:
        return "Flag"
    return _hangul(code) or "Other"


def _hangul(code: int) -> str | None:
    """Return the Hangul syllable class (L, V, T, LV, LVT), or None."""
    if 0xAC00 <= code <= 0xD7A3:
        return "LVT" if (code - 0xAC00) % 28 else "LV"
    if 0x1100 <= code <= 0x115F or 0xA960 <= code <= 0xA97C:
        return "L"
    if 0x1160 <= code <= 0x11A7 or 0xD7B0 <= code <= 0xD7C6:
        return "V"
    if 0x11A8 <= code <= 0x11FF or 0xD7CB <= code <= 0xD7FB:
        return "T"
    return None


def _breaks(kinds: list[str], i: int) -> bool:
    """Whether a cluster starts at ``i`` (> 0); the rules GB3 to GB999 in their order."""
    before, after = kinds[i - 1], kinds[i]
    if (before, after) == ("CR", "LF"):
        return False
    if before in ("Control", "CR", "LF") or after in ("Control", "CR", "LF"):
        return True
    if before == "L" and after in ("L", "V", "LV", "LVT"):
        return False
    if before in ("LV", "V") and after in ("V", "T"):
        return False
    if before in ("LVT", "T") and after == "T":
        return False
    if after in ("Extend", "ZWJ", "SpacingMark") or before == "Prepend":
        return False
    if before == "ZWJ" and after == "Pictograph":
        back = i - 2
        while back >= 0 and kinds[back] == "Extend":
            back -= 1
        return back < 0 or kinds[back] != "Pictograph"
    if before == after == "Flag":
        run = 0
        while i - 1 - run >= 0 and kinds[i - 1 - run] == "Flag":
            run += 1
        return run % 2 == 0
    return True
