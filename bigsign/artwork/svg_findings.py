"""What reading a drawing has to report: the closed list of ``svg-*`` codes, and a collector that groups.

A drawing that was read right gets none but ``svg-page-edge``, ``svg-opacity`` and ``svg-whole-page``.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final

from bigsign.findings import Finding, Source

__all__ = ["SVG_CODES", "Notes"]

SVG_CODES: Final[dict[str, str]] = {
    "svg-animation": "an animation was left out; the drawing is read as it stands at rest",
    "svg-clip": "a clip was not understood; the shape is whole where the drawing cuts it off",
    "svg-colour": "a colour named in the project is no shape's fill in the drawing",
    "svg-css": "a style rule or value was not understood and was passed over",
    "svg-effect": "a blend mode or other effect was left out",
    "svg-element": "an element that is not known was left out",
    "svg-filter": "a filter was left out; the shape is drawn plain",
    "svg-foreign": "foreign content was left out",
    "svg-image": "an embedded or linked picture was left out; film is cut from outlines only",
    "svg-marker": "markers (arrow heads and the like) were left out",
    "svg-mask": "a mask was left out; the shape is drawn whole",
    "svg-number": "a number or length was not valid and was passed over",
    "svg-opacity": "something half transparent is cut as solid film",
    "svg-page-edge": "something reaches past the page and was cut off at its edge",
    "svg-paint": "a gradient or pattern is cut as solid film of one colour, or a paint was not found",
    "svg-path": "path data is broken; the shape is drawn up to the error",
    "svg-size": "the drawing states no physical size; the one used is named",
    "svg-stroke": "a stroke was not drawn as the drawing asks",
    "svg-text": "text was left out; it has to be turned into outlines first",
    "svg-transform": "a transform was not understood and was passed over",
    "svg-unit": "a unit that has no fixed size here was met",
    "svg-use": "a reference leads nowhere, outside the file or round in a circle",
    "svg-whole-page": "a shape covers the whole page",
}
"""Code → what it means, for the reference page of warnings."""


@dataclass(slots=True)
class _Group:
    code: str
    what: str
    source: Source
    remedy: str
    count: int = 1


class Notes:
    """Collects findings of one drawing; repeats of a kind are counted, not listed."""

    def __init__(self) -> None:
        self._groups: dict[tuple[str, str, str], _Group] = {}

    def add(self, code: str, what: str, source: Source, remedy: str = "") -> None:
        """Note ``what`` about the element of ``source``; same code, words and kind of element are grouped."""
        assert code in SVG_CODES, code
        kind = (source.element or "").partition("#")[0]
        group = self._groups.get((code, what, kind))
        if group is None:
            self._groups[code, what, kind] = _Group(code, what, source, remedy)
        else:
            group.count += 1

    @contextmanager
    def apart(self) -> Iterator[list[Finding]]:
        """Collect what is noted meanwhile in the list given, and not among the others."""
        kept, self._groups = self._groups, {}
        noted: list[Finding] = []
        try:
            yield noted
        finally:
            noted.extend(self.findings())
            self._groups = kept

    def findings(self) -> tuple[Finding, ...]:
        """Return one finding a group, in the order they were first met."""
        return tuple(
            Finding(group.code, _sentence(group), source=group.source, remedy=group.remedy)
            for group in self._groups.values()
        )


def _sentence(group: _Group) -> str:
    name = group.source.element
    if not name:
        return group.what
    place = f"{name} (line {group.source.line})" if group.source.line else name
    more = f" and {group.count - 1} more" if group.count > 1 else ""
    return f"{place}{more}: {group.what}"
