"""Nesting: panels onto mats, few mats and nothing left out, with an independent checker."""

from bigsign.nesting.check import check_nesting
from bigsign.nesting.nest import nest
from bigsign.nesting.records import Affine, MatLayout, Nesting, NestItem, mat_file

__all__ = ["Affine", "MatLayout", "NestItem", "Nesting", "check_nesting", "mat_file", "nest"]
