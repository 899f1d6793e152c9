"""How well rows of a view are borne out: letters of a line stand on one foot line, whatever else they do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bigsign.reading.rows import Row

__all__ = ["Support", "feet_of", "is_sound", "marks_over", "support_of"]

ON_FOOT = 0.05  # round letters reach this share of the height past the foot line at most
BODY = 0.45  # parts lower than this share of the row's height are marks
SOUND = 0.6  # share of a row's bodies on its foot line: the rest are descenders and the like


@dataclass(frozen=True, slots=True)
class Support:
    """``value`` compares views of the same parts; ``share`` of the bodies in rows that are borne out, of ``bodies``."""

    value: float
    share: float
    bodies: int


def feet_of(row: Row, head: bool = False) -> tuple[int, int, float]:
    """Return how many of a row's bodies stand on its best foot line (``head``: top line), how many there are, and v."""
    boxes = np.array([part.box for part in row.parts])
    ends = np.sort(boxes[boxes[:, 3] - boxes[:, 1] >= BODY * row.height, 1 if head else 3])
    if not len(ends):
        return 0, 0, row.top if head else row.foot
    window = 2 * ON_FOOT * row.height
    counts = np.searchsorted(ends, ends + window, side="right") - np.arange(len(ends))
    best = int(np.argmax(counts))
    return int(counts[best]), len(ends), float(np.median(ends[best : best + counts[best]]))


def is_sound(row: Row) -> bool:
    """Whether most of a row's bodies, two at least, stand on one line."""
    on, bodies, _ = feet_of(row)
    return on >= 2 and on >= SOUND * bodies


def support_of(rows: Sequence[Row], head: bool = False) -> Support:
    """Return how well rows are borne out together by their feet (``head``: by their heads)."""
    value, sound, total = 0.0, 0, 0
    for row in rows:
        on, bodies, _ = feet_of(row, head)
        total += bodies
        if on >= 2 and on >= SOUND * bodies:
            value += on - 1
            sound += bodies
        elif on >= 3:
            value += 0.5 * (on - 1)
    return Support(value, sound / total if total else 0.0, total)


def marks_over(rows: Sequence[Row]) -> int:
    """Return how many more marks stand over letters than under them: dots and accents are seldom beneath."""
    count = 0
    for row in rows:
        boxes = np.array([part.box for part in row.parts])
        tall = boxes[:, 3] - boxes[:, 1] >= BODY * row.height
        marks, bodies = boxes[~tall], boxes[tall]
        middles = ((marks[:, 0] + marks[:, 2]) / 2)[:, None]
        within = (bodies[:, 0] < middles) & (middles < bodies[:, 2])
        over = within & (marks[:, 3:] <= bodies[:, 1] + ON_FOOT * row.height)
        under = within & (marks[:, 1:2] >= bodies[:, 3] - ON_FOOT * row.height)
        count += int(over.any(axis=1).sum()) - int(under.any(axis=1).sum())
    return count
