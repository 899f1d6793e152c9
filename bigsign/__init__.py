"""Bigsign."""
