"""What a script needs of a face: rules by which its letters join, or stand in another order than they are written.

HarfBuzz knows the rules of OpenType (GSUB) and of AAT (morx); a face may have its rules in a third form, Graphite
(Silf), for a program that is not built into it. Without rules letters stand side by side as they come.

Sources: which scripts join: ArabicShaping.txt of the Unicode Character Database, from memory; which reorder: the
scripts of OpenType's script development documents for Indic scripts, Khmer, Myanmar and the Universal Shaping Engine,
from memory. Thai, Lao, Hebrew and the like only stack marks, which HarfBuzz places without rules.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from itertools import pairwise
from typing import Any

__all__ = ["DOWNWARD", "JOINING", "FaceRules", "script_words", "scripts_in"]


def _codes(text: str) -> frozenset[str]:
    return frozenset(text.split())


JOINING = _codes("Adlm Arab Chrs Mand Mani Mong Nkoo Ougr Phag Phlp Rohg Sogd Syrc")
REORDERING = _codes(
    "Ahom Bali Batk Beng Bhks Brah Bugi Cakm Cham Deva Diak Dogr Gong Gonm Gran Gujr Guru Java Kawi Khmr Khoj Knda "
    "Kthi Lana Lepc Limb Maka Marc Mlym Modi Mtei Mymr Nand Newa Orya Rjng Saur Shrd Sidd Sind Sinh Soyo Sund Sylo "
    "Takr Taml Telu Tibt Tirh Zanb"
)
DOWNWARD = _codes("Mong Phag")
"""Written from the top down; fonts hold their letters lying on their side."""
JOINS = _codes("init medi fina")
REORDERS = _codes("akhn rphf rkrf blwf half pstf pref abvf cjct pres abvs blws psts haln vatu")
SIMPLE = _codes("ccmp liga")
SHARED = ("DFLT", "dflt", "latn")  # what HarfBuzz takes where a face does not name the script, in this order
PRESENTATION = range(0xFE70, 0xFEFD)  # of Arabic letters as they join: HarfBuzz uses them where there are no rules


class FaceRules:
    """Which scripts a face (of uharfbuzz) has rules for."""

    def __init__(self, face: Any) -> None:
        self._face = face
        self._tables = frozenset(str(tag) for tag in face.table_tags)
        self._known: dict[str, bool] = {}

    @property
    def graphite(self) -> bool:
        """Whether there are rules that can't be read."""
        return "Silf" in self._tables

    def suffice(self, script: str) -> bool:
        """Whether nothing is lacking to set a script, by its code of ISO 15924."""
        if script not in self._known:
            self._known[script] = self._suffice(script)
        return self._known[script]

    def _suffice(self, script: str) -> bool:
        from fontTools.unicodedata import ot_tags_from_script

        if script not in JOINING | REORDERING or self._tables & {"morx", "mort"}:
            return True
        if script == "Arab" and not set(PRESENTATION).isdisjoint(self._face.unicodes):
            return True
        tags = [str(tag) for tag in self._face.get_table_script_tags("GSUB")] if "GSUB" in self._tables else []
        own = [tag for tag in ot_tags_from_script(script) if tag in tags and tag not in SHARED]
        if own and script not in JOINING:
            return True
        wanted = JOINS if script in JOINING else REORDERS
        # A face that names no script may be made for this one alone, with ligatures of whole syllables.
        wanted |= SIMPLE if script in REORDERING and set(tags) <= set(SHARED) else frozenset()
        return any(wanted & self._features(tags.index(tag)) for tag in (*own, *SHARED) if tag in tags)

    def _features(self, script: int) -> set[str]:
        return {str(tag) for tag in self._face.get_language_feature_tags("GSUB", script)}


def scripts_in(texts: Iterable[str]) -> list[str]:
    """Return the scripts of which two letters or marks stand side by side, sorted: one alone needs no rules.

    Letters that stand for others as they look (Arabic ones of mathematics, or already joined) are not counted.

    Examples
    --------
    >>> scripts_in(["EGGS بيض", "अ ब"])
    ['Arab', 'Latn']
    """
    from fontTools.unicodedata import script

    found = set()
    for text in texts:
        codes = [script(char) if _written(char) else "Zyyy" for char in text]
        codes = [code for code in codes if code != "Zinh"]  # marks that any script may have
        found |= {one for one, other in pairwise(codes) if one == other}
    return sorted(found - {"Zyyy", "Zzzz"})


def _written(char: str) -> bool:
    return unicodedata.category(char)[0] in "LM" and not unicodedata.decomposition(char).startswith("<")


def script_words(code: str) -> str:
    """Return a script's name: "Arabic"."""
    from fontTools.unicodedata import script_name

    known = {"Phag": "Phags-pa", "Nkoo": "N'Ko"}
    return known.get(code) or str(script_name(code, default=code)).replace("_", " ")
