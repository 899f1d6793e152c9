"""Bounds of a parting from below: each a lemma in words, its assumption as a guard, and a test against brute force."""

from bigsign.splitting.bounds.breaks import BreakBound
from bigsign.splitting.bounds.panels import PanelBound
from bigsign.splitting.bounds.risk import Chain, RiskBound, find_chains

__all__ = ["BreakBound", "Chain", "PanelBound", "RiskBound", "find_chains"]
