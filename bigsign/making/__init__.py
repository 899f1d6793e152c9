"""Can it be made: strokes, letters and islands too small for the film."""

from bigsign.making.weeding import weeding_findings

__all__ = ["weeding_findings"]
