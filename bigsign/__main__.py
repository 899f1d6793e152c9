"""``python -m bigsign``."""

from __future__ import annotations

import sys

from bigsign.cli import main

__all__: list[str] = []

if __name__ == "__main__":
    sys.exit(main())
