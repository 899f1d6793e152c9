"""The project file that the commands are tried on, and how they are run (fixtures in conftest.py)."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["FILES", "PROJECT", "Run"]

PROJECT = """
[sign]
name = "Seed library"
width = "36 in"
height = "8 in"
[cutter]
use = "desktop-12"
mat = "12x24"
[[lettering]]
lines = ["SEED LIBRARY"]
cap_height = "4 in"
"""
FILES = ("plan.json", "guide.pdf", "template.pdf", "preview.svg", "preview.png", "mats/mat-01-black.svg")

Run = Callable[..., tuple[int, str, str]]
