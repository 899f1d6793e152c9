"""Names that a folder can't have, here or on this system."""

from __future__ import annotations

import os
import re

__all__ = ["WINDOWS", "wrong_name"]

WINDOWS = os.name == "nt"
LONGEST = 255  # bytes of a name on most file systems
OURS = len("..new-00000000")  # what names beside the folder add to its own
#: Names of devices, with any ending, and what ends no name (Microsoft, "Naming Files, Paths, and Namespaces").
DEVICES = re.compile(r"(?:CON|PRN|AUX|NUL|COM[0-9¹²³]|LPT[0-9¹²³]|CONIN\$|CONOUT\$)\s*(?:\..*)?$", re.IGNORECASE)
FORBIDDEN = '<>:"|?*'


def wrong_name(name: str) -> tuple[str, str] | None:
    """Return what is wrong with the name of an output folder and what would be right; None: nothing."""
    if len(os.fsencode(name)) + OURS > LONGEST:
        return "is too long", "a shorter name"
    if not WINDOWS:
        return None
    if DEVICES.match(name):
        return f"{name!r} is a device's on Windows", "another name"
    if name != name.rstrip(". "):
        return f"{name!r} ends in a dot or a space, which Windows drops", f"{name.rstrip('. ')!r}"
    strange = next((char for char in name if char in FORBIDDEN or ord(char) < 32), None)
    if strange is not None:
        return f"holds {strange!r}, which Windows allows in no name", "letters, figures, - and _"
    return None
