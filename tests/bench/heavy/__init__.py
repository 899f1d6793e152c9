"""Bench of heavy input: see `__main__`."""
