"""Data that comes with bigsign: cutters and their mats, films and their limits, cautions. TOML files, one loader."""

from bigsign.presets.load import CutterPreset, FilmLimits, film_limits, known_cutters, read_cutters

__all__ = ["CutterPreset", "FilmLimits", "film_limits", "known_cutters", "read_cutters"]
