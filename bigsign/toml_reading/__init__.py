"""Reading TOML as people write it: its faults all at once, in plain words, with the line as it should be."""

from __future__ import annotations

from bigsign.toml_reading.document import BROKEN, Document, inner_nodes, read_toml

__all__ = ["BROKEN", "Document", "inner_nodes", "read_toml"]
