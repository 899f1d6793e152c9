"""Looking sentences up, in the language that is being spoken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace

from bigsign.presets.cautions import Caution
from bigsign.wording.english import ENGLISH
from bigsign.wording.german import GERMAN_STEPS
from bigsign.wording.german_alt import GERMAN_ALT
from bigsign.wording.german_sheets import GERMAN_SHEETS
from bigsign.wording.german_warnings import GERMAN_WARNINGS

__all__ = ["languages", "phrase", "said_cautions", "speaking", "spoken"]

_CATALOGUES = {"en": ENGLISH, "de": {**GERMAN_STEPS, **GERMAN_SHEETS, **GERMAN_ALT, **GERMAN_WARNINGS}}
_SPOKEN: ContextVar[str] = ContextVar("language", default="en")


def languages() -> list[str]:
    """Return the languages there are."""
    return sorted(_CATALOGUES)


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak ``language`` in what runs inside."""
    token = _SPOKEN.set(language)
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def spoken() -> str:
    """Return the language that is being spoken."""
    return _SPOKEN.get()


def phrase(key: str, language: str | None = None, **values: object) -> str:
    """Return the sentence of ``key`` with ``values`` put in.

    Parameters
    ----------
    language : default: the one that is being spoken.

    Raises
    ------
    KeyError
        If the catalogue has no such key.
    """
    return _CATALOGUES[language or _SPOKEN.get()][key].format(**values)


def said_cautions(cautions: Sequence[Caution]) -> tuple[Caution, ...]:
    """Return cautions in the language that is being spoken; English ones are data as they stand."""
    found = _CATALOGUES[_SPOKEN.get()]
    return tuple(
        replace(
            caution,
            signal=phrase(f"signal.{caution.signal}"),
            step=found.get(f"caution.{caution.kind}.step", caution.step),
            text=found.get(f"caution.{caution.kind}.text", caution.text).format(**dict(caution.values)),
        )
        for caution in cautions
    )
