"""Fonts of the world: each read, a word set in it, and its film held against another reading of the same font."""
