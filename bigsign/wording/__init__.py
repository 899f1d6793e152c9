"""Every sentence a person reads on paper, by language. One catalogue a language; keys are the same in all."""

from bigsign.wording.catalogue import languages, phrase

__all__ = ["languages", "phrase"]
