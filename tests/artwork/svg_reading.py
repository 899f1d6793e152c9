"""Helpers to read drawings written in the tests."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from bigsign.artwork.drawing import Drawing, read_drawing
from bigsign.errors import Fault, InputError
from bigsign.project import DrawingSpec

NS = 'xmlns="http://www.w3.org/2000/svg"'


def svg(body: str, attributes: str = 'width="100" height="80"') -> str:
    return f"<svg {NS} {attributes}>\n{body}\n</svg>"


def read(
    text: str | bytes,
    width: float | None = None,
    height: float | None = None,
    centre: tuple[float, float] = (0.0, 0.0),
    colours: Mapping[str, str] | None = None,
) -> Drawing:
    data = text if isinstance(text, bytes) else text.encode()
    where = "sign.toml line 9, [[artwork]] 1"
    spec = DrawingSpec("leaf.svg", data, width, height, centre, colours or {}, where)
    return read_drawing(spec)


def codes(drawing: Drawing) -> list[str]:
    return [finding.code for finding in drawing.findings]


def fault_of(text: str | bytes, width: float | None = None) -> Fault:
    """The one fault a drawing is refused with."""
    with pytest.raises(InputError) as caught:
        read(text, width)
    assert len(caught.value.faults) == 1
    return caught.value.faults[0]
