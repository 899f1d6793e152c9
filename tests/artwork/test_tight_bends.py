"""Lines with bends tighter than half their width: the inner side folds, and is no reason to refuse them."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely.geometry import Polygon

from bigsign.artwork import fill
from tests.artwork.svg_reading import read, svg

CUSP = (  # curves with a handle of no length where they end, as icons have them
    '<path d="M18 8A6 6 0 0 0 6 8c0 7-3 9-3 9h18s-3-2-3-9" fill="none" stroke="#000" stroke-width="2"'
    ' stroke-linecap="round" stroke-linejoin="round"/>'
)


def test_an_icon_with_a_cusp_is_read_a_yard_wide(monkeypatch: pytest.MonkeyPatch) -> None:
    """Within a fifth of the budget, which the folds of its inner side alone once passed."""
    counted: list[int] = []
    count = fill._count_crossings

    def watched(rings: list[NDArray[np.float64]], met: fill.Crossings) -> None:
        count(rings, met)
        counted.append(met.count)

    monkeypatch.setattr(fill, "_count_crossings", watched)
    (found,) = read(svg(CUSP, 'width="24" height="24"'), width=914.4).shapes
    assert found.shape.is_valid
    (line,) = found.shape.geoms
    assert sum(Polygon(ring).area > 1e-3 for ring in line.interiors) == 1  # a fold may leave a thread of a hole
    assert 0 < max(counted) < 30_000
