"""Fonts: by file, by the family of a font package, or as installed on the machine; their faces and instances."""

from bigsign.fonts.find import find_font
from bigsign.fonts.installed import InstalledFace, installed_faces
from bigsign.fonts.packages import installed_families

__all__ = ["InstalledFace", "find_font", "installed_faces", "installed_families"]
