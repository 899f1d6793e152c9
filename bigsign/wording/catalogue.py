"""Looking sentences up."""

from __future__ import annotations

from bigsign.wording.english import ENGLISH

__all__ = ["languages", "phrase"]

_CATALOGUES = {"en": ENGLISH}


def languages() -> list[str]:
    """Return the languages there are."""
    return sorted(_CATALOGUES)


def phrase(key: str, language: str = "en", **values: object) -> str:
    """Return the sentence of ``key`` with ``values`` put in.

    Raises
    ------
    KeyError
        If the catalogue has no such key.
    """
    return _CATALOGUES[language][key].format(**values)
