"""Can it be made: strokes, letters and islands too small for the film; and what it takes of film and tape."""

from bigsign.making.materials import materials
from bigsign.making.weeding import weeding_findings

__all__ = ["materials", "weeding_findings"]
