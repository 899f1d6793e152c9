"""Connected lettering: pieces are whole words or runs of letters, so most gaps between them part words.

Measured over seven scripts and six Arabic faces, as shares of the row's height: gaps between pieces of one word look
0.2 wide at most in scripts and 0.33 in Arabic; word gaps start at 0.25 and at 0.36.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from bigsign.reading.glyphs import Part
from bigsign.reading.rows import Row
from bigsign.reading.views import Floats

__all__ = ["connected_cut", "connected_rows", "group_connected"]

LONG = 1.6  # of the row's height: no single letter is as wide
STROKES = 6  # nor is any letter crossed by a level line as many times
FEWEST = 3  # a piece that long but crossed less often is a rule or a flourish
LEVELS = 12  # heights at which a piece's strokes are counted
SHARE = 0.3  # of the row's width that long pieces must make
MARK = 0.32  # of the row's height: smaller parts are dots and the like
NEAR = 0.24  # of the row's height: a mark farther from any piece stands by itself
DOTTED = 0.6  # marks over wide pieces, to each piece, that Arabic has and Latin, Greek and Cyrillic have not
CUT, CUT_DOTTED = 0.27, 0.32  # the look that mostly parts gaps within words from those between, in scripts and Arabic
LETTER, WORD = 0.55, 1.5  # usual looks of gaps within and between words, as shares of it
ASSUMED = 0.5  # what a step to a usual look is worth, to one between two gaps that are there
SPREAD = 0.7  # how fast a cut elsewhere loses worth (of its logarithm)
CLEAR = 1.14  # a gap no farther than this many times from the cut, or the usual one, leaves a doubt


def connected_rows(rows: Sequence[Row]) -> list[float]:
    """Return, for each row, the look that mostly parts letter gaps from word gaps if it is connected, else 0.

    Rows of like height are judged together.
    """
    if not rows:
        return []
    heights = np.array([row.height for row in rows])
    sums = np.array([[*_widths(row), *_marks(row)] for row in rows])
    out = []
    for n, height in enumerate(heights.tolist()):
        like = (heights > 0.7 * height) & (heights < height / 0.7)
        cut = 0.0
        for long, whole, marks, bodies in (sums[like].sum(axis=0), sums[n]):
            if marks >= max(3, DOTTED * bodies):
                cut = max(cut, CUT_DOTTED)
            elif long >= SHARE * whole:
                cut = max(cut, CUT)
        out.append(cut)
    return out


def _marks(row: Row) -> tuple[int, int]:
    """Return how many marks stand over or under wide pieces of a row, and how many pieces it has but for marks."""
    boxes = np.array([part.box for part in row.parts])
    sizes = np.maximum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
    small = sizes < MARK * row.height
    wide = boxes[~small & (boxes[:, 2] - boxes[:, 0] > 0.45 * row.height)]
    middles = (boxes[small, 0] + boxes[small, 2]) / 2
    over = ((wide[:, :1] < middles) & (middles < wide[:, 2:3])).any(axis=0)
    heights = (boxes[small, 1] + boxes[small, 3]) / 2
    across, up = np.subtract.outer(middles, middles), np.subtract.outer(heights, heights)
    # two dots side by side (ü) count as one
    second = ((across > 0) & (across < 0.35 * row.height) & (np.abs(up) < 0.06 * row.height)).any(axis=1)
    return int((over & ~second).sum()), int((~small).sum())


def _widths(row: Row) -> tuple[float, float]:
    """Return the width of a row's long pieces and of all its parts."""
    levels = row.foot - row.height * (np.arange(LEVELS) + 0.5) / LEVELS
    widths = np.array([part.box[2] - part.box[0] for part in row.parts])
    wide = widths > 0.8 * row.height
    long = [
        (count := _strokes(part, levels)) >= STROKES or (width > LONG * row.height and count >= FEWEST)
        for part, width in zip((p for p, w in zip(row.parts, wide, strict=True) if w), widths[wide], strict=True)
    ]
    return float(widths[wide][np.array(long, dtype=bool)].sum()), float(widths.sum())


def _strokes(part: Part, levels: Floats) -> int:
    """Return how many strokes the level lines cross at most."""
    crossed = np.zeros(len(levels), dtype=int)
    for ring in (part.shape.exterior, *part.shape.interiors):
        y = shapely.get_coordinates(ring)[:, 1]
        low, high = np.minimum(y[:-1], y[1:])[:, None], np.maximum(y[:-1], y[1:])[:, None]
        crossed += ((low <= levels) & (high > levels)).sum(axis=0)
    return int(crossed.max()) // 2


def group_connected(parts: Sequence[Part], top: float, foot: float) -> list[list[Part]]:
    """Return the pieces of a row left to right, each with the marks nearest to it."""
    height = foot - top
    boxes = np.array([part.box for part in parts])
    sizes = np.maximum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
    shapes = np.array([part.shape for part in parts], dtype=object)
    bodies = np.flatnonzero(sizes >= MARK * height).tolist()
    groups: dict[int, list[Part]] = {n: [parts[n]] for n in bodies}
    for n in np.flatnonzero(sizes < MARK * height).tolist():
        if bodies:
            middle = (boxes[n, 0] + boxes[n, 2]) / 2
            beside = np.maximum(boxes[bodies, 0] - middle, middle - boxes[bodies, 2]).clip(0)
            off = shapely.distance(shapes[n], shapes[bodies]) + beside
            host = int(np.argmin(off))
            if off[host] < NEAR * height or beside[host] == 0:
                groups[bodies[host]].append(parts[n])
                continue
        groups[n] = [parts[n]]
    return [groups[n] for n in sorted(groups, key=lambda n: (boxes[n, 0] + boxes[n, 2], n))]


def connected_cut(gaps: Floats, usual: float) -> tuple[float, str]:
    """Return the look above which a gap parts words, and a doubt ("" for none).

    The cut is in the widest step by ratio of the gaps' looks, less what speaks against cutting far from the
    ``usual`` look. A usual letter gap is put below them all and a usual word gap above, as a line may have none.
    """
    own = np.sort(np.maximum(gaps, 0.05))
    before = [LETTER * usual] if not len(own) or own[0] > LETTER * usual else []
    after = [WORD * usual] if not len(own) or own[-1] < WORD * usual else []
    looks = np.array([*before, *own, *after])
    low, high = looks[:-1], looks[1:]
    middle = np.log(low * high) / 2
    step = np.log(high / low)
    step[: len(before)] *= ASSUMED
    step[len(step) - len(after) :] *= ASSUMED
    worth = step - (middle - np.log(usual)) ** 2 / (2 * SPREAD**2)
    cut = float(np.exp(middle[int(np.argmax(worth))]))
    unsure = any(bool(((gaps > at / CLEAR) & (gaps < at * CLEAR)).any()) for at in (cut, usual))
    return cut, UNSURE if unsure else ""


UNSURE = "a gap between two of its pieces is neither clearly within a word nor clearly between two."
