"""What a tape measure itself may be off by: its permitted error over a length, by the rules of two places.

NIST Handbook 44, section 5.52, gives a table by feet; Directive 2014/32/EU, annex X (MI-008), gives a + b·L mm with L
rounded up to whole metres, a and b by the tape's accuracy class.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from bigsign.plan_records import SignFrame, TapeError
from bigsign.units import MM_PER_INCH, TapeStep, to_tape

__all__ = ["CLASSES", "class_error", "handbook_44_error", "tape_error"]

#: NIST Handbook 44, 5.52: (feet up to which it holds, error in inches).
HANDBOOK_44 = (
    (6, Fraction(1, 32)),
    (30, Fraction(1, 16)),
    (55, Fraction(1, 8)),
    (80, Fraction(3, 16)),
    (100, Fraction(1, 4)),
)
#: 2014/32/EU, MI-008: (a, b) in mm by accuracy class.
CLASSES: Mapping[str, tuple[float, float]] = MappingProxyType({"I": (0.1, 0.1), "II": (0.3, 0.2), "III": (0.6, 0.4)})
FOOT = 12 * MM_PER_INCH
SAME = 1e-6  # mm: a length that is a whole foot or metre but for the last binary digit is that


def handbook_44_error(mm: float) -> float | None:
    """Return by how many mm a tape may be off over a length; None past the 100 ft where the table ends.

    Examples
    --------
    >>> handbook_44_error(10 * 304.8) == 25.4 / 16
    True
    """
    feet = math.ceil((mm - SAME) / FOOT)
    return next((float(error) * MM_PER_INCH for most, error in HANDBOOK_44 if feet <= most), None)


def class_error(mm: float, accuracy: str = "II") -> float:
    """Return by how many mm a tape of an accuracy class ("I", "II", "III") may be off over a length.

    Examples
    --------
    >>> round(class_error(2500), 3)
    0.9
    """
    a, b = CLASSES[accuracy]
    return a + b * math.ceil((mm - SAME) / 1000)


def tape_error(sign: SignFrame) -> TapeError:
    """Return what a tape may be off by over the longer side of the board, the farthest that is measured from an edge.

    The class is II, that of most tapes in use (common practice, no source).
    """
    over = max(sign.width, sign.height, key=lambda length: length.mm)
    found = handbook_44_error(over.mm)
    return TapeError(
        over=over,
        handbook_44=None if found is None else to_tape(found, TapeStep("in", Fraction(1, 32))),
        class_ii=to_tape(class_error(over.mm), TapeStep("mm", Fraction(1))),
    )
