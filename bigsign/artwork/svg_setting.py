"""What an element of a drawing finds around it, and which elements draw anything."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from bigsign.artwork.flatten import Matrix
from bigsign.artwork.svg_document import Element
from bigsign.artwork.svg_scene import Clip
from bigsign.artwork.svg_style import Style
from bigsign.artwork.svg_values import Viewport

__all__ = ["ANIMATIONS", "SHAPES", "SILENT", "Setting", "applies"]

SHAPES: Final = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"})
SILENT: Final = frozenset({
    "clipPath", "color-profile", "cursor", "defs", "desc", "filter", "font", "font-face", "hatch",
    "linearGradient", "marker", "mask", "meshgradient", "metadata", "pattern", "radialGradient", "solidcolor",
    "stop", "style", "symbol", "title", "view",
})
"""Never drawn by themselves."""
ANIMATIONS: Final = frozenset({
    "animate", "animateColor", "animateMotion", "animateTransform", "discard", "set",
})
LANGUAGE: Final = "en"
"""What systemLanguage is tested against: results must not depend on the machine."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What an element finds around it: user space to px of the page, style, viewport, clips, references."""

    matrix: Matrix
    style: Style
    viewport: Viewport
    clips: tuple[Clip, ...] = ()
    depth: int = 0
    uses: tuple[Element, ...] = ()


def applies(element: Element) -> bool:
    """Whether an element's conditions hold: no extensions, and its language among ours."""
    if element.get("requiredExtensions") is not None:
        return False
    languages = element.get("systemLanguage")
    if languages is None:
        return True
    tags = [tag.strip().lower() for tag in languages.split(",")]
    return any(tag == LANGUAGE or tag.startswith(f"{LANGUAGE}-") for tag in tags)
