"""Lengths in and out: text with a unit to millimetres, millimetres to what a tape measure shows.

Nothing is rounded in a conversion; rounding is the named step :func:`to_tape`, for people. Source of the
ratios: CSS Values and Units (1 in = 25.4 mm exactly). Source of the rounding: NIST Handbook 44, section 10.3
(midway between two graduations, the even one).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from bigsign.errors import LengthError
from bigsign.length_words import mended_length

__all__ = [
    "MM_PER_INCH", "TapeLength", "TapeStep", "on_mark", "parse_length", "parse_tape_step", "to_tape", "to_tape_up",
]  # fmt: skip

MM_PER_INCH = 25.4

ACCEPTED = (
    'write it with a unit, as "43 1/2 in", "9.5in", "3\' 4 1/2\\"", "3 ft 4 1/2 in", "120 mm", "12 cm" or "1.2 m"'
)

FORMS = 'lengths are written as "43 1/2 in", "9.5in", "3 ft 4 1/2 in", "120 mm" or "1.2 m"'

_UNIT_MM: dict[str, Fraction] = {
    "in": Fraction(254, 10),
    "inch": Fraction(254, 10),
    "inches": Fraction(254, 10),
    '"': Fraction(254, 10),
    "″": Fraction(254, 10),
    "”": Fraction(254, 10),
    "ft": Fraction(3048, 10),
    "feet": Fraction(3048, 10),
    "foot": Fraction(3048, 10),
    "'": Fraction(3048, 10),
    "′": Fraction(3048, 10),
    "’": Fraction(3048, 10),
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
}
_VULGAR = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅓": "1/3",
    "⅔": "2/3",
}
LONGEST = 100  # characters: what a person writes is far shorter, and Python reads no integer of 4300 digits
_NUMBER = r"(?:\d+(?:\.\d+)?|\.\d+)"
_TERM = re.compile(
    rf"\s*(?:(?P<whole>\d+)(?:\s+|-)(?P<wn>\d+)\s*[/⁄]\s*(?P<wd>\d+)|(?P<n>\d+)\s*[/⁄]\s*(?P<d>\d+)|(?P<dec>{_NUMBER}))"
    r"\s*(?P<unit>inches|inch|in\b|feet|foot|ft\b|mm\b|cm\b|m\b|[\"″”'′’])\s*"
)


def parse_length(text: str) -> float:
    """Return the length ``text`` says, in mm.

    Accepts whole numbers, decimals and mixed fractions with one unit, or feet followed by inches. A sign in
    front is read, so that the caller can say what is wrong with a negative length.

    Raises
    ------
    LengthError
        If the text is no length; the message shows the accepted forms.

    Examples
    --------
    >>> parse_length("43 1/2 in")
    1104.9
    >>> round(parse_length("3' 4 1/2\\""), 3)
    1028.7
    """
    if not isinstance(text, str):
        raise LengthError(f"{text!r} has no unit: {ACCEPTED}")
    if len(text.strip()) > LONGEST:
        raise LengthError(f"{text.strip()[:20] + '…'!r} is not a length: {ACCEPTED}")
    try:
        return _read(text)
    except LengthError as error:
        mended = mended_length(text, _read)
        if mended is None:
            raise
        raise LengthError(f"{str(error).removesuffix(f': {ACCEPTED}')}: write \"{mended}\"; {FORMS}") from None


def _read(text: str) -> float:
    """Return the length in mm of a text of at most ``LONGEST`` characters."""
    body = text.strip()
    sign = 1
    if body[:1] in {"-", "−", "+"}:
        sign = 1 if body[0] == "+" else -1
        body = body[1:].strip()
    for char, fraction in _VULGAR.items():
        body = re.sub(rf"(?<=\d)\s*{char}", f" {fraction}", body).replace(char, fraction)
    terms: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(body):
        match = _TERM.match(body, at)
        if match is None:
            raise LengthError(f"{text!r} is not a length: {ACCEPTED}")
        terms.append((_number(match, text), match["unit"]))
        at = match.end()
    if not terms or len(terms) > 2:
        raise LengthError(f"{text!r} is not a length: {ACCEPTED}")
    if len(terms) == 2:
        first, second = (_UNIT_MM[unit] for _, unit in terms)
        if (first, second) != (_UNIT_MM["ft"], _UNIT_MM["in"]):
            raise LengthError(f"{text!r} is not a length: {ACCEPTED}")
    total = sum((number * _UNIT_MM[unit] for number, unit in terms), Fraction(0))
    try:
        return sign * float(total)
    except OverflowError:
        raise LengthError(f"{text!r} is too large for a length: {ACCEPTED}") from None


def _number(match: re.Match[str], text: str) -> Fraction:
    if match["dec"] is not None:
        return Fraction(match["dec"])
    top, bottom = (match["wn"], match["wd"]) if match["whole"] is not None else (match["n"], match["d"])
    if int(bottom) == 0:
        raise LengthError(f"{text!r} divides by nought: {ACCEPTED}")
    return Fraction(int(match["whole"] or 0)) + Fraction(int(top), int(bottom))


@dataclass(frozen=True, slots=True)
class TapeStep:
    """How finely a tape is read: ``step`` in ``unit`` ("in" or "mm"); ``both``: the other unit is said beside it."""

    unit: str = "in"
    step: Fraction = Fraction(1, 16)
    both: bool = False

    @property
    def mm(self) -> float:
        """The step in mm."""
        return float(self.step * _UNIT_MM[self.unit])

    @property
    def coarse(self) -> TapeStep:
        """The coarser marks tried first: 1/8 in, or 5 mm; the step itself where that is coarser still."""
        first = Fraction(1, 8) if self.unit == "in" else Fraction(5)
        return (
            TapeStep(self.unit, first) if first > self.step and (first / self.step).denominator == 1 else self
        )


@dataclass(frozen=True, slots=True)
class TapeLength:
    """A length for people: exact ``mm``, what the tape shows, and tape minus exact in mm.

    ``other``: what a tape of the other unit shows, where both were asked for.
    """

    mm: float
    tape: str
    error_mm: float
    other: str = ""

    @property
    def shown(self) -> str:
        """What stands on paper: the tape's text, and the other unit's in brackets where both were asked for."""
        return f"{self.tape} ({self.other})" if self.other else self.tape


def parse_tape_step(text: str) -> TapeStep:
    """Return the tape step ``text`` says; inches may be any fraction with a power of two below, mm whole.

    Raises
    ------
    LengthError
        If it is not a step a tape measure has.
    """
    mm = parse_length(text)
    metric = bool(re.search(r"m\s*$", text))
    right = 'a step a tape has, as "1/16 in", "1/8 in", "1/32 in", "1 mm" or "5 mm"'
    exact = Fraction(mm).limit_denominator(100000)
    step = exact if metric else exact / _UNIT_MM["in"]
    step = step.limit_denominator(64)
    if metric:
        if step.denominator != 1 or not 1 <= step <= 10:
            raise LengthError(f"{text!r} is not {right}")
        return TapeStep("mm", step)
    if step.numerator != 1 or step.denominator not in (1, 2, 4, 8, 16, 32, 64):
        raise LengthError(f"{text!r} is not {right}")
    return TapeStep("in", step)


def to_tape(mm: float, step: TapeStep) -> TapeLength:
    """Round ``mm`` to the nearest mark of ``step``, halves to the even mark, and say it as a tape does.

    Examples
    --------
    >>> to_tape(1104.9, TapeStep()).tape
    '43 1/2 in'
    """
    unit = _UNIT_MM[step.unit]
    # A length that lies on a tie but for the last binary digit is that tie: 1e-9 mm is far below any reading.
    exact = Fraction(round(mm * 10**9), 10**9)
    marks = round(exact / (step.step * unit))  # Fraction rounds half to even
    value = marks * step.step
    other = ""
    if step.both:
        second = TapeStep("mm", Fraction(1)) if step.unit == "in" else TapeStep()
        other = to_tape(mm, second).tape
    return TapeLength(mm, _say(value, step.unit), float(value * unit) - mm, other)


def to_tape_up(mm: float, step: TapeStep) -> TapeLength:
    """Round ``mm`` up to a whole inch or centimetre, in the unit of ``step``: for what is bought, not measured.

    Examples
    --------
    >>> to_tape_up(1104.9, TapeStep()).tape
    '44 in'
    """
    unit = Fraction(10) if step.unit == "mm" else _UNIT_MM["in"]
    up = math.ceil(Fraction(round(mm * 10**6), 10**6) / unit) * unit  # a millionth over a mark is no more than it
    second = TapeStep("mm" if step.unit == "in" else "in")
    other = to_tape_up(mm, second).tape if step.both else ""
    return TapeLength(mm, _say(up / _UNIT_MM[step.unit], step.unit), float(up) - mm, other)


def _say(value: Fraction, unit: str) -> str:
    sign = "-" if value < 0 else ""
    value = abs(value)
    whole, rest = divmod(value, 1)
    if unit == "mm":
        return f"{sign}{whole if not rest else float(value)} mm"
    if not rest:
        return f"{sign}{whole} in"
    fraction = f"{rest.numerator}/{rest.denominator}"
    return f"{sign}{whole} {fraction} in" if whole else f"{sign}{fraction} in"


def on_mark(mm: float, step: TapeStep) -> bool:
    """Whether ``mm`` stands on a mark of ``step`` (within a micrometre)."""
    return abs(to_tape(mm, step).error_mm) < 1e-3
