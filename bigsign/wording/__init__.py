"""Every sentence a person reads on paper, by language. One catalogue a language; keys are the same in all."""

from bigsign.wording.catalogue import languages, phrase, said_cautions, speaking, spoken
from bigsign.wording.colour_words import colour_said
from bigsign.wording.measures import panels_said, place_said, runs_said

__all__ = [
    "colour_said", "languages", "panels_said", "phrase", "place_said", "runs_said", "said_cautions", "speaking",
    "spoken",
]
